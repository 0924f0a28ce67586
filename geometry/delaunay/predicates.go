package delaunay

import (
	"math"

	"github.com/golang/geo/r2"
)

// Orient is above zero when a, b, c turn to the left, below zero when they turn to the right, and exactly
// zero when they lie on a line; only the sign is exact. Products that underflow are beyond it: coordinates
// are millimetres.
func Orient(a, b, c r2.Point) float64 {
	left := float64((a.X - c.X) * (b.Y - c.Y))
	right := float64((a.Y - c.Y) * (b.X - c.X))
	det := left - right
	// Rounding error of det: Shewchuk 1997, "Adaptive precision floating-point arithmetic and fast robust
	// geometric predicates", bound A of ORIENT2D, (3 + 16u)u with u = 2^-53 (from memory).
	const u = 1.0 / (1 << 53)
	if bound := (3 + 16*u) * u * (math.Abs(left) + math.Abs(right)); math.Abs(det) > bound {
		return det
	}
	if a == b || b == c || a == c {
		return 0
	}
	return orientExact(a, b, c)
}

// orientExact sums the six products of ax·by - ax·cy - cx·by - ay·bx + ay·cx + cy·bx without error. (The
// products cx·cy cancel.)
func orientExact(a, b, c r2.Point) float64 {
	var sum expansion
	for _, f := range [6][2]float64{{a.X, b.Y}, {-a.X, c.Y}, {-c.X, b.Y}, {-a.Y, b.X}, {a.Y, c.X}, {c.Y, b.X}} {
		product := float64(f[0] * f[1])
		sum.add(math.FMA(f[0], f[1], -product))
		sum.add(product)
	}
	return sum.sign()
}

// expansion is a sum of up to twelve numbers held without error: parts that do not overlap, smallest first.
type expansion struct {
	parts [12]float64
	n     int
}

// add is Shewchuk's Grow-Expansion, with zero parts left out.
func (e *expansion) add(q float64) {
	kept := 0
	for _, part := range e.parts[:e.n] {
		sum := q + part
		back := sum - q
		rest := float64(q-float64(sum-back)) + float64(part-back)
		if q = sum; rest != 0 {
			e.parts[kept] = rest
			kept++
		}
	}
	if q != 0 {
		e.parts[kept] = q
		kept++
	}
	e.n = kept
}

// sign returns the largest part, which has the sign of the sum.
func (e *expansion) sign() float64 {
	if e.n == 0 {
		return 0
	}
	return e.parts[e.n-1]
}

// DistanceToLine is how far p is from the straight line from a to b, its ends included.
func DistanceToLine(p, a, b r2.Point) float64 {
	run, to := b.Sub(a), p.Sub(a)
	s := (float64(to.X*run.X) + float64(to.Y*run.Y)) / (float64(run.X*run.X) + float64(run.Y*run.Y))
	s = math.Max(0, math.Min(1, s))
	return math.Hypot(to.X-float64(s*run.X), to.Y-float64(s*run.Y))
}

// surelyInCircle reports whether d lies inside the circle through a, b, c (turning left) beyond all rounding.
// Where it cannot be sure it says no: Delaunay's condition only shapes the triangles, and flipping only where
// it is sure keeps the flips from going round in circles.
func surelyInCircle(a, b, c, d r2.Point) bool {
	ax, ay := a.X-d.X, a.Y-d.Y
	bx, by := b.X-d.X, b.Y-d.Y
	cx, cy := c.X-d.X, c.Y-d.Y
	aa := float64(ax*ax) + float64(ay*ay)
	bb := float64(bx*bx) + float64(by*by)
	cc := float64(cx*cx) + float64(cy*cy)
	bc1, bc2 := float64(bx*cy), float64(by*cx)
	ca1, ca2 := float64(cx*ay), float64(cy*ax)
	ab1, ab2 := float64(ax*by), float64(ay*bx)
	det := float64(aa*(bc1-bc2)) + float64(bb*(ca1-ca2)) + float64(cc*(ab1-ab2))
	size := float64(aa*(math.Abs(bc1)+math.Abs(bc2))) + float64(bb*(math.Abs(ca1)+math.Abs(ca2))) + float64(cc*(math.Abs(ab1)+math.Abs(ab2)))
	// Shewchuk's bound A of INCIRCLE is (10 + 96u)u of size, u = 2^-53 (from memory); doubled here.
	const bound = 20.0 / (1 << 53)
	return det > bound*size
}
