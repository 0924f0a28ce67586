package pack

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// plate is a flat panel of the plane z.
func plate(id string, x0, y0, x1, y1, z float64) view.Panel {
	return view.NewPanel(id, near.NewShape(&mesh.Mesh{
		Vertices:  []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}), 1)
}

func panels() []view.Panel {
	return []view.Panel{plate("floor", 0, 0, 400, 60, 0), plate("sill", 0, 40, 400, 100, 1), plate("roof", 0, 80, 400, 160, 2)}
}

// sample has two stations: the floor's product goes to the main jig.
func sample() *layout.Plan {
	p := &layout.Plan{
		Format: layout.Format,
		Shell: layout.Shell{Name: `Cab & <"cart">`, Number: "C-7", Revision: "B", Batch: 12, Approver: "lead", Issued: "2026-03-02",
			Input: "feedc0de"},
		Panels: []layout.Panel{
			{ID: "floor", Name: "floor & more", Thickness: 1, Station: "fl", Grade: "DC04"}, {ID: "sill", Thickness: 1.2, Station: "fl"},
			{ID: "roof", Name: "roof", Thickness: 0.8, Station: "main"},
		},
		Subassemblies: []layout.Subassembly{{ID: "base", Name: "floor with sill", Parts: []string{"floor", "sill"}}},
		Stations: []layout.Station{
			{ID: "fl", Name: "Floor", Crew: 1, Makes: "base", Arrives: []string{"floor", "sill"}, Present: []string{"floor", "sill"}, Minutes: 20,
				Steps: []layout.Step{{Do: "load", Text: "Load floor."}, {Do: "tack", Text: "Tack welds 1 to 3."}}},
			{ID: "main", Name: "Main jig", Crew: 2, Arrives: []string{"base", "roof"}, Present: []string{"floor", "sill", "roof"}, Minutes: 12.5,
				HoldPoints: []layout.HoldPoint{{ID: "H1", Text: "width", Before: "top", Value: 160, Tolerance: 1}},
				Steps: []layout.Step{{Do: layout.DoFill, Text: "Fill welds 1 to 8.", Runs: []int{2}, Persons: []int{1, 2}, To: 5},
					{Do: "chalk", Text: "Chalk the number on.", Persons: []int{1, 2}, From: 5, To: 12.5}}},
		},
		Joints: []layout.Joint{
			{ID: "side", Panels: []string{"floor", "sill"}, Station: "fl", Flanges: []string{"side/1"}, Welds: 12},
			{ID: "top", Panels: []string{"sill", "roof"}, Kind: "spot+roller", Station: "main", Flanges: []string{"top/1"}, Welds: 8},
		},
		Guns: []layout.Gun{{ID: "g", Letter: "A", Name: "C gun"}}, Tips: []layout.Tip{{ID: "t"}},
		Settings: []layout.Setting{{ID: "S1", Kind: "spot", Stack: "1 + 1.2", Force: 2250, Current: 9100, Weld: 0.2, Nugget: 4.6},
			{ID: "R1", Kind: "roller", Stack: "1.2 + 0.8", Force: 2400, Current: 13000, Speed: 30, Wheel: 5}},
		Findings: []layout.Finding{{Rule: "x", Severity: layout.Doubt, Where: "weld 1"}},
		Flow: layout.Flow{Bottleneck: "fl", BottleneckMinutes: 20, ShellsPerWeek: 114, FirstShell: 32.5, Makespan: 252.5,
			MakespanPrepared: 300},
		Cost: layout.Cost{Currency: "EUR", Batch: 12, MinutesPerShell: 55, CostPerShell: 60.5, CostPerBatch: 726, RollerMetresPerShell: 0.4,
			Lines: []layout.Line{
				{
					Kind:     layout.PaidLabour,
					What:     "labour",
					Station:  "fl",
					Quantity: 20,
					Unit:     "min",
					Each:     0.8,
					Total:    16,
				}, {Kind: layout.PaidLabour, What: "labour", Station: "main", Quantity: 25,
					Unit: "min", Each: 0.8, Total: 20},
				{Kind: layout.PaidPreparation, What: "jig preparation", Station: "fl", Quantity: 10, Unit: "min", Each: 2.4, Total: 24},
				{Kind: layout.PaidCaps, What: "caps", Station: "fl", Quantity: 0.0067, Unit: "pair", Each: 75, Total: 0.5},
			}},
	}
	addStrip(p, "side/1", "side", "fl", 50, 12, []string{"floor", "sill"})
	addStrip(p, "top/1", "top", "main", 90, 8, []string{"sill", "roof"})
	path := p.Flanges[1].Places()
	p.Seams = []layout.Seam{{ID: "top/1/roll", Station: "main", Joint: "top", Flange: "top/1", Setting: "R1", Path: path,
		Normals: p.Flanges[1].Normals(), Length: 396, Speed: 30, Time: 13.2, After: 8}}
	p.Stations[0].Crewing = layout.Crewing{Minutes: 20, Bound: 20, Proven: true, Shares: []layout.Share{{Person: 1, Step: 1, To: 8},
		{Person: 1, Step: 2, Run: 1, From: 8, To: 20}}}
	p.Stations[1].Crewing = layout.Crewing{Minutes: 12.5, Bound: 11, Shares: []layout.Share{{Person: 1, Step: 1, Run: 2, To: 5},
		{Person: 1, Step: 2, From: 5, To: 12.5}, {Person: 2, Step: 1, Run: 2, To: 5}, {Person: 2, Step: 2, From: 5, To: 12.5}}}
	p.Labour = layout.Labour{CouponsEach: 1,
		ManMinutesPerShell: 45, PrepareMinutes: 120, RollerMetres: 0.396, Welds: 20,
		Stations: []layout.StationLabour{
			{Station: "fl", Name: "Floor", Crew: 1, ManMinutes: 20, Minutes: 20, Weld: 8, Handling: 12, Welds: 12, Prepare: 60, Cost: 38},
			{Station: "main", Name: "Main jig", Crew: 2, ManMinutes: 25, Minutes: 12.5, Weld: 10, Roll: 3, Handling: 12, RollerMetre: 0.396,
				Welds: 8, Prepare: 60, Cost: 22.5},
		},
		Lines: []layout.Line{
			{Kind: layout.WorkLoad, What: "load panels and sub-assemblies", Station: "fl", Element: "load_panel_s", Quantity: 2, Total: 300},
			{Kind: layout.WorkClamp, What: "clamp", Station: "fl", Element: "clamp_s", Total: 120},
			{
				Kind:    layout.WorkPosition,
				What:    "position the gun",
				Station: "fl",
				Element: "position_s",
				Total:   480,
			}, {Kind: layout.WorkInspect, What: "inspect", Station: "fl", Element: "inspect_s",
				Unit: "weld", Quantity: 3, Total: 60},
			{
				Kind:    layout.WorkPractice,
				What:    "practice over the batch",
				Station: "fl",
				Element: "learning",
				Total:   -100,
			}, {Kind: layout.WorkAllowances, What: "allowances", Station: "fl", Total: 340},
			{
				Kind:    layout.WorkWeld,
				What:    "weld",
				Station: "main",
				Total:   600,
			}, {Kind: layout.WorkRoll, What: "roll", Station: "main", Total: 180}, {What: "dance", Station: "main",
				Element: "dance_s", Total: 420}, {Kind: layout.WorkAllowances, What: "allowances", Station: "main", Total: 300},
			{Kind: layout.WorkCoupon, What: "test coupons", Station: "main", Element: "coupon_s", Quantity: 1.5, Total: 0},
		},
		Factors: []layout.Factor{{Name: "fatigue", Value: 0.04, Source: "shell file"}, {Name: "tip t is neither dressed nor used up",
			Source: "shell file"}},
	}
	return p
}

// addStrip adds a straight flange at a height y with evenly spaced welds in one run.
func addStrip(p *layout.Plan, id, joint, station string, y float64, welds int, sheets []string) {
	f := layout.Flange{ID: id, Joint: joint, Panels: sheets, Length: 396, Width: layout.Range{Least: 20, Mean: 20, Greatest: 20}}
	for x := 2.0; x <= 398; x += 2 {
		f.Line = append(f.Line, layout.LinePoint{Along: x - 2, At: layout.Vec{x, y, 0.5}, Normal: layout.Vec{0, 0, 1}, Left: 10, Right: 10,
			Ends: [2]layout.Edge{layout.FreeEdge, layout.FreeEdge}})
	}
	f.Outline = [][]layout.Vec{{{2, y - 10, 0.5}, {398, y - 10, 0.5}, {398, y + 10, 0.5}, {2, y + 10, 0.5}}}
	p.Flanges = append(p.Flanges, f)
	run := layout.Run{ID: len(p.Runs) + 1, Station: station, Joint: joint, Flange: id, From: 1, To: welds, Count: welds, Gun: "g", Tip: "t",
		Setting: "S1", Step: "fill", Pitch: layout.Range{Least: 30, Mean: 30, Greatest: 30}}
	for i := range welds {
		along := 12 + float64(i)*30
		p.Welds = append(p.Welds, layout.Weld{
			Number: i + 1, Station: station, Joint: joint, Flange: id, Run: run.ID, Position: layout.Vec{2 + along, y, 0.5},
			Axis: layout.Vec{0, 0, 1}, Along: along,
			Sheets: sheets, WeldDiameter: 4.7, Accepted: 4.2, Gun: "g", Tip: "t", Setting: "S1", Step: "fill",
		})
	}
	p.Runs = append(p.Runs, run)
	for i := range p.Stations {
		if p.Stations[i].ID == station {
			p.Stations[i].Welds += welds
		}
	}
}

func mustShell(t testing.TB, opt Options) *paper.Book {
	t.Helper()
	book, err := Shell(context.Background(), sample(), panels(), opt)
	if err != nil {
		t.Fatal(err)
	}
	return book
}

func ExampleStation() {
	book, err := Station(context.Background(), sample(), panels(), "fl", Options{Strips: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range book.Marks {
		fmt.Printf("%d %d %s\n", m.Page+1, m.Level, m.Title)
	}
	var b bytes.Buffer
	fmt.Println(book.PDF(&b), b.Len() > 10000)
	// Output:
	// 1 0 Contents
	// 2 0 Station fl, Floor
	// 2 1 Weld map
	// 7 1 Inspection
	// 8 1 Work at the jig
	// 9 1 Marking strips
	// 9 2 Flange side/1
	// <nil> true
}
