package check

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// By EN 1993-1-3 Table 8.5, 0.9 on 1.2 mm of 270 MPa with the nugget of the setting, 4.331 mm, below 5 root 0.9 = 4.743 mm:
// F_tb = 2.7 x root 0.9 x 4.331 x 270 / 1.25 = 2396.3 N. The end of the sheet at 9 mm across gives 1.4 x 0.9 x 9 x 270 / 1.25 =
// 2449.4 N and does not govern. Tension by AWS D8.1M: 1250 x 0.9^2.2 / 1.25 = 793.1 N, below 0.74 x 2396.3 N.
const (
	nugget  = 4.3311925
	tearing = 2396.32798708826
	acrossN = tearing
	pullN   = 793.1101735123913
)

func TestNuggetByHand(t *testing.T) {
	if nugget <= 0.161*25.4 || nugget >= 0.181*25.4 { // the table's rows at 0.031 and 0.040 in
		t.Errorf("nugget %v mm", nugget)
	}
	close(t, "tearing", tearing, 2.7*math.Sqrt(0.9)*nugget*270/1.25, 1e-3)
}

func TestStrengthsFromRealDistances(t *testing.T) {
	s := strap(t)
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	for i := range s.plan.Welds {
		w := s.plan.Welds[i]
		close(t, "shear", w.Shear, acrossN, 1e-6)
		close(t, "tension", w.Tension, pullN, 1e-6)
		if w.Utilisation != 0 {
			t.Errorf("weld %d: utilisation %v without a load", w.Number, w.Utilisation)
		}
	}
	j := s.joint("strap")
	close(t, "joint", j.Shear.Capacity, strapWelds*acrossN, 1e-6)
	has(t, j.Shear.Source, "EN 1993-1-3:2006 clause 8.4, Table 8.5 (replaced by the 2024 edition, which was not seen) (memory), a design "+
		"value")
	s.plan.Welds[3].Left = 7 // 1.4 x 0.9 x 7 x 216
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	close(t, "weld near the edge", s.plan.Welds[3].Shear, 1.4*0.9*7*216, 1e-6)
	close(t, "joint by its weakest", s.joint("strap").Shear.Capacity, strapWelds*1.4*0.9*7*216, 1e-6)
	// Along the line edges across do not count, the sheet's end behind the first weld would.
	s.shell.Joints[0].Load.Flow, s.shell.Joints[0].Load.Direction = 40, shell.Along
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	close(t, "flow", s.joint("strap").Shear.Capacity, strapWelds*tearing, 1e-6)
	close(t, "utilisation", s.joint("strap").Shear.Utilisation, 40*strapLength/(strapWelds*tearing), 1e-9)
	close(t, "of a weld", s.plan.Welds[5].Utilisation, 40*strapLength/strapWelds/tearing, 1e-9)
	close(t, "demand", s.joint("strap").Shear.Demand, 40*strapLength, 1e-6)
}

// A gun that may be off by a millimetre leaves each weld that much less sheet to its edge and end; planned on the edge it carries next
// to nothing, and is not taken for one without an edge.
func TestStrengthsWithAGunThatIsOff(t *testing.T) {
	for _, c := range []struct{ left, off, want float64 }{{7, 1, 1.4 * 0.9 * 6 * 216}, {7, 0, 1.4 * 0.9 * 7 * 216}, {1, 1, 0}, {0.5, 1, 0},
		{20, 1, tearing}} {
		s := strap(t)
		s.plan.Welds[3].Left, s.shell.Rules.WeldTolerance = c.left, c.off
		if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
			t.Fatal(err)
		}
		close(t, fmt.Sprintf("%g mm from the edge, off by %g", c.left, c.off), s.plan.Welds[3].Shear, c.want, 1e-3)
	}
}

// The distance to an edge that is kept is the rule's and what the gun may be off.
func TestEdgeWithAGunThatIsOff(t *testing.T) {
	least := 6.25 * math.Sqrt(0.9) // by the default book
	for _, c := range []struct {
		more   float64
		broken bool
	}{{1.01, false}, {0.9, true}} {
		s := strap(t)
		s.shell.Rules.WeldTolerance = 1
		s.plan.Welds[3].Left = least + c.more
		r := s.evaluate()
		if j := judged(t, r, "edge.least"); j.Places == 0 {
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
		{"shear that ten carry", func(j *shell.Joint) { j.Load.Shear = 10 * acrossN }, "count.load.least", 10, false},
		{"shear for eleven", func(j *shell.Joint) { j.Load.Shear = 10*acrossN + 1 }, "count.load.least", 11, true},
		{"flow that ten carry", func(j *shell.Joint) { j.Load.Flow = 10 * tearing / strapLength }, "count.load.least", 10, false},
		{"flow for eleven", func(j *shell.Joint) { j.Load.Flow = 10*tearing/strapLength + 0.01 }, "count.load.least", 11, true},
		{"tension for eleven", func(j *shell.Joint) { j.Load.Tension = 10*pullN + 1 }, "count.load.least", 11, true},
		{"both", func(j *shell.Joint) { j.Load.Shear, j.Load.Tension = 6*acrossN, 4*pullN+1 }, "count.load.least", 11, true},
		{"count kept", func(j *shell.Joint) { j.Count = 10 }, "count.stated.least", 10, false},
		{"count of eleven", func(j *shell.Joint) { j.Count = 11 }, "count.stated.least", 11, true},
	} {
		s := strap(t)
		c.joint(&s.shell.Joints[0])
		s.shell.Joints[0].Load.Direction = shell.Along
		r := s.evaluate()
		if !c.broken {
			s.only(r)
			if j := judged(t, r, c.rule); j.Places != 1 {
				t.Errorf("%s: %+v", c.name, j)
			}
			continue
		}
		s.only(r, c.rule)
		if f := s.one(r, c.rule); f.Value != 10 || f.Limit != c.limit || f.Severity != layout.Broken || f.Joint != "strap" || f.Unit != "welds" {
			t.Errorf("%s: %s", c.name, words(f))
		}
	}
}

// What is said of a whole joint stands at the middle of its longest strip.
func TestAJointsPlaceIsOnItsLongestStrip(t *testing.T) {
	s := strap(t)
	s.addStraight("strap/2", "strap", 0, 500, 100)
	s.addWeld("strap/2", 50)
	s.shell.Joints[0].Count = 12
	if at := s.one(s.evaluate(), "count.stated.least").At; at != (layout.Vec{strapLength / 2, 0, 0}) {
		t.Errorf("at %v, want the middle of strap/1", at)
	}
}

func TestStripWithoutWelds(t *testing.T) {
	s := strap(t)
	s.plan.Welds = nil
	s.plan.Stations[0].Clamps = []layout.Fixture{{ID: "C1", At: layout.Vec{150, 0, 0}, Radius: 200, Release: "end"}}
	r := s.evaluate()
	s.only(r, "count.flange.least", "shell.joined")
	has(t, s.one(r, "count.flange.least").Where, "0 welds on 300 mm (clamp C1 in the way)")
	s.joint("strap").Kind = "roller"
	r = s.evaluate()
	s.only(r, "shell.joined")
	if f := s.one(r, "shell.joined"); f.Severity != layout.Broken || f.Value != 0 || f.Limit != 1 {
		t.Errorf("%s", words(f))
	}
}

// A panel that lies on another and that nothing holds is said; one that lies on nothing is said where panels are judged.
func TestPanelThatNothingHolds(t *testing.T) {
	s := strap(t)
	s.plan.Panels = append(s.plan.Panels, layout.Panel{ID: "loose"}, layout.Panel{ID: "far"})
	s.plan.Flanges = append(s.plan.Flanges, layout.Flange{ID: "spare/1", Panels: []string{"roof", "loose"}})
	r := s.evaluate()
	s.only(r, "panel.unjoined")
	if f := s.one(r, "panel.unjoined"); f.Severity != layout.Doubt || f.Where != "panel loose: no weld and no roller seam holds it" {
		t.Errorf("%s", words(f))
	}
}

// Other methods and factors reach the check: AISI S100 for 0.9 mm phi P_n = 0.65 x 5510 x 0.9^1.47 = 3067 N.
func TestStrengthByOtherRules(t *testing.T) {
	s := strap(t)
	s.shell.Rules.Strength = "aisi"
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	close(t, "AISI", s.plan.Welds[0].Shear, 0.65*5510*math.Pow(0.9, 1.47), 1e-6)
	s.shell.Rules.TensionFactor = 2
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	close(t, "tension over its factor", s.plan.Welds[0].Tension, pullN*1.25/2, 1e-6)
}

// Four welds at the corners of a 60 x 40 rectangle, made of two strips: a torsion of 100 N·m about z puts
// T r / sum r² = 100000 x 36.056 / 5200 = 693.4 N of shear on each. Closed form.
func rectangle(t *testing.T) *sample {
	s := strap(t)
	s.plan.Welds, s.plan.Flanges = nil, nil
	s.joint("strap").Flanges = nil
	for i, y := range []float64{-20, 20} {
		id := fmt.Sprintf("strap/%d", i+1)
		s.addStraight(id, "strap", -50, y, 100)
		s.addWeld(id, 20)
		s.addWeld(id, 80)
	}
	s.tack(0, 1, 2, 3)
	s.shell.Rules.GreatestPitch = 60
	return s
}

func TestGroupOfWelds(t *testing.T) {
	s := rectangle(t)
	s.shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{0, 0, 100}}}
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	arm := math.Hypot(30, 20)
	each := 100e3 * arm / (4 * arm * arm)
	close(t, "closed form", each, 693.4, 0.1)
	// The force is at right angles to the arm: (20, 30)/36.06 from the line. The sheet's end lies 20 mm along the line from
	// the weld and 9 mm across: e1 = min(20/0.5547, 9/0.8321) = 10.82 mm, above 9.64 mm: tearing governs.
	for _, w := range s.plan.Welds {
		close(t, "utilisation", w.Utilisation, each/tearing, 1e-9)
	}
	j := s.joint("strap")
	close(t, "joint", j.Shear.Utilisation, each/tearing, 1e-9)
	has(t, j.Shear.Source, "weld group by elastic analysis")

	s.shell.Joints[0].Forces[0].Moment[2] = 100 * tearing / each * 0.999
	r := s.evaluate()
	for _, f := range r.Findings {
		if strings.HasPrefix(f.Rule, "strength.ut") {
			t.Errorf("%s", words(f))
		}
	}
	s.shell.Joints[0].Forces[0].Moment[2] = 100 * tearing / each * 1.01
	f := s.one(s.evaluate(), "strength.utilisation.greatest")
	has(t, f.Where, "joint strap: weld 1 carries 101 % of its resistance (shear 101 %, tension 0 %), the worst of 4")
}

// Bending about y by 10 N·m: axial M x / sum x² = 10000 x 30 / 3600 = 83.3 N, pulling on one side and pushing on the other.
func TestPullAndPush(t *testing.T) {
	use := func(on string) []float64 {
		s := rectangle(t)
		s.shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{0, 10, 0}, On: on}}
		if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
			t.Fatal(err)
		}
		var out []float64
		for _, w := range s.plan.Welds {
			out = append(out, math.Round(w.Utilisation*pullN*10)/10)
		}
		return out
	}
	// A moment about +y pushes points at +x towards -z: roof is the first panel along the axis (+z), rail the last.
	for _, c := range []struct {
		on   string
		want string
	}{{"rail", "[83.3 0 83.3 0]"}, {"roof", "[0 83.3 0 83.3]"}, {"", "[83.3 83.3 83.3 83.3]"}} {
		if got := fmt.Sprint(use(c.on)); got != c.want {
			t.Errorf("on %q: %s, want %s", c.on, got, c.want)
		}
	}
}

// A straight row hinges about its own line.
func TestMomentAboutARow(t *testing.T) {
	s := strap(t)
	s.shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{5, 0, 0}}}
	r := s.evaluate()
	f := s.one(r, "strength.free.greatest")
	close(t, "free moment", f.Value, 5, 1e-9)
	if f.Unit != "N·m" || f.Severity != layout.Broken {
		t.Errorf("%s", words(f))
	}
	s.shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{0, 0, 5}}}
	for _, f := range s.evaluate().Findings {
		if f.Rule == "strength.free.greatest" {
			t.Errorf("%s", words(f))
		}
	}
}

// Two loads that act together are added as forces, not as sizes: equal and opposite ones leave nothing.
func TestLoadsActTogether(t *testing.T) {
	s := rectangle(t)
	s.shell.Joints[0].Forces = []shell.Force{{Force: [3]float64{1000, 0, 0}}, {Force: [3]float64{-1000, 0, 0}}}
	if err := Strengths(context.Background(), s.plan, s.shell, s.rules()); err != nil {
		t.Fatal(err)
	}
	if u := s.plan.Welds[0].Utilisation; u > 1e-12 {
		t.Errorf("utilisation %v", u)
	}
}

func TestEndInADirection(t *testing.T) {
	s := strap(t)
	c := &checker{ctx: context.Background(), plan: s.plan, shell: s.shell, in: s.rules(), tally: map[string]*Judged{}}
	if err := c.gather(); err != nil {
		t.Fatal(err)
	}
	first, middle := spot{c.strips[0].welds[0], c.strips[0], 0}, spot{c.strips[0].welds[4], c.strips[0], 4}
	at := func(deg float64) (d r3.Vector) {
		d.Y, d.X = math.Sincos(deg * math.Pi / 180)
		return d
	}
	for _, x := range []struct {
		w    spot
		deg  float64
		want float64
	}{{first, 0, 12}, {first, 90, 9}, {first, 45, 9 * math.Sqrt2}, {first, 30, 12 / math.Cos(math.Pi/6)}, {middle, 0, math.Inf(1)},
		{middle, 90, 9}, {middle, -90, 9}} {
		if got := x.w.toward(at(x.deg)); !(math.Abs(got-x.want) <= 1e-9) && got != x.want {
			t.Errorf("weld %d at %v°: %v, want %v", x.w.weld.Number, x.deg, got, x.want)
		}
	}
}

// Outside the range of the strength rule, said once for each bound: of the sheets also where no load counts on it, since what
// a weld carries is printed.
func TestStrengthOutsideItsRange(t *testing.T) {
	s := strap(t)
	s.shell.Steels[1].Thickness, s.shell.Steels[0].Thickness = 3.2, 3.2
	s.shell.Joints[0].Load.Shear = 1000
	r := s.evaluate()
	f := s.one(r, "strength.en.thin")
	has(t, f.Where, "10 of its 10 welds")
	s.shell.Joints[0].Load.Shear = 0
	for _, f := range s.evaluate().Findings {
		if strings.HasPrefix(f.Rule, "strength.en") && f.Rule != "strength.en.thin" {
			t.Errorf("%s", words(f))
		}
	}
	s.one(s.evaluate(), "strength.en.thin")
	s.one(s.evaluate(), "strength.aws.thin") // its tension
}
