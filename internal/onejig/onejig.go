// Package onejig is a plan that tests of several packages share.
//
//	steps := stations.Steps(onejig.Plan(), 0, 5)
package onejig

import "seamwright/layout"

// Plan is of a main jig on which a roof closes an opening that is gauged first: two joints, four runs there and one elsewhere, and
// a roller seam.
func Plan() *layout.Plan {
	return &layout.Plan{
		Panels: []layout.Panel{{ID: "left", Name: "Left side", Mass: 8.04}, {ID: "right", Mass: 8}, {ID: "roof", Name: "Roof skin",
			Mass: 11}},
		Subassemblies: []layout.Subassembly{{ID: "sides", Name: "Sides", Parts: []string{"left", "right"}}},
		Stations: []layout.Station{{
			ID: "main", Arrives: []string{"sides", "roof"},
			Clamps: []layout.Fixture{{ID: "C1", At: layout.Vec{50, 0, 0}, Radius: 10, Release: "tacks"}, {ID: "C2", At: layout.Vec{50, 500, 0},
				Radius: 10, Release: "tacks"}, {ID: "C3", Release: "end", At: layout.Vec{0, 0, 900}}},
			Dowels: []layout.Fixture{{ID: "D1"}},
			HoldPoints: []layout.HoldPoint{{ID: "H1", Text: "Jig level"}, {ID: "H2", Text: "Screen opening", Before: "cap", Value: 812.5,
				Tolerance: 0.5}},
		}},
		Joints: []layout.Joint{{ID: "sill", Name: "sill seam", Station: "main", Panels: []string{"left", "right"}},
			{ID: "cap", Station: "main", Panels: []string{"left", "roof"}}},
		Flanges: []layout.Flange{{ID: "F1", Joint: "sill", Line: []layout.LinePoint{{At: layout.Vec{0, 0, 0}}, {At: layout.Vec{100, 0, 0}}}},
			{ID: "F2", Joint: "cap", Line: []layout.LinePoint{{At: layout.Vec{0, 500, 0}}, {At: layout.Vec{100, 500, 0}}}}},
		Runs: []layout.Run{
			{ID: 4, Station: "main", Joint: "cap", From: 9, To: 12, Count: 4, Gun: "b", Tip: "narrow", Step: "fill"},
			{ID: 1, Station: "main", Joint: "sill", From: 1, To: 3, Count: 3, Gun: "a", Tip: "dome", Step: "tack"},
			{ID: 2, Station: "main", Joint: "sill", From: 4, To: 4, Count: 1, Gun: "a", Tip: "dome", Step: "released"},
			{ID: 3, Station: "main", Joint: "cap", From: 5, To: 8, Count: 4, Gun: "b", Tip: "narrow", Step: "tack"},
			{ID: 9, Station: "elsewhere", Joint: "x", From: 1, To: 5, Count: 5, Gun: "a", Step: "fill"},
		},
		Seams: []layout.Seam{{ID: "R1", Station: "main", Joint: "cap", Roller: "w", Length: 2350, Speed: 25, Time: 94, After: 12}},
		Guns:  []layout.Gun{{ID: "a", Letter: "A"}, {ID: "b"}},
	}
}
