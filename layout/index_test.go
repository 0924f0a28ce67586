package layout_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"seamwright/layout"
)

// line is a plan of two stations: nose makes a part that main needs.
func linePlan() *layout.Plan {
	p := &layout.Plan{
		Stations: []layout.Station{{ID: "nose", Makes: "front", Minutes: 10}, {ID: "main", Arrives: []string{"front"}, Minutes: 6}},
		Joints:   []layout.Joint{{ID: "a", Station: "nose"}, {ID: "b", Station: "main"}},
		Flanges:  []layout.Flange{{ID: "a/1", Joint: "a"}, {ID: "b/1", Joint: "b"}, {ID: "loose"}},
		Runs:     []layout.Run{{ID: 1, Station: "nose"}, {ID: 2, Station: "main"}},
		Seams:    []layout.Seam{{ID: "r", Station: "main", Joint: "b", Flange: "b/1", Setting: "R1", Length: 300}},
		Tips:     []layout.Tip{{ID: "t", Name: "Domed", Dress: 2}},
		Settings: []layout.Setting{{ID: "S1"}, {ID: "S2"}, {ID: "R1"}},
		Findings: []layout.Finding{
			{Rule: "1", Severity: layout.Note, Joint: "a"}, {Rule: "2", Severity: layout.Broken, Flange: "a/1"},
			{Rule: "3", Severity: layout.Doubt, Station: "main", Also: []layout.Subject{{Station: "nose"}}},
			{Rule: "4", Severity: layout.Doubt, Where: "nose, a/1"}, // in words alone: of no station
		},
		Labour: layout.Labour{Stations: []layout.StationLabour{{Station: "main", Minutes: 4}}, Lines: []layout.Line{
			{Kind: layout.WorkInspect, Station: "nose", Quantity: 2.5}, {Kind: layout.WorkCoupon, Station: "nose", Quantity: 0.5},
			{Kind: layout.WorkChangeCaps, Station: "nose", Tip: "t", Quantity: 0.25}, {Kind: layout.WorkInspect, Station: "main", Quantity: 9},
		}},
	}
	for _, n := range []int{5, 3, 4, 1, 2} {
		p.Welds = append(p.Welds, layout.Weld{Number: n, Station: "nose", Joint: "a", Flange: "a/1", Run: 1, Gun: "g", Tip: "t", Setting: "S2"})
	}
	return p
}

func TestIndexOfAStation(t *testing.T) {
	s := layout.NewIndex(linePlan()).Station("nose")
	var numbers []int
	for _, w := range s.Welds {
		numbers = append(numbers, w.Number)
	}
	var rules, settings, flanges []string
	for _, f := range s.Findings {
		rules = append(rules, f.Rule)
	}
	for _, v := range s.Settings {
		settings = append(settings, v.ID)
	}
	for _, f := range s.Flanges {
		flanges = append(flanges, f.ID)
	}
	var dressed []int
	for _, c := range s.CareDue(1) {
		dressed = append(dressed, c.After)
	}
	got := fmt.Sprint(numbers, rules, settings, flanges, s.Look, s.Coupons, s.Minutes(), s.Tools, dressed)
	want := "[1 2 3 4 5] [2 3 1] [S2] [a/1] [2 4 5] 0.5 10 [{g {t Domed  0 2 0} [1 2 3 4 5]}] [2 4]"
	if got != want {
		t.Errorf("\n got %s\nwant %s", got, want)
	}
}

func TestIndexOfOthers(t *testing.T) {
	x := layout.NewIndex(linePlan())
	main := x.Station("main")
	if len(main.Welds) != 0 || main.Look != nil || main.Rolled != 300 || main.Minutes() != 4 || len(main.Settings) != 1 || main.Tools != nil {
		t.Errorf("a station of seams alone: %+v", main)
	}
	if f := x.Flange("b/1"); len(f.Seams) != 1 || len(f.Welds) != 0 {
		t.Errorf("flange %+v", f)
	}
	if len(x.Run(1)) != 5 || x.Run(7) != nil || x.Station("x") != nil || x.Flange("x") != nil {
		t.Error("what the plan does not have")
	}
	made := layout.Subassembly{ID: "half", Name: "one half", Parts: []string{"q"}}
	y := layout.NewIndex(&layout.Plan{Subassemblies: []layout.Subassembly{{ID: "other"}, made}, Panels: []layout.Panel{{ID: "q"}}})
	if got, ok := y.Subassembly("half"); !ok || got.Name != made.Name || !y.HasPanel("q") || y.HasPanel("half") {
		t.Errorf("sub-assembly %+v, panels %t, %t", got, y.HasPanel("q"), y.HasPanel("half"))
	}
	if _, ok := y.Subassembly("q"); ok {
		t.Error("a panel is no sub-assembly")
	}
	if x.Panel("x").Name != "x" || x.Tip("x").Name != "x" || x.Gun("x").Letter != "x" {
		t.Error("what the plan does not have keeps its id")
	}
	for i := range x.Plan.Welds {
		x.Plan.Welds[i].Accepted = 4 + float64(i)/10
	}
	x = layout.NewIndex(x.Plan)
	first, most := x.Plan.Welds[0], 0.0
	for _, w := range x.Plan.Welds {
		if w.Station == first.Station && w.Setting == first.Setting {
			most = max(most, w.Accepted)
		}
	}
	if here := x.Station(first.Station); here.Accepted(first.Setting) != most || here.Accepted("S9") != 0 {
		t.Errorf("welds of %q are good from %g, want %g", first.Setting, here.Accepted(first.Setting), most)
	}
	if got := x.TipsWith(first.Setting); len(got) != 1 || got[0].ID != first.Tip || x.TipsWith("S9") != nil {
		t.Errorf("tips of %s: %+v", first.Setting, got)
	}
	if _, ok := x.Setting("x"); ok {
		t.Error("a setting that the plan does not have")
	}
}

func TestFirstShells(t *testing.T) {
	p := linePlan()
	from, to := layout.NewIndex(p).FirstShells(2)
	if d := cmp.Diff([][]float64{{0, 10}, {10, 20}}, from); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([][]float64{{10, 20}, {14, 24}}, to); d != "" {
		t.Error(d)
	}
	slices.Reverse(p.Stations) // nothing holds a plan by another hand to the order of work
	if from, _ := layout.NewIndex(p).FirstShells(1); from[0][0] != 10 {
		t.Errorf("%v", from)
	}
	p.Stations[1].Arrives, p.Stations[0].Makes = []string{"whole"}, "whole" // a circle
	if from, to := layout.NewIndex(p).FirstShells(1); from[0][0] != 0 || to[1][0] != 0 {
		t.Errorf("%v %v", from, to)
	}
}
