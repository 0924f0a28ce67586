package check

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/ledger"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

func TestStrapKeepsEveryRule(t *testing.T) {
	s := on(strap.New(t))
	r := s.evaluate()
	for _, f := range r.Findings {
		t.Errorf("%s", strap.Words(f))
	}
	for _, id := range []string{"stack.ratio.greatest", "setting.found.least", "weld.diameter.least", "tip.weld.least", "gun.force.least",
		"gun.duty.greatest",
		"flange.width.least", "overlap.least", "gap.greatest", "edge.least", "edge.greatest", "bend.clearance", "end.least", "end.greatest",
		"pitch.least",
		"pitch.greatest", "tack.every", "tack.least", "count.flange.least", "corner.relief.least"} {
		if j := strap.Judged(t, r, id); j.Places == 0 || j.Kept != j.Places || j.Where == "" || j.Title == "" {
			t.Errorf("%+v", j)
		}
	}
	if len(r.Unchecked) == 0 {
		t.Error("nothing is said of what is not judged")
	}
	if j := strap.Judged(t, r, "edge.least"); j.Places != strap.Welds || j.Value != 9 {
		t.Errorf("%+v", j)
	}
}

// Each bound from both sides: the change to ok keeps the rule, the change to bad breaks it and nothing else.
func TestBoundsOfOneWeld(t *testing.T) {
	d := 5 * math.Sqrt(0.9)
	left := func(v float64) func(*sample) { return func(s *sample) { s.Plan.Welds[4].Left = v } }
	right := func(v float64) func(*sample) { return func(s *sample) { s.Plan.Welds[4].Right = v } }
	side := func(kind layout.Edge, v float64) func(*sample) {
		return func(s *sample) {
			strap.SetRight(s.Flange("strap/1"), kind)
			s.Plan.Welds[4].Right = v
		}
	}
	first := func(v float64) func(*sample) { return func(s *sample) { s.Move(0, v) } }
	for _, c := range []struct {
		rule     string
		ok, bad  func(*sample)
		value    float64
		limit    float64
		severity layout.Severity
		words    string
	}{
		{"edge.least", left(1.25*d - 0.04), left(1.25*d - 0.06), 1.25*d - 0.06, 1.25 * d, layout.Broken,
			"the weld centre is 5.9 mm from the free edge on the left, at weld 5"},
		{"bend.clearance", right(4.46), right(4.44), 1.94, 2, layout.Doubt, "the electrode face is 1.9 mm from the bend on the right, at weld 5"},
		{"tip.seat.least", side("stack", 2.46), side("stack", 2.44), 2.44, 2.5, layout.Doubt,
			"from where the stack ends on the right, at weld 5"},
		{"tip.seat.least", side("gap opens", 2.46), side("gap opens", 2.44), 2.44, 2.5, layout.Doubt, "from where the sheets part on the right"},
		{"edge.least", side("", 5.9), side("", 5.8), 5.8, 1.25 * d, layout.Broken, "from the side on the right"},
		{"edge.greatest", left(4 * d), left(4*d + 0.1), 4*d + 0.1, 4 * d, layout.Note,
			"the free edge is 19.1 mm from the weld centre, at weld 5"},
		{"end.least", first(2*d - 0.04), first(2*d - 0.1), 2*d - 0.1, 2 * d, layout.Doubt, "9.4 mm from its start to weld 1"},
		{"end.greatest", func(s *sample) { s.Shell.Rules.TackEvery = 160; s.Move(0, 6*d) },
			func(s *sample) { s.Shell.Rules.TackEvery = 160; s.Move(0, 6*d+0.1) }, 6*d + 0.1, 6 * d, "", "28.6 mm from its start"},
		{"pitch.greatest", first(strap.Start + strap.Pitch - 8*d), first(strap.Start + strap.Pitch - 8*d - 0.1), 0, 8 * d, layout.Doubt,
			"between welds 1 and 2"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			good, bad := on(strap.New(t)), on(strap.New(t))
			if c.rule == "end.greatest" { // the end weld comes near its neighbour: move that too
				for _, s := range []*sample{good, bad} {
					s.Move(1, 48)
				}
			}
			if c.rule == "pitch.greatest" {
				good.Shell.Rules.EndDistance, bad.Shell.Rules.EndDistance = 1, 1
			}
			c.ok(good)
			good.Only(good.evaluate())
			c.bad(bad)
			r := bad.evaluate()
			bad.Only(r, c.rule)
			f := bad.One(r, c.rule)
			if c.value > 0 {
				strap.Close(t, "value", f.Value, c.value, 1e-6)
			}
			strap.Close(t, "limit", f.Limit, c.limit, 1e-6)
			if c.severity != "" && f.Severity != c.severity {
				t.Errorf("severity %s", f.Severity)
			}
			strap.Has(t, f.Where, c.words)
			if f.Flange != "strap/1" || f.Joint != "strap" || f.Station != "jig" || f.Weld == 0 {
				t.Errorf("place %+v", f)
			}
			if !strings.Contains(f.Source, "(") {
				t.Errorf("source without certainty: %s", f.Source)
			}
		})
	}
}

// Every narrow flange is told with its width, stretch, welds, needed width, remedy.
func TestNarrowStretch(t *testing.T) {
	edge := 1.25 * 5 * math.Sqrt(0.9)
	need := edge + 5.0/2 + 2
	narrow := func(width float64) (*sample, *ledger.Report) {
		s := on(strap.New(t))
		f := s.Flange("strap/1")
		for i := range f.Line {
			if x := f.Line[i].At[0]; x >= 70 && x <= 188 {
				f.Line[i].Left, f.Line[i].Right = width/2, width/2
			}
		}
		for i := range s.Plan.Welds {
			if w := &s.Plan.Welds[i]; w.Along >= 70 && w.Along <= 188 {
				w.Left, w.Right = edge-(need-width)/2, 4.5-(need-width)/2 // as the layout shares a shortage
			}
		}
		return s, s.evaluate()
	}
	one := on(strap.New(t))
	for i := range one.Flange("strap/1").Line {
		if p := &one.Flange("strap/1").Line[i]; math.Abs(p.At[0]-one.Plan.Welds[3].Along) < 1 {
			p.Left, p.Right = 4.7, 4.7
			break
		}
	}
	strap.Has(t, one.One(one.evaluate(), "flange.width.least").Where, "flange strap/1: 9.4 mm wide in one place at weld 4")

	s, r := narrow(9.4)
	s.Only(r, "flange.width.least", "overlap.least")
	f := s.One(r, "flange.width.least")
	// from the face on the first weld in the stretch to that on the last
	strap.Has(t, f.Where, "flange strap/1: 9.4 mm wide for 94 mm from weld 3 to 6")
	strap.Close(t, "needed", f.Limit, need, 1e-9)
	strap.Has(t, f.Remedy, "no tip at hand fits: trim the bend back or widen the flange by 1.0 mm")
	o := s.One(r, "overlap.least")
	strap.Has(t, o.Where, "the sheets lie on each other over 9.4 mm, for 118 mm from weld 3 to 6")
	strap.Has(t, o.Others, "aws-c1.1")

	s, r = narrow(10)
	f = s.One(r, "flange.width.least")
	strap.Has(t, f.Remedy, "take tip slim (narrow flat, face 4 mm): 9.9 mm are enough for it, or trim")

	s, r = narrow(need - 0.04)
	s.Only(r, "overlap.least")

	// Two places apart, with good welds between, are two findings.
	s = on(strap.New(t))
	g := s.Flange("strap/1")
	for _, i := range []int{1, 7} {
		w := &s.Plan.Welds[i]
		w.Left, w.Right = 4.5, 4.5
		for k := range g.Line {
			if math.Abs(g.Line[k].At[0]-w.Along) < 4 {
				g.Line[k].Left, g.Line[k].Right = 4.5, 4.5
			}
		}
	}
	n := 0
	for _, f := range s.evaluate().Findings {
		if f.Rule == "flange.width.least" {
			n++
			if f.Weld != 2 && f.Weld != 8 {
				t.Errorf("%+v", f)
			}
		}
	}
	if n != 2 {
		t.Errorf("%d findings of width", n)
	}
}

func TestGaps(t *testing.T) {
	s := on(strap.New(t))
	f := s.Flange("strap/1")
	for i := range f.Line {
		if x := f.Line[i].At[0]; x >= 100 && x <= 140 {
			f.Line[i].Air = 0.62
		}
	}
	r := s.evaluate()
	s.Only(r, "gap.greatest")
	g := s.One(r, "gap.greatest")
	strap.Has(t, g.Where, "the sheets stand 0.62 mm apart for 40 mm from weld 4 to 5")
	strap.Close(t, "limit", g.Limit, 0.45, 1e-12) // half the thinnest sheet
	s.Shell.GapLimit = 0.65
	s.Only(s.evaluate())
}

func TestHolesAndFixtures(t *testing.T) {
	s := on(strap.New(t))
	w := s.Plan.Welds[4]
	s.Flange("strap/1").Holes = []layout.Hole{{At: layout.Vec{w.Position[0] + 11, 0, 0}, Radius: 5}}
	r := s.evaluate()
	s.Only(r)
	if j := strap.Judged(t, r, "edge.least"); j.Places <= strap.Welds {
		t.Errorf("holes were not judged: %+v", j)
	}
	s.Flange("strap/1").Holes[0].Radius = 5.2
	r = s.evaluate()
	s.Only(r, "edge.least")
	strap.Has(t, s.One(r, "edge.least").Where, "weld 5 is 5.8 mm from the rim of a hole")

	s = on(strap.New(t))
	s.Plan.Stations[0].Clamps = []layout.Fixture{{ID: "C3", At: w.Position, Radius: 20, Release: "tacks"}}
	r = s.evaluate()
	s.Only(r, "keep.clear.least")
	strap.Has(t, s.One(r, "keep.clear.least").Where, "weld 5 stands 22.4 mm over clamp C3")
	s.Plan.Welds[4].Step = "released"
	s.Only(s.evaluate())
	s.Plan.Stations[0].Clamps[0].Release = "end"
	s.Only(s.evaluate(), "keep.clear.least")
	s.Plan.Stations[0].Clamps = nil
	s.Plan.Stations[0].Dowels = []layout.Fixture{{ID: "D1", At: layout.Vec{w.Position[0] + 12.4, 0, 0}, Radius: 8}}
	s.Only(s.evaluate()) // 12.4 - 8 - 2.37 = 2.03
	s.Plan.Stations[0].Dowels[0].Radius = 8.1
	s.Only(s.evaluate(), "keep.clear.least")
	s.Plan.Stations[0].Dowels = nil
	s.Shell.Joints[0].KeepOuts = []shell.KeepOut{{At: [3]float64{w.Position[0], 0, 0}, Radius: 3, Why: "clip"}}
	strap.Has(t, s.One(s.evaluate(), "keep.clear.least").Where, "stands 5.4 mm over clip")
}

// The clearance of the book is the one that the layout keeps.
func TestClearanceIsTheLayouts(t *testing.T) {
	l, err := rule.Book().Evaluate("keep.clear.least", nil)
	if err != nil || l.Value != spots.DefaultClearance {
		t.Errorf("%v, %v; the layout keeps %v", l.Value, err, spots.DefaultClearance)
	}
}

// Evaluate leaves the plan as it is, and says the same twice.
func TestEvaluateIsPure(t *testing.T) {
	s := on(strap.New(t))
	s.Plan.Welds[4].Left = 1
	s.Flange("strap/1").Line[70].Air = 2
	before := fmt.Sprintf("%+v", s.Plan)
	a, b := s.evaluate(), s.evaluate()
	if after := fmt.Sprintf("%+v", s.Plan); after != before {
		t.Error("the plan changed")
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("two reports differ")
	}
}

func TestPlanWithoutSides(t *testing.T) {
	s := on(strap.New(t))
	for i := range s.Flange("strap/1").Line {
		s.Flange("strap/1").Line[i].Left, s.Flange("strap/1").Line[i].Right = 0, 0
	}
	r := s.evaluate()
	s.Only(r)
	strap.Has(t, strings.Join(r.Unchecked, "; "), "flange strap/1: the plan holds no sides")
	for _, j := range r.Judged {
		if j.Rule == "edge.least" || j.Rule == "flange.width.least" {
			t.Errorf("judged without sides: %+v", j)
		}
	}
}

func TestPlanAndShellApart(t *testing.T) {
	for _, c := range []struct {
		change func(*sample)
		want   string
	}{
		{func(s *sample) { s.Plan.Flanges[0].Panels = []string{"roof", "door"} }, "flange strap/1: there is no panel door"},
		{func(s *sample) { s.Plan.Welds[0].Flange = "x" }, "weld 1 at jig: there is no flange x"},
		{func(s *sample) { s.Plan.Flanges[0].Line = nil }, "weld line of 0 points"},
	} {
		s := on(strap.New(t))
		c.change(s)
		if _, err := Evaluate(context.Background(), s.Plan, s.Shell, s.Rules()); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// A works' book changes limit, severity and remedy of what the check says.
func TestWorksBookRules(t *testing.T) {
	s := on(strap.New(t))
	in := s.Rules()
	book, err := in.Book.With(rule.Rules{{ID: "edge.least", Value: 9.5, Severity: rule.Note, Remedy: "ask the works"}})
	if err != nil {
		t.Fatal(err)
	}
	in.Book = book
	r, err := Evaluate(context.Background(), s.Plan, s.Shell, in)
	if err != nil {
		t.Fatal(err)
	}
	f := s.One(r, "edge.least")
	if f.Severity != layout.Note || f.Limit != 9.5 || f.Remedy != "ask the works" || f.Value != 9 {
		t.Errorf("%s", strap.Words(f))
	}
	strap.Has(t, f.Where, "from weld 1 to 10")
	strap.Has(t, f.Source, "works' rule book")
	strap.Has(t, f.Others, "iso-14373 5.93 mm (memory), clear-3 5.37 mm (common practice)")
}
