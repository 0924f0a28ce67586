package flange_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// A panel with a 16 mm flange, a bend and a 30 mm wall: the flange and the wall's 30 mm are candidates.
func TestCandidatesOfOnePanel(t *testing.T) {
	for name, c := range map[string]seam{"straight": straight(300), "ring": ring(120), "S": sCurve(150, 1)} {
		t.Run(name, func(t *testing.T) {
			m := sweep(c, flat(8, 0, 1, 3), 5, rand.New(rand.NewPCG(1, 1)))
			found, err := flange.Candidates(flange.Sheet{Name: "a", Mesh: m, Thickness: 1}, flange.Options{})
			if err != nil {
				t.Fatal(err)
			}
			sixteen := 0
			for _, f := range found.Flanges {
				t.Logf("length %.2f of %.2f, width %+v, closed %v", f.Length, c.length, f.Width, f.Closed)
				if len(f.Sheets) != 1 || f.Sheets[0] != 0 || f.Gap.Greatest != 0 {
					t.Errorf("sheets %v, gap %+v", f.Sheets, f.Gap)
				}
				if math.Abs(f.Width.Mean-16) < 0.2 && math.Abs(f.Length/c.length-1) < 0.003 && f.Closed == c.closed {
					sixteen++
				}
			}
			if sixteen != 1 || len(found.Flanges) > 2 {
				t.Errorf("%d candidates of 16 mm, want one; %d in all, want the wall beside it at most", sixteen, len(found.Flanges))
			}
		})
	}
}

// A broad plate has no flange, nor has an empty panel.
func TestNoCandidates(t *testing.T) {
	for _, m := range []*mesh.Mesh{plate(0, 0, 400, 300, 0), {}} {
		if found, err := flange.Candidates(flange.Sheet{Mesh: m}, flange.Options{}); err != nil || len(found.Flanges) != 0 {
			t.Errorf("%+v, %v", found, err)
		}
	}
}
