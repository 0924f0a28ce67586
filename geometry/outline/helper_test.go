package outline

import (
	"testing"

	"github.com/golang/geo/r3"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// flatArea is the shoelace area in the xy plane.
func flatArea(points []r3.Vector) float64 {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += (p.X*q.Y - q.X*p.Y) / 2
	}
	return sum
}

func wantPoint(t testing.TB, what string, got, want r3.Vector, tolerance float64) {
	t.Helper()
	if !(got.Sub(want).Norm() <= tolerance) {
		t.Errorf("%s = (%.12g, %.12g, %.12g), want (%.12g, %.12g, %.12g)", what, got.X, got.Y, got.Z, want.X, want.Y, want.Z)
	}
}
