package check

import (
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
)

// seamed makes the strap a roller seam from its start to 100 mm and from 160 mm to its end, with spots between.
func seamed(t *testing.T, spots ...float64) *sample {
	s := on(strap.New(t))
	s.Joint("strap").Kind = "roller"
	s.Plan.Welds = nil
	f := s.Flange("strap/1")
	for _, at := range spots {
		s.AddWeld("strap/1", at)
	}
	for id, part := range map[string][2]int{"a": {0, 50}, "b": {80, len(f.Line) - 1}} {
		s.Plan.Seams = append(s.Plan.Seams, layout.Seam{ID: id, Flange: "strap/1", Roller: "roller", Path: f.Places()[part[0] : part[1]+1],
			Normals: f.Normals()[part[0] : part[1]+1]})
	}
	return s
}

func TestRollerSeamWithSpotsBetween(t *testing.T) {
	s := seamed(t, 100, 130, 160)
	r := s.evaluate()
	for _, f := range r.Findings {
		if f.Rule == "pitch.greatest" || f.Rule == "pitch.least" {
			t.Errorf("%s", strap.Words(f))
		}
	}
	if j := strap.Judged(t, r, "pitch.greatest"); j.Places != 4 || j.Value != 30 {
		t.Errorf("%+v", j)
	}
	f := s.One(seamed(t, 100, 160).evaluate(), "pitch.greatest")
	strap.Has(t, f.Where, "flange strap/1: 60.0 mm are neither rolled nor spotted between weld 1 and weld 2")
	f = s.One(seamed(t).evaluate(), "pitch.greatest")
	strap.Has(t, f.Where, "between the roller seam and the roller seam")
	strap.Close(t, "limit", f.Limit, 8*d, 1e-9)
	f = s.One(seamed(t, 100, 112, 130, 160).evaluate(), "pitch.least")
	strap.Close(t, "pitch", f.Value, 12, 1e-9)
}
