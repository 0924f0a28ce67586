package axial

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// A facet is as far from the axis as the nearest of many of its points, seen along the axis.
func TestFacetFromAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corner := func(name string) r3.Vector {
			at := rapid.SliceOfN(rapid.Float64Range(-20, 20), 3, 3).Draw(t, name)
			return r3.Vector{X: at[0] + 15, Y: at[1], Z: at[2]}
		}
		f := Facet{A: corner("a"), B: corner("b"), C: corner("c")}
		const steps = 200
		nearest := math.Inf(1)
		for i := 0; i <= steps; i++ {
			for k := 0; k <= steps-i; k++ {
				u, v := float64(i)/steps, float64(k)/steps
				p := f.A.Add(f.B.Sub(f.A).Mul(u)).Add(f.C.Sub(f.A).Mul(v))
				nearest = min(nearest, math.Hypot(p.X, p.Y))
			}
		}
		if d := f.FromAxis(); d > nearest+1e-9 || d < nearest-0.4 {
			t.Fatalf("%v, the nearest of many points is at %v", d, nearest)
		}
	})
}
