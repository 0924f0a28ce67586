package check

import (
	"context"
	"math"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// d is the weld diameter on the strap's stack, 5 root 0.9: rows are judged by 3, 1.5 and 6 of it.
const d = 4.743416490252569

// twoRows puts the strap's welds into two rows a distance apart across, each weld of the left one shifted along.
func twoRows(t *testing.T, across, shift float64) *sample {
	s := strap(t)
	f := s.flange("strap/1")
	for i := range f.Line {
		f.Line[i].Left, f.Line[i].Right = 22, 22
	}
	f.Width = layout.Range{Least: 44, Mean: 44, Greatest: 44}
	for i := range s.plan.Welds {
		w := &s.plan.Welds[i]
		w.Row, w.Position[1], w.Left, w.Right = 1, -across/2, 22+across/2, 22-across/2
	}
	for i := range strapWelds {
		along := strapStart + float64(i)*strapPitch + shift
		if along > strapLength-strapStart+1e-9 {
			continue
		}
		s.addWeld("strap/1", along)
		w := &s.plan.Welds[len(s.plan.Welds)-1]
		w.Row, w.Position[1], w.Left, w.Right = 2, across/2, 22-across/2, 22+across/2
	}
	return s
}

func TestRowsAreJudged(t *testing.T) {
	half := strapPitch / 2
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
			s := twoRows(t, c.across, c.shift)
			r := s.evaluate()
			s.only(r, c.rules...)
			judged(t, r, "row.greatest")
		})
	}
}

func TestRowFindingsInWords(t *testing.T) {
	f := twoRows(t, 7, strapPitch/2).one(twoRows(t, 7, strapPitch/2).evaluate(), "row.staggered.least")
	has(t, f.Where, "flange strap/1: welds 11 and 1 of two rows are 7.0 mm apart across, the worst of 9 pairs")
	close(t, "limit", f.Limit, 1.5*d, 1e-9)
	has(t, f.Source, "EN 1993-1-8")
}

// The pitch is judged along each row; welds of different rows are no neighbours on the line.
func TestPitchAlongEachRow(t *testing.T) {
	s := twoRows(t, 16, strapPitch/2)
	s.plan.Welds = append(s.plan.Welds[:14], s.plan.Welds[15:]...) // one of the left row
	s.joint("strap").Welds--
	r := s.evaluate()
	f := s.one(r, "pitch.greatest")
	close(t, "pitch", f.Value, 2*strapPitch, 1e-6)
	has(t, f.Where, "between welds 14 and 16")
}

func TestTooNarrowForTwoRows(t *testing.T) {
	s := strap(t)
	s.shell.Joints[0].Rows = 2
	for i := range 31 { // 120 to 180 mm
		s.flange("strap/1").Line[60+i].Left = 7
	}
	f := s.one(s.evaluate(), "row.width.least")
	// edge 1.25 d, face 5/2, bend 2, and 1.5 d between the rows; the ends' half width is left out.
	close(t, "limit", f.Limit, 1.25*d+2.5+2+1.5*d, 1e-9)
	has(t, f.Where, "flange strap/1: 16.0 mm wide, 1.5 mm too narrow for two rows, from 120 to 180 mm along it")
}

// Behind each other rows share the sheet's section: 300 mm of 0.9 mm at 270 MPa over 1.25 carry 58.3 kN.
func TestNetSection(t *testing.T) {
	net := 300 * 0.9 * 270 / 1.25
	for _, c := range []struct {
		load  float64
		broke bool
	}{{net - 1, false}, {net + 1, true}} {
		s := twoRows(t, 16, 0)
		s.shell.Joints[0].Load = shell.Load{Shear: c.load}
		r := s.evaluate()
		found := false
		for _, f := range r.Findings {
			found = found || f.Rule == "strength.utilisation.greatest"
		}
		if found != c.broke {
			t.Errorf("%g N: found %v", c.load, found)
		}
		if j := judged(t, r, "strength.utilisation.greatest"); !(math.Abs(j.Value-c.load/net) <= 1e-9) {
			t.Errorf("%g N: used %g", c.load, j.Value)
		}
	}
}

// A weld of the second row carries to the end of the sheet as its first does.
func TestEndOfEachRow(t *testing.T) {
	s := twoRows(t, 16, 2)
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	first, second, inner := s.plan.Welds[0], s.plan.Welds[10], s.plan.Welds[4]
	if !(first.Shear <= second.Shear && second.Shear <= inner.Shear) || first.Shear <= 0 {
		t.Errorf("%g N and %g N at the end, %g N within", first.Shear, second.Shear, inner.Shear)
	}
}

// A keep-out drawn on a panel: the weld's rim stays 2 mm clear of it, and the electrode face off it.
func TestDrawnKeepOut(t *testing.T) {
	draw := func(x float64, face float64) *Report {
		s := strap(t)
		s.shell.Tips[0].Face = face
		s.plan.Panels = []layout.Panel{{ID: "roof",
			KeepOuts: []layout.Outline{{Closed: true, Points: []layout.Vec{{x, -20, 0.5}, {x + 10, -20, 0.5}, {x + 10, 20, 0.5}, {x, 20, 0.5}}}}}}
		return s.evaluate()
	}
	at := strapStart + strapPitch // of weld 2; weld 3 is 30.7 mm farther
	s := strap(t)
	r := draw(at+d/2+2.1, 5)
	for _, f := range r.Findings {
		if f.Rule == "keep.clear.least" {
			t.Errorf("%s", words(f))
		}
	}
	if j := judged(t, r, "keep.clear.least"); j.Places == 0 {
		t.Errorf("%+v", j)
	}
	f := s.one(draw(at+d/2+1.5, 5), "keep.clear.least")
	has(t, f.Where, "flange strap/1: weld 2 is 1.5 mm clear of keep-out of roof")
	f = s.one(draw(at+d/2+2.1, 10), "keep.clear.least")
	has(t, f.Where, "flange strap/1: the electrode face of weld 2 stands 0.5 mm over keep-out of roof")
	var all []string
	for _, f := range draw(at-3, 5).Findings {
		all = append(all, f.Where)
	}
	has(t, strings.Join(all, "; "), "weld 2 stands 5.4 mm over keep-out of roof")
}

// Of rows side by side over one broad contact the outer ones hold the edges down.
func TestRowsBesideARow(t *testing.T) {
	outline := [][]layout.Vec{{{0, 0, 0}, {100, 0, 0}, {100, 60, 0}}}
	row := func(joint string, left, right float64, welds int) *strip {
		return &strip{flange: &layout.Flange{Joint: joint, Patch: true, Outline: outline, Line: []layout.LinePoint{{Left: left, Right: right}}},
			measure: true, along: []float64{0}, welds: make([]*layout.Weld, welds)}
	}
	c := &checker{strips: []*strip{row("j", 10, 50, 3), row("j", 30, 30, 3), row("j", 50, 10, 3), row("j", 5, 55, 0), row("other", 1, 1, 3)}}
	for i, want := range [][2]bool{{false, true}, {true, true}, {true, false}} {
		if left, right := c.rowsBeside(c.strips[i]); left != want[0] || right != want[1] {
			t.Errorf("row %d: nearer to its left side %v, to its right %v", i, left, right)
		}
	}
}
