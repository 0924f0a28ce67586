package check

import (
	"context"
	"math"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/seams/setting"
)

func (s *sample) setting() setting.Setting {
	s.Helper()
	c := &checker{ctx: context.Background(), plan: s.plan, shell: s.shell, in: s.rules(), tally: map[string]*Judged{}}
	if err := c.gather(); err != nil {
		s.Fatal(err)
	}
	set, err := setting.Spot(c.strips[0].stack, c.in.Spot(nil))
	if err != nil {
		s.Fatal(err)
	}
	return set
}

// A gun drives four fifths of its short-circuit current through the sheets: on both sides of the setting's.
func TestCurrentWantedAndDeliverable(t *testing.T) {
	s := strap(t)
	set := s.setting()
	s.shell.Guns[0].Current = 0
	has(t, strings.Join(s.evaluate().Unchecked, "\n"), "gun gun: its greatest short-circuit current is not stated (current_a)")
	s.shell.Guns[0].Current = set.Current/0.8 + 1
	r := s.evaluate()
	s.only(r)
	if strings.Contains(strings.Join(r.Unchecked, "\n"), "current_a") {
		t.Errorf("%v", r.Unchecked)
	}
	s.shell.Guns[0].Current = set.Current/0.8 - 5
	f := s.one(s.evaluate(), "gun.current.least")
	close(t, "deliverable", f.Value, 0.8*s.shell.Guns[0].Current, 1e-6)
	close(t, "wanted", f.Limit, set.Current, 1e-6)
	has(t, f.Where, "of its "+brief(s.shell.Guns[0].Current)+" A in a short circuit it drives "+brief(f.Value)+" A through the sheets, "+
		"which gives 99 % of the weld's heat")
	if f.Severity != layout.Broken || f.Unit != "A" || f.Joint != "strap" {
		t.Errorf("%s", words(f))
	}
}

// What is drawn for a weld is of the rating, or of open voltage times the current that really flows where that is less; a gun of
// 2 kVA cannot give the 6 kW and more that flow into a weld at 8 kA, whatever is stated of its current.
func TestAGunGivesAtLeastWhatItsWeldsTake(t *testing.T) {
	set := strap(t).setting()
	takes := set.Current * set.Current * 100e-6 * set.Weld
	volts := set.Current * 100e-6 / 0.8 // of which 80 % are kW: just enough
	for _, c := range []struct {
		name                     string
		rating, current, voltage float64
		drawn                    float64 // J; 0: enough, or not known
	}{
		{"a rating of 2 kVA", 2, 14_000, 6, 2000 * 0.8 * set.Weld},
		{"a rating of 2 kVA, no more stated", 2, 0, 0, 2000 * 0.8 * set.Weld},
		{"just enough rating", takes/set.Weld/800 + 0.01, 14_000, 6, 0},
		{"volts too few for the setting's current", 40, 14_000, volts - 0.01, (volts - 0.01) * set.Current * 0.8 * set.Weld},
		{"just enough volts", 40, 14_000, volts + 0.01, 0},
		{"volts enough for the setting's current, not for what flows", 40, 0.9 * set.Current / 0.8, volts + 0.01,
			(volts + 0.01) * 0.9 * set.Current * 0.8 * set.Weld},
		{"no rating", 0, 14_000, volts - 0.01, (volts - 0.01) * set.Current * 0.8 * set.Weld},
		{"nothing stated", 0, 0, 0, 0},
	} {
		s := strap(t)
		s.shell.Guns[0].Power, s.shell.Guns[0].Current, s.shell.Guns[0].Voltage = c.rating, c.current, c.voltage
		if c.drawn == 0 {
			s.none("gun.energy.least")
			continue
		}
		f := s.one(s.evaluate(), "gun.energy.least")
		close(t, c.name+": drawn", f.Value, c.drawn, 1e-6)
		close(t, c.name+": taken", f.Limit, takes, 1e-6)
		if f.Severity != layout.Broken || f.Unit != "J" {
			t.Errorf("%s: %s", c.name, words(f))
		}
	}
}

// The duty depends on the gun: at the same weld a smaller rating allows less, by its square.
func TestDutyDependsOnTheRating(t *testing.T) {
	s := strap(t)
	s.shell.Guns[0].Voltage = 0
	has(t, strings.Join(s.evaluate().Unchecked, "\n"), "gun gun: its rating or the voltage at its open tips is not stated")
	s.shell.Guns[0].Voltage, s.shell.Guns[0].Power = 6, 40
	s.only(s.evaluate())
	large := judged(t, s.evaluate(), "gun.duty.greatest").Limit
	kVA := 6 * s.setting().Current / 1000
	allowed := 0.5 * 40 / kVA * 40 / kVA
	close(t, "allowed", large, math.Min(60*allowed/s.setting().Weld, 60/(s.setting().Squeeze+s.setting().Weld+s.setting().Hold)), 1e-6)
	s.shell.Guns[0].Power = 10
	f := s.one(s.evaluate(), "gun.duty.greatest")
	if f.Severity != layout.Doubt || f.Limit >= large {
		t.Errorf("%s", words(f))
	}
	close(t, "a quarter of the rating", f.Limit, 60*0.5*100/kVA/kVA/s.setting().Weld, 1e-6)
}

// Energy is conserved: heat between the tips and losses are what is drawn; the water is that of two electrodes.
func TestBudgetsConserveEnergy(t *testing.T) {
	s := strap(t)
	s.shell.Guns[0].Current, s.shell.Guns[0].Voltage = 14000, 6
	r := rolled(t, 100)
	r.shell.Rollers[0].Power, r.shell.Rollers[0].Current, r.shell.Rollers[0].Voltage = 60, 20000, 5
	for _, x := range []*sample{s, r} {
		all, err := Budgets(context.Background(), x.plan, x.shell, x.rules())
		if err != nil || len(all) != 1 {
			t.Fatal(all, err)
		}
		b := all[0]
		close(t, "conserved", b.Lost*3.6e6+b.Heat, b.Energy*3.6e6, 1e-6)
		if !(b.Lost > 0) || !(b.Heat > 0) || b.WaterLeast != 4 || b.WaterBest != 11 || !(b.Rise > 0 && b.Rise < 25) {
			t.Errorf("%+v", b)
		}
		if b.Deliverable < b.Wanted || !(b.Allowed > 0) {
			t.Errorf("%+v", b)
		}
	}
}

// A roller head is held to its current and its rating too.
func TestRollerHeads(t *testing.T) {
	r := rolled(t, 100)
	r.shell.Rollers[0].Power, r.shell.Rollers[0].Current, r.shell.Rollers[0].Voltage = 20, 9000, 6
	report := r.evaluate()
	if f := r.one(report, "gun.current.least"); f.Severity != layout.Broken {
		t.Errorf("%s", words(f))
	}
	if f := r.one(report, "gun.duty.greatest"); f.Severity != layout.Doubt || f.Unit != "% of the time" {
		t.Errorf("%s", words(f))
	}
	r.shell.Rollers[0].Power, r.shell.Rollers[0].Current = 170, 30000
	for _, f := range r.evaluate().Findings {
		if strings.HasPrefix(f.Rule, "gun.") {
			t.Errorf("%s", words(f))
		}
	}
}

// A nugget does not grow wider than the face; a face far from the setting's is said once for the tip.
func TestOneCapOneFace(t *testing.T) {
	s := strap(t)
	set := s.setting()
	s.shell.Tips[0].Face = set.Nugget - 0.05
	f := s.one(s.evaluate(), "tip.nugget.least")
	close(t, "nugget", f.Limit, set.Nugget, 1e-9)
	if f.Severity != layout.Broken || f.Joint != "strap" {
		t.Errorf("%s", words(f))
	}
	for face, off := range map[float64]bool{set.Face: false, set.Face * 1.09: false, set.Face * 1.11: true, set.Face * 0.91: false,
		set.Face * 0.89: true} {
		s.shell.Tips[0].Face = face
		n := 0
		for _, f := range s.evaluate().Findings {
			if f.Rule == "tip.setting.greatest" {
				n++
				has(t, f.Where, "tip fit: its face of")
				if f.Severity != layout.Doubt {
					t.Errorf("%s", words(f))
				}
			}
		}
		if n != map[bool]int{false: 0, true: 1}[off] {
			t.Errorf("a face of %v mm for %v mm: %d findings", face, set.Face, n)
		}
	}
}

// Steel that the setting tables are not for is said with the setting.
func TestSettingsForStrongSteel(t *testing.T) {
	s := strap(t)
	s.shell.Steels[0].Tensile = 500
	f := s.one(s.evaluate(), "setting.tensile.greatest")
	has(t, f.Where, "its steel of 500 MPa is none that setting table optimum is for")
	if f.Severity != layout.Doubt || f.Value != 500 || f.Limit != 420 {
		t.Errorf("%s", words(f))
	}
}

// A voltage that is none of a welding gun's is said: too low to drive the current, or too low for the rating.
func TestOpenVoltageIsPlausible(t *testing.T) {
	s := strap(t)
	falls := s.setting().Current * 100e-6
	s.shell.Guns[0].Voltage, s.shell.Guns[0].Power = falls-0.01, 2 // the rating is broken by other rules
	f := s.one(s.evaluate(), "gun.voltage.least")
	if f.Severity != layout.Broken || f.Unit != "V" || !(math.Abs(f.Limit-falls) <= 1e-9) {
		t.Errorf("%s", words(f))
	}
	s = strap(t)
	s.shell.Guns[0].Voltage = 1000*s.shell.Guns[0].Power/s.shell.Guns[0].Current - 0.01
	f = s.one(s.evaluate(), "gun.short.least")
	if f.Severity != layout.Doubt || f.Unit != "kVA" || f.Limit != s.shell.Guns[0].Power {
		t.Errorf("%s", words(f))
	}
	s.shell.Guns[0].Voltage += 0.02
	s.none("gun.short.least")
	r := rolled(t, 100)
	r.shell.Rollers[0].Power, r.shell.Rollers[0].Current, r.shell.Rollers[0].Voltage = 60, 20000, 2
	if f := r.one(r.evaluate(), "gun.short.least"); f.Value != 40 || f.Limit != 60 {
		t.Errorf("%s", words(f))
	}
}
