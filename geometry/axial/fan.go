package axial

import "math"

// Fan is directions evenly round the axis, from x on.
type Fan struct {
	Cos, Sin  []float64 // of each
	perRadian float64   // directions
}

// NewFan is a fan of n directions.
func NewFan(n int) *Fan {
	f := &Fan{perRadian: float64(n) / (2 * math.Pi)}
	step := 2 * math.Pi / float64(n)
	for k := range n {
		sin, cos := math.Sincos(float64(k) * step)
		f.Cos, f.Sin = append(f.Cos, cos), append(f.Sin, sin)
	}
	return f
}

// Degrees is the angle of a direction.
func (f *Fan) Degrees(k int) float64 { return 360 * float64(k) / float64(len(f.Cos)) }

// Span is the range of the directions in which a ray from the axis comes within m of a circle: from first to last, which may
// lie below zero or beyond the last direction and is for At.
func (f *Fan) Span(c *Circle, m float64) (first, last int) {
	n := len(f.Cos)
	m += c.Size
	if c.middle <= m {
		return 0, n - 1
	}
	if c.heading == unasked {
		c.heading = math.Atan2(c.MY, c.MX)
	}
	half := arcsine(m/c.middle) + 1e-9
	first, last = int(math.Ceil((c.heading-half)*f.perRadian)), int(math.Floor((c.heading+half)*f.perRadian))
	return first, min(last, first+n-1)
}

// arcsine is no less than the arc sine of 0 to 1, at a tenth of its cost: the series' first two terms, the second as great
// as makes it exact at 1.
func arcsine(x float64) float64 { return x + float64((math.Pi/2-1)*float64(x*float64(x*x))) }

// At is the direction of a number from a span.
func (f *Fan) At(k int) int {
	switch n := len(f.Cos); {
	case k < 0:
		return k + n
	case k >= n:
		return k - n
	}
	return k
}

// Seen is how far ahead along a direction, and how far aside of it, a place lies.
func (f *Fan) Seen(i int, x, y float64) (ahead, aside float64) {
	cos, sin := f.Cos[i], f.Sin[i]
	return float64(x*cos) + float64(y*sin), math.Abs(float64(y*cos) - float64(x*sin))
}
