package labour_test

import (
	"fmt"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// bench is a shell file with figures that are easy to reckon with by hand; they are no works' figures.
func bench() *shell.Shell {
	return &shell.Shell{
		Batch:    4,
		Stations: []shell.Station{{ID: "tray-jig", Prepare: 120}, {ID: "main", Prepare: 360, Change: 40}},
		Guns:     []shell.Gun{{ID: "a", Power: 20}, {ID: "b", Power: 40}},
		Tips:     []shell.Tip{{ID: "dome", Dress: 50, Dressings: 10, Price: 6}, {ID: "narrow", Dress: 20, Dressings: 5, Price: 9}},
		Rollers:  []shell.Roller{{ID: "w", Dress: 10, Wheels: 200, Price: 80, Power: 100}},
		Rates: shell.Rates{Currency: "EUR", Labour: 36, JigWork: 48, Energy: 0.25, Overhead: 10, Utilisation: 60, Coupon: 0.5,
			HoursPerWeek: 40, Water: 3, WaterFlow: 5},
		Allowances: shell.Allowances{
			Personal: 5, Fatigue: 4, Posture: 4, Contingency: 5, Rework: 2, Learning: 0.9,
		},
		Elements: shell.Elements{
			LoadPanel: 20, LoadPerKg: 1, Dowel: 3, Clamp: 5, Release: 2, Gauge: 60, Squeeze: 0.4, Position: 2, Open: 0.5, MoveSpeed: 200,
			TakeGun: 15, TipChange: 45, Dressing: 20, CapChange: 90, RollerStart: 30, WheelChange: 600, LiftOut: 40,
			Inspect: 5, InspectEvery: 10, Coupon: 100, Coupons: 1, Marking: 20, StartRun: 12, Fit: 50,
		},
	}
}

// tray is a plan of two stations: twenty welds in the tray jig; ten more, with two guns, and a seam in the main jig.
func tray() *layout.Plan {
	p := &layout.Plan{
		Panels:        []layout.Panel{{ID: "pan", Mass: 8}, {ID: "sill", Mass: 2}, {ID: "roof", Mass: 5}},
		Subassemblies: []layout.Subassembly{{ID: "tray", Parts: []string{"pan", "sill"}}, {ID: "body", Parts: []string{"tray", "roof"}}},
		Stations: []layout.Station{
			{ID: "tray-jig", Crew: 1, Makes: "tray", Arrives: []string{"pan", "sill"}, Clamps: make([]layout.Fixture, 4),
				Dowels: make([]layout.Fixture, 2), HoldPoints: make([]layout.HoldPoint, 1)},
			{ID: "main", Crew: 2, Makes: "body", Arrives: []string{"tray", "roof"}, Clamps: make([]layout.Fixture, 6)},
		},
		Joints:  []layout.Joint{{ID: "sill-pan"}, {ID: "roof-pan"}, {ID: "unused"}},
		Flanges: []layout.Flange{{ID: "F1", Joint: "sill-pan", Length: 1000}, {ID: "F2", Joint: "roof-pan", Length: 500}},
		Settings: []layout.Setting{{ID: "S1", Squeeze: 0.3, Weld: 0.2, Hold: 0.1}, {ID: "S2", Weld: 0.25, Hold: 0.15},
			{ID: "R1", Weld: 0.04, Hold: 0.06}},
		Seams: []layout.Seam{{ID: "R1", Station: "main", Joint: "roof-pan", Flange: "F2", Roller: "w", Setting: "R1", Length: 500,
			Speed: 25, Time: 20, After: 10}},
		Tips: []layout.Tip{{ID: "dome"}, {ID: "narrow"}},
		Runs: []layout.Run{{ID: 1, Joint: "sill-pan"}, {ID: 2, Joint: "sill-pan"}, {ID: 3, Joint: "roof-pan"}},
	}
	for i := range 20 {
		w := layout.Weld{Number: i + 1, Station: "tray-jig", Joint: "sill-pan", Flange: "F1", Run: 1, Position: layout.Vec{float64(i) * 50, 0,
			0}, Gun: "a", Tip: "dome", Setting: "S1"}
		if i >= 12 {
			w.Run = 2
		}
		p.Welds = append(p.Welds, w)
	}
	for i := range 10 {
		w := layout.Weld{Number: i + 1, Station: "main", Joint: "roof-pan", Flange: "F2", Run: 3, Position: layout.Vec{float64(i) * 50, 500, 0},
			Gun: "a", Tip: "dome", Setting: "S2"}
		if i >= 5 {
			w.Gun, w.Tip = "b", "narrow"
		}
		if i >= 8 {
			w.Tip = "dome"
		}
		p.Welds = append(p.Welds, w)
	}
	return p
}

// find returns the lines of one kind at one place.
func find(lines []layout.Line, what, station, joint string) []layout.Line {
	var found []layout.Line
	for _, l := range lines {
		if l.What == what && l.Station == station && l.Joint == joint {
			found = append(found, l)
		}
	}
	return found
}

func show(l layout.Line) string {
	return fmt.Sprintf("%s %s %s: %.4f %s x %.4f = %.4f (%s)", l.Station, l.Joint, l.What, l.Quantity, l.Unit, l.Each, l.Total, l.From)
}
