package tarn

import (
	"math"
	"sort"

	"github.com/golang/geo/r3"
)

// course is a smooth curve in space that can be walked by arc length.
type course struct {
	at     func(t float64) r3.Vector // defined a little beyond both ends, so that tangents can be taken there
	closed bool
	t, s   []float64 // matching parameters and arc lengths, both growing
}

// courseSteps is how finely arc length is measured: on a half circle of 270 mm radius the sum of 2,000 chords
// is short by less than 0.0001 mm.
const courseSteps = 2000

func newCourse(at func(t float64) r3.Vector, t0, t1 float64, closed bool) *course {
	c := &course{at: at, closed: closed, t: make([]float64, courseSteps+1), s: make([]float64, courseSteps+1)}
	last := at(t0)
	for i := range c.t {
		c.t[i] = t0 + (t1-t0)*float64(i)/courseSteps
		p := at(c.t[i])
		if i > 0 {
			c.s[i] = c.s[i-1] + p.Sub(last).Norm()
		}
		last = p
	}
	return c
}

func (c *course) length() float64 { return c.s[courseSteps] }

// param turns arc length into the curve's own parameter; beyond an open end it goes on at the end's rate.
func (c *course) param(s float64) float64 {
	if c.closed {
		s = math.Mod(s, c.length())
		if s < 0 {
			s += c.length()
		}
	}
	i := sort.SearchFloat64s(c.s, s)
	i = min(max(i, 1), courseSteps)
	return c.t[i-1] + (c.t[i]-c.t[i-1])*(s-c.s[i-1])/(c.s[i]-c.s[i-1])
}

func (c *course) point(s float64) r3.Vector { return c.at(c.param(s)) }

// tangent is the unit direction towards growing s.
func (c *course) tangent(s float64) r3.Vector {
	t := c.param(s)
	h := (c.t[courseSteps] - c.t[0]) * 1e-6
	return c.at(t + h).Sub(c.at(t - h)).Normalize()
}

// where finds the arc length at which along(point) first reaches value, looking between from and to where
// it grows or falls steadily.
func (c *course) where(from, to, value float64, along func(r3.Vector) float64) float64 {
	rising := along(c.point(to)) > along(c.point(from))
	for range 60 {
		mid := (from + to) / 2
		if (along(c.point(mid)) < value) == rising {
			from = mid
		} else {
			to = mid
		}
	}
	return (from + to) / 2
}

// steps places stations from one arc length to another so that chords are no longer than step and stay within
// sag of the curve. The last station is to itself; on a whole closed course it is left out by the caller.
func (c *course) steps(from, to, step, sag float64) []float64 {
	// Stations are equal parts of the integral of need, the number of steps a millimetre wants.
	const grain = 1.0
	n := int(math.Ceil((to - from) / grain))
	sums := make([]float64, n+1)
	h := (to - from) / float64(n)
	for i := range n {
		s := from + (float64(i)+0.5)*h
		bend := c.tangent(s+2).Sub(c.tangent(s-2)).Norm() / 4 // curvature, 1/mm
		need := math.Max(1/step, math.Sqrt(bend/(8*sag)))
		sums[i+1] = sums[i] + need*h
	}
	count := int(math.Ceil(sums[n]))
	out := make([]float64, count+1)
	for k := range out {
		want := sums[n] * float64(k) / float64(count)
		i := min(max(sort.SearchFloat64s(sums, want), 1), n)
		out[k] = from + h*(float64(i-1)+(want-sums[i-1])/(sums[i]-sums[i-1]))
	}
	return out
}

// corner is one corner of a rounded polygon in a plane.
type corner struct{ x, y, radius float64 }

// rounded returns the outline of a polygon with rounded corners, walked in the order of its corners by length
// from the middle of its last side, and its whole length. Beyond the length it starts again.
func rounded(corners []corner) (at func(t float64) (x, y float64), length float64) {
	type piece struct {
		length, x, y, dx, dy float64 // start and direction
		radius, turn         float64 // radius 0: straight; turn in radians, positive to the left
	}
	var pieces []piece
	n := len(corners)
	tangentLength := func(i int) (cut, turn float64) {
		a, b, c := corners[(i+n-1)%n], corners[i%n], corners[(i+1)%n]
		in := math.Atan2(b.y-a.y, b.x-a.x)
		turn = math.Remainder(math.Atan2(c.y-b.y, c.x-b.x)-in, 2*math.Pi)
		return b.radius * math.Tan(math.Abs(turn)/2), turn
	}
	straight := func(x0, y0, x1, y1 float64) {
		l := math.Hypot(x1-x0, y1-y0)
		pieces = append(pieces, piece{length: l, x: x0, y: y0, dx: (x1 - x0) / l, dy: (y1 - y0) / l})
	}
	side := func(i int) (dx, dy float64) { // from corner i to the next
		a, b := corners[i%n], corners[(i+1)%n]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		return (b.x - a.x) / l, (b.y - a.y) / l
	}
	firstX, firstY := (corners[n-1].x+corners[0].x)/2, (corners[n-1].y+corners[0].y)/2
	x, y := firstX, firstY
	for i := range n {
		cut, turn := tangentLength(i)
		dx, dy := side(i + n - 1)
		straight(x, y, corners[i].x-cut*dx, corners[i].y-cut*dy)
		p := piece{x: corners[i].x - cut*dx, y: corners[i].y - cut*dy, dx: dx, dy: dy, radius: corners[i].radius, turn: turn}
		p.length = p.radius * math.Abs(turn)
		pieces = append(pieces, p)
		dx, dy = side(i)
		x, y = corners[i].x+cut*dx, corners[i].y+cut*dy
	}
	straight(x, y, firstX, firstY)
	for _, p := range pieces {
		length += p.length
	}
	return func(t float64) (float64, float64) {
		t = math.Mod(t, length)
		if t < 0 {
			t += length
		}
		for i, p := range pieces {
			if t > p.length && i < len(pieces)-1 {
				t -= p.length
				continue
			}
			if p.radius == 0 {
				return p.x + p.dx*t, p.y + p.dy*t
			}
			left := math.Copysign(1, p.turn)
			sin, cos := math.Sincos(t / p.radius)
			ahead, aside := p.radius*sin, left*p.radius*(1-cos)
			return p.x + p.dx*ahead - p.dy*aside, p.y + p.dy*ahead + p.dx*aside
		}
		panic("unreachable")
	}, length
}
