package near

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Ray returns the first triangle that the ray from origin along the unit vector dir meets, at a distance
// above zero and at most reach. Both sides of a triangle count.
func (t *Tree) Ray(origin, dir r3.Vector, reach float64) (Hit, bool) {
	best := Hit{Tri: -1, Distance: reach}
	if len(t.nodes) == 0 {
		return best, false
	}
	inverse := r3.Vector{X: 1 / dir.X, Y: 1 / dir.Y, Z: 1 / dir.Z}
	var room [64]int32
	stack := append(room[:0], 0)
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[at]
		if !rayMeetsBox(n.box, origin, inverse, best.Distance) {
			continue
		}
		if n.count == 0 {
			stack = append(stack, n.first, at+1)
			continue
		}
		for _, tri := range t.order[n.first : n.first+n.count] {
			a, b, c := t.mesh.Corners(int(tri))
			s, ok := rayMeetsTriangle(origin, dir, a, b, c)
			if ok && s > 0 && (s < best.Distance || s == best.Distance && (best.Tri < 0 || tri < best.Tri)) {
				best = Hit{Tri: tri, Distance: s}
			}
		}
	}
	best.Point = origin.Add(dir.Mul(best.Distance))
	return best, best.Tri >= 0
}

func rayMeetsBox(b space.Box, origin, inverse r3.Vector, reach float64) bool {
	from, to := 0.0, reach
	for axis := range 3 {
		o, i := component(origin, axis), component(inverse, axis)
		low, high := component(b.Min, axis), component(b.Max, axis)
		if math.IsInf(i, 0) {
			if o < low || o > high {
				return false
			}
			continue
		}
		s, e := (low-o)*i, (high-o)*i
		if s > e {
			s, e = e, s
		}
		from, to = max(from, s), min(to, e)
	}
	// Rounding must not let a ray slip between a box and the triangle in its face.
	return from <= to+1e-9*(1+math.Abs(to))
}

// rayMeetsTriangle: Möller and Trumbore, Fast, Minimum Storage Ray/Triangle Intersection, JGT 2 (1997).
func rayMeetsTriangle(origin, dir, a, b, c r3.Vector) (float64, bool) {
	const slack = 1e-12 // a ray along a shared edge must meet one of the two triangles
	e1, e2 := b.Sub(a), c.Sub(a)
	p := dir.Cross(e2)
	det := e1.Dot(p)
	if det == 0 {
		return 0, false
	}
	s := origin.Sub(a)
	u := s.Dot(p) / det
	q := s.Cross(e1)
	v := dir.Dot(q) / det
	if u < -slack || v < -slack || u+v > 1+slack {
		return 0, false
	}
	return e2.Dot(q) / det, true
}
