package hardpanels

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/geometry/flange"
)

// The strip between two solids reaches to where their rims stand farthest out, however round their edges are and however finely those
// are meshed. From the flats alone it would be narrower by what is rounded of both: by 1.2 mm between sheets of 1.2 mm whose edges are
// fully round, and by 0.1 to 1.3 where the first facets of a rounding, which lie almost flat, are taken for skin.
func TestSolidsReachToTheirRims(t *testing.T) {
	for _, thickness := range []float64{0.8, 1.2, 3} {
		for _, edge := range []edging{{}, {size: 0.2 * thickness, steps: 4}, {size: 0.5 * thickness, steps: 6},
			{size: 0.5 * thickness, steps: 12}, {size: 0.3 * thickness, chamfer: true}} {
			for _, size := range []float64{5, 40} {
				s := sheet{thickness: thickness, surface: flange.Solid, size: size, edge: edge, shape: 1}
				name := fmt.Sprintf("%g mm, edge %+v, facets of %g", thickness, edge, size)
				c := lap{length: 90, width: 14, a: s, b: s}.make(name, rand.New(rand.NewPCG(7, 7)))
				found, err := flange.Find(context.Background(), c.Sheets, flange.Options{Workers: 1})
				g := c.Grade(found, err)
				if g.Verdict != Right {
					t.Errorf("%s: %s, %s", name, g.Verdict, g.Why)
					continue
				}
				if e := g.Errors[0]; !(math.Abs(e.Length) <= 0.02) || !(math.Abs(e.Width) <= 0.02) {
					t.Errorf("%s: length off by %.3f, width by %.3f", name, e.Length, e.Width)
				}
			}
		}
	}
}
