// Package sample makes strips of simple shapes and limits in round figures, which tests of layouts lay welds on.
//
//	line := spots.Line{ID: "f1", Sheets: []string{"a", "b"}, Points: sample.Straight(300)}
package sample

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/seams/rule"
)

// Limits are round figures for tests, not values of any rule book.
func Limits() rule.Limits {
	l := func(v float64) rule.Limit { return rule.Limit{Value: v, Unit: "mm"} }
	return rule.Limits{WeldDiameter: l(5), LeastPitch: l(15), GreatestPitch: l(40), EdgeDistance: l(6),
		EndDistance: l(10), BendClearance: l(1), TipFace: l(6), TackEvery: l(150)}
}

// Along builds points on a curve given by arc length, 2 mm apart, with the strip's sides: a free edge on its left, a bend on its right.
func Along(length float64, closed bool, side float64, at func(s float64) (p, along, axis r3.Vector)) []flange.LinePoint {
	n := int(math.Ceil(length / 2))
	last := n
	if closed {
		last = n - 1
	}
	var out []flange.LinePoint
	for i := 0; i <= last; i++ {
		s := length * float64(i) / float64(n)
		p, t, axis := at(s)
		out = append(out, flange.LinePoint{S: s, Point: p, Along: t, Axis: axis, Across: axis.Cross(t), Left: side, Right: side,
			LeftEdge: flange.FreeEdge, RightEdge: flange.Bend, LeftSheet: 0, RightSheet: -1})
	}
	return out
}

// Straight is a strip along x, 16 mm wide.
func Straight(length float64) []flange.LinePoint { return Broad(length, 8) }

// Broad is a strip along x, so wide on either side of the line.
func Broad(length, side float64) []flange.LinePoint {
	return Along(length, false, side, func(s float64) (p, t, axis r3.Vector) {
		return r3.Vector{X: s}, r3.Vector{X: 1}, r3.Vector{Z: 1}
	})
}

// Ring is a closed strip in the x-y plane, so wide on either side of the line.
func Ring(radius, side float64) []flange.LinePoint {
	return Along(2*math.Pi*radius, true, side, func(s float64) (p, t, axis r3.Vector) {
		sin, cos := math.Sincos(s / radius)
		return r3.Vector{X: radius * cos, Y: radius * sin}, r3.Vector{X: -sin, Y: cos}, r3.Vector{Z: 1}
	})
}
