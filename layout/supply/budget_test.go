package supply

import (
	"context"
	"strings"
	"testing"

	"seamwright/internal/strap"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// Energy is conserved: heat between the tips and losses are what is drawn; the water is that of two electrodes.
func TestBudgetsConserveEnergy(t *testing.T) {
	s := strap.New(t)
	s.Shell.Guns[0].Current, s.Shell.Guns[0].Voltage = 14000, 6
	r := strap.New(t).Rolled(100)
	r.Shell.Rollers[0].Power, r.Shell.Rollers[0].Current, r.Shell.Rollers[0].Voltage = 60, 20000, 5
	for _, x := range []*strap.Sample{s, r} {
		all, err := Budgets(context.Background(), x.Plan, x.Shell, x.Rules())
		if err != nil || len(all) != 1 {
			t.Fatal(all, err)
		}
		b := all[0]
		strap.Close(t, "conserved", b.Lost*3.6e6+b.Heat, b.Energy*3.6e6, 1e-6)
		if !(b.Lost > 0) || !(b.Heat > 0) || b.WaterLeast != 4 || b.WaterBest != 11 || !(b.Rise > 0 && b.Rise < 25) {
			t.Errorf("%+v", b)
		}
		if b.Deliverable < b.Wanted || !(b.Allowed > 0) {
			t.Errorf("%+v", b)
		}
	}
}

func TestBudgets(t *testing.T) {
	s := strap.New(t)
	all, err := Budgets(context.Background(), s.Plan, s.Shell, s.Rules())
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	b := all[0]
	set, err := setting.Spot(rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 270}}, setting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	strap.Close(t, "heat of one", b.EachMost, set.Current*set.Current*100e-6*set.Weld, 1e-6)
	strap.Close(t, "heat", b.Heat, 10*b.EachLeast, 1e-6)
	strap.Close(t, "current", b.Current, 10*set.Weld, 1e-9)
	strap.Close(t, "energy", b.Energy, 0.8*6*set.Current/1000*10*set.Weld/3600, 1e-9) // 80 % of 6 V x the current
	strap.Close(t, "power", b.Power, 0.8*6*set.Current/1000, 1e-9)
	strap.Close(t, "lost", b.Lost, b.Energy-b.Heat/3.6e6, 1e-12)
	strap.Close(t, "warmer", b.Rise, b.Heat/b.Current*b.Duty/(4186*11./60), 1e-9) // two electrodes, 5.5 l/min each
	if !(b.Allowed > 0.1) || b.Drawn != 6*set.Current/1000 || b.Deliverable != 0.8*14000 || b.WaterLeast != 4 || b.WaterBest != 11 ||
		b.Wanted != set.Current {
		t.Errorf("%+v", b)
	}
	if b.Duty <= 0 || b.Duty > 0.1 || !strings.Contains(b.Basis, "estimate") {
		t.Errorf("%+v", b)
	}
	r := strap.New(t).Rolled(100)
	all, err = Budgets(context.Background(), r.Plan, r.Shell, r.Rules())
	if err != nil || len(all) != 1 || all[0].Metres < 0.6 || !(all[0].Heat > 0) || !(all[0].Rise > 0 && all[0].Rise < 30) {
		t.Errorf("%+v, %v", all, err)
	}
}
