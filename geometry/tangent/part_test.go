package tangent_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/internal/plates"
)

// bentAway is the section of a sheet that is flat from a free edge at y = 50 to y = 0 and goes over from there, without
// an edge between, into a bend of a radius that takes it up (or down, for -1) by 90 degrees; flat on to -60 for a
// radius of 0.
func bentAway(radius, height, up, facet float64) profile {
	var p profile
	for y := 50.; y >= 0; y -= 5 {
		p = append(p, [2]float64{y, height})
	}
	if radius == 0 {
		return append(p, [2]float64{-60, height})
	}
	for a := facet; a <= 90; a += facet {
		s, c := math.Sincos(a * math.Pi / 180)
		p = append(p, [2]float64{-radius * s, height + up*radius*(1-c)})
	}
	return p
}

// A flange ends where its sheets begin to part, even where a bend of a wide radius leaves no edge there.
func TestPartingInBend(t *testing.T) {
	for _, c := range []struct{ radius, other, facet float64 }{
		{15, 15, 1}, {25, 0, 1}, {25, 25, 0.7}, {50, 50, 1}, {50, 0, 1}, {50, 80, 0.5}, {80, 80, 0.5}, {0, 40, 1},
	} {
		for _, gap := range []float64{0, 0.3} {
			t.Run(fmt.Sprint(c, gap), func(t *testing.T) {
				rng := rand.New(rand.NewPCG(4, 9))
				a := plates.Extruded(bentAway(c.radius, 1+gap, 1, c.facet), 150, 8, rng)
				b := plates.Extruded(bentAway(c.other, 0, -1, c.facet), 150, 11, rng)
				f := one(t, sheetOf("a", a, 1), sheetOf("b", b, 1))
				if !(math.Abs(f.Width.Least-50) <= 0.2) || !(math.Abs(f.Width.Greatest-50) <= 0.2) || !(math.Abs(f.Length-150) <= 0.1) {
					t.Errorf("length %.2f, width %+v, want 150 and 50", f.Length, f.Width)
				}
				if !(math.Abs(f.Area/7500-1) <= 0.01) {
					t.Errorf("area %.1f, want 7500", f.Area)
				}
				for _, s := range f.Line {
					if !(math.Abs(s.Point.Y-25) <= 0.15) {
						t.Errorf("at %.1f the line lies at %.3f, want 25", s.S, s.Point.Y)
						break
					}
				}
			})
		}
	}
}
