package review

import (
	"testing"

	"seamwright/layout"
)

// twoRuns is a plan of one station with a tacked and a filled run, the last weld out of every gun's reach.
func twoRuns() *layout.Plan {
	weld := func(number, run int, x float64, step layout.WeldStep, gun string, air float64) layout.Weld {
		return layout.Weld{Number: number, Run: run, Station: "jig", Joint: "j", Flange: "j/1", Along: x, Position: layout.Vec{x, 0, 0},
			Step: step, Gun: gun, Tip: "t", Turn: 90, Clearance: air}
	}
	fill := weld(3, 2, 40, "fill", "b", 0)
	fill.Waits = "waits until the joint is tacked"
	return &layout.Plan{
		Stations: []layout.Station{{ID: "jig"}, {ID: "other"}},
		Runs: []layout.Run{{ID: 1, Station: "jig", Flange: "j/1", From: 1, To: 2, Count: 2, Step: "tack", Gun: "a", Tip: "t"},
			{ID: 2, Station: "jig", Flange: "j/1", From: 3, To: 3, Count: 1, Step: "fill", Gun: "b", Tip: "t"}},
		Welds: []layout.Weld{weld(1, 1, 0, "tack", "a", 4), weld(2, 1, 80, "tack", "a", 2.5), fill},
		Findings: []layout.Finding{{Rule: "reach.throat", Severity: layout.Broken, Station: "jig", Where: "flange j/1",
			Remedy: "a deeper throat"}, {Rule: "fit.gap", Station: "jig"}, {Rule: "reach.tilt", Station: "other"}},
	}
}

func TestReachOf(t *testing.T) {
	r := reachOf(twoRuns(), "jig")
	if len(r.Welds) != 3 || len(r.Findings) != 1 || len(r.Guns) != 2 {
		t.Fatalf("%d welds, %d findings, %d guns", len(r.Welds), len(r.Findings), len(r.Guns))
	}
	if want := (reachGun{Gun: "a", Tip: "t", Welds: 2, Clearance: 2.5}); r.Guns[0] != want {
		t.Errorf("gun a: %+v, want %+v", r.Guns[0], want)
	}
	if want := (reachGun{Gun: "b", Tip: "t", Welds: 1, Missed: 1}); r.Guns[1] != want {
		t.Errorf("gun b: %+v, want %+v", r.Guns[1], want)
	}
	if other := reachOf(twoRuns(), "other"); len(other.Welds) != 0 || len(other.Findings) != 1 {
		t.Errorf("the other station: %+v", other)
	}
}

func TestOrderOf(t *testing.T) {
	plan := twoRuns()
	plan.Stations[0].Order = layout.Order{Travel: 120, GunChanges: 1, Seconds: 21.2, Proven: true}
	o := orderOf(layout.NewIndex(plan).Station(plan.Stations[0].ID))
	if len(o.Runs) != 2 || len(o.Welds) != 3 || o.Order != plan.Stations[0].Order {
		t.Errorf("%+v", o)
	}
}
