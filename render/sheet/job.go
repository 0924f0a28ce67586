package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// job is one station's part of the plan, gathered for drawing.
type job struct {
	plan     *layout.Plan
	station  layout.Station
	panels   []view.Panel // present, in the station's order
	welds    []layout.Weld
	runs     []layout.Run
	rollers  []layout.Seam
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
}

// vec turns a plan's point into a vector.
func vec(v layout.Vec) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }

// collect picks what belongs to a station.
func collect(plan *layout.Plan, panels []view.Panel, id string) (*job, error) {
	at := slices.IndexFunc(plan.Stations, func(s layout.Station) bool { return s.ID == id })
	if at < 0 {
		var known []string
		for _, s := range plan.Stations {
			known = append(known, s.ID)
		}
		return nil, fmt.Errorf("station %q is not in the plan: it has %s", id, strings.Join(known, ", "))
	}
	j := &job{plan: plan, station: plan.Stations[at]}
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
	j.collectWork()
	return j, j.finite()
}

func (j *job) collectWork() {
	id := j.station.ID
	used := map[string]bool{}
	for _, w := range j.plan.Welds {
		if w.Station == id {
			j.welds = append(j.welds, w)
			used[w.Flange] = true
		}
	}
	for _, r := range j.plan.Runs {
		if r.Station == id {
			j.runs = append(j.runs, r)
		}
	}
	for _, r := range j.plan.Seams {
		if r.Station == id {
			j.rollers = append(j.rollers, r)
			used[r.Flange] = true
		}
	}
	for _, f := range j.plan.Flanges {
		if used[f.ID] {
			j.flanges = append(j.flanges, f)
		}
	}
	for _, f := range j.plan.Findings {
		if j.concerns(f) {
			j.findings = append(j.findings, f)
		}
	}
	slices.SortStableFunc(j.welds, func(a, b layout.Weld) int { return a.Number - b.Number })
	slices.SortStableFunc(j.findings, func(a, b layout.Finding) int { return rank(a.Severity) - rank(b.Severity) })
}

// rank puts the worst severity first.
func rank(severity layout.Severity) int {
	return slices.Index(layout.Severities(), severity)
}

// concerns reports whether a finding is about the station, or a joint or flange of it; one that does not say so in
// its fields is taken by the names in its words.
func (j *job) concerns(f layout.Finding) bool {
	if f.Station != "" {
		return f.Station == j.station.ID
	}
	words := strings.FieldsFunc(f.Where, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune(",;:()", r)
	})
	names := map[string]bool{j.station.ID: true}
	for _, joint := range j.plan.Joints {
		if joint.Station == j.station.ID {
			names[joint.ID] = true
			for _, f := range joint.Flanges {
				names[f] = true
			}
		}
	}
	if f.Joint != "" || f.Flange != "" {
		return names[f.Joint] || names[f.Flange]
	}
	return slices.ContainsFunc(words, func(w string) bool { return names[w] })
}

// panel finds a panel of the plan; an unknown one has its id only.
func (j *job) panel(id string) layout.Panel {
	for _, p := range j.plan.Panels {
		if p.ID == id {
			return p
		}
	}
	return layout.Panel{ID: id, Name: id}
}

func (j *job) stack(sheets []string) float64 {
	sum := 0.0
	for _, s := range sheets {
		sum += j.panel(s).Thickness
	}
	return sum
}

// letter is what a gun is called on maps.
func (j *job) letter(gun string) string {
	for _, g := range j.plan.Guns {
		if g.ID == gun && g.Letter != "" {
			return g.Letter
		}
	}
	return gun
}

// seamStep is the way in mm between places of a roller seam that a view must show.
const seamStep = 50.0

// targets are the welds, in order, followed by places along the roller seams.
func (j *job) targets() []view.Target {
	var out []view.Target
	for _, w := range j.welds {
		out = append(out, view.Target{At: vec(w.Position), Axis: vec(w.Axis), Own: w.Sheets, Stack: j.stack(w.Sheets)})
	}
	for _, r := range j.rollers {
		last := -seamStep
		along := 0.0
		for i, p := range r.Path {
			if i > 0 {
				along += vec(p).Sub(vec(r.Path[i-1])).Norm()
			}
			if along-last < seamStep || i >= len(r.Normals) {
				continue
			}
			last = along
			own := j.flange(r.Flange).Panels
			out = append(out, view.Target{At: vec(p), Axis: vec(r.Normals[i]), Own: own, Stack: j.stack(own)})
		}
	}
	return out
}

func (j *job) flange(id string) layout.Flange {
	for _, f := range j.flanges {
		if f.ID == id {
			return f
		}
	}
	return layout.Flange{}
}

// look chooses the views and, for each weld, the view that numbers it.
func (j *job) look() error {
	targets := j.targets()
	choice := view.Choose(j.panels, targets)
	all, own := j.places(targets, choice)
	for i, d := range choice.Directions {
		j.figures = append(j.figures, j.newFigure(d, letters(i), all, own[i]))
	}
	j.home = choice.Home[:len(j.welds)]
	j.seen = choice.Seen[:len(j.welds)]
	return nil
}

// places are where views have something to show: all of them, and by view those that no other view has to
// show. A fixture goes with the nearest weld.
func (j *job) places(targets []view.Target, choice view.Choice) (all []r3.Vector, own [][]r3.Vector) {
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
