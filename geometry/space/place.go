package space

import (
	"math"

	"github.com/golang/geo/r3"
)

// Place is a rigid placement, with an optional mirror: first mirror y (Mirror), then turn about the
// fixed x, y and z axes in that order (degrees, right-handed), then move (millimetres).
// The zero value leaves points where they are.
type Place struct {
	Mirror bool      // y becomes -y before anything else: the other hand of a panel
	Turn   r3.Vector // degrees about x, then y, then z
	Move   r3.Vector // millimetres
}

// Apply places a point.
func (p Place) Apply(v r3.Vector) r3.Vector { return p.Rotate(v).Add(p.Move) }

// Rotate places a direction: mirror and turn, no move.
func (p Place) Rotate(v r3.Vector) r3.Vector {
	if p.Mirror {
		v.Y = 0 - v.Y // not -v.Y, which makes minus zero of zero
	}
	v.Y, v.Z = turn(v.Y, v.Z, p.Turn.X)
	v.Z, v.X = turn(v.Z, v.X, p.Turn.Y)
	v.X, v.Y = turn(v.X, v.Y, p.Turn.Z)
	return v
}

// turn turns a towards b. Quarter turns are exact, as jigs are set square: a sine of 180 degrees in radians is not 0.
func turn(a, b, degrees float64) (float64, float64) {
	switch math.Mod(degrees, 360) {
	case 0:
		return a, b
	case 90, -270:
		return 0 - b, a
	case 180, -180:
		return 0 - a, 0 - b
	case 270, -90:
		return b, 0 - a
	}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return float64(a*cos) - float64(b*sin), float64(a*sin) + float64(b*cos)
}
