package resistance

import (
	"context"
	"fmt"
	"math"
	"testing"

	"seamwright/internal/strap"
	"seamwright/seams/shell"
)

func TestNuggetByHand(t *testing.T) {
	if strap.Nugget <= 0.161*25.4 || strap.Nugget >= 0.181*25.4 { // the table's rows at 0.031 and 0.040 in
		t.Errorf("nugget %v mm", strap.Nugget)
	}
	strap.Close(t, "tearing", strap.Tearing, 2.7*math.Sqrt(0.9)*strap.Nugget*270/1.25, 1e-3)
}

func TestStrengthsFromRealDistances(t *testing.T) {
	s := strap.New(t)
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	for i := range s.Plan.Welds {
		w := s.Plan.Welds[i]
		strap.Close(t, "shear", w.Shear, strap.Tearing, 1e-6)
		strap.Close(t, "tension", w.Tension, strap.Pull, 1e-6)
		if w.Utilisation != 0 {
			t.Errorf("weld %d: utilisation %v without a load", w.Number, w.Utilisation)
		}
	}
	j := s.Joint("strap")
	strap.Close(t, "joint", j.Shear.Capacity, strap.Welds*strap.Tearing, 1e-6)
	strap.Has(t, j.Shear.Source, "EN 1993-1-3:2006 clause 8.4, Table 8.5 (replaced by the 2024 edition, which was not seen) (memory), a "+
		"design value")
	s.Plan.Welds[3].Left = 7 // 1.4 x 0.9 x 7 x 216
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	strap.Close(t, "weld near the edge", s.Plan.Welds[3].Shear, 1.4*0.9*7*216, 1e-6)
	strap.Close(t, "joint by its weakest", s.Joint("strap").Shear.Capacity, strap.Welds*1.4*0.9*7*216, 1e-6)
	// Along the line edges across do not count, the sheet's end behind the first weld would.
	s.Shell.Joints[0].Load.Flow, s.Shell.Joints[0].Load.Direction = 40, shell.Along
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	strap.Close(t, "flow", s.Joint("strap").Shear.Capacity, strap.Welds*strap.Tearing, 1e-6)
	strap.Close(t, "utilisation", s.Joint("strap").Shear.Utilisation, 40*strap.Length/(strap.Welds*strap.Tearing), 1e-9)
	strap.Close(t, "of a weld", s.Plan.Welds[5].Utilisation, 40*strap.Length/strap.Welds/strap.Tearing, 1e-9)
	strap.Close(t, "demand", s.Joint("strap").Shear.Demand, 40*strap.Length, 1e-6)
}

// A gun that may be off by a millimetre leaves each weld that much less sheet to its edge and end; planned on the edge it carries next
// to nothing, and is not taken for one without an edge.
func TestStrengthsWithAGunThatIsOff(t *testing.T) {
	for _, c := range []struct{ left, off, want float64 }{{7, 1, 1.4 * 0.9 * 6 * 216}, {7, 0, 1.4 * 0.9 * 7 * 216}, {1, 1, 0}, {0.5, 1, 0},
		{20, 1, strap.Tearing}} {
		s := strap.New(t)
		s.Plan.Welds[3].Left, s.Shell.Rules.WeldTolerance = c.left, c.off
		if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
			t.Fatal(err)
		}
		strap.Close(t, fmt.Sprintf("%g mm from the edge, off by %g", c.left, c.off), s.Plan.Welds[3].Shear, c.want, 1e-3)
	}
}

// Other methods and factors reach the check: AISI S100 for 0.9 mm phi P_n = 0.65 x 5510 x 0.9^1.47 = 3067 N.
func TestStrengthByOtherRules(t *testing.T) {
	s := strap.New(t)
	s.Shell.Rules.Strength = "aisi"
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	strap.Close(t, "AISI", s.Plan.Welds[0].Shear, 0.65*5510*math.Pow(0.9, 1.47), 1e-6)
	s.Shell.Rules.TensionFactor = 2
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	strap.Close(t, "tension over its factor", s.Plan.Welds[0].Tension, strap.Pull*1.25/2, 1e-6)
}

// Bending about y by 10 N·m: axial M x / sum x² = 10000 x 30 / 3600 = 83.3 N, pulling on one side and pushing on the other.
func TestPullAndPush(t *testing.T) {
	use := func(on string) []float64 {
		s := strap.New(t).Rectangle()
		s.Shell.Joints[0].Forces = []shell.Force{{Moment: [3]float64{0, 10, 0}, On: on}}
		if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
			t.Fatal(err)
		}
		var out []float64
		for _, w := range s.Plan.Welds {
			out = append(out, math.Round(w.Utilisation*strap.Pull*10)/10)
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

// Two loads that act together are added as forces, not as sizes: equal and opposite ones leave nothing.
func TestLoadsActTogether(t *testing.T) {
	s := strap.New(t).Rectangle()
	s.Shell.Joints[0].Forces = []shell.Force{{Force: [3]float64{1000, 0, 0}}, {Force: [3]float64{-1000, 0, 0}}}
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	if u := s.Plan.Welds[0].Utilisation; u > 1e-12 {
		t.Errorf("utilisation %v", u)
	}
}

// The load decides the resistance too: along the line the edge beside it does not count.
func TestResistanceByTheLoadsDirection(t *testing.T) {
	s := strap.New(t)
	for i := range s.Plan.Welds {
		s.Plan.Welds[i].Left = 7 // e1 across: 1.4 x 0.9 x 7 x 270 / 1.25 = 1905.1 N
	}
	for direction, each := range map[string]float64{shell.Along: strap.Tearing, shell.Across: 1905.12, "": 1905.12} {
		s.Shell.Joints[0].Load = shell.Load{Shear: 9000, Direction: direction}
		if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
			t.Fatal(err)
		}
		strap.Close(t, "of the joint, "+direction, s.Joint("strap").Shear.Capacity, strap.Welds*each, 1e-6)
		strap.Close(t, "of a weld, "+direction, s.Plan.Welds[4].Utilisation, 900/each, 1e-9)
	}
}

// What a test must show: 4 root t, and in a joint with a load the diameter that its strength counts on.
func TestAcceptedDiameter(t *testing.T) {
	s := strap.New(t)
	accepted := func() float64 {
		t.Helper()
		if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
			t.Fatal(err)
		}
		return s.Plan.Welds[0].Accepted
	}
	strap.Close(t, "without a load", accepted(), 4*math.Sqrt(0.9), 1e-9)
	s.Shell.Joints[0].Load.Tension = 1
	strap.Close(t, "with one", accepted(), strap.Nugget, 1e-6)
	s.Shell.Rules.Settings = "class-a" // whose nuggets are wider than 5 root t
	strap.Close(t, "with a wider nugget", accepted(), 5*math.Sqrt(0.9), 1e-9)
}

// A weld of the second row carries to the end of the sheet as its first does.
func TestEndOfEachRow(t *testing.T) {
	s := strap.New(t).TwoRows(16, 2)
	if err := Strengths(context.Background(), s.Plan, s.Shell, s.Rules()); err != nil {
		t.Fatal(err)
	}
	first, second, inner := s.Plan.Welds[0], s.Plan.Welds[10], s.Plan.Welds[4]
	if !(first.Shear <= second.Shear && second.Shear <= inner.Shear) || first.Shear <= 0 {
		t.Errorf("%g N and %g N at the end, %g N within", first.Shear, second.Shear, inner.Shear)
	}
}
