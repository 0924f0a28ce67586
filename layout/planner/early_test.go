package planner

import (
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/reach"
	"seamwright/seams/shell"
)

// twoCovers is a station where each of two covers lies over the joint of the other: no order of loading lets a gun in.
// Scene places: base 0, left 1, right 2.
func twoCovers() *earlier {
	b := &builder{Input: Input{Shell: &shell.Shell{}}, plan: &layout.Plan{
		Panels:   []layout.Panel{{ID: "base"}, {ID: "left"}, {ID: "right"}},
		Stations: []layout.Station{{ID: "jig", Arrives: []string{"base", "left", "right"}}},
		Joints: []layout.Joint{{ID: "l", Panels: []string{"base", "left"}, Station: "jig"}, {ID: "r", Panels: []string{"base", "right"},
			Station: "jig"}},
	}}
	e := &earlier{builder: b, jig: jig{place: []int{0, 1, 2}}, results: make([]reach.Result, 2), asked: make([]reach.Weld, 2)}
	for i, id := range []string{"l/1", "r/1"} {
		e.own = append(e.own, &weld{strip: &strip{id: id, joint: i, panels: b.plan.Joints[i].Panels}})
	}
	b.welds = e.own
	e.find = func(welds []reach.Weld) ([]reach.Result, error) {
		out := make([]reach.Result, len(welds))
		for i, w := range welds {
			if len(w.Absent) > 0 { // a gun comes in once the other cover is away
				out[i].Poses = []reach.Pose{{}}
			}
		}
		return out, nil
	}
	return e
}

func TestPartsThatBlockEachOtherAreFound(t *testing.T) {
	e := twoCovers()
	for _, part := range []string{"right", "left"} {
		if err := e.try(func(w *weld) []string { return e.foreign(w, []string{part}) }); err != nil {
			t.Fatal(err)
		}
	}
	if !slices.Equal(e.own[0].before, []string{"right"}) || !e.results[0].Reached() {
		t.Errorf("the first joint: before %v, reached %v", e.own[0].before, e.results[0].Reached())
	}
	if e.own[1].before != nil || e.results[1].Reached() {
		t.Errorf("the second joint: before %v, reached %v", e.own[1].before, e.results[1].Reached())
	}
	last := e.plan.Findings[len(e.plan.Findings)-1]
	if last.Rule != "reach.circle" || last.Severity != layout.Broken {
		t.Fatalf("findings %+v", e.plan.Findings)
	}
	for _, want := range []string{"joint l is welded before right is loaded", "joint r is welded before left is loaded"} {
		if !strings.Contains(last.Remedy, want) {
			t.Errorf("no %q in %q", want, last.Remedy)
		}
	}
}

// Where one part away is not enough, no more are put off than must be.
func TestOnlyPartsInTheWayArePutOff(t *testing.T) {
	e := twoCovers()
	e.plan.Panels = append(e.plan.Panels, layout.Panel{ID: "bracket"}, layout.Panel{ID: "rail"})
	e.plan.Stations[0].Arrives = append(e.plan.Stations[0].Arrives, "bracket", "rail")
	e.jig.place = []int{0, 1, 2, 3, 4}
	e.own, e.asked, e.results = e.own[:1], e.asked[:1], e.results[:1]
	e.find = func(welds []reach.Weld) ([]reach.Result, error) {
		out := make([]reach.Result, len(welds))
		for i, w := range welds {
			if slices.Contains(w.Absent, 2) && slices.Contains(w.Absent, 4) {
				out[i].Poses = []reach.Pose{{}}
			}
		}
		return out, nil
	}
	if err := e.try(func(w *weld) []string { return e.foreign(w, e.plan.Stations[0].Arrives) }); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(e.own[0].before, []string{"right", "rail"}) {
		t.Errorf("before %v", e.own[0].before)
	}
}
