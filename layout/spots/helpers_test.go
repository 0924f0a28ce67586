package spots

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/seams/rule"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// limits are round figures for tests, not values of any rule book.
func limits() rule.Limits {
	l := func(v float64) rule.Limit { return rule.Limit{Value: v, Unit: "mm"} }
	return rule.Limits{WeldDiameter: l(5), LeastPitch: l(15), GreatestPitch: l(40), EdgeDistance: l(6),
		EndDistance: l(10), BendClearance: l(1), TipFace: l(6), TackEvery: l(150)}
}

// along builds points on a curve given by arc length, 2 mm apart, with the strip's sides.
func along(length float64, closed bool, side float64, at func(s float64) (p, along, axis r3.Vector)) []flange.LinePoint {
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

// straight is a strip along x, 16 mm wide, free edge on the left, bend on the right.
func straight(length float64) Line {
	return Line{ID: "f1", Sheets: []string{"a", "b"}, Points: along(length, false, 8, func(s float64) (p, t, axis r3.Vector) {
		return vec(s, 0, 0), vec(1, 0, 0), vec(0, 0, 1)
	})}
}

// ringLine is a closed strip in the x-y plane.
func ringLine(radius float64) Line {
	return Line{ID: "ring", Sheets: []string{"a", "b"}, Closed: true, Points: along(2*math.Pi*radius, true, 8,
		func(s float64) (p, t, axis r3.Vector) {
			sin, cos := math.Sincos(s / radius)
			return vec(radius*cos, radius*sin, 0), vec(-sin, cos, 0), vec(0, 0, 1)
		})}
}

// angled is two straights of the given length that meet at a square corner rounded with 5 mm.
func angled(leg float64) Line {
	const radius = 5.0
	arc := radius * math.Pi / 2
	return Line{ID: "angled", Sheets: []string{"a", "b"}, Points: along(2*leg+arc, false, 8, func(s float64) (p, t, axis r3.Vector) {
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
