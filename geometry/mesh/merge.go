package mesh

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// Distances in mm within which vertices on free edges become one (common practice, no source: a fiftieth of what a
// press holds, and above what programs leave between faces that they mesh one by one). Of a mesh that is smaller than a
// panel it is a part of its size, down to leastDefault: it may be in another unit. Where float32 is coarser than
// that, so far from the origin, two of its steps are taken instead, up to mostMergeWithin: one stray vertex must not blur
// a panel. Below leastMergeWithin only equal vertices become one.
const (
	DefaultMergeWithin = 0.005
	mergePart          = 2e-5
	leastDefault       = 1e-4
	mostMergeWithin    = 0.01
	leastMergeWithin   = 1e-9
)

// usualMerge is the distance within which vertices of a mesh become one when none is asked for, by its size and its grain.
func usualMerge(size, finest float64) float64 {
	own := math.Min(DefaultMergeWithin, math.Max(leastDefault, mergePart*size))
	return math.Max(own, math.Min(2*finest, mostMergeWithin))
}

// mergeNear makes one of vertices that lie within a distance of each other, as exporters write them that
// round each face on its own, and returns how many went. Only vertices on free edges take part: where
// every edge has its two triangles, nothing is torn.
//
// In the order of x, then y, then z, each vertex goes to the nearest of those already kept, or is kept. So the result
// depends on where the vertices are, not on the file's order, no vertex moves farther than the distance, and
// rows of close vertices do not run together.
func mergeNear(m *Mesh, rim []Edge, within float64) int {
	if within < leastMergeWithin {
		return 0
	}
	free := freeVertices(rim)
	slices.SortFunc(free, func(a, b int32) int { return m.Vertices[a].Cmp(m.Vertices[b]) })
	kept := keptPoints{m.Vertices, within, newCellIndex(len(free))}
	into := make([]int32, len(m.Vertices)) // the vertex to become + 1
	merged := 0
	for _, v := range free {
		if near := kept.nearest(v); near != None {
			into[v] = near + 1
			merged++
		} else {
			kept.add(v)
		}
	}
	if merged == 0 {
		return 0
	}
	for i, t := range m.Triangles {
		for k, v := range t {
			if into[v] != 0 {
				m.Triangles[i][k] = into[v] - 1
			}
		}
	}
	return merged
}

// freeVertices are the vertices on free edges, in rising order.
func freeVertices(free []Edge) []int32 {
	vertices := make([]int32, 0, 2*len(free))
	for i := range free {
		vertices = append(vertices, free[i].V[0], free[i].V[1])
	}
	slices.Sort(vertices)
	return slices.Compact(vertices)
}

// keptPoints finds points within a distance by a grid whose cells are four times as wide: few cells to look
// at for each point, and few points in a cell, as they are farther apart than the distance, whatever the file holds.
type keptPoints struct {
	points []r3.Vector
	within float64
	index  *cellIndex
}

func (k *keptPoints) cell(p r3.Vector) cell { return cellAt(p, 4*k.within, 0) }

func (k *keptPoints) add(v int32) { k.index.add(k.cell(k.points[v]), v) }

// nearest is the nearest kept point within the distance, or None; of equally near ones the first in x, y, z.
func (k *keptPoints) nearest(v int32) int32 {
	p := k.points[v]
	best, least := None, k.within
	reach := r3.Vector{X: k.within, Y: k.within, Z: k.within}
	for c := range cells(k.cell(p.Sub(reach)), k.cell(p.Add(reach))) {
		for at := range k.index.at(c) {
			d := k.points[at].Distance(p)
			if d < least || d == least && (best == None || k.points[at].Cmp(k.points[best]) < 0) {
				best, least = at, d
			}
		}
	}
	return best
}
