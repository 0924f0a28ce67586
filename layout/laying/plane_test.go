package laying

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// The plane between a joint and its twin lies halfway between them, square to the axis along which they lie apart.
func TestPlaneBetweenTwins(t *testing.T) {
	lineOf := func(points []r3.Vector) []*line {
		var l line
		for i, p := range points {
			l.request.Line.Points = append(l.request.Line.Points, flange.LinePoint{S: 100 * float64(i), Point: p})
		}
		return []*line{&l}
	}
	own := []r3.Vector{{X: 10, Y: 20, Z: 30}, {X: 110, Y: 25, Z: 32}, {X: 205, Y: 60, Z: 50}}
	for axis := range 3 {
		want := mirror{axis, -70.25}
		twin := make([]r3.Vector, len(own))
		for i, p := range own {
			twin[i] = want.image(p)
		}
		if got := mirrorBetween(lineOf(own), lineOf(twin)); got.axis != axis || !(math.Abs(got.at-want.at) <= 1e-9) {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}
