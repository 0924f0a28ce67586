package setup

import (
	"context"
	"math"
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// A gun drives four fifths of its short-circuit current through the sheets: on both sides of the setting's.
func TestCurrentWantedAndDeliverable(t *testing.T) {
	s := on(strap.New(t))
	set := s.Setting()
	s.Shell.Guns[0].Current = 0
	strap.Has(t, strings.Join(s.evaluate().Unchecked, "\n"), "gun gun: its greatest short-circuit current is not stated (current_a)")
	s.Shell.Guns[0].Current = set.Current/0.8 + 1
	r := s.evaluate()
	s.Only(r)
	if strings.Contains(strings.Join(r.Unchecked, "\n"), "current_a") {
		t.Errorf("%v", r.Unchecked)
	}
	s.Shell.Guns[0].Current = set.Current/0.8 - 5
	f := s.One(s.evaluate(), "gun.current.least")
	strap.Close(t, "deliverable", f.Value, 0.8*s.Shell.Guns[0].Current, 1e-6)
	strap.Close(t, "wanted", f.Limit, set.Current, 1e-6)
	strap.Has(t, f.Where, "of its "+finding.Brief(s.Shell.Guns[0].Current)+" A in a short circuit it drives "+finding.Brief(f.Value)+
		" A through the sheets, "+
		"which gives 99 % of the weld's heat")
	if f.Severity != layout.Broken || f.Unit != "A" || f.Joint != "strap" {
		t.Errorf("%s", strap.Words(f))
	}
}

// What is drawn for a weld is of the rating, or of open voltage times the current that really flows where that is less; a gun of
// 2 kVA cannot give the 6 kW and more that flow into a weld at 8 kA, whatever is stated of its current.
func TestAGunGivesAtLeastWhatItsWeldsTake(t *testing.T) {
	set := on(strap.New(t)).Setting()
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
		s := on(strap.New(t))
		s.Shell.Guns[0].Power, s.Shell.Guns[0].Current, s.Shell.Guns[0].Voltage = c.rating, c.current, c.voltage
		if c.drawn == 0 {
			s.None(s.evaluate(), "gun.energy.least")
			continue
		}
		f := s.One(s.evaluate(), "gun.energy.least")
		strap.Close(t, c.name+": drawn", f.Value, c.drawn, 1e-6)
		strap.Close(t, c.name+": taken", f.Limit, takes, 1e-6)
		if f.Severity != layout.Broken || f.Unit != "J" {
			t.Errorf("%s: %s", c.name, strap.Words(f))
		}
	}
}

// The duty depends on the gun: at the same weld a smaller rating allows less, by its square.
func TestDutyDependsOnTheRating(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Guns[0].Voltage = 0
	strap.Has(t, strings.Join(s.evaluate().Unchecked, "\n"), "gun gun: its rating or the voltage at its open tips is not stated")
	s.Shell.Guns[0].Voltage, s.Shell.Guns[0].Power = 6, 40
	s.Only(s.evaluate())
	large := strap.Judged(t, s.evaluate(), "gun.duty.greatest").Limit
	kVA := 6 * s.Setting().Current / 1000
	allowed := 0.5 * 40 / kVA * 40 / kVA
	strap.Close(t, "allowed", large, math.Min(60*allowed/s.Setting().Weld, 60/(s.Setting().Squeeze+s.Setting().Weld+s.Setting().Hold)), 1e-6)
	s.Shell.Guns[0].Power = 10
	f := s.One(s.evaluate(), "gun.duty.greatest")
	if f.Severity != layout.Doubt || f.Limit >= large {
		t.Errorf("%s", strap.Words(f))
	}
	strap.Close(t, "a quarter of the rating", f.Limit, 60*0.5*100/kVA/kVA/s.Setting().Weld, 1e-6)
}

// A strap.Nugget does not grow wider than the face; a face far from the setting's is said once for the tip.
func TestOneCapOneFace(t *testing.T) {
	s := on(strap.New(t))
	set := s.Setting()
	s.Shell.Tips[0].Face = set.Nugget - 0.05
	f := s.One(s.evaluate(), "tip.nugget.least")
	strap.Close(t, "nugget", f.Limit, set.Nugget, 1e-9)
	if f.Severity != layout.Broken || f.Joint != "strap" {
		t.Errorf("%s", strap.Words(f))
	}
	for face, off := range map[float64]bool{set.Face: false, set.Face * 1.09: false, set.Face * 1.11: true, set.Face * 0.91: false,
		set.Face * 0.89: true} {
		s.Shell.Tips[0].Face = face
		n := 0
		for _, f := range s.evaluate().Findings {
			if f.Rule == "tip.setting.greatest" {
				n++
				strap.Has(t, f.Where, "tip fit: its face of")
				if f.Severity != layout.Doubt {
					t.Errorf("%s", strap.Words(f))
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
	s := on(strap.New(t))
	s.Shell.Steels[0].Tensile = 500
	f := s.One(s.evaluate(), "setting.tensile.greatest")
	strap.Has(t, f.Where, "its steel of 500 MPa is none that setting table optimum is for")
	if f.Severity != layout.Doubt || f.Value != 500 || f.Limit != 420 {
		t.Errorf("%s", strap.Words(f))
	}
}

// A voltage that is none of a welding gun's is said: too low to drive the current, or too low for the rating.
func TestOpenVoltageIsPlausible(t *testing.T) {
	s := on(strap.New(t))
	falls := s.Setting().Current * 100e-6
	s.Shell.Guns[0].Voltage, s.Shell.Guns[0].Power = falls-0.01, 2 // the rating is broken by other rules
	f := s.One(s.evaluate(), "gun.voltage.least")
	if f.Severity != layout.Broken || f.Unit != "V" || !(math.Abs(f.Limit-falls) <= 1e-9) {
		t.Errorf("%s", strap.Words(f))
	}
	s = on(strap.New(t))
	s.Shell.Guns[0].Voltage = 1000*s.Shell.Guns[0].Power/s.Shell.Guns[0].Current - 0.01
	f = s.One(s.evaluate(), "gun.short.least")
	if f.Severity != layout.Doubt || f.Unit != "kVA" || f.Limit != s.Shell.Guns[0].Power {
		t.Errorf("%s", strap.Words(f))
	}
	s.Shell.Guns[0].Voltage += 0.02
	s.None(s.evaluate(), "gun.short.least")
}

func TestStacks(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Steels[1].Thickness = 2.8 // ratio 3.11, pile-up 3.7 over 3.6
	r := s.evaluate()
	f := s.One(r, "stack.ratio.greatest")
	strap.Has(t, f.Where, "joint strap: stack 0.9 + 2.8")
	if f.Joint != "strap" || f.Severity != layout.Broken {
		t.Errorf("%+v", f)
	}
	s.One(r, "stack.pileup.greatest")

	// Notes on a stack-up are said once, with the joints that have it.
	s = on(strap.New(t).Neighbour(60, 0, "roof", "rail"))
	s.Shell.Steels[1].Coating = "Z100"
	s.Shell.Tips[0].Dress = 150
	r = s.evaluate()
	s.Only(r, "coating.zinc")
	strap.Has(t, s.One(r, "coating.zinc").Where, "stack 0.9 + 1.2 Z100, of joint strap, other")
	if len(r.Findings) != 1 {
		t.Errorf("%d findings", len(r.Findings))
	}
}

func TestSettingsThatAreNotFound(t *testing.T) {
	s := on(strap.New(t))
	s.Shell.Steels[0].Thickness, s.Shell.Steels[1].Thickness = 0.2, 0.3
	r := s.evaluate()
	f := s.One(r, "setting.found.least")
	strap.Has(t, f.Remedy, "far outside the setting table")
	if f.Severity != layout.Broken || f.Value != 0 || f.Limit != 1 {
		t.Errorf("%s", strap.Words(f))
	}
}

// Duty: a gun that draws more than its rating may weld less often. power² x duty <= rating² x 0.5 (ISO 669, memory).
func TestDuty(t *testing.T) {
	s := on(strap.New(t))
	set, err := setting.Spot(rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 270}}, s.Rules().Spot(nil))
	if err != nil {
		t.Fatal(err)
	}
	e := &s.Shell.Elements
	e.Position, e.Open = 0.2, 0.1
	rate := 60 / (set.Squeeze + set.Weld + set.Hold + 0.3)
	// The kVA over the rating at which the rate is just allowed, as a voltage at the open tips.
	share := math.Sqrt(0.5 / (rate * set.Weld / 60))
	volts := share * s.Shell.Guns[0].Power * 1000 / set.Current
	s.Shell.Guns[0].Voltage = volts * 0.999
	s.Only(s.evaluate())
	s.Shell.Guns[0].Voltage = volts * 1.01
	r := s.evaluate()
	s.Only(r, "gun.duty.greatest")
	f := s.One(r, "gun.duty.greatest")
	strap.Close(t, "rate", f.Value, rate, 1e-9)
	if f.Limit >= f.Value || f.Unit != "welds a minute" {
		t.Errorf("%s", strap.Words(f))
	}
}

// sample is a strap whose setups are judged.
type sample struct{ *strap.Sample }

func on(s *strap.Sample) *sample { return &sample{s} }

func (s *sample) evaluate() *ledger.Report {
	s.Helper()
	all, err := strips.Gather(context.Background(), s.Plan, s.Shell, s.Rules())
	if err != nil {
		s.Fatal(err)
	}
	c := Judge{ledger.New(all)}
	if c.Setups(); c.Failed != nil {
		s.Fatal(c.Failed)
	}
	return c.Sum()
}
