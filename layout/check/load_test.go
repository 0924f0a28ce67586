package check

import (
	"context"
	"math"
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/resistance"
	"seamwright/seams/shell"
)

// The distance to an edge that is kept is the rule's and what the gun may be off.
func TestEdgeWithAGunThatIsOff(t *testing.T) {
	least := 6.25 * math.Sqrt(0.9) // by the default book
	for _, c := range []struct {
		more   float64
		broken bool
	}{{1.01, false}, {0.9, true}} {
		s := on(strap.New(t))
		s.Shell.Rules.WeldTolerance = 1
		s.Plan.Welds[3].Left = least + c.more
		r := s.evaluate()
		if j := strap.Judged(t, r, "edge.least"); j.Places == 0 {
			t.Errorf("%+v", j)
		}
		var got []layout.Finding
		for _, f := range r.Findings {
			if f.Rule == "edge.least" {
				got = append(got, f)
			}
		}
		if (len(got) > 0) != c.broken || c.broken && !(math.Abs(got[0].Limit-least-1) <= 1e-6) {
			t.Errorf("%g mm more than the rule's: %v", c.more, got)
		}
	}
}

func TestCountsOnBothSides(t *testing.T) {
	for _, c := range []struct {
		name   string
		joint  func(*shell.Joint)
		rule   string
		limit  float64
		broken bool
	}{
		{"shear that ten carry", func(j *shell.Joint) { j.Load.Shear = 10 * strap.Tearing }, "count.load.least", 10, false},
		{"shear for eleven", func(j *shell.Joint) { j.Load.Shear = 10*strap.Tearing + 1 }, "count.load.least", 11, true},
		{"flow that ten carry", func(j *shell.Joint) { j.Load.Flow = 10 * strap.Tearing / strap.Length }, "count.load.least", 10, false},
		{"flow for eleven", func(j *shell.Joint) { j.Load.Flow = 10*strap.Tearing/strap.Length + 0.01 }, "count.load.least", 11, true},
		{"tension for eleven", func(j *shell.Joint) { j.Load.Tension = 10*strap.Pull + 1 }, "count.load.least", 11, true},
		{"both", func(j *shell.Joint) { j.Load.Shear, j.Load.Tension = 6*strap.Tearing, 4*strap.Pull+1 }, "count.load.least", 11, true},
		{"count kept", func(j *shell.Joint) { j.Count = 10 }, "count.stated.least", 10, false},
		{"count of eleven", func(j *shell.Joint) { j.Count = 11 }, "count.stated.least", 11, true},
	} {
		s := on(strap.New(t))
		c.joint(&s.Shell.Joints[0])
		s.Shell.Joints[0].Load.Direction = shell.Along
		r := s.evaluate()
		if !c.broken {
			s.Only(r)
			if j := strap.Judged(t, r, c.rule); j.Places != 1 {
				t.Errorf("%s: %+v", c.name, j)
			}
			continue
		}
		s.Only(r, c.rule)
		if f := s.One(r, c.rule); f.Value != 10 || f.Limit != c.limit || f.Severity != layout.Broken || f.Joint != "strap" || f.Unit != "welds" {
			t.Errorf("%s: %s", c.name, strap.Words(f))
		}
	}
}

// What is said of a whole joint stands at the middle of its longest strip.
func TestAJointsPlaceIsOnItsLongestStrip(t *testing.T) {
	s := on(strap.New(t))
	s.AddStraight("strap/2", "strap", 0, 500, 100)
	s.AddWeld("strap/2", 50)
	s.Shell.Joints[0].Count = 12
	if at := s.One(s.evaluate(), "count.stated.least").At; at != (layout.Vec{strap.Length / 2, 0, 0}) {
		t.Errorf("at %v, want the middle of strap/1", at)
	}
}

func TestStripWithoutWelds(t *testing.T) {
	s := on(strap.New(t))
	s.Plan.Welds = nil
	s.Plan.Stations[0].Clamps = []layout.Fixture{{ID: "C1", At: layout.Vec{150, 0, 0}, Radius: 200, Release: "end"}}
	r := s.evaluate()
	s.Only(r, "count.flange.least", "shell.joined")
	strap.Has(t, s.One(r, "count.flange.least").Where, "0 welds on 300 mm (clamp C1 in the way)")
	s.Joint("strap").Kind = "roller"
	r = s.evaluate()
	s.Only(r, "shell.joined")
	if f := s.One(r, "shell.joined"); f.Severity != layout.Broken || f.Value != 0 || f.Limit != 1 {
		t.Errorf("%s", strap.Words(f))
	}
}

// A panel that lies on another and that nothing holds is said; one that lies on nothing is said where panels are judged.
func TestPanelThatNothingHolds(t *testing.T) {
	s := on(strap.New(t))
	s.Plan.Panels = append(s.Plan.Panels, layout.Panel{ID: "loose"}, layout.Panel{ID: "far"})
	s.Plan.Flanges = append(s.Plan.Flanges, layout.Flange{ID: "spare/1", Panels: []string{"roof", "loose"}})
	r := s.evaluate()
	s.Only(r, "panel.unjoined")
	if f := s.One(r, "panel.unjoined"); f.Severity != layout.Doubt || f.Where != "panel loose: no weld and no roller seam holds it" {
		t.Errorf("%s", strap.Words(f))
	}
}

func TestGroupOfWelds(t *testing.T) {
	s := on(strap.New(t).Rectangle())
	s.Shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{0, 0, 100}}}
	if err := resistance.Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	arm := math.Hypot(30, 20)
	each := 100e3 * arm / (4 * arm * arm)
	strap.Close(t, "closed form", each, 693.4, 0.1)
	// The force is at right angles to the arm: (20, 30)/36.06 from the line. The sheet's end lies 20 mm along the line from
	// the weld and 9 mm across: e1 = min(20/0.5547, 9/0.8321) = 10.82 mm, above 9.64 mm: strap.Tearing governs.
	for _, w := range s.Plan.Welds {
		strap.Close(t, "utilisation", w.Utilisation, each/strap.Tearing, 1e-9)
	}
	j := s.Joint("strap")
	strap.Close(t, "joint", j.Shear.Utilisation, each/strap.Tearing, 1e-9)
	strap.Has(t, j.Shear.Source, "weld group by elastic analysis")

	s.Shell.Joints[0].Forces[0].Moment[2] = 100 * strap.Tearing / each * 0.999
	r := s.evaluate()
	for _, f := range r.Findings {
		if strings.HasPrefix(f.Rule, "strength.ut") {
			t.Errorf("%s", strap.Words(f))
		}
	}
	s.Shell.Joints[0].Forces[0].Moment[2] = 100 * strap.Tearing / each * 1.01
	f := s.One(s.evaluate(), "strength.utilisation.greatest")
	strap.Has(t, f.Where, "joint strap: weld 1 carries 101 % of its resistance (shear 101 %, tension 0 %), the worst of 4")
}

// A straight row hinges about its own line.
func TestMomentAboutARow(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{5, 0, 0}}}
	r := s.evaluate()
	f := s.One(r, "strength.free.greatest")
	strap.Close(t, "free moment", f.Value, 5, 1e-9)
	if f.Unit != "N·m" || f.Severity != layout.Broken {
		t.Errorf("%s", strap.Words(f))
	}
	s.Shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{0, 0, 5}}}
	for _, f := range s.evaluate().Findings {
		if f.Rule == "strength.free.greatest" {
			t.Errorf("%s", strap.Words(f))
		}
	}
}

// Outside the range of the strength rule, said once for each bound: of the sheets also where no load counts on it, since what
// a weld carries is printed.
func TestStrengthOutsideItsRange(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Steels[1].Thickness, s.Shell.Steels[0].Thickness = 3.2, 3.2
	s.Shell.Joints[0].Load.Shear = 1000
	r := s.evaluate()
	f := s.One(r, "strength.en.thin")
	strap.Has(t, f.Where, "10 of its 10 welds")
	s.Shell.Joints[0].Load.Shear = 0
	for _, f := range s.evaluate().Findings {
		if strings.HasPrefix(f.Rule, "strength.en") && f.Rule != "strength.en.thin" {
			t.Errorf("%s", strap.Words(f))
		}
	}
	s.One(s.evaluate(), "strength.en.thin")
	s.One(s.evaluate(), "strength.aws.thin") // its tension
}
