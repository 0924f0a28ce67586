package check

import (
	"math"
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/ledger"
	"seamwright/layout/setup"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
	"seamwright/seams/shell"
)

// d is the weld diameter on the strap's stack, 5 root 0.9: rows are judged by 3, 1.5 and 6 of it.
const d = 4.743416490252569

func TestRowsAreJudged(t *testing.T) {
	half := strap.Pitch / 2
	for _, c := range []struct {
		name          string
		across, shift float64
		rules         []string
	}{
		{"staggered", 16, half, nil},
		{"side by side", 16, 0, nil},
		{"staggered and near", 8, half, nil},
		{"staggered, nearer than half of the distance aslant", 7, half, []string{"row.staggered.least"}},
		{"side by side and too near", 14, 0, []string{"row.least", "pitch.least"}},
		{"aslant too near", 9, 10.5, []string{"row.least", "pitch.least"}}, // 13.8 mm, 14.2 and 15.8 wanted
		{"too far apart", 29, half, []string{"row.greatest"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := on(strap.New(t).TwoRows(c.across, c.shift))
			r := s.evaluate()
			s.Only(r, c.rules...)
			strap.Judged(t, r, "row.greatest")
		})
	}
}

func TestRowFindingsInWords(t *testing.T) {
	f := on(strap.New(t).TwoRows(7, strap.Pitch/2)).One(on(strap.New(t).TwoRows(7, strap.Pitch/2)).evaluate(), "row.staggered.least")
	strap.Has(t, f.Where, "flange strap/1: welds 11 and 1 of two rows are 7.0 mm apart across, the worst of 9 pairs")
	strap.Close(t, "limit", f.Limit, 1.5*d, 1e-9)
	strap.Has(t, f.Source, "EN 1993-1-8")
}

// The pitch is judged along each row; welds of different rows are no neighbours on the line.
func TestPitchAlongEachRow(t *testing.T) {
	s := on(strap.New(t).TwoRows(16, strap.Pitch/2))
	s.Plan.Welds = append(s.Plan.Welds[:14], s.Plan.Welds[15:]...) // one of the left row
	s.Joint("strap").Welds--
	r := s.evaluate()
	f := s.One(r, "pitch.greatest")
	strap.Close(t, "pitch", f.Value, 2*strap.Pitch, 1e-6)
	strap.Has(t, f.Where, "between welds 14 and 16")
}

func TestTooNarrowForTwoRows(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Joints[0].Rows = 2
	for i := range 31 { // 120 to 180 mm
		s.Flange("strap/1").Line[60+i].Left = 7
	}
	f := s.One(s.evaluate(), "row.width.least")
	// edge 1.25 d, face 5/2, bend 2, and 1.5 d between the rows; the ends' half width is left out.
	strap.Close(t, "limit", f.Limit, 1.25*d+2.5+2+1.5*d, 1e-9)
	strap.Has(t, f.Where, "flange strap/1: 16.0 mm wide, 1.5 mm too narrow for two rows, from 120 to 180 mm along it")
}

// Behind each other rows share the sheet's section: 300 mm of 0.9 mm at 270 MPa over 1.25 carry 58.3 kN.
func TestNetSection(t *testing.T) {
	net := 300 * 0.9 * 270 / 1.25
	for _, c := range []struct {
		load  float64
		broke bool
	}{{net - 1, false}, {net + 1, true}} {
		s := on(strap.New(t).TwoRows(16, 0))
		s.Shell.Joints[0].Load = shell.Load{Shear: c.load}
		r := s.evaluate()
		found := false
		for _, f := range r.Findings {
			found = found || f.Rule == "strength.utilisation.greatest"
		}
		if found != c.broke {
			t.Errorf("%g N: found %v", c.load, found)
		}
		if j := strap.Judged(t, r, "strength.utilisation.greatest"); !(math.Abs(j.Value-c.load/net) <= 1e-9) {
			t.Errorf("%g N: used %g", c.load, j.Value)
		}
	}
}

// A keep-out drawn on a panel: the weld's rim stays 2 mm clear of it, and the electrode face off it.
func TestDrawnKeepOut(t *testing.T) {
	draw := func(x float64, face float64) *ledger.Report {
		s := on(strap.New(t))
		s.Shell.Tips[0].Face = face
		s.Plan.Panels = []layout.Panel{{ID: "roof",
			KeepOuts: []layout.Outline{{Closed: true, Points: []layout.Vec{{x, -20, 0.5}, {x + 10, -20, 0.5}, {x + 10, 20, 0.5}, {x, 20, 0.5}}}}}}
		return s.evaluate()
	}
	at := strap.Start + strap.Pitch // of weld 2; weld 3 is 30.7 mm farther
	s := on(strap.New(t))
	r := draw(at+d/2+2.1, 5)
	for _, f := range r.Findings {
		if f.Rule == "keep.clear.least" {
			t.Errorf("%s", strap.Words(f))
		}
	}
	if j := strap.Judged(t, r, "keep.clear.least"); j.Places == 0 {
		t.Errorf("%+v", j)
	}
	f := s.One(draw(at+d/2+1.5, 5), "keep.clear.least")
	strap.Has(t, f.Where, "flange strap/1: weld 2 is 1.5 mm clear of keep-out of roof")
	f = s.One(draw(at+d/2+2.1, 10), "keep.clear.least")
	strap.Has(t, f.Where, "flange strap/1: the electrode face of weld 2 stands 0.5 mm over keep-out of roof")
	var all []string
	for _, f := range draw(at-3, 5).Findings {
		all = append(all, f.Where)
	}
	strap.Has(t, strings.Join(all, "; "), "weld 2 stands 5.4 mm over keep-out of roof")
}

// Of rows side by side over one broad contact the outer ones hold the edges down.
func TestRowsBesideARow(t *testing.T) {
	outline := [][]layout.Vec{{{0, 0, 0}, {100, 0, 0}, {100, 60, 0}}}
	row := func(joint string, left, right float64, welds int) *strips.Strip {
		line := []layout.LinePoint{{Left: left, Right: right}}
		return &strips.Strip{Flange: &layout.Flange{Joint: joint, Patch: true, Outline: outline, Line: line}, Measured: true,
			Along: []float64{0}, Welds: make([]*layout.Weld, welds)}
	}
	all := []*strips.Strip{row("j", 10, 50, 3), row("j", 30, 30, 3), row("j", 50, 10, 3), row("j", 5, 55, 0), row("other", 1, 1, 3)}
	c := &checker{Judge: setup.Judge{Ledger: ledger.New(&strips.Set{Strips: all, Rules: &inforce.Rules{}})}}
	for i, want := range [][2]bool{{false, true}, {true, true}, {true, false}} {
		if left, right := c.rowsBeside(c.Strips[i]); left != want[0] || right != want[1] {
			t.Errorf("row %d: nearer to its left side %v, to its right %v", i, left, right)
		}
	}
}
