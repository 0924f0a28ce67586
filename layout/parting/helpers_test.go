package parting

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout/spots"
	"seamwright/layout/spots/sample"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// straight is a line along x.
func straight(length float64) spots.Line {
	return spots.Line{ID: "f1", Sheets: []string{"a", "b"}, Points: sample.Straight(length)}
}

func lay(t testing.TB, r spots.Request) spots.Layout {
	t.Helper()
	out, err := spots.Lay(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func problems(l spots.Layout, kind spots.Kind) []spots.Problem {
	var out []spots.Problem
	for _, p := range l.Problems {
		if p.Kind == kind {
			out = append(out, p)
		}
	}
	return out
}
