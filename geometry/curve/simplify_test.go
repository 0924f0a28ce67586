package curve

import (
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// fromSegment is the distance of a place from a segment, written on its own.
func fromSegment(p, a, b r3.Vector) float64 {
	_, d := New([]r3.Vector{a, b}, false).Nearest(p)
	return d
}

// What remains is taken from the points, in order and with both ends, and no point is farther from it than the tolerance.
func TestSimplifyStaysNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-50, 50)
		points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) r3.Vector {
			return r3.Vector{X: number.Draw(t, "x"), Y: number.Draw(t, "y"), Z: number.Draw(t, "z")}
		}), 1, 40).Draw(t, "points")
		tolerance := rapid.Float64Range(0.1, 30).Draw(t, "tolerance")
		got := Simplify(points, tolerance, fromSegment)
		if got[0] != points[0] || got[len(got)-1] != points[len(points)-1] {
			t.Fatalf("ends %v and %v", got[0], got[len(got)-1])
		}
		at := 0
		for _, p := range got {
			k := slices.Index(points[at:], p)
			if k < 0 {
				t.Fatalf("%v is not the next of the points", p)
			}
			at += k
		}
		line := New(got, false)
		for _, p := range points {
			if _, d := line.Nearest(p); d > tolerance+1e-9 {
				t.Fatalf("%v is %g mm from the line", p, d)
			}
		}
	})
}

// Points on a straight line go; a corner stays.
func TestSimplifyKeepsCorners(t *testing.T) {
	points := []r3.Vector{{}, {X: 3}, {X: 7}, {X: 10}, {X: 10, Y: 4}, {X: 10, Y: 9}}
	if got := Simplify(points, 0.01, fromSegment); !slices.Equal(got, []r3.Vector{{}, {X: 10}, {X: 10, Y: 9}}) {
		t.Errorf("left %v", got)
	}
}
