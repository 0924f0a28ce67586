package check

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

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
		{"gun.force.least", func(s *sample) { s.Shell.Guns[0].Force = force.Force }, func(s *sample) { s.Shell.Guns[0].Force = force.Force - 5 },
			force.Force - 5, force.Force, "gun A on stack 0.9 + 1.2 (10 welds on joint strap)", nil},
		{"tip.weld.least", func(s *sample) { s.Shell.Tips[0].Face = least }, func(s *sample) { s.Shell.Tips[0].Face = least - 0.1 }, least - 0.1,
			least, "its face of 3.69 mm is smaller", []string{"tip.nugget.least", "tip.setting.greatest"}},
		{"tip.face.worn.greatest", func(s *sample) { s.Shell.Tips[0].Face = worn }, func(s *sample) { s.Shell.Tips[0].Face = worn + 0.1 },
			worn + 0.1, worn, "that of a worn tip", []string{"tip.setting.greatest"}},
		{"tip.dress.bare.greatest", func(s *sample) { s.Shell.Tips[0].Dress = 5000 }, func(s *sample) { s.Shell.Tips[0].Dress = 5001 }, 5001,
			5000, "dressed every 5001 welds", nil},
	} {
		good, bad := on(strap.New(t)), on(strap.New(t))
		c.ok(good)
		good.Only(good.evaluate(), c.also...)
		c.bad(bad)
		r := bad.evaluate()
		bad.Only(r, append(c.also, c.rule)...)
		f := bad.One(r, c.rule)
		strap.Close(t, c.rule, f.Value, c.value, 1e-9)
		strap.Close(t, c.rule, f.Limit, c.limit, 1e-9)
		strap.Has(t, f.Where, c.words)
	}
	s := on(strap.New(t))
	s.Shell.Steels[0].Coating = "Z100"
	s.Shell.Tips[0].Dress = 201
	s.Only(s.evaluate(), "coating.zinc", "tip.dress.zinc.greatest")

	s = on(strap.New(t))
	s.Shell.Guns[0].Force = 0
	strap.Has(t, strings.Join(s.evaluate().Unchecked, "; "), "gun gun: its greatest force is not stated")
}

func TestRollers(t *testing.T) {
	s := on(strap.New(t).Rolled(100))
	r := s.evaluate()
	s.Only(r)
	for _, id := range []string{"setting.found.least", "roller.pitch.greatest", "roller.overlap.least", "roller.seat.least",
		"roller.radius.least", "roller.hollow.least"} {
		if j := strap.Judged(t, r, id); j.Places == 0 || j.Kept != j.Places {
			t.Errorf("%+v", j)
		}
	}
	strap.Close(t, "radius", strap.Judged(t, r, "roller.radius.least").Value, 100, 0.5)

	s = on(strap.New(t).Rolled(70)) // 80 stated
	r = s.evaluate()
	s.Only(r, "roller.radius.least")
	f := s.One(r, "roller.radius.least")
	strap.Close(t, "radius", f.Value, 70, 0.5)
	strap.Has(t, f.Where, "roller seam strap/1/roll: the path turns with a radius of 69.9")
	strap.Has(t, f.Source, "stated by the shell file (stated)")
	s.Shell.Rollers[0].LeastRadius = 0 // the book: ten wheel widths
	s.Only(s.evaluate())
	s.Shell.Rollers[0].Wheel = 7.5
	f = s.One(s.evaluate(), "roller.radius.least")
	strap.Close(t, "limit", f.Limit, 75, 1e-9)

	s = on(strap.New(t).Rolled(100))
	s.Shell.Steels[0].Thickness, s.Shell.Steels[1].Thickness = 0.2, 0.2
	s.One(s.evaluate(), "setting.found.least")
}

func TestRollerSeatAndOverlap(t *testing.T) {
	s := on(strap.New(t).Rolled(100))
	f := s.Flange("strap/1")
	for i := range f.Line {
		f.Line[i].Right = 4.4 // bend clearance 2 leaves 2.4 of the 2.5 that half the wheel needs
		f.Line[i].Left = 9
	}
	r := s.evaluate()
	s.Only(r, "roller.seat.least")
	g := s.One(r, "roller.seat.least")
	strap.Close(t, "room", g.Value, 2.4, 0.01)
	strap.Close(t, "needed", g.Limit, 2.5, 1e-9)
	for i := range f.Line {
		f.Line[i].Left = 8 // 12.4 in all, 12.7 asked for
	}
	s.Only(s.evaluate(), "roller.seat.least", "roller.overlap.least")
	// A path beside the weld line has its own room.
	for i := range f.Line {
		f.Line[i].Right, f.Line[i].Left = 4.4, 9
	}
	for i, p := range f.Places() {
		v := p.R3()
		to := v.Mul((v.Norm() - 0.2) / v.Norm()) // left of a ring run anticlockwise is inward
		s.Plan.Seams[0].Path = append(s.Plan.Seams[0].Path[:i:i], layout.Vec{to.X, to.Y, to.Z})
	}
	s.Only(s.evaluate())
}

// A path that dips: a hollow of radius 50 in the vertical plane against a wheel of radius 60.
func TestRollerHollow(t *testing.T) {
	s := on(strap.New(t))
	s.Plan.Welds, s.Plan.Flanges = nil, nil
	var points, normals []r3.Vector
	for a := -0.8; a <= 0.8; a += 0.02 {
		sin, cos := math.Sincos(a)
		points, normals = append(points, r3.Vector{X: 50 * sin, Z: -50 * cos}), append(normals, r3.Vector{X: -sin, Z: cos})
	}
	f := s.AddFlange("strap/1", "strap", points, normals, false)
	s.Joint("strap").Kind = "roller"
	s.Plan.Seams = []layout.Seam{{ID: "r", Flange: "strap/1", Roller: "roller", Path: f.Places(), Normals: f.Normals(), Length: f.Length}}
	r := s.evaluate()
	s.Only(r, "roller.hollow.least")
	g := s.One(r, "roller.hollow.least")
	strap.Close(t, "radius", g.Value, 50, 0.2)
	strap.Close(t, "limit", g.Limit, 60, 1e-9)
	strap.Has(t, g.Where, "bends out of the sheets' plane")
	s.Shell.Rollers[0].Diameter = 99
	s.Only(s.evaluate())
}

// A flange of 18 mm that turns round 30 mm in its own plane with a bend along one side: 1.67 of its widths.
func TestCornerRelief(t *testing.T) {
	s := ring(t, 30, 6)
	s.Tack(0, 2, 4)
	r := s.evaluate()
	s.Only(r, "corner.relief.least")
	f := s.One(r, "corner.relief.least")
	strap.Close(t, "widths", f.Value, 30.0/18, 0.03)
	if f.Severity != layout.Note {
		t.Errorf("%s", strap.Words(f))
	}
	g := s.Flange("strap/1")
	strap.SetRight(g, layout.FreeEdge) // nothing is bent: nothing gathers
	s.Only(s.evaluate())
	strap.SetRight(g, layout.Bend)
	for i := 0; i < len(g.Line); i += 10 { // notched all round
		p := g.Line[i].At.R3()
		p = p.Mul(1.4)
		g.Holes = append(g.Holes, layout.Hole{At: layout.Vec{p.X, p.Y, p.Z}, Radius: 2})
	}
	s.Only(s.evaluate())
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
