package axial

import (
	"math"

	"github.com/golang/geo/r3"
)

// Frame is a place with three unit vectors square to each other: z up the axis.
type Frame struct{ At, X, Y, Z r3.Vector }

// NewFrame is the frame at a place, z along the axis and x along the part of a direction that is square to it.
func NewFrame(at, along, axis r3.Vector) Frame {
	z := axis.Normalize()
	x := along.Sub(z.Mul(along.Dot(z))).Normalize()
	return Frame{at, x, z.Cross(x), z}
}

// into is a place in the frame.
func (f *Frame) into(p r3.Vector) r3.Vector {
	d := p.Sub(f.At)
	return r3.Vector{X: d.Dot(f.X), Y: d.Dot(f.Y), Z: d.Dot(f.Z)}
}

// Lean is the frame whose axis leans by tilt towards a direction round this one's, both in radians.
func (f Frame) Lean(tilt, towards float64) Frame {
	sin, cos := math.Sincos(tilt)
	to := r3.Vector{X: math.Cos(towards), Y: math.Sin(towards)}
	up := r3.Vector{Z: cos}.Add(to.Mul(sin)) // in this frame, as x
	x := r3.Vector{X: 1}
	x = x.Sub(up.Mul(x.Dot(up))).Normalize()
	y := up.Cross(x)
	whole := func(v r3.Vector) r3.Vector { return f.X.Mul(v.X).Add(f.Y.Mul(v.Y)).Add(f.Z.Mul(v.Z)) }
	return Frame{At: f.At, X: whole(x), Y: whole(y), Z: whole(up)}
}
