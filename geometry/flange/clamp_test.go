package flange_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/geometry/flange"
)

// A sheet placed askew is clamped shut as far as the clamps' limits go, for one pair of sheets as it says.
func TestClampsCloseAnAskewSheet(t *testing.T) {
	for _, c := range []struct {
		rise   float64 // over 300 mm
		clamps []flange.Clamps
		length float64
		drawn  float64
		cuts   int
	}{
		{0.8, nil, 300, 0.8, 0},
		{2.5, nil, 300, 2.5, 0},
		{4.5, nil, 200, 3, 1},
		{4.5, []flange.Clamps{{Sheets: [2]int{1, 0}, Gap: 2}}, 133.3, 2, 1},
		{4.5, []flange.Clamps{{Sheets: [2]int{1, 0}, Gap: 5}}, 300, 4.5, 0},
	} {
		a, b := pair(rand.New(rand.NewPCG(3, 4)))
		for i, v := range a.Mesh.Vertices {
			a.Mesh.Vertices[i].Z += c.rise * v.X / 300
		}
		found := find(t, flange.Options{LeastLength: 4, Clamps: c.clamps}, a, b)
		if len(found.Flanges) != 1 {
			t.Errorf("%+v: %d flanges, want 1", c, len(found.Flanges))
			continue
		}
		f, drawn := found.Flanges[0], 0.0
		for _, o := range f.Open {
			drawn = max(drawn, o.DrawnIn())
		}
		if !(math.Abs(f.Length-c.length) <= 3) || !(math.Abs(drawn-c.drawn) <= 0.05) || len(f.Cuts) != c.cuts {
			t.Errorf("%+v: length %.1f, drawn in by %.2f, cuts %+v", c, f.Length, drawn, f.Cuts)
		}
	}
}

// Without a thickness nothing says how much of the distance is air: the cut at the limit is said.
func TestCutAtTheLimitOfUnknownThicknessIsSaid(t *testing.T) {
	a, b := pair(rand.New(rand.NewPCG(3, 4)))
	for i, v := range a.Mesh.Vertices {
		a.Mesh.Vertices[i].Z += 4 * v.X / 300
	}
	a.Thickness, b.Thickness = 0, 0
	found := find(t, flange.Options{}, a, b)
	if len(found.Flanges) != 1 || len(found.Flanges[0].Cuts) != 1 || found.Flanges[0].Cuts[0].Gap != 3 {
		t.Fatalf("%d flanges, want one with a cut at 3 mm", len(found.Flanges))
	}
}
