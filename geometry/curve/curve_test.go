package curve_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/curve"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func square(closed bool) *curve.Line {
	return curve.New([]r3.Vector{vec(0, 0, 0), vec(10, 0, 0), vec(10, 10, 0), vec(0, 10, 0)}, closed)
}

func TestSquare(t *testing.T) {
	for _, test := range []struct {
		closed    bool
		length, s float64
		at        r3.Vector
		tangent   r3.Vector
	}{
		{false, 30, 0, vec(0, 0, 0), vec(1, 0, 0)},
		{false, 30, 12, vec(10, 2, 0), vec(0, 1, 0)},
		{false, 30, 99, vec(0, 10, 0), vec(-1, 0, 0)},
		{false, 30, -5, vec(0, 0, 0), vec(1, 0, 0)},
		{true, 40, 35, vec(0, 5, 0), vec(0, -1, 0)},
		{true, 40, 45, vec(5, 0, 0), vec(1, 0, 0)},
		{true, 40, -5, vec(0, 5, 0), vec(0, -1, 0)},
	} {
		l := square(test.closed)
		if l.Length() != test.length || !(l.At(test.s).Sub(test.at).Norm() <= 1e-12) || l.Tangent(test.s) != test.tangent {
			t.Errorf("closed %v, s = %g: length %g, at %v, tangent %v", test.closed, test.s, l.Length(), l.At(test.s), l.Tangent(test.s))
		}
	}
}

func TestNearestUndoesAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := square(rapid.Bool().Draw(t, "closed"))
		s := rapid.Float64Range(0, l.Length()-1e-9).Draw(t, "s")
		got, off := l.Nearest(l.At(s))
		if !(math.Abs(got-s) <= 1e-9) || off > 1e-9 {
			t.Fatalf("at %g, nearest says %g, %g off", s, got, off)
		}
	})
}

// The nearest place is that of looking at everything, ties included.
func TestNearestIsThatOfLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.OneOf(rapid.Float64Range(-500, 500), rapid.Map(rapid.IntRange(-3, 3), func(i int) float64 { return float64(i) }))
		at := rapid.Custom(func(t *rapid.T) r3.Vector {
			return vec(coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), coordinate.Draw(t, "z"))
		})
		points := rapid.SliceOfN(at, 1, 120).Draw(t, "points")
		p := at.Draw(t, "p")
		first := 0
		for i := range points {
			if points[i].Sub(p).Norm2() < points[first].Sub(p).Norm2() {
				first = i
			}
		}
		if got := curve.NewPlaces(points).Nearest(p); got != first {
			t.Fatalf("point %d, want %d", got, first)
		}
		s, d := curve.New(points, false).Nearest(p)
		want, along, sum := math.Inf(1), 0.0, 0.0
		for i := 1; i < len(points); i++ {
			part := curve.New(points[i-1:i+1], false)
			if s, d := part.Nearest(p); d < want {
				want, along = d, sum+s
			}
			sum += part.Length()
		}
		if len(points) > 1 && (d != want || !(math.Abs(s-along) <= 1e-9*sum)) {
			t.Fatalf("%g at %g, want %g at %g", d, s, want, along)
		}
	})
	if curve.NewPlaces(nil).Nearest(vec(1, 0, 0)) != -1 {
		t.Error("a point of none")
	}
}

func TestOnePointAndNoLength(t *testing.T) {
	l := curve.New([]r3.Vector{vec(1, 2, 3)}, false)
	if s, d := l.Nearest(vec(1, 2, 5)); s != 0 || d != 2 || l.At(7) != vec(1, 2, 3) || l.Tangent(0) != vec(0, 0, 0) {
		t.Error("a single point is its own line")
	}
	twice := curve.New([]r3.Vector{vec(1, 2, 3), vec(1, 2, 3)}, true)
	if twice.At(3) != vec(1, 2, 3) || twice.Length() != 0 {
		t.Error("a line without length stays at its point")
	}
}

func ExampleLine_At() {
	l := curve.New([]r3.Vector{{X: 0}, {X: 3}, {X: 3, Y: 4}}, true)
	p := l.At(5)
	fmt.Printf("%.0f mm round, at 5 mm: %.0f %.0f\n", l.Length(), p.X, p.Y)
	// Output: 12 mm round, at 5 mm: 3 2
}

func BenchmarkNearest(b *testing.B) {
	points := make([]r3.Vector, 500)
	for i := range points {
		points[i] = vec(float64(i), 10*math.Sin(float64(i)/40), 0)
	}
	l := curve.New(points, false)
	b.ReportAllocs()
	for b.Loop() {
		l.Nearest(vec(250, 30, 4))
	}
}
