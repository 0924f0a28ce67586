package check

import (
	"context"
	"math"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// thinStrap is a strap of 0.8 mm sheets whose welds stand 34.2 mm apart, 8 mm from the free edge: d_s = 5 root 0.8 = 4.472 mm,
// p1 to 35.8 mm, p2 to 26.8 mm, e1 from 8.94 mm.
func thinStrap(t *testing.T) *sample {
	s := strap(t)
	for i := range s.shell.Steels {
		s.shell.Steels[i].Thickness = 0.8
	}
	s.plan.Welds = nil
	for i := range 9 {
		s.addWeld("strap/1", 13+float64(i)*34.2)
		s.plan.Welds[i].Left, s.plan.Welds[i].Right = 8, 10
	}
	s.tack(0, 2, 4, 6, 8)
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
		s.shell.Joints[0].Load = c.load
		r := s.evaluate()
		if !c.across {
			for _, f := range r.Findings {
				if strings.HasPrefix(f.Rule, "strength.") || strings.HasPrefix(f.Rule, "pitch.") {
					t.Errorf("%s: %s", c.name, words(f))
				}
			}
			continue
		}
		edge, row := s.one(r, "strength.en.e1"), s.one(r, "pitch.across.greatest")
		close(t, "pitch", row.Value, 34.2, 1e-6)
		close(t, "edge", edge.Value, 8, 1e-9)
		if told := strings.HasPrefix(edge.Remedy, "state load.direction: along where the load runs so"); told != (c.load.Direction == "") {
			t.Errorf("%s: remedy %q", c.name, edge.Remedy)
		}
		close(t, "its limit", edge.Limit, 10*math.Sqrt(0.8), 1e-9)
		close(t, "limit of the row", row.Limit, 30*math.Sqrt(0.8), 1e-9)
		for _, f := range r.Findings { // the pitch is said once, by the rule of the pitch
			if f.Rule == "strength.en.p2" {
				t.Errorf("%s: the pitch is said twice: %s", c.name, words(f))
			}
		}
		for _, f := range []layout.Finding{edge, row} {
			if f.Severity != layout.Doubt {
				t.Errorf("%s: %s", c.name, words(f))
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
		s.shell.Joints[0].Forces = []shell.Force{{At: [3]float64{150, 0, 0}, Force: c.force}}
		found := false
		for _, f := range s.evaluate().Findings {
			found = found || f.Rule == "strength.en.e1"
		}
		if found != c.across {
			t.Errorf("%v: e1 judged across %v, want %v", c.force, found, c.across)
		}
	}
}

// The load decides the resistance too: along the line the edge beside it does not count.
func TestResistanceByTheLoadsDirection(t *testing.T) {
	s := strap(t)
	for i := range s.plan.Welds {
		s.plan.Welds[i].Left = 7 // e1 across: 1.4 x 0.9 x 7 x 270 / 1.25 = 1905.1 N
	}
	for direction, each := range map[string]float64{shell.Along: tearing, shell.Across: 1905.12, "": 1905.12} {
		s.shell.Joints[0].Load = shell.Load{Shear: 9000, Direction: direction}
		if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
			t.Fatal(err)
		}
		close(t, "of the joint, "+direction, s.joint("strap").Shear.Capacity, strapWelds*each, 1e-6)
		close(t, "of a weld, "+direction, s.plan.Welds[4].Utilisation, 900/each, 1e-9)
	}
}

// A load without a valid figure is broken; without a load it is said among what is not judged.
func TestLoadWithoutAFigure(t *testing.T) {
	s := strap(t)
	for i := range s.shell.Steels {
		s.shell.Steels[i].Tensile = 1500
	}
	s.shell.Joints[0].Load.Shear = 1000
	r := s.evaluate()
	f := s.one(r, "strength.none")
	if f.Severity != layout.Broken || f.Joint != "strap" {
		t.Errorf("%s", words(f))
	}
	has(t, f.Where, "joint strap: a load is stated, but no rule gives what a weld")
	has(t, f.Source, "1500 MPa")
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	if j := s.joint("strap"); j.Shear.Capacity != 0 || j.Shear.Demand != 1000 || s.plan.Welds[0].Shear != 0 {
		t.Errorf("%+v, weld %v N", j.Shear, s.plan.Welds[0].Shear)
	}
	s.shell.Joints[0].Load.Shear = 0
	r = s.evaluate()
	has(t, strings.Join(r.Unchecked, "\n"), "joint strap: what its welds carry: strength of")
	for _, f := range r.Findings {
		if f.Rule == "strength.none" {
			t.Errorf("%s", words(f))
		}
	}
}

// A load held against a bare test value is in doubt, and shear and tension of two kinds are not added unmarked.
func TestKindsOfFigureAreMarked(t *testing.T) {
	s := strap(t)
	s.shell.Rules.Strength = "aws"
	s.shell.Joints[0].Load = shell.Load{Shear: 1000, Direction: shell.Along}
	if f := s.one(s.evaluate(), "strength.basis"); f.Severity != layout.Doubt || f.Joint != "strap" {
		t.Errorf("%s", words(f))
	}
	s = strap(t)
	s.shell.Joints[0].Load = shell.Load{Shear: 15000, Tension: 6000, Direction: shell.Along}
	f := s.one(s.evaluate(), "count.load.least")
	has(t, f.Where, "two kinds of figure are added: shear by a design value, tension by a least test value over a partial factor")
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	has(t, s.joint("strap").Shear.Source, "(memory), a design value")
	has(t, s.joint("strap").Tension.Source, "(memory), a least test value over a partial factor")
	has(t, s.joint("strap").Tension.Source, "least cross tension of AWS D8.1M governs")
}

// What a test must show: 4 root t, and in a joint with a load the diameter that its strength counts on.
func TestAcceptedDiameter(t *testing.T) {
	s := strap(t)
	accepted := func() float64 {
		t.Helper()
		if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
			t.Fatal(err)
		}
		return s.plan.Welds[0].Accepted
	}
	close(t, "without a load", accepted(), 4*math.Sqrt(0.9), 1e-9)
	s.shell.Joints[0].Load.Tension = 1
	close(t, "with one", accepted(), nugget, 1e-6)
	s.shell.Rules.Settings = "class-a" // whose nuggets are wider than 5 root t
	close(t, "with a wider nugget", accepted(), 5*math.Sqrt(0.9), 1e-9)
}

// Above the yield stress a compression is broken whatever the pitch; below it the inelastic range asks for less pitch.
func TestCompressionAndYield(t *testing.T) {
	s := strap(t) // yields at 140 MPa, pitch 30.67 mm: t root(eta 2.8786 x 210000 / s)
	for _, c := range []struct {
		stress float64
		rule   string
	}{{60, ""}, {120, ""}, {135, "pitch.buckling.greatest"}, {140, "pitch.buckling.greatest"},
		{141, "compression.yield.greatest"}, {2000, "compression.yield.greatest"}} {
		s.shell.Joints[0].Compression = c.stress
		r := s.evaluate()
		if c.rule == "" {
			s.only(r)
			continue
		}
		if c.stress > 140 {
			s.only(r, c.rule, "pitch.buckling.greatest")
		} else {
			s.only(r, c.rule)
		}
		if f := s.one(r, c.rule); f.Severity != layout.Broken {
			t.Errorf("%v MPa: %s", c.stress, words(f))
		}
	}
	s.shell.Joints[0].Compression = 100
	for i := range s.shell.Steels {
		s.shell.Steels[i].Yield = 0
	}
	has(t, strings.Join(s.evaluate().Unchecked, "\n"), "flange strap/1: its compression is judged by elastic buckling alone")
}
