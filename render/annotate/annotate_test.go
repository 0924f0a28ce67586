package annotate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/paper"
	"seamwright/render/sign"
	"seamwright/render/view"
)

// drawn is a station with its views settled at a scale and their lines found.
func drawn(t *testing.T, plan *layout.Plan, panels []view.Panel, scale figure.Scale, cell paper.Box) *figure.Set {
	t.Helper()
	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range set.Figures {
		f.Settle(cell, scale)
	}
	if err := set.Draw(t.Context(), set.Figures, nil); err != nil {
		t.Fatal(err)
	}
	return set
}

// With room every label is placed; without any, all that must be said is lost by name, and none goes unsaid.
func TestWhatFindsNoRoomIsSaid(t *testing.T) {
	plan, panels := sample.Plan()
	for _, c := range []struct {
		cell paper.Box
		lost bool
	}{{paper.Box{X1: 400, Y1: 280}, false}, {paper.Box{X1: 60, Y1: 40}, true}} {
		set := drawn(t, plan, panels, 5, c.cell)
		var all Drawn
		for _, f := range set.Figures {
			all.Add(Draw(paper.New(paper.A2, ""), set, f, sign.Used{}))
		}
		if (all.Labels.Unplaced > 0) != c.lost || len(all.Lost) != all.Labels.Unplaced {
			t.Errorf("in %v: %+v, lost %v", c.cell, all.Labels, all.Lost)
		}
		if c.lost && !strings.Contains(fmt.Sprint(all.Lost), "H1") {
			t.Errorf("the hold point is not among %v", all.Lost)
		}
	}
}

// A sheet's signs in use are those that the figure has.
func TestSignsInUse(t *testing.T) {
	plan, panels := sample.Plan()
	set := drawn(t, plan, panels, 5, paper.Box{X1: 400, Y1: 280})
	used := sign.Used{}
	for _, f := range set.Figures {
		Draw(paper.New(paper.A2, ""), set, f, used)
	}
	for kind, want := range map[sign.Kind]bool{sign.Tack: true, sign.Fill: true, sign.Roller: true, sign.Hold: true, sign.Dowel: true,
		sign.Callout: true, sign.Guns: true, sign.Tilt: false, sign.Hidden: false} {
		if used[kind] != want {
			t.Errorf("sign %d in use: %v, want %v", kind, used[kind], want)
		}
	}
}

// A view in which call-outs hardly find room is told before it is drawn, and one with room is not.
func TestCrammed(t *testing.T) {
	plan, panels := sample.Cabin()
	if set := drawn(t, plan, panels, 10, paper.Box{X1: 400, Y1: 280}); Crammed(set, set.Figures) {
		t.Error("nine runs on a large sheet are no crowd")
	}
	plan.Runs = nil
	for i := range plan.Welds {
		if i%3 == 0 {
			plan.Runs = append(plan.Runs, layout.Run{ID: len(plan.Runs) + 1, Station: "st10", Joint: "j", From: i + 1, To: i + 3, Count: 3})
		}
		plan.Welds[i].Run = len(plan.Runs)
	}
	if set := drawn(t, plan, panels, 20, paper.Box{X1: 100, Y1: 80}); !Crammed(set, set.Figures) {
		t.Errorf("%d runs in a view of 100 by 80 mm are no crowd", len(plan.Runs))
	}
}

// The room of a place within loops is its distance from the nearest, none within a hole or outside.
func TestRoomWithin(t *testing.T) {
	square := func(lo, hi float64) []paper.Point {
		return []paper.Point{{X: lo, Y: lo}, {X: hi, Y: lo}, {X: hi, Y: hi}, {X: lo, Y: hi}}
	}
	loops := [][]paper.Point{square(0, 40), square(15, 25)}
	for at, want := range map[paper.Point]float64{{X: 7, Y: 20}: 7, {X: 11, Y: 20}: 4, {X: 8, Y: 8}: 8, {X: 20, Y: 20}: 0, {X: 41, Y: 20}: 0,
		{X: 20, Y: 5}: 5} {
		got := 0.0
		if beyond := slices.DeleteFunc(crossings(at.Y, loops), func(x float64) bool { return x <= at.X }); len(beyond)%2 == 1 {
			got = roomAt(at, loops)
		}
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%v has room %g, want %g", at, got, want)
		}
	}
}
