package axial

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Rounding is more than what the numbers of a frame are rounded by, mm. Bounds give way by it.
const Rounding = 1e-7

// Block is a part of a panel's tree in a frame: heights, and a circle, seen along the axis, that hold it.
type Block struct {
	Low, High float64 // bounds of z
	Circle
}

// Circle holds what it is about, seen along the axis.
type Circle struct {
	MX, MY, Size float64 // its middle and radius
	middle       float64 // distance of its middle from the axis
	In, Out      float64 // bounds of the distance from the axis of what it holds
	heading      float64 // of its middle, in radians; unasked until it is needed for the first time
}

// unasked is no heading.
const unasked = 4.0

// set puts the circle at a place.
func (c *Circle) set(x, y, size float64) {
	c.MX, c.MY, c.Size = x, y, size
	c.middle = math.Sqrt(float64(x*x) + float64(y*y))
	c.In, c.Out, c.heading = max(0, c.middle-size), c.middle+size, unasked
}

// blockOf is a box in the frame. Seen along the axis the box lies in a rectangle along the frame's x and y too, which is mostly no nearer
// to the axis than the circle about that, most of all where a box is long and narrow.
func (f *Frame) blockOf(b space.Box) Block {
	c := f.into(r3.Vector{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2, Z: (b.Min.Z + b.Max.Z) / 2})
	hx, hy, hz := (b.Max.X-b.Min.X)/2, (b.Max.Y-b.Min.Y)/2, (b.Max.Z-b.Min.Z)/2
	up := math.Abs(f.Z.X)*hx + math.Abs(f.Z.Y)*hy + math.Abs(f.Z.Z)*hz + Rounding
	along := math.Abs(f.X.X)*hx + math.Abs(f.X.Y)*hy + math.Abs(f.X.Z)*hz
	across := math.Abs(f.Y.X)*hx + math.Abs(f.Y.Y)*hy + math.Abs(f.Y.Z)*hz
	out := Block{Low: c.Z - up, High: c.Z + up}
	out.set(c.X, c.Y, math.Sqrt(along*along+across*across)+Rounding)
	x, y := max(0, math.Abs(c.X)-along), max(0, math.Abs(c.Y)-across)
	out.In = max(out.In, math.Sqrt(float64(x*x)+float64(y*y))-Rounding)
	return out
}
