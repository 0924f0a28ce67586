// Package figure chooses the views of a station and what each of them shows: which welds it numbers, where fixtures, seams and starts of
// strips are drawn, which crowded places have a detail. Where the figures stand on sheets, and how all of this is drawn, others say.
//
//	set, err := figure.New(layout.NewIndex(plan), panels, "st10", nil)
//	for _, f := range set.Figures {
//		f.Settle(cell, 10) // in the cell of a sheet, at 1:10
//	}
//	err = set.Draw(ctx, set.Figures, nil)
//	fmt.Println(set.Shown(0).Letter, set.Shown(0).On(plan.Welds[0].Position.R3()))
//
// Places of the shell are mm in its frame, places on paper mm from the upper left corner.
package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/sight"
	"seamwright/render/view"
)

// Set is a station's figures, with the part of the plan that they show.
type Set struct {
	Plan    *layout.Plan
	Index   *layout.Index
	Here    *layout.AtStation
	Panels  []view.Panel // present, in the station's order
	Figures []*Figure    // views
	Details []*Figure    // of views, as MakeDetails made them last

	pictures *view.Pictures
	home     []int     // by weld: index of its view
	seen     []bool    // by weld: whether a view shows it
	shown    []*Figure // by weld: the view or detail that numbers it; nil until Assign
}

// New chooses the views of a station, and for each weld the view that numbers it. panels must hold every panel that is present
// there; others are left out. Pictures are kept from one call to the next; nil: none.
//
// Errors: a station that the plan does not have or at which nothing is present, a panel without mesh, a place that cannot be drawn.
func New(index *layout.Index, panels []view.Panel, station string, kept *view.Pictures) (*Set, error) {
	here := index.Station(station)
	if here == nil {
		var known []string
		for _, s := range index.Plan.Stations {
			known = append(known, s.ID)
		}
		return nil, fmt.Errorf("station %q is not in the plan: it has %s", station, strings.Join(known, ", "))
	}
	set := &Set{Plan: index.Plan, Index: index, Here: here, pictures: kept}
	for _, name := range here.Station.Present {
		k := slices.IndexFunc(panels, func(p view.Panel) bool { return p.ID == name })
		if k < 0 {
			return nil, fmt.Errorf("station %s: panel %s is present but has no mesh to draw", station, name)
		}
		set.Panels = append(set.Panels, panels[k])
	}
	if len(set.Panels) == 0 {
		return nil, fmt.Errorf("station %s: no panel is present: nothing to draw", station)
	}
	if err := set.finite(); err != nil {
		return nil, err
	}
	set.look()
	return set, nil
}

// All are the views and then their details.
func (set *Set) All() []*Figure { return slices.Concat(set.Figures, set.Details) }

// Stack is the thickness of some panels together, mm.
func (set *Set) Stack(sheets []string) float64 {
	sum := 0.0
	for _, s := range sheets {
		sum += set.Index.Panel(s).Thickness
	}
	return sum
}

// Flange is the flange of an id; empty when there is none.
func (set *Set) Flange(id string) layout.Flange {
	if f := set.Index.Flange(id); f != nil {
		return f.Flange
	}
	return layout.Flange{}
}

// seamStep is the way in mm between places of a roller seam that a view must show.
const seamStep = 50.0

// Targets are the welds, in order, followed by places along the roller seams.
func (set *Set) Targets() []view.Target {
	var out []view.Target
	for _, w := range set.Here.Welds {
		out = append(out, view.Target{At: w.Position.R3(), Axis: w.Axis.R3(), Own: w.Sheets, Stack: set.Stack(w.Sheets)})
	}
	for _, r := range set.Here.Seams {
		last := -seamStep
		along := 0.0
		for i, p := range r.Path {
			if i > 0 {
				along += p.R3().Sub(r.Path[i-1].R3()).Norm()
			}
			if along-last < seamStep || i >= len(r.Normals) {
				continue
			}
			last = along
			own := set.Flange(r.Flange).Panels
			out = append(out, view.Target{At: p.R3(), Axis: r.Normals[i].R3(), Own: own, Stack: set.Stack(own)})
		}
	}
	return out
}

// look chooses the views and, for each weld, the view that numbers it.
func (set *Set) look() {
	targets := set.Targets()
	choice := sight.Choose(set.Panels, targets)
	all, own := set.places(targets, choice)
	for i, d := range choice.Directions {
		set.Figures = append(set.Figures, set.newFigure(d, letters(i), all, own[i]))
	}
	set.gaugeViews()
	set.home = choice.Home[:len(set.Here.Welds)]
	set.seen = choice.Seen[:len(set.Here.Welds)]
}

// places are where views have something to show: all of them, and by view those that no other view has to
// show. A fixture goes with the nearest weld.
func (set *Set) places(targets []view.Target, choice sight.Choice) (all []r3.Vector, own [][]r3.Vector) {
	own = make([][]r3.Vector, len(choice.Directions))
	for i, t := range targets {
		all = append(all, t.At)
		own[choice.Home[i]] = append(own[choice.Home[i]], t.At)
	}
	for _, p := range set.marks() {
		home, least := 0, math.Inf(1)
		for i, t := range targets {
			if d := t.At.Sub(p).Norm(); d < least {
				home, least = choice.Home[i], d
			}
		}
		all = append(all, p)
		own[home] = append(own[home], p)
	}
	return all, own
}

// Numbered is a panel's number and name, never broken between the two.
func (set *Set) Numbered(id string) string { return fmt.Sprintf("%d\u00a0%s", set.Number(id), id) }

// Number is a panel's number at this station.
func (set *Set) Number(id string) int { return slices.Index(set.Here.Station.Present, id) + 1 }

// Guns names the letters of the guns in use here.
func (set *Set) Guns() string {
	var out []string
	for _, g := range set.Plan.Guns {
		if slices.ContainsFunc(set.Here.Runs, func(r layout.Run) bool { return r.Gun == g.ID }) {
			out = append(out, words.Gun(set.Index, g.ID)+" "+g.Name)
		}
	}
	return strings.Join(out, "; ")
}

// Shown is the view or detail that numbers a weld.
func (set *Set) Shown(weld int) *Figure {
	if set.shown != nil {
		return set.shown[weld]
	}
	return set.Figures[set.home[weld]]
}

// Seen reports whether a view shows a weld.
func (set *Set) Seen(weld int) bool { return set.seen[weld] }

// Assigned reports whether figures were drawn, or about to be: before, nobody knows what they show.
func (set *Set) Assigned() bool { return set.shown != nil }

// ViewsOf are the letters of the views that number the welds of a step or show its seam.
func (set *Set) ViewsOf(s layout.Step) []string {
	var out []string
	add := func(f *Figure) {
		if f != nil && !slices.Contains(out, f.Letter) {
			out = append(out, f.Letter)
		}
	}
	for i, w := range set.Here.Welds {
		if slices.Contains(s.Runs, w.Run) {
			add(set.Shown(i))
		}
	}
	if s.Seam != "" {
		for _, f := range set.Figures {
			shown := func(r layout.Seam) bool { return r.ID == s.Seam && len(set.Seam(f, r)) > 0 }
			if f.Picture != nil && !f.Gauge && slices.ContainsFunc(set.Here.Seams, shown) {
				add(f)
			}
		}
	}
	slices.SortFunc(out, func(a, b string) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		return strings.Compare(a, b)
	})
	return out
}

// Spacing is the paper distance that nine in ten neighbouring welds of the same flange keep.
func (set *Set) Spacing(s Scale) float64 {
	last := map[string]int{}
	order := make([]int, len(set.Here.Welds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case set.Here.Welds[a].Along < set.Here.Welds[b].Along:
			return -1
		case set.Here.Welds[a].Along > set.Here.Welds[b].Along:
			return 1
		}
		return 0
	})
	var gaps []float64
	for _, w := range order {
		if v, ok := last[set.Here.Welds[w].Flange]; ok {
			d := set.Figures[set.home[w]].Dir
			p, _ := d.Project(set.Here.Welds[w].Position.R3())
			q, _ := d.Project(set.Here.Welds[v].Position.R3())
			gaps = append(gaps, p.Sub(q).Norm()/float64(s))
		}
		last[set.Here.Welds[w].Flange] = w
	}
	if len(gaps) == 0 {
		return LeastSpacing
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/10]
}

// LeastSpacing is how far apart on paper nine in ten neighbouring welds should be, in mm: a mark of 1.8 mm
// and a gap to tell it from the next. Our own choice.
const LeastSpacing = 3.0

// marks are the places of clamps, dowels and hold points.
func (set *Set) marks() []r3.Vector {
	var out []r3.Vector
	for _, c := range set.Here.Station.Clamps {
		out = append(out, c.At.R3())
	}
	for _, c := range set.Here.Station.Dowels {
		out = append(out, c.At.R3())
	}
	for _, h := range set.Here.Station.HoldPoints {
		out = append(out, h.At.R3(), h.To.R3())
	}
	return out
}
