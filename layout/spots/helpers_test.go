package spots

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout/spots/sample"
	"seamwright/seams/rule"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func limits() rule.Limits { return sample.Limits() }

// straight is a strip along x, 16 mm wide, free edge on the left, bend on the right.
func straight(length float64) Line {
	return Line{ID: "f1", Sheets: []string{"a", "b"}, Points: sample.Straight(length)}
}

// ringLine is a closed strip in the x-y plane.
func ringLine(radius float64) Line {
	return Line{ID: "ring", Sheets: []string{"a", "b"}, Closed: true, Points: sample.Ring(radius, 8)}
}

// angled is two straights of the given length that meet at a square corner rounded with 5 mm.
func angled(leg float64) Line {
	const radius = 5.0
	arc := radius * math.Pi / 2
	return Line{ID: "angled", Sheets: []string{"a", "b"}, Points: sample.Along(2*leg+arc, false, 8, func(s float64) (p, t, axis r3.Vector) {
		up := vec(0, 0, 1)
		switch {
		case s <= leg:
			return vec(s, 0, 0), vec(1, 0, 0), up
		case s >= leg+arc:
			return vec(leg+radius, radius+s-leg-arc, 0), vec(0, 1, 0), up
		}
		sin, cos := math.Sincos((s - leg) / radius)
		return vec(leg+radius*sin, radius-radius*cos, 0), vec(cos, sin, 0), up
	})}
}

func lay(t testing.TB, r Request) Layout {
	t.Helper()
	out, err := Lay(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func problems(l Layout, kind Kind) []Problem {
	var out []Problem
	for _, p := range l.Problems {
		if p.Kind == kind {
			out = append(out, p)
		}
	}
	return out
}

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

func tackPlaces(l Layout) []float64 {
	var out []float64
	for _, w := range l.Welds {
		if w.Tack {
			out = append(out, w.S)
		}
	}
	return out
}
