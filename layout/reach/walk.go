package reach

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// rounding is more than what the numbers of a weld's frame are rounded by, mm. Bounds give way by it.
const rounding = 1e-7

// block is a part of a panel's tree as a weld sees it: heights, and a circle, seen along the axis, that hold it.
type block struct {
	low, high float64 // z
	circle
}

// circle holds what it is about, seen along the axis.
type circle struct {
	mx, my, size float64 // its middle and radius
	middle       float64 // distance of its middle from the axis
	in, out      float64 // bounds of the distance of its points from the axis
	heading      float64 // of its middle, in radians; unasked until it is needed for the first time
}

// unasked is no heading.
const unasked = 4.0

// set puts the circle at a place.
func (c *circle) set(x, y, size float64) {
	c.mx, c.my, c.size = x, y, size
	c.middle = math.Sqrt(float64(x*x) + float64(y*y))
	c.in, c.out, c.heading = max(0, c.middle-size), c.middle+size, unasked
}

// blockOf is a box in the weld's frame.
func (f *frame) blockOf(b space.Box) block {
	c := f.into(r3.Vector{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2, Z: (b.Min.Z + b.Max.Z) / 2})
	hx, hy, hz := (b.Max.X-b.Min.X)/2, (b.Max.Y-b.Min.Y)/2, (b.Max.Z-b.Min.Z)/2
	up := math.Abs(f.z.X)*hx + math.Abs(f.z.Y)*hy + math.Abs(f.z.Z)*hz + rounding
	along := math.Abs(f.x.X)*hx + math.Abs(f.x.Y)*hy + math.Abs(f.x.Z)*hz
	across := math.Abs(f.y.X)*hx + math.Abs(f.y.Y)*hy + math.Abs(f.y.Z)*hz
	out := block{low: c.Z - up, high: c.Z + up}
	out.set(c.X, c.Y, math.Sqrt(along*along+across*across)+rounding)
	return out
}

// span is the range of the angles at which a ray from the axis comes within m of a circle: from first to last, which may
// lie below zero or beyond the last angle and is for fan.at.
func (f *fan) span(c *circle, m float64) (first, last int) {
	n := len(f.cos)
	m += c.size
	if c.middle <= m {
		return 0, n - 1
	}
	if c.heading == unasked {
		c.heading = math.Atan2(c.my, c.mx)
	}
	half := arcsine(m/c.middle) + 1e-9
	first, last = int(math.Ceil((c.heading-half)*f.perRadian)), int(math.Floor((c.heading+half)*f.perRadian))
	return first, min(last, first+n-1)
}

// arcsine is no less than the arc sine of 0 to 1, at a tenth of its cost: the series' first two terms, the second as great
// as makes it exact at 1.
func arcsine(x float64) float64 { return x + float64((math.Pi/2-1)*float64(x*float64(x*x))) }

// at is the angle of a number from a span.
func (f *fan) at(k int) int {
	switch n := len(f.cos); {
	case k < 0:
		return k + n
	case k >= n:
		return k - n
	}
	return k
}

// seen is how far ahead along the throat, and how far aside of it, a place lies at an angle.
func (f *fan) seen(i int, x, y float64) (ahead, aside float64) {
	cos, sin := f.cos[i], f.sin[i]
	return float64(x*cos) + float64(y*sin), math.Abs(float64(y*cos) - float64(x*sin))
}
