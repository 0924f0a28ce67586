package near

import (
	"math"

	"github.com/golang/geo/r3"
)

// Ray returns the first triangle that the ray from origin along the unit vector dir meets, at a distance
// above zero and at most reach. Both sides of a triangle count.
func (t *Tree) Ray(origin, dir r3.Vector, reach float64) (Hit, bool) {
	best := Hit{Tri: -1, Distance: reach}
	if len(t.nodes) == 0 {
		return best, false
	}
	r := newBoxRay(&t.frame, origin, dir)
	var room [deepest + 2]int32
	stack := append(room[:0], 0)
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[at]
		if !r.meets(n, best.Distance) {
			continue
		}
		if n.count == 0 {
			near, far := n.first, n.first+1
			if r.leftIsFarther(&t.nodes[near], &t.nodes[far]) {
				near, far = far, near
			}
			stack = append(stack, far, near)
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

// boxRay is a ray in grains; distances along it stay millimetres.
type boxRay struct {
	origin, inverse [3]float64
	across          [3]bool // the ray does not move along this axis
	main            int     // the axis in which it moves most
	rising          bool    // along main
}

func newBoxRay(f *frame, origin, dir r3.Vector) boxRay {
	o := origin.Sub(f.origin).Mul(f.scale)
	d := dir.Mul(f.scale)
	r := boxRay{origin: [3]float64{o.X, o.Y, o.Z}, inverse: [3]float64{1 / d.X, 1 / d.Y, 1 / d.Z}}
	for k, i := range r.inverse {
		r.across[k] = math.IsInf(i, 0)
		if math.Abs(i) < math.Abs(r.inverse[r.main]) {
			r.main = k
		}
	}
	r.rising = r.inverse[r.main] > 0
	return r
}

// leftIsFarther compares two boxes along the axis in which the ray moves most.
func (r *boxRay) leftIsFarther(a, b *node) bool {
	return (a.center(r.main) > b.center(r.main)) == r.rising
}

// meets reports whether the ray comes into the box before it has gone reach mm.
func (r *boxRay) meets(n *node, reach float64) bool {
	from, to := 0.0, reach
	for k := range 3 {
		o, i := r.origin[k], r.inverse[k]
		low, high := float64(n.lo[k]), float64(n.hi[k])
		if r.across[k] {
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
