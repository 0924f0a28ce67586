package arming

import (
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/laying"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// twoCovers is a station where each of two covers lies over the joint of the other: no order of loading lets a gun in.
// Scene places: base 0, left 1, right 2.
func twoCovers() *arming {
	x := &arming{
		Basis: joining.Basis{Shell: &shell.Shell{Panels: []shell.Panel{{ID: "base"}, {ID: "left"}, {ID: "right"}}},
			Make: finding.By(rule.Book())},
		station: layout.Station{ID: "jig", Arrives: []string{"base", "left", "right"}},
		Joined: &joining.Joined{Joints: []layout.Joint{{ID: "l", Panels: []string{"base", "left"}, Station: "jig"},
			{ID: "r", Panels: []string{"base", "right"},
				Station: "jig"}}},
		jig: jig{place: []int{0, 1, 2}}, results: make([]reach.Result, 2), asked: make([]reach.Weld, 2),
	}
	for i, id := range []string{"l/1", "r/1"} {
		x.own = append(x.own, &ArmedWeld{Weld: laying.Weld{Strip: &joining.Strip{ID: id, Joint: i, Panels: x.Joints[i].Panels}}})
	}
	x.look = func(welds []reach.Weld, _ reach.Options) ([]reach.Result, error) {
		out := make([]reach.Result, len(welds))
		for i, w := range welds {
			if len(w.Absent) > 0 { // a gun comes in once the other cover is away
				out[i].Poses = []reach.Pose{{}}
			}
		}
		return out, nil
	}
	return x
}

func TestPartsThatBlockEachOtherAreFound(t *testing.T) {
	x := twoCovers()
	for _, part := range []string{"right", "left"} {
		if err := x.try(func(w *ArmedWeld) []string { return x.foreign(w, []string{part}) }); err != nil {
			t.Fatal(err)
		}
	}
	if !slices.Equal(x.own[0].before, []string{"right"}) || !x.results[0].Reached() {
		t.Errorf("the first joint: before %v, reached %v", x.own[0].before, x.results[0].Reached())
	}
	if x.own[1].before != nil || x.results[1].Reached() {
		t.Errorf("the second joint: before %v, reached %v", x.own[1].before, x.results[1].Reached())
	}
	x.tellCircles()
	last := x.findings[len(x.findings)-1]
	if last.Rule != "reach.circle" || last.Severity != layout.Broken {
		t.Fatalf("findings %+v", x.findings)
	}
	for _, want := range []string{"joint l is welded before right is loaded", "joint r is welded before left is loaded"} {
		if !strings.Contains(last.Remedy, want) {
			t.Errorf("no %q in %q", want, last.Remedy)
		}
	}
}

// Many welds on several flanges that one circle of parts blocks, tried again with every part, are one finding; a weld that is
// reached after all is not in it.
func TestOneCircleIsOneFinding(t *testing.T) {
	x := twoCovers()
	for _, id := range []string{"r/2", "r/2", "r/1"} {
		x.own = append(x.own, &ArmedWeld{Weld: laying.Weld{Strip: &joining.Strip{ID: id, Joint: 1, Panels: x.Joints[1].Panels}}})
	}
	x.own[3].Strip, x.own[4].Strip = x.own[2].Strip, x.own[1].Strip
	x.results, x.asked = make([]reach.Result, 5), make([]reach.Weld, 5)
	for _, part := range []string{"right", "left", "left", "right"} {
		if err := x.try(func(w *ArmedWeld) []string { return x.foreign(w, []string{part}) }); err != nil {
			t.Fatal(err)
		}
	}
	x.results[4].Poses = []reach.Pose{{}}
	x.tellCircles()
	var told []layout.Finding
	for _, f := range x.findings {
		if f.Rule == "reach.circle" {
			told = append(told, f)
		}
	}
	if len(told) != 1 || told[0].Where != "station jig: 3 welds on r/1, r/2" || told[0].Flange != "r/1" || len(told[0].Also) != 1 ||
		told[0].Also[0].Flange != "r/2" {
		t.Errorf("%+v", told)
	}
}

// Where one part away is not enough, no more are put off than must be.
func TestOnlyPartsInTheWayArePutOff(t *testing.T) {
	x := twoCovers()
	x.Shell.Panels = append(x.Shell.Panels, shell.Panel{ID: "bracket"}, shell.Panel{ID: "rail"})
	x.station.Arrives = append(x.station.Arrives, "bracket", "rail")
	x.jig.place = []int{0, 1, 2, 3, 4}
	x.own, x.asked, x.results = x.own[:1], x.asked[:1], x.results[:1]
	x.look = func(welds []reach.Weld, _ reach.Options) ([]reach.Result, error) {
		out := make([]reach.Result, len(welds))
		for i, w := range welds {
			if slices.Contains(w.Absent, 2) && slices.Contains(w.Absent, 4) {
				out[i].Poses = []reach.Pose{{}}
			}
		}
		return out, nil
	}
	if err := x.try(func(w *ArmedWeld) []string { return x.foreign(w, x.station.Arrives) }); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(x.own[0].before, []string{"right", "rail"}) {
		t.Errorf("before %v", x.own[0].before)
	}
}
