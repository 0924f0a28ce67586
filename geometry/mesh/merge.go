package mesh

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// DefaultMergeWithin is the distance in mm within which vertices on free edges become one (common practice, no source:
// a thousandth of the thinnest sheet's tolerance). Where float32 is coarser than that, so far from the
// origin, two of its steps are taken instead.
const DefaultMergeWithin = 1e-4

// mergeNear makes one of vertices that lie within a distance of each other, as exporters write them that
// round each face on its own, and returns how many went. Only vertices on free edges take part: where
// every edge has its two triangles, nothing is torn.
//
// In the order of x, then y, then z, each vertex goes to the nearest of those already kept, or is kept. So the result
// depends on where the vertices are, not on the file's order, no vertex moves farther than the distance, and
// rows of close vertices do not run together.
func mergeNear(m *Mesh, topo *Topology, within float64) int {
	if !(within > 0) {
		return 0
	}
	free := freeVertices(topo, topo.FreeEdges())
	slices.SortFunc(free, func(a, b int32) int { return m.Vertices[a].Cmp(m.Vertices[b]) })
	kept := newKeptPoints(m.Vertices, within)
	into := map[int32]int32{}
	for _, v := range free {
		if near := kept.nearest(v); near != None {
			into[v] = near
		} else {
			kept.add(v)
		}
	}
	if len(into) == 0 {
		return 0
	}
	for i, t := range m.Triangles {
		for k, v := range t {
			if to, ok := into[v]; ok {
				m.Triangles[i][k] = to
			}
		}
	}
	return len(into)
}

// freeVertices are the vertices on free edges, in rising order.
func freeVertices(topo *Topology, free []int32) []int32 {
	vertices := make([]int32, 0, 2*len(free))
	for _, e := range free {
		vertices = append(vertices, topo.Edges[e].V[0], topo.Edges[e].V[1])
	}
	slices.Sort(vertices)
	return slices.Compact(vertices)
}

// keptPoints finds points within a distance by a grid whose cells are twice as wide. Points in it are
// farther apart than the distance, so a cell holds few of them, whatever the file holds.
type keptPoints struct {
	points []r3.Vector
	within float64
	first  map[cell]int32
	next   map[int32]int32
}

// cell is a cube of a grid, by its place and, in a grid of several sizes, its size.
type cell struct {
	x, y, z int64
	level   int
}

func newKeptPoints(points []r3.Vector, within float64) *keptPoints {
	return &keptPoints{points: points, within: within, first: map[cell]int32{}, next: map[int32]int32{}}
}

func (k *keptPoints) add(v int32) {
	c := cellAt(k.points[v], 2*k.within)
	if head, ok := k.first[c]; ok {
		k.next[v] = head
	}
	k.first[c] = v
}

// nearest is the nearest kept point within the distance, or None; of equally near ones the first in x, y, z.
func (k *keptPoints) nearest(v int32) int32 {
	p := k.points[v]
	best, least := None, k.within
	reach := r3.Vector{X: k.within, Y: k.within, Z: k.within}
	for c := range cells(cellAt(p.Sub(reach), 2*k.within), cellAt(p.Add(reach), 2*k.within)) {
		for at, ok := k.first[c]; ok; at, ok = k.next[at] {
			d := k.points[at].Distance(p)
			if d < least || d == least && (best == None || k.points[at].Cmp(k.points[best]) < 0) {
				best, least = at, d
			}
		}
	}
	return best
}

func cellAt(p r3.Vector, width float64) cell {
	return cell{x: int64(math.Floor(p.X / width)), y: int64(math.Floor(p.Y / width)), z: int64(math.Floor(p.Z / width))}
}

// cells runs over the cells from one corner to the other.
func cells(low, high cell) func(yield func(cell) bool) {
	return func(yield func(cell) bool) {
		for x := low.x; x <= high.x; x++ {
			for y := low.y; y <= high.y; y++ {
				for z := low.z; z <= high.z; z++ {
					if !yield(cell{x, y, z, low.level}) {
						return
					}
				}
			}
		}
	}
}
