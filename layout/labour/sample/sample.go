// Package sample holds a made-up cab of three stations and 410 spots that tests of time and money reckon with.
//
//	sh := sample.Works()
//	plan := sample.Cab(sh)
package sample

import (
	"fmt"

	"seamwright/layout"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// Works is a shell file of round figures.
func Works() *shell.Shell {
	sh := shellfile.Default()
	sh.Batch = 24
	sh.Stations = []shell.Station{{ID: "floor", Prepare: 240, Change: 30}, {ID: "side", Prepare: 270}, {ID: "main", Prepare: 480}}
	sh.Rates.Labour, sh.Rates.Overhead, sh.Rates.Water = 46, 35, 3
	sh.Tips[0].Price, sh.Tips[0].Dress, sh.Tips[0].Dressings = 5, 100, 10
	sh.Rollers[0].Price, sh.Rollers[0].Wheels, sh.Rollers[0].Dress, sh.Rollers[0].Power = 140, 2000, 60, 60
	sh.Guns[0].Power = 45
	return sh
}

// Cab is a plan of three stations with joints of several runs and a rolled seam.
func Cab(sh *shell.Shell) *layout.Plan {
	gun, tip, roller := sh.Guns[0].ID, sh.Tips[0].ID, sh.Rollers[0].ID
	p := &layout.Plan{
		Panels: []layout.Panel{{ID: "pan", Mass: 22}, {ID: "sill", Mass: 6}, {ID: "outer", Mass: 12}, {ID: "inner", Mass: 8},
			{ID: "roof", Mass: 9}},
		Subassemblies: []layout.Subassembly{{ID: "under", Parts: []string{"pan", "sill"}}, {ID: "flank", Parts: []string{"outer", "inner"}},
			{ID: "body", Parts: []string{"under", "flank", "roof"}}},
		Stations: []layout.Station{
			{ID: "floor", Crew: 1, Makes: "under", Arrives: []string{"pan", "sill"}, Clamps: make([]layout.Fixture, 8),
				Dowels: make([]layout.Fixture, 2)},
			{ID: "side", Crew: 1, Makes: "flank", Arrives: []string{"outer", "inner"}, Clamps: make([]layout.Fixture, 7),
				HoldPoints: make([]layout.HoldPoint, 1)},
			{ID: "main", Crew: 2, Makes: "body", Arrives: []string{"under", "flank", "roof"}, Clamps: make([]layout.Fixture, 10),
				Dowels: make([]layout.Fixture, 4), HoldPoints: make([]layout.HoldPoint, 3)},
		},
		Settings: []layout.Setting{{ID: "S1", Squeeze: 0.4, Weld: 0.16, Hold: 0.18}, {ID: "S2", Weld: 0.2, Hold: 0.2},
			{ID: "R1", Weld: 0.06, Hold: 0.02}},
		Seams: []layout.Seam{{ID: "gutter", Station: "main", Joint: "gutter", Flange: "F3", Roller: roller, Setting: "R1", Length: 4460,
			Speed: 30, Time: 149, After: 50}},
	}
	run := 0
	for k, j := range []struct {
		id, station, setting string
		welds, run           int
		length               float64
	}{{"sill-pan", "floor", "S1", 90, 12, 3600}, {"door", "side", "S1", 150, 9, 5200}, {"gutter", "main", "S1", 100, 8, 4400},
		{"foot", "main", "S2", 70, 10, 2500}} {
		p.Joints = append(p.Joints, layout.Joint{ID: j.id, Panels: []string{"pan", "sill"}})
		p.Flanges = append(p.Flanges, layout.Flange{ID: fmt.Sprint("F", k+1), Joint: j.id, Length: j.length})
		for i := range j.welds {
			if i%j.run == 0 {
				run++
				p.Runs = append(p.Runs, layout.Run{ID: run, Station: j.station})
			}
			number := 1
			for _, w := range p.Welds {
				if w.Station == j.station {
					number++
				}
			}
			p.Welds = append(p.Welds, layout.Weld{Number: number, Station: j.station, Joint: j.id, Flange: fmt.Sprint("F", k+1), Run: run,
				Position: layout.Vec{float64(i) * 35, float64(k) * 400, 0}, Gun: gun, Tip: tip, Setting: j.setting})
		}
	}
	return p
}
