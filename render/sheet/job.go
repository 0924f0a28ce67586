package sheet

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/render/flow"
	"seamwright/render/paper"
	"seamwright/render/sight"
	"seamwright/render/view"
)

// job is one station's part of the plan, gathered for drawing.
type job struct {
	ctx      context.Context
	pictures *view.Pictures
	plan     *layout.Plan
	index    *layout.Index
	here     *layout.AtStation
	station  layout.Station
	panels   []view.Panel // present, in the station's order
	welds    []layout.Weld
	runs     []layout.Run
	seams    []layout.Seam
	flanges  []layout.Flange
	findings []layout.Finding
	figures  []*figure
	home     []int // by weld: index of its figure
	seen     []bool
	details  []*figure
	shown    []*figure // by weld: the view or detail that numbers it
	hash     string    // of the plan
	code     paper.QR  // what the map is of, for a phone at the jig
	thumbs   []*thumb
	gallery  *gallery
	lines    flow.Lines // of the tables' texts
	whole    portrait   // of all that is present
}

// collect picks what belongs to a station.
func collect(ctx context.Context, plan *layout.Plan, panels []view.Panel, id string, kept *view.Pictures) (*job, error) {
	index := layout.NewIndex(plan)
	here := index.Station(id)
	if here == nil {
		var known []string
		for _, s := range plan.Stations {
			known = append(known, s.ID)
		}
		return nil, fmt.Errorf("station %q is not in the plan: it has %s", id, strings.Join(known, ", "))
	}
	j := &job{ctx: ctx, pictures: kept, plan: plan, index: index, here: here, station: here.Station, welds: here.Welds,
		runs: here.Runs, seams: here.Seams,
		flanges: here.Flanges, findings: here.Findings, lines: flow.Lines{}}
	for _, name := range j.station.Present {
		k := slices.IndexFunc(panels, func(p view.Panel) bool { return p.ID == name })
		if k < 0 {
			return nil, fmt.Errorf("station %s: panel %s is present but has no mesh to draw", id, name)
		}
		j.panels = append(j.panels, panels[k])
	}
	if len(j.panels) == 0 {
		return nil, fmt.Errorf("station %s: no panel is present: nothing to draw", id)
	}
	return j, j.finite()
}

func (j *job) stack(sheets []string) float64 {
	sum := 0.0
	for _, s := range sheets {
		sum += j.index.Panel(s).Thickness
	}
	return sum
}

// letter is what a gun is called on maps.
// roller is a roller head's letter and name.
func (j *job) roller(id string) string {
	r := j.index.Roller(id)
	if r.Letter == r.Name {
		return r.Name
	}
	return r.Letter + " " + r.Name
}

func (j *job) letter(gun string) string { return cmp.Or(j.index.Gun(gun).Letter, gun) }

// seamStep is the way in mm between places of a roller seam that a view must show.
const seamStep = 50.0

// targets are the welds, in order, followed by places along the roller seams.
func (j *job) targets() []view.Target {
	var out []view.Target
	for _, w := range j.welds {
		out = append(out, view.Target{At: w.Position.R3(), Axis: w.Axis.R3(), Own: w.Sheets, Stack: j.stack(w.Sheets)})
	}
	for _, r := range j.seams {
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
			own := j.flange(r.Flange).Panels
			out = append(out, view.Target{At: p.R3(), Axis: r.Normals[i].R3(), Own: own, Stack: j.stack(own)})
		}
	}
	return out
}

func (j *job) flange(id string) layout.Flange {
	if f := j.index.Flange(id); f != nil {
		return f.Flange
	}
	return layout.Flange{}
}

// look chooses the views and, for each weld, the view that numbers it.
func (j *job) look() error {
	targets := j.targets()
	choice := sight.Choose(j.panels, targets)
	all, own := j.places(targets, choice)
	for i, d := range choice.Directions {
		j.figures = append(j.figures, j.newFigure(d, letters(i), all, own[i]))
	}
	j.gaugeViews()
	j.home = choice.Home[:len(j.welds)]
	j.seen = choice.Seen[:len(j.welds)]
	return nil
}

// places are where views have something to show: all of them, and by view those that no other view has to
// show. A fixture goes with the nearest weld.
func (j *job) places(targets []view.Target, choice sight.Choice) (all []r3.Vector, own [][]r3.Vector) {
	own = make([][]r3.Vector, len(choice.Directions))
	for i, t := range targets {
		all = append(all, t.At)
		own[choice.Home[i]] = append(own[choice.Home[i]], t.At)
	}
	for _, p := range j.marks() {
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
