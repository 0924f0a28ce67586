package axial

import (
	"math"

	"github.com/golang/geo/r3"
)

// FromSegment is the distance of a facet from the segment ab, zero when the segment pierces it. The nearest
// pair has an end of the segment or an edge of the facet. Anything beyond the limit may be said as infinity, anything up to
// stop as more than it is, but no more than stop.
func (t *Facet) FromSegment(a, b r3.Vector, stop, limit float64) float64 {
	if gap(t.A.X, t.B.X, t.C.X, a.X, b.X) > limit || gap(t.A.Y, t.B.Y, t.C.Y, a.Y, b.Y) > limit || gap(t.A.Z, t.B.Z, t.C.Z, a.Z, b.Z) > limit {
		return math.Inf(1)
	}
	least := segments2(t.A, t.B, a, b)
	if stop *= stop; least <= stop {
		return math.Sqrt(least)
	}
	if least = min(least, segments2(t.B, t.C, a, b), segments2(t.C, t.A, a, b)); least <= stop {
		return math.Sqrt(least)
	}
	if t.pierced(a, b) {
		return 0
	}
	return math.Sqrt(min(least, t.fromPoint2(a), t.fromPoint2(b)))
}

// gap is the space along one axis between three corners and two ends.
func gap(p, q, r, a, b float64) float64 {
	return max(min(p, min(q, r))-max(a, b), min(a, b)-max(p, max(q, r)))
}

// pierced: the ends lie on either side of the facet's plane and the segment passes within its edges.
func (t *Facet) pierced(a, b r3.Vector) bool {
	n := t.B.Sub(t.A).Cross(t.C.Sub(t.A))
	da, db := n.Dot(a.Sub(t.A)), n.Dot(b.Sub(t.A))
	if da == db || (da > 0) == (db > 0) && da != 0 && db != 0 {
		return false
	}
	p := a.Add(b.Sub(a).Mul(da / (da - db)))
	for _, edge := range [3][2]r3.Vector{{t.A, t.B}, {t.B, t.C}, {t.C, t.A}} {
		if edge[1].Sub(edge[0]).Cross(p.Sub(edge[0])).Dot(n) < 0 {
			return false
		}
	}
	return true
}

// fromPoint2 is the squared distance of a point that lies over the facet from its plane; over an edge or
// beyond it, infinity: the edges give that distance.
func (t *Facet) fromPoint2(p r3.Vector) float64 {
	u, v, w := t.B.Sub(t.A), t.C.Sub(t.A), p.Sub(t.A)
	n := u.Cross(v)
	n2 := n.Norm2()
	if n2 == 0 {
		return math.Inf(1)
	}
	f, g := w.Cross(v).Dot(n), u.Cross(w).Dot(n)
	if f < 0 || g < 0 || f+g > n2 {
		return math.Inf(1)
	}
	d := w.Dot(n)
	return d * d / n2
}

// segments2 is the squared distance between the segments pq and ab.
// Method: Ericson, Real-Time Collision Detection (2005), 5.1.9 (recalled).
func segments2(p, q, a, b r3.Vector) float64 {
	u, v, w := q.Sub(p), b.Sub(a), p.Sub(a)
	uu, vv, uv := u.Norm2(), v.Norm2(), u.Dot(v)
	s := 0.0
	if det := float64(uu*vv) - float64(uv*uv); det > 0 {
		s = clamp((float64(uv*v.Dot(w)) - float64(vv*u.Dot(w))) / det)
	}
	on := p.Add(u.Mul(s))
	r := 0.0
	if vv > 0 {
		r = clamp(on.Sub(a).Dot(v) / vv)
	}
	to := a.Add(v.Mul(r))
	if uu > 0 {
		s = clamp(to.Sub(p).Dot(u) / uu)
		on = p.Add(u.Mul(s))
	}
	return on.Sub(to).Norm2()
}

func clamp(f float64) float64 { return min(1, max(0, f)) }
