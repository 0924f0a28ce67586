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
	segment := space.EmptyBox().Add(a).Add(b)
	t.nearest(within*within, func(box space.Box) float64 { return boxGap2(box, segment) }, func(tri int32, limit float64) float64 {
		p, q, r := t.mesh.Corners(int(tri))
		point, d := segmentToTriangle(a, b, p, q, r)
		if d < limit || d == limit && (best.Tri < 0 || tri < best.Tri) {
			best = Hit{Tri: tri, Point: point}
			return d
		}
		return limit
	})
	if best.Tri < 0 {
		return best, false
	}
	best.Distance = math.Sqrt(distance2ToSegment(best.Point, a, b))
	return best, true
}

func boxGap2(a, b space.Box) float64 {
	gap := func(lowA, highA, lowB, highB float64) float64 {
		d := max(0, max(lowA-highB, lowB-highA))
		return d * d
	}
	return gap(a.Min.X, a.Max.X, b.Min.X, b.Max.X) + gap(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y) + gap(a.Min.Z, a.Max.Z, b.Min.Z, b.Max.Z)
}

// ToSegment is the distance from p to the segment ab, mm.
func ToSegment(p, a, b r3.Vector) float64 { return math.Sqrt(distance2ToSegment(p, a, b)) }

func distance2ToSegment(p, a, b r3.Vector) float64 {
	return p.Sub(closestOnSegment(p, a, b)).Norm2()
}

func closestOnSegment(p, a, b r3.Vector) r3.Vector {
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
	on := closestOnSegment(p.Add(u.Mul(s)), a, b)
	back := closestOnSegment(on, p, q)
	return back, distance2ToSegment(back, a, b)
}
