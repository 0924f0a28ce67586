package check

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

func TestStacks(t *testing.T) {
	s := strap(t)
	s.shell.Steels[1].Thickness = 2.8 // ratio 3.11, pile-up 3.7 over 3.6
	r := s.evaluate()
	f := s.one(r, "stack.ratio.greatest")
	has(t, f.Where, "joint strap: stack 0.9 + 2.8")
	if f.Joint != "strap" || f.Severity != layout.Broken {
		t.Errorf("%+v", f)
	}
	s.one(r, "stack.pileup.greatest")

	// Notes on a stack-up are said once, with the joints that have it.
	s = neighbour(t, 60, 0, "roof", "rail")
	s.shell.Steels[1].Coating = "Z100"
	s.shell.Tips[0].Dress = 150
	r = s.evaluate()
	s.only(r, "coating.zinc")
	has(t, s.one(r, "coating.zinc").Where, "stack 0.9 + 1.2 Z100, of joint strap, other")
	if len(r.Findings) != 1 {
		t.Errorf("%d findings", len(r.Findings))
	}
}

func TestSettingsThatAreNotFound(t *testing.T) {
	s := strap(t)
	s.shell.Steels[0].Thickness, s.shell.Steels[1].Thickness = 0.2, 0.3
	r := s.evaluate()
	f := s.one(r, "setting.found.least")
	has(t, f.Remedy, "far outside the setting table")
	if f.Severity != layout.Broken || f.Value != 0 || f.Limit != 1 {
		t.Errorf("%s", words(f))
	}
}

func TestTools(t *testing.T) {
	force, err := setting.Spot(rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 270}}, setting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	least, worn := 4*math.Sqrt(0.9), 6.5*math.Sqrt(0.9)
	for _, c := range []struct {
		rule    string
		ok, bad func(*sample)
		value   float64
		limit   float64
		words   string
		also    []string // what a face far from the setting's breaks besides
	}{
		{"gun.force.least", func(s *sample) { s.shell.Guns[0].Force = force.Force }, func(s *sample) { s.shell.Guns[0].Force = force.Force - 5 },
			force.Force - 5, force.Force, "gun A on stack 0.9 + 1.2 (10 welds on joint strap)", nil},
		{"tip.weld.least", func(s *sample) { s.shell.Tips[0].Face = least }, func(s *sample) { s.shell.Tips[0].Face = least - 0.1 }, least - 0.1,
			least, "its face of 3.69 mm is smaller", []string{"tip.nugget.least", "tip.setting.greatest"}},
		{"tip.face.worn.greatest", func(s *sample) { s.shell.Tips[0].Face = worn }, func(s *sample) { s.shell.Tips[0].Face = worn + 0.1 },
			worn + 0.1, worn, "that of a worn tip", []string{"tip.setting.greatest"}},
		{"tip.dress.bare.greatest", func(s *sample) { s.shell.Tips[0].Dress = 5000 }, func(s *sample) { s.shell.Tips[0].Dress = 5001 }, 5001,
			5000, "dressed every 5001 welds", nil},
	} {
		good, bad := strap(t), strap(t)
		c.ok(good)
		good.only(good.evaluate(), c.also...)
		c.bad(bad)
		r := bad.evaluate()
		bad.only(r, append(c.also, c.rule)...)
		f := bad.one(r, c.rule)
		close(t, c.rule, f.Value, c.value, 1e-9)
		close(t, c.rule, f.Limit, c.limit, 1e-9)
		has(t, f.Where, c.words)
	}
	s := strap(t)
	s.shell.Steels[0].Coating = "Z100"
	s.shell.Tips[0].Dress = 201
	s.only(s.evaluate(), "coating.zinc", "tip.dress.zinc.greatest")

	s = strap(t)
	s.shell.Guns[0].Force = 0
	has(t, strings.Join(s.evaluate().Unchecked, "; "), "gun gun: its greatest force is not stated")
}

// Duty: a gun that draws more than its rating may weld less often. power² x duty <= rating² x 0.5 (ISO 669, memory).
func TestDuty(t *testing.T) {
	s := strap(t)
	set, err := setting.Spot(rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 270}}, s.rules().Spot(nil))
	if err != nil {
		t.Fatal(err)
	}
	e := &s.shell.Elements
	e.Position, e.Open = 0.2, 0.1
	rate := 60 / (set.Squeeze + set.Weld + set.Hold + 0.3)
	// The kVA over the rating at which the rate is just allowed, as a voltage at the open tips.
	share := math.Sqrt(0.5 / (rate * set.Weld / 60))
	volts := share * s.shell.Guns[0].Power * 1000 / set.Current
	s.shell.Guns[0].Voltage = volts * 0.999
	s.only(s.evaluate())
	s.shell.Guns[0].Voltage = volts * 1.01
	r := s.evaluate()
	s.only(r, "gun.duty.greatest")
	f := s.one(r, "gun.duty.greatest")
	close(t, "rate", f.Value, rate, 1e-9)
	if f.Limit >= f.Value || f.Unit != "welds a minute" {
		t.Errorf("%s", words(f))
	}
}

func rolled(t *testing.T, radius float64) *sample {
	s := strap(t)
	s.plan.Welds, s.plan.Flanges = nil, nil
	f := s.addRing("strap/1", "strap", radius)
	s.joint("strap").Kind = "roller"
	s.plan.Seams = []layout.Seam{{ID: "strap/1/roll", Station: "jig", Joint: "strap", Flange: "strap/1", Roller: "roller",
		Path: f.Places(), Normals: f.Normals(), Closed: true, Length: f.Length}}
	return s
}

func TestRollers(t *testing.T) {
	s := rolled(t, 100)
	r := s.evaluate()
	s.only(r)
	for _, id := range []string{"setting.found.least", "roller.pitch.greatest", "roller.overlap.least", "roller.seat.least",
		"roller.radius.least", "roller.hollow.least"} {
		if j := judged(t, r, id); j.Places == 0 || j.Kept != j.Places {
			t.Errorf("%+v", j)
		}
	}
	close(t, "radius", judged(t, r, "roller.radius.least").Value, 100, 0.5)

	s = rolled(t, 70) // 80 stated
	r = s.evaluate()
	s.only(r, "roller.radius.least")
	f := s.one(r, "roller.radius.least")
	close(t, "radius", f.Value, 70, 0.5)
	has(t, f.Where, "roller seam strap/1/roll: the path turns with a radius of 69.9")
	has(t, f.Source, "stated by the shell file (stated)")
	s.shell.Rollers[0].LeastRadius = 0 // the book: ten wheel widths
	s.only(s.evaluate())
	s.shell.Rollers[0].Wheel = 7.5
	f = s.one(s.evaluate(), "roller.radius.least")
	close(t, "limit", f.Limit, 75, 1e-9)

	s = rolled(t, 100)
	s.shell.Steels[0].Thickness, s.shell.Steels[1].Thickness = 0.2, 0.2
	s.one(s.evaluate(), "setting.found.least")
}

func TestRollerSeatAndOverlap(t *testing.T) {
	s := rolled(t, 100)
	f := s.flange("strap/1")
	for i := range f.Line {
		f.Line[i].Right = 4.4 // bend clearance 2 leaves 2.4 of the 2.5 that half the wheel needs
		f.Line[i].Left = 9
	}
	r := s.evaluate()
	s.only(r, "roller.seat.least")
	g := s.one(r, "roller.seat.least")
	close(t, "room", g.Value, 2.4, 0.01)
	close(t, "needed", g.Limit, 2.5, 1e-9)
	for i := range f.Line {
		f.Line[i].Left = 8 // 12.4 in all, 12.7 asked for
	}
	s.only(s.evaluate(), "roller.seat.least", "roller.overlap.least")
	// A path beside the weld line has its own room.
	for i := range f.Line {
		f.Line[i].Right, f.Line[i].Left = 4.4, 9
	}
	for i, p := range f.Places() {
		v := p.R3()
		to := v.Mul((v.Norm() - 0.2) / v.Norm()) // left of a ring run anticlockwise is inward
		s.plan.Seams[0].Path = append(s.plan.Seams[0].Path[:i:i], layout.Vec{to.X, to.Y, to.Z})
	}
	s.only(s.evaluate())
}

// A path that dips: a hollow of radius 50 in the vertical plane against a wheel of radius 60.
func TestRollerHollow(t *testing.T) {
	s := strap(t)
	s.plan.Welds, s.plan.Flanges = nil, nil
	var points, normals []r3.Vector
	for a := -0.8; a <= 0.8; a += 0.02 {
		sin, cos := math.Sincos(a)
		points, normals = append(points, r3.Vector{X: 50 * sin, Z: -50 * cos}), append(normals, r3.Vector{X: -sin, Z: cos})
	}
	f := s.addFlange("strap/1", "strap", points, normals, false)
	s.joint("strap").Kind = "roller"
	s.plan.Seams = []layout.Seam{{ID: "r", Flange: "strap/1", Roller: "roller", Path: f.Places(), Normals: f.Normals(), Length: f.Length}}
	r := s.evaluate()
	s.only(r, "roller.hollow.least")
	g := s.one(r, "roller.hollow.least")
	close(t, "radius", g.Value, 50, 0.2)
	close(t, "limit", g.Limit, 60, 1e-9)
	has(t, g.Where, "bends out of the sheets' plane")
	s.shell.Rollers[0].Diameter = 99
	s.only(s.evaluate())
}

// A flange of 18 mm that turns round 30 mm in its own plane with a bend along one side: 1.67 of its widths.
func TestCornerRelief(t *testing.T) {
	s := ring(t, 30, 6)
	s.tack(0, 2, 4)
	r := s.evaluate()
	s.only(r, "corner.relief.least")
	f := s.one(r, "corner.relief.least")
	close(t, "widths", f.Value, 30.0/18, 0.03)
	if f.Severity != layout.Note {
		t.Errorf("%s", words(f))
	}
	g := s.flange("strap/1")
	setRight(g, layout.FreeEdge) // nothing is bent: nothing gathers
	s.only(s.evaluate())
	setRight(g, layout.Bend)
	for i := 0; i < len(g.Line); i += 10 { // notched all round
		p := g.Line[i].At.R3()
		p = p.Mul(1.4)
		g.Holes = append(g.Holes, layout.Hole{At: layout.Vec{p.X, p.Y, p.Z}, Radius: 2})
	}
	s.only(s.evaluate())
}

func TestBudgets(t *testing.T) {
	s := strap(t)
	all, err := Budgets(context.Background(), s.plan, s.shell, s.rules())
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	b := all[0]
	set, err := setting.Spot(rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 270}}, setting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	close(t, "heat of one", b.EachMost, set.Current*set.Current*100e-6*set.Weld, 1e-6)
	close(t, "heat", b.Heat, 10*b.EachLeast, 1e-6)
	close(t, "current", b.Current, 10*set.Weld, 1e-9)
	close(t, "energy", b.Energy, 0.8*6*set.Current/1000*10*set.Weld/3600, 1e-9) // 80 % of 6 V x the current
	close(t, "power", b.Power, 0.8*6*set.Current/1000, 1e-9)
	close(t, "lost", b.Lost, b.Energy-b.Heat/3.6e6, 1e-12)
	close(t, "warmer", b.Rise, b.Heat/b.Current*b.Duty/(4186*11./60), 1e-9) // two electrodes, 5.5 l/min each
	if !(b.Allowed > 0.1) || b.Drawn != 6*set.Current/1000 || b.Deliverable != 0.8*14000 || b.WaterLeast != 4 || b.WaterBest != 11 ||
		b.Wanted != set.Current {
		t.Errorf("%+v", b)
	}
	if b.Duty <= 0 || b.Duty > 0.1 || !strings.Contains(b.Basis, "estimate") {
		t.Errorf("%+v", b)
	}
	r := rolled(t, 100)
	all, err = Budgets(context.Background(), r.plan, r.shell, r.rules())
	if err != nil || len(all) != 1 || all[0].Metres < 0.6 || !(all[0].Heat > 0) || !(all[0].Rise > 0 && all[0].Rise < 30) {
		t.Errorf("%+v, %v", all, err)
	}
}

func TestStacksOfAJoint(t *testing.T) {
	s := strap(t)
	s.addStraight("strap/2", "strap", 400, 0, 100).Panels = []string{"rail", "roof"}
	s.addStraight("strap/3", "strap", 600, 0, 100).Panels = []string{"rail", "roof", "stiff"}
	stacks, err := Stacks(s.plan, s.rules(), "strap")
	if err != nil || len(stacks) != 2 || stacks[0].String() != "0.9 + 1.2" || stacks[1].String() != "1.2 + 0.9 + 1.2" {
		t.Errorf("%v, %v", stacks, err)
	}
}

// Whatever the check may say has a remedy in the book, and the roller and tip rules stand there.
func TestEveryRuleSaidHasARemedy(t *testing.T) {
	aims := []string{"weld.diameter", "tip.face"}
	for _, r := range rule.Book() {
		aim := false
		for _, id := range aims {
			aim = aim || r.ID == id
		}
		if r.Remedy == "" && !aim {
			t.Errorf("%s has no remedy", r.ID)
		}
	}
}
