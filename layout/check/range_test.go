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

// thinStrap is a strap of 0.8 mm sheets whose welds stand 34.2 mm apart, 8 mm from the free edge: d_s = 5 root 0.8 = 4.472 mm,
// p1 to 35.8 mm, p2 to 26.8 mm, e1 from 8.94 mm.
func thinStrap(t *testing.T) *sample {
	s := on(strap.New(t))
	for i := range s.Shell.Steels {
		s.Shell.Steels[i].Thickness = 0.8
	}
	s.Plan.Welds = nil
	for i := range 9 {
		s.AddWeld("strap/1", 13+float64(i)*34.2)
		s.Plan.Welds[i].Left, s.Plan.Welds[i].Right = 8, 10
	}
	s.Tack(0, 2, 4, 6, 8)
	return s
}

// 20 kN across the row: the pitch is p2 there and the edge e1. Along the row both are within the rule. Without a direction
// both ways are judged.
func TestRangeByTheLoadsDirection(t *testing.T) {
	for _, c := range []struct {
		name   string
		load   shell.Load
		across bool
	}{
		{"across", shell.Load{Shear: 5000, Direction: shell.Across}, true},
		{"along", shell.Load{Shear: 5000, Direction: shell.Along}, false},
		{"not stated", shell.Load{Shear: 5000}, true},
		{"a flow not stated", shell.Load{Flow: 15}, true},
		{"a flow along", shell.Load{Flow: 15, Direction: shell.Along}, false},
	} {
		s := thinStrap(t)
		s.Shell.Joints[0].Load = c.load
		r := s.evaluate()
		if !c.across {
			for _, f := range r.Findings {
				if strings.HasPrefix(f.Rule, "strength.") || strings.HasPrefix(f.Rule, "pitch.") {
					t.Errorf("%s: %s", c.name, strap.Words(f))
				}
			}
			continue
		}
		edge, row := s.One(r, "strength.en.e1"), s.One(r, "pitch.across.greatest")
		strap.Close(t, "pitch", row.Value, 34.2, 1e-6)
		strap.Close(t, "edge", edge.Value, 8, 1e-9)
		if told := strings.HasPrefix(edge.Remedy, "state load.direction: along where the load runs so"); told != (c.load.Direction == "") {
			t.Errorf("%s: remedy %q", c.name, edge.Remedy)
		}
		strap.Close(t, "its limit", edge.Limit, 10*math.Sqrt(0.8), 1e-9)
		strap.Close(t, "limit of the row", row.Limit, 30*math.Sqrt(0.8), 1e-9)
		for _, f := range r.Findings { // the pitch is said once, by the rule of the pitch
			if f.Rule == "strength.en.p2" {
				t.Errorf("%s: the pitch is said twice: %s", c.name, strap.Words(f))
			}
		}
		for _, f := range []layout.Finding{edge, row} {
			if f.Severity != layout.Doubt {
				t.Errorf("%s: %s", c.name, strap.Words(f))
			}
		}
		if said := strings.Contains(edge.Where, "load.direction is not stated"); said != (c.load.Direction == "") {
			t.Errorf("%s: %s", c.name, edge.Where)
		}
	}
}

// A force at a place is judged by the way it takes through each weld.
func TestRangeOfForcesAtPlaces(t *testing.T) {
	for _, c := range []struct {
		force  [3]float64
		across bool
	}{{[3]float64{3000, 0, 0}, false}, {[3]float64{0, 3000, 0}, true}, {[3]float64{2000, 2000, 0}, true}} {
		s := thinStrap(t)
		s.Shell.Joints[0].Forces = []shell.Force{{At: [3]float64{150, 0, 0}, Force: c.force}}
		found := false
		for _, f := range s.evaluate().Findings {
			found = found || f.Rule == "strength.en.e1"
		}
		if found != c.across {
			t.Errorf("%v: e1 judged across %v, want %v", c.force, found, c.across)
		}
	}
}

// A load without a valid figure is broken; without a load it is said among what is not judged.
func TestLoadWithoutAFigure(t *testing.T) {
	s := on(strap.New(t))
	for i := range s.Shell.Steels {
		s.Shell.Steels[i].Tensile = 1500
	}
	s.Shell.Joints[0].Load.Shear = 1000
	r := s.evaluate()
	f := s.One(r, "strength.none")
	if f.Severity != layout.Broken || f.Joint != "strap" {
		t.Errorf("%s", strap.Words(f))
	}
	strap.Has(t, f.Where, "joint strap: a load is stated, but no rule gives what a weld")
	strap.Has(t, f.Source, "1500 MPa")
	if err := resistance.Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	if j := s.Joint("strap"); j.Shear.Capacity != 0 || j.Shear.Demand != 1000 || s.Plan.Welds[0].Shear != 0 {
		t.Errorf("%+v, weld %v N", j.Shear, s.Plan.Welds[0].Shear)
	}
	s.Shell.Joints[0].Load.Shear = 0
	r = s.evaluate()
	strap.Has(t, strings.Join(r.Unchecked, "\n"), "joint strap: what its welds carry: strength of")
	for _, f := range r.Findings {
		if f.Rule == "strength.none" {
			t.Errorf("%s", strap.Words(f))
		}
	}
}

// A load held against a bare test value is in doubt, and shear and tension of two kinds are not added unmarked.
func TestKindsOfFigureAreMarked(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Rules.Strength = "aws"
	s.Shell.Joints[0].Load = shell.Load{Shear: 1000, Direction: shell.Along}
	if f := s.One(s.evaluate(), "strength.basis"); f.Severity != layout.Doubt || f.Joint != "strap" {
		t.Errorf("%s", strap.Words(f))
	}
	s = on(strap.New(t))
	s.Shell.Joints[0].Load = shell.Load{Shear: 15000, Tension: 6000, Direction: shell.Along}
	f := s.One(s.evaluate(), "count.load.least")
	strap.Has(t, f.Where, "two kinds of figure are added: shear by a design value, tension by a least test value over a partial factor")
	if err := resistance.Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	strap.Has(t, s.Joint("strap").Shear.Source, "(memory), a design value")
	strap.Has(t, s.Joint("strap").Tension.Source, "(memory), a least test value over a partial factor")
	strap.Has(t, s.Joint("strap").Tension.Source, "least cross tension of AWS D8.1M governs")
}

// Above the yield stress a compression is broken whatever the pitch; below it the inelastic range asks for less pitch.
func TestCompressionAndYield(t *testing.T) {
	s := on(strap.New(t)) // yields at 140 MPa, pitch 30.67 mm: t root(eta 2.8786 x 210000 / s)
	for _, c := range []struct {
		stress float64
		rule   string
	}{{60, ""}, {120, ""}, {135, "pitch.buckling.greatest"}, {140, "pitch.buckling.greatest"},
		{141, "compression.yield.greatest"}, {2000, "compression.yield.greatest"}} {
		s.Shell.Joints[0].Compression = c.stress
		r := s.evaluate()
		if c.rule == "" {
			s.Only(r)
			continue
		}
		if c.stress > 140 {
			s.Only(r, c.rule, "pitch.buckling.greatest")
		} else {
			s.Only(r, c.rule)
		}
		if f := s.One(r, c.rule); f.Severity != layout.Broken {
			t.Errorf("%v MPa: %s", c.stress, strap.Words(f))
		}
	}
	s.Shell.Joints[0].Compression = 100
	for i := range s.Shell.Steels {
		s.Shell.Steels[i].Yield = 0
	}
	strap.Has(t, strings.Join(s.evaluate().Unchecked, "\n"), "flange strap/1: its compression is judged by elastic buckling alone")
}
