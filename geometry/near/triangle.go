package near

import (
	"math"

	"github.com/golang/geo/r3"
)

// ClosestOnTriangle returns the point of triangle abc nearest to p and the part of the triangle it is on.
// Method: Ericson, Real-Time Collision Detection (2005), 5.1.5; a triangle without area falls back to its edges.
func ClosestOnTriangle(p, a, b, c r3.Vector) (r3.Vector, Feature) {
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	d1, d2 := ab.Dot(ap), ac.Dot(ap)
	if d1 <= 0 && d2 <= 0 {
		return a, CornerA
	}
	bp := p.Sub(b)
	d3, d4 := ab.Dot(bp), ac.Dot(bp)
	if d3 >= 0 && d4 <= d3 {
		return b, CornerB
	}
	cp := p.Sub(c)
	d5, d6 := ab.Dot(cp), ac.Dot(cp)
	if d6 >= 0 && d5 <= d6 {
		return c, CornerC
	}
	va := float64(d3*d6) - float64(d5*d4)
	vb := float64(d5*d2) - float64(d1*d6)
	vc := float64(d1*d4) - float64(d3*d2)
	sum := va + vb + vc
	if !(sum > 1e-14*ab.Norm2()*ac.Norm2()) {
		return closestOnEdges(p, a, b, c)
	}
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		return a.Add(ab.Mul(d1 / (d1 - d3))), EdgeAB
	}
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return a.Add(ac.Mul(d2 / (d2 - d6))), EdgeCA
	}
	if va <= 0 && d4 >= d3 && d5 >= d6 {
		return b.Add(c.Sub(b).Mul((d4 - d3) / ((d4 - d3) + (d5 - d6)))), EdgeBC
	}
	return a.Add(ab.Mul(vb / sum)).Add(ac.Mul(vc / sum)), Face
}

func closestOnEdges(p, a, b, c r3.Vector) (r3.Vector, Feature) {
	best, feature := a, CornerA
	least := math.Inf(1)
	corners := [3]r3.Vector{a, b, c}
	for k := range 3 {
		from, to := corners[k], corners[(k+1)%3]
		q, f := from, CornerA+Feature(k)
		if l2 := to.Sub(from).Norm2(); l2 > 0 {
			switch s := p.Sub(from).Dot(to.Sub(from)) / l2; {
			case s >= 1:
				q, f = to, CornerA+Feature((k+1)%3)
			case s > 0:
				q, f = from.Add(to.Sub(from).Mul(s)), EdgeAB+Feature(k)
			}
		}
		if d := q.Sub(p).Norm2(); d < least {
			best, feature, least = q, f, d
		}
	}
	return best, feature
}
