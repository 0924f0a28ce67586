package near

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Capsule returns the point of the mesh nearest to the segment from a to b, if it is at most within away:
// a capsule of radius r about the segment is free of the mesh when nothing is found within r.
func (t *Tree) Capsule(a, b r3.Vector, within float64) (Hit, bool) {
	best := Hit{Tri: -1}
	limit := within * within
	if len(t.nodes) == 0 || !(limit >= 0) {
		return best, false
	}
	s := newSegment(&t.frame, a, b)
	s.limit(&t.frame, limit)
	var stack [deepest + 2]int32
	depth := 1
	for depth > 0 {
		depth--
		n := &t.nodes[stack[depth]]
		if !(s.gap2(n) <= s.limit2) {
			continue
		}
		if n.count == 0 {
			near, far := n.first, n.first+1
			if s.leftIsFarther(&t.nodes[near], &t.nodes[far]) {
				near, far = far, near
			}
			stack[depth], stack[depth+1] = far, near
			depth += 2
			continue
		}
		for _, tri := range t.order[n.first : n.first+n.count] {
			p, q, r := t.mesh.Corners(int(tri))
			point, d := segmentToTriangle(a, b, p, q, r)
			if d < limit || d == limit && (best.Tri < 0 || tri < best.Tri) {
				best, limit = Hit{Tri: tri, Point: point}, d
			}
		}
		s.limit(&t.frame, limit)
	}
	if best.Tri < 0 {
		return best, false
	}
	best.Distance = math.Sqrt(distance2ToSegment(best.Point, a, b))
	return best, true
}

// segment is a segment in grains, with what it takes to bound its distance from a box.
type segment struct {
	lo, hi   [3]int32 // its box
	from, to r3.Vector
	limit2   float64 // squared grains
}

func newSegment(f *frame, a, b r3.Vector) (s segment) {
	s.from, s.to = a.Sub(f.origin).Mul(f.scale), b.Sub(f.origin).Mul(f.scale)
	box := space.EmptyBox().Add(a).Add(b)
	s.lo, s.hi = f.grown(box.Min, box.Max)
	return s
}

func (s *segment) limit(f *frame, distance2 float64) {
	s.limit2 = distance2*f.scale*f.scale*(1+1e-9) + 1
}

// gap2 is at most the squared distance from the segment to what is in a box: the gap between their boxes, or the
// distance from the ball about the box, whichever is greater. The second tells what lies beside a slanting segment.
func (s *segment) gap2(n *node) float64 {
	gap := float64(n.gap2(&s.lo, &s.hi))
	if gap > s.limit2 {
		return gap
	}
	half := r3.Vector{X: float64(n.hi[0] - n.lo[0]), Y: float64(n.hi[1] - n.lo[1]), Z: float64(n.hi[2] - n.lo[2])}.Mul(.5)
	middle := r3.Vector{X: float64(n.center(0)), Y: float64(n.center(1)), Z: float64(n.center(2))}.Mul(.5)
	d2, r2 := distance2ToSegment(middle, s.from, s.to), half.Norm2()
	if !(d2 > r2) {
		return gap
	}
	ball := math.Sqrt(d2)*(1-1e-9) - math.Sqrt(r2)
	return max(gap, ball*ball)
}

// leftIsFarther compares two boxes by the way from their middles to the segment's.
func (s *segment) leftIsFarther(a, b *node) bool {
	middle := s.from.Add(s.to) // twice the middle, as center is
	away := func(n *node) float64 {
		return r3.Vector{X: float64(n.center(0)), Y: float64(n.center(1)), Z: float64(n.center(2))}.Sub(middle).Norm2()
	}
	return away(a) > away(b)
}

// ToSegment is the distance from p to the segment ab, mm.
func ToSegment(p, a, b r3.Vector) float64 { return math.Sqrt(distance2ToSegment(p, a, b)) }

func distance2ToSegment(p, a, b r3.Vector) float64 {
	return p.Sub(ClosestOnSegment(p, a, b)).Norm2()
}

// ClosestOnSegment is the place of the segment ab that is nearest to p.
func ClosestOnSegment(p, a, b r3.Vector) r3.Vector {
	ab := b.Sub(a)
	l2 := ab.Norm2()
	if l2 == 0 {
		return a
	}
	return a.Add(ab.Mul(min(1, max(0, p.Sub(a).Dot(ab)/l2))))
}

// segmentToTriangle returns the triangle's point nearest to the segment and the squared distance: the
// segment pierces the triangle, or the nearest pair has an end of the segment or an edge of the triangle.
func segmentToTriangle(a, b, p, q, r r3.Vector) (r3.Vector, float64) {
	ab := b.Sub(a)
	if s, ok := rayMeetsTriangle(a, ab, p, q, r); ok && s >= 0 && s <= 1 {
		return a.Add(ab.Mul(s)), 0
	}
	best, least := p, math.Inf(1)
	consider := func(on r3.Vector, d float64) {
		if d < least {
			best, least = on, d
		}
	}
	for _, end := range [2]r3.Vector{a, b} {
		on, _ := ClosestOnTriangle(end, p, q, r)
		consider(on, on.Sub(end).Norm2())
	}
	for _, edge := range [3][2]r3.Vector{{p, q}, {q, r}, {r, p}} {
		on, d := closestOfSegments(edge[0], edge[1], a, b)
		consider(on, d)
	}
	return best, least
}

// closestOfSegments returns the point of segment pq nearest to segment ab and the squared distance.
// Method: Ericson, Real-Time Collision Detection (2005), 5.1.9.
func closestOfSegments(p, q, a, b r3.Vector) (r3.Vector, float64) {
	u, v, w := q.Sub(p), b.Sub(a), p.Sub(a)
	uu, vv, uv := u.Norm2(), v.Norm2(), u.Dot(v)
	s := 0.0
	if det := float64(uu*vv) - float64(uv*uv); det > 0 {
		s = min(1, max(0, (float64(uv*v.Dot(w))-float64(vv*u.Dot(w)))/det))
	}
	on := ClosestOnSegment(p.Add(u.Mul(s)), a, b)
	back := ClosestOnSegment(on, p, q)
	return back, distance2ToSegment(back, a, b)
}
