package planfile_test

import "seamwright/layout"

// samplePlan is a bracket on a plate: two spots, one roller seam, one of everything that a plan can hold.
func samplePlan() *layout.Plan {
	return &layout.Plan{
		Format: layout.Format,
		Shell:  layout.Shell{Name: "Bracket & plate", Number: "B-1", Revision: "A", Batch: 4},
		Panels: []layout.Panel{
			{ID: "plate", Name: "Plate", Steel: "st12", Grade: "DC04", Thickness: 1.2, Coating: "none", Surface: "mid", Triangles: 2,
				Area: 40000.001234, Mass: 0.37680004, Box: [2]layout.Vec{{0, 0, 0}, {200, 200, 0}}, Station: "bench"},
			{ID: "bracket", Name: "Bracket", Thickness: 0.9, Station: "bench"},
		},
		Stations: []layout.Station{{
			ID: "bench", Name: "Bench", Crew: 1, Arrives: []string{"plate", "bracket"}, Present: []string{"plate", "bracket"},
			Guns: []string{"a"}, GunCounts: []int{1},
			Clamps:     []layout.Fixture{{ID: "C1", At: layout.Vec{10, 10, 0}, Radius: 20, Release: "tacks"}},
			HoldPoints: []layout.HoldPoint{{ID: "H1", Text: "width", Value: 180, Tolerance: 0.5, To: layout.Vec{180, 0, 0}}},
			Steps:      []layout.Step{{Do: "load", Text: "Load the plate."}, {Do: "tack", Text: "Tack.", Runs: []int{1}}},
			Welds:      2, Minutes: 3.25,
		}},
		Joints: []layout.Joint{{ID: "J1", Panels: []string{"plate", "bracket"}, Kind: "spot+roller", Station: "bench", Flanges: []string{"F1"},
			Welds: 2, Length: 100}},
		Flanges: []layout.Flange{{ID: "F1", Joint: "J1", Panels: []string{"plate", "bracket"}, Length: 100, Line: []layout.LinePoint{
			{At: layout.Vec{0, 10, 0}, Normal: layout.Vec{0, 0, 1}, Left: 7, Right: 8, Ends: [2]layout.Edge{layout.FreeEdge, layout.Bend}},
			{Along: 100, At: layout.Vec{100, 10, 1.0 / 3}, Normal: layout.Vec{0, 2.0 / 3, -1e-9}, Left: 7.00004, Right: 8, Air: 0.1,
				Ends: [2]layout.Edge{layout.FreeEdge, layout.Bend}}}, Holes: []layout.Hole{{At: layout.Vec{50, 10, 0}, Radius: 4}}}},
		Runs: []layout.Run{{ID: 1, Station: "bench", Joint: "J1", Flange: "F1", From: 1, To: 2, Count: 2, Gun: "a", Tip: "t", Setting: "S1",
			Step: "tack"}},
		Welds: []layout.Weld{{Number: 1, Station: "bench", Joint: "J1", Flange: "F1", Run: 1, Position: layout.Vec{10.00004999, 10, 0},
			Axis: layout.Vec{0, 0, 1}, Sheets: []string{"plate", "bracket"}, WeldDiameter: 4.7434164, Gun: "a", Tip: "t", Setting: "S1",
			Step: "tack"}},
		Seams: []layout.Seam{{ID: "R1", Station: "bench", Joint: "J1", Flange: "F1", Roller: "w", Setting: "R1", Length: 100, Speed: 30,
			Time: 100.0 / 30}},
		Guns: []layout.Gun{{ID: "a", Letter: "A", Name: "C gun"}},
		Tips: []layout.Tip{{ID: "t", Name: "Domed", Shape: "domed", Face: 6, Dress: 60}},
		Settings: []layout.Setting{
			{ID: "S1", Kind: "spot", Supply: layout.AC, Stack: "1.2 + 0.9", Force: 2000, Current: 9000, Squeeze: 0.34, Weld: 0.18, Hold: 0.1},
		},
		Findings: []layout.Finding{{Rule: "edge distance", Severity: layout.Broken, Where: "weld 1", Value: 5.1234567, Limit: 5.9, Unit: "mm"},
			{Rule: "end.least", Severity: layout.Waived, Where: "flange F1", Flange: "F1", Was: layout.Broken, Reason: "proved by test",
				Name: "A. Fitter"}},
		Labour: layout.Labour{
			Lines: []layout.Line{{Kind: layout.WorkSqueeze, What: "squeeze", Station: "bench", Joint: "J1", Quantity: 2, Unit: "weld", Each: 0.34,
				Total: 0.68, From: "setting S1"}},
		},
		Cost: layout.Cost{Currency: "EUR", Batch: 4, Spread: layout.CostSpread{Trials: 100, Seed: 1, ShellP50: 31.4, ShellP80: 34.75,
			Movers: []layout.Mover{{ID: "position_s", Off: 20, Source: "common practice, no source", Low: 30, High: 33.25}}}},
	}
}
