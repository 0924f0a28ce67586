package mesh

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// mend makes one sheet of the triangles that a file gave, in a box, and says what it did and how large it is then. repeated is how many
// triangles were left out while reading; within is Options.MergeWithin.
func mend(m *Mesh, box space.Box, repeated int, within float64) (notes []string, size r3.Vector) {
	vertices := len(m.Vertices)
	finest := grain(box.Min, box.Max)
	if within == 0 {
		within = usualMerge(box.Size().Norm(), finest)
	}
	c := &cleaner{m: m, flattest: max(leastHeight, finest), empty: repeated}
	edges := c.clean()
	merged := 0
	for { // what merging leaves without area bares edges that have more to merge: a mesh written and read again stays as it is
		n := mergeNear(m, edges.free, within)
		if n == 0 {
			break
		}
		merged += n
		edges = c.clean()
	}
	split, joined, given := closeTJunctions(m, edges.free)
	if split > 0 {
		edges = m.survey()
	}
	turned, twisted := m.orient(edges)
	if c.empty+c.double+merged+split+turned > 0 {
		m.renumber()
	}
	if len(m.Vertices) != vertices {
		box = m.Box()
	}
	say := func(n int, format string, args ...any) {
		if n > 0 {
			notes = append(notes, fmt.Sprintf(format, args...))
		}
	}
	say(merged, "%s within %.2g mm of another merged", plural(merged, "vertex"), within)
	say(c.empty, "%s without area dropped", plural(c.empty, "triangle"))
	say(c.double, "%s given twice dropped", plural(c.double, "triangle"))
	say(split, "T-junctions: %s split, %s joined", plural(split, "triangle"), plural(joined, "edge"))
	say(given, "T-junctions: %s left as they are, too many to look through", plural(given, "free edge"))
	say(edges.crowded, "%s with more than two triangles", plural(edges.crowded, "edge"))
	say(turned, "%s turned to face as the neighbours do", plural(turned, "triangle"))
	say(twisted, "%s where no turning makes the two triangles face alike", plural(twisted, "edge"))
	return notes, box.Size()
}

// leastHeight is the height in mm below which a triangle counts as having no area, however near to the
// origin float32 could tell it from a line (common practice, no source: a ten-thousandth of what a press holds).
const leastHeight = 1e-6

// grain is the distance in mm between neighbouring float32 numbers at the farthest coordinate of the points: what a
// file cannot state more finely. A float32 has 24 significant bits (IEEE 754-2008, table 3.5; from memory).
func grain(points ...r3.Vector) float64 {
	far := 0.0
	for _, v := range points {
		far = max(far, math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z))
	}
	return far * 0x1p-23
}

// cleaner drops triangles that are no part of a sheet.
type cleaner struct {
	m        *Mesh
	flattest float64 // mm: no triangle of the mesh that is this high counts as having no area
	empty    int     // dropped without area
	double   int     // dropped because given twice
}

// clean drops triangles without area and all but the first of triangles with the same three corners, and
// looks at the edges of the rest.
func (c *cleaner) clean() *survey {
	m := c.m
	before := len(m.Triangles)
	// One height for the whole mesh spares nearly all triangles their own, which is no greater.
	m.Triangles = slices.DeleteFunc(m.Triangles, func(t [3]int32) bool { return m.isLow(t, c.flattest) && m.isFlat(t) })
	c.empty += before - len(m.Triangles)
	edges := m.survey()
	if !edges.double {
		return edges
	}
	if n := m.dropDoubles(m.Topology()); n > 0 {
		c.double += n
		edges = m.survey()
	}
	return edges
}

// isFlat reports whether a triangle has no area: two corners are one, or its least height is one that float32
// cannot tell from none where it lies.
func (m *Mesh) isFlat(t [3]int32) bool {
	return m.isLow(t, max(leastHeight, grain(m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]])))
}

// isLow reports whether a triangle's least height is at most a height in mm.
func (m *Mesh) isLow(t [3]int32, height float64) bool {
	a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
	ab, ac, bc := b.Sub(a), c.Sub(a), c.Sub(b)
	longest2 := max(ab.Norm2(), ac.Norm2(), bc.Norm2())
	return ab.Cross(ac).Norm2() <= float64(height*height)*longest2 // twice the area = height · longest side
}

// dropDoubles drops all but the first of the triangles that have the same three corners, whichever way round: a
// sheet written once for either side is one sheet.
func (m *Mesh) dropDoubles(topo *Topology) int {
	var suspects []int32
	for t := range m.Triangles {
		if m.mayBeDouble(topo, int32(t)) {
			suspects = append(suspects, int32(t))
		}
	}
	if len(suspects) == 0 {
		return 0
	}
	slices.SortStableFunc(suspects, func(a, b int32) int {
		p, q := sorted(m.Triangles[a]), sorted(m.Triangles[b])
		return slices.Compare(p[:], q[:])
	})
	n, kept := 0, sorted(m.Triangles[suspects[0]])
	for _, t := range suspects[1:] {
		if corners := sorted(m.Triangles[t]); corners != kept {
			kept = corners
			continue
		}
		m.Triangles[t][0] = None
		n++
	}
	m.Triangles = slices.DeleteFunc(m.Triangles, func(t [3]int32) bool { return t[0] == None })
	return n
}

// mayBeDouble reports whether each edge of a triangle has another triangle with the same third corner, or so
// many that it may.
func (m *Mesh) mayBeDouble(topo *Topology, t int32) bool {
	for _, i := range topo.TriEdge[t] {
		e := topo.Edges[i]
		if e.More > 0 {
			continue
		}
		if e.Free() || m.Third(e, e.Tri[0]) != m.Third(e, e.Tri[1]) {
			return false
		}
	}
	return true
}

// Third is the corner of a triangle that is not on an edge of it.
func (m *Mesh) Third(e Edge, t int32) int32 {
	v := m.Triangles[t]
	return v[0] ^ v[1] ^ v[2] ^ e.V[0] ^ e.V[1]
}

// sorted is a triangle's corners in rising order.
func sorted(t [3]int32) [3]int32 {
	low, high := min(t[0], t[1], t[2]), max(t[0], t[1], t[2])
	return [3]int32{low, t[0] ^ t[1] ^ t[2] ^ low ^ high, high}
}

// renumber gives vertices the numbers of their first use and drops those that no triangle uses, so that a mesh
// written and read again is the same, whatever was mended.
func (m *Mesh) renumber() {
	number := make([]int32, len(m.Vertices)) // new number + 1
	order := make([]int32, 0, len(m.Vertices))
	for i, t := range m.Triangles {
		for k, v := range t {
			if number[v] == 0 {
				order = append(order, v)
				number[v] = int32(len(order))
			}
			m.Triangles[i][k] = number[v] - 1
		}
	}
	if len(order) == len(m.Vertices) && slices.IsSorted(order) {
		return
	}
	vertices := make([]r3.Vector, len(order))
	for n, v := range order {
		vertices[n] = m.Vertices[v]
	}
	m.Vertices = vertices
}
