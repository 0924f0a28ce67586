package flange_test

import (
	"math"
	"testing"

	"seamwright/geometry/flange"
)

// Sheets whose metal would run into each other by more than half of the thicker one are no flange, and that is said: the
// thicknesses, the places or what the meshes are is wrong.
func TestRunningIntoEachOtherIsSaid(t *testing.T) {
	for _, c := range []struct {
		apart, thickness float64
		surface          flange.Surface
		into             float64 // mm; 0: a flange
	}{
		{0, 1, flange.Mid, 1}, {0.45, 1, flange.Mid, 0.55}, {0.5, 1, flange.Mid, 0}, {0.6, 1, flange.Mid, 0}, {0.7, 1, flange.Mid, 0},
		{0.9, 2, flange.Mid, 1.1}, {1, 2, flange.Mid, 0}, {0, 1, flange.Skin, 0}, {0, 0, flange.Mid, 0},
	} {
		a := flange.Sheet{Name: "a", Mesh: plate(0, 0, 200, 18, 0), Thickness: c.thickness, Surface: c.surface}
		b := flange.Sheet{Name: "b", Mesh: plate(0, -40, 200, 18, c.apart), Thickness: c.thickness, Surface: c.surface}
		for _, found := range []*flange.Found{find(t, flange.Options{}, a, b), find(t, flange.Options{}, b, a)} {
			if c.into == 0 {
				if len(found.Flanges) != 1 || len(found.Near) != 0 {
					t.Errorf("%g mm apart, %g mm thick, %s: %d flanges, near %+v", c.apart, c.thickness, c.surface, len(found.Flanges), found.Near)
				}
				continue
			}
			if len(found.Flanges) != 0 || len(found.Near) != 1 || !(math.Abs(found.Near[0].Into-c.into) <= 1e-9) {
				t.Errorf("%g mm apart, %g mm thick, %s: %d flanges, near %+v, want %g mm into each other",
					c.apart, c.thickness, c.surface, len(found.Flanges), found.Near, c.into)
			}
		}
	}
}

// Of a large face meshed as two triangles, the centres may lie anywhere: the other sheet's say that it faces.
func TestFacingALargeTriangleIsSaid(t *testing.T) {
	a := flange.Sheet{Name: "large", Mesh: plate(-400, -300, 200, 18, 0), Thickness: 1}
	b := flange.Sheet{Name: "rim", Mesh: plate(0, 0, 200, 18, 4), Thickness: 1}
	for _, found := range []*flange.Found{find(t, flange.Options{}, a, b), find(t, flange.Options{}, b, a)} {
		if len(found.Flanges) != 0 || len(found.Near) != 1 || !(math.Abs(found.Near[0].Distance-4) <= 1e-9) || found.Near[0].Into != 0 {
			t.Errorf("%d flanges, near %+v", len(found.Flanges), found.Near)
		}
	}
}
