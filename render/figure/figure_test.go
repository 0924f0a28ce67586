package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

// Scales are written as on drawings, with a bar of 25 to 62.5 mm on paper.
func TestScale(t *testing.T) {
	for s, want := range map[Scale]string{0.5: "2:1", 1: "1:1", 7.5: "1:7.5", 1000: "1:1000"} {
		if got := s.String(); got != want {
			t.Errorf("%g is written %s, want %s", float64(s), got, want)
		}
	}
	for _, s := range FineScales() {
		length := s.Bar()
		if on := length / float64(s); on < 25-1e-9 || on > 62.5+1e-9 {
			t.Errorf("the bar of %s is %.1f mm long", s, on)
		}
		if lead := length / math.Pow(10, math.Floor(math.Log10(length)+1e-9)); math.Abs(lead-1)+1e-9 > 1 && lead != 2 && lead != 5 {
			t.Errorf("the bar of %s stands for %g mm", s, length)
		}
	}
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := letters(i); got != want {
			t.Errorf("figure %d is %s, want %s", i, got, want)
		}
	}
}

// A settled figure has its window and the room for labels within its cell, with the window in the middle across.
func TestSettle(t *testing.T) {
	plan, panels := sample.Cabin()
	set, err := New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range set.Figures {
		f.Limit = paper.Point{X: 280, Y: 220}
		for _, s := range Scales() {
			w, h := f.Size(s)
			cell := paper.Box{X0: 31, Y0: 17, X1: 31 + w, Y1: 17 + h}
			f.Settle(cell, s)
			lo, hi := f.Flat(f.Window.Lo()), f.Flat(f.Window.Hi())
			box := paper.Box{X0: lo.X, Y0: hi.Y, X1: hi.X, Y1: lo.Y}
			if !cell.Grow(1e-6).Holds(box.Grow(LabelRoom)) || math.Abs(box.Center().X-cell.Center().X) > 1e-6 {
				t.Errorf("%s: %v in a cell of %v", f.Caption(), box, cell)
			}
			if f.Foot() > cell.Y1 {
				t.Errorf("%s: its caption ends at %g, the cell at %g", f.Caption(), f.Foot(), cell.Y1)
			}
		}
	}
}

// Welds whose marks would touch at the views' scale are numbered in a detail that keeps them apart, and in views where they do not.
func TestDetails(t *testing.T) {
	plan, panels := sample.Cabin()
	set, err := New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		scale   Scale
		details int
	}{{2, 0}, {10, 1}} {
		set.MakeDetails(c.scale)
		if len(set.Details) != c.details {
			t.Fatalf("%d details at %s, want %d", len(set.Details), c.scale, c.details)
		}
		set.Assign(set.All())
		in := 0
		for i, w := range plan.Welds {
			f := set.Shown(i)
			if ring := w.Flange == "f9"; ring && c.details > 0 && f.Parent == nil {
				t.Errorf("at %s weld %d is numbered in view %s", c.scale, w.Number, f.Letter)
			}
			if f.Parent != nil {
				in++
			}
		}
		if (in > 0) != (c.details > 0) {
			t.Errorf("%d welds in details at %s", in, c.scale)
		}
		set.Assign(set.Figures) // no detail is drawn
		for i := range plan.Welds {
			if set.Shown(i).Parent != nil {
				t.Fatalf("weld %d is numbered in a detail that is not drawn", i+1)
			}
		}
	}
}

// A dimension that no view shows as it is measured gets a view of its own, which no weld is numbered in.
func TestGaugeViews(t *testing.T) {
	plan, panels := sample.Cabin()
	across := layout.HoldPoint{ID: "H1", Text: "Width", Value: 1000, Tolerance: 0.25, At: layout.Vec{1150, 500, 850}}
	for _, c := range []struct {
		to    layout.Vec
		extra int
	}{{layout.Vec{1150, -500, 850}, 1}, {layout.Vec{150, 500, 850}, 0}} {
		hold := across
		hold.To = c.to
		plan.Stations[0].HoldPoints = []layout.HoldPoint{hold}
		set, err := New(layout.NewIndex(plan), panels, "st10", nil)
		if err != nil {
			t.Fatal(err)
		}
		gauges := 0
		for _, f := range set.Figures {
			if f.Gauge {
				gauges++
				if !lies(f.Dir, set.HoldFixture(0)) || f.Own == 0 {
					t.Errorf("the width lies out of the paper of %s", f.Dir.Words)
				}
			}
		}
		if gauges != c.extra {
			t.Errorf("to %v: %d views of where to measure, want %d", c.to, gauges, c.extra)
		}
		for i := range plan.Welds {
			if set.Shown(i).Gauge {
				t.Errorf("weld %d is numbered in a view of where to measure", i+1)
			}
		}
	}
}

// A place that cannot be drawn is named, wherever it stands.
func TestPlacesThatCannotBeDrawn(t *testing.T) {
	for what, spoil := range map[string]func(p *layout.Plan){
		"weld 3":        func(p *layout.Plan) { p.Welds[2].Axis[1] = math.NaN() },
		"roller seam ":  func(p *layout.Plan) { p.Seams[0].Path[1][2] = math.Inf(1) },
		"flange ":       func(p *layout.Plan) { p.Flanges[0].Line[0].At[0] = 1e7 },
		"fixture H1":    func(p *layout.Plan) { p.Stations[0].HoldPoints[0].To[0] = math.NaN() },
		"no panel is p": func(p *layout.Plan) { p.Stations[0].Present = nil },
	} {
		plan, panels := sample.Plan()
		spoil(plan)
		_, err := New(layout.NewIndex(plan), panels, "st10", nil)
		if err == nil || !strings.Contains(err.Error(), what) || !strings.Contains(err.Error(), "station st10") {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// Guns are named once each, in the plan's order, by the letters that call-outs have.
func TestGunsAndPanels(t *testing.T) {
	plan, panels := sample.Plan()
	set, err := New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, g := range plan.Guns {
		want = append(want, g.Letter+" "+g.Name)
	}
	if got := set.Guns(); got != strings.Join(want, "; ") {
		t.Errorf("guns %q, want %q", got, want)
	}
	for i, id := range plan.Stations[0].Present {
		if got := set.Numbered(id); got != fmt.Sprintf("%d\u00a0%s", i+1, id) {
			t.Errorf("panel %d is %q", i, got)
		}
	}
}

// Marks that run into each other are found among places in a row, across or upwards, and among others.
func TestTouchingIsALookAtAllPairs(t *testing.T) {
	plan, panels := sample.Cabin()
	set, err := New(layout.NewIndex(plan), panels, "st10", nil)
	if err != nil {
		t.Fatal(err)
	}
	n := len(set.Here.Welds)
	for seed, reach := range []paper.Point{{X: 40, Y: 0.1}, {X: 0.1, Y: 40}, {X: 20, Y: 20}, {X: 0, Y: 30}} {
		rng := rand.New(rand.NewPCG(uint64(seed), 7))
		welds, at := make([]int, n), make([]paper.Point, n)
		for k := range welds {
			welds[k], at[k] = k, paper.Point{X: reach.X * rng.Float64(), Y: reach.Y * rng.Float64()}
		}
		var want [][2]int
		for a := range at {
			for b := a + 1; b < n; b++ {
				if at[a].Sub(at[b]).Norm() < sign.Radius(set.Here.Welds[a])+sign.Radius(set.Here.Welds[b])+markApart {
					want = append(want, [2]int{a, b})
				}
			}
		}
		if got := set.touching(welds, at); !slices.Equal(got, want) || len(want) == 0 {
			t.Errorf("within %v: %v touch, want %v", reach, got, want)
		}
	}
}
