package planner

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"seamwright/layout/finding"
	"seamwright/layout/reach"
	"seamwright/layout/stations"
	"seamwright/seams/rule"
)

// beforeParts looks anew at the welds that no gun reaches once all is loaded: those that one does without a part of
// which they need nothing are made before that part is loaded, the last to arrive first, or before several where one is
// not enough. It changes what was asked and found for them.
func (b *builder) beforeParts(ctx context.Context, own []*weld, asked []reach.Weld, results []reach.Result, tools []reach.Tool, j jig,
	opt reach.Options) error {
	opt.Progress, opt.Quiet = nil, true
	arrives := b.plan.Stations[own[0].station].Arrives
	e := &earlier{builder: b, own: own, asked: asked, results: results, jig: j}
	e.find = func(welds []reach.Weld) ([]reach.Result, error) { return reach.Find(ctx, j.scene, welds, tools, opt) }
	for i := len(arrives) - 1; i >= 0; i-- {
		part := arrives[i]
		if err := e.try(func(w *weld) []string { return b.foreign(w, []string{part}) }); err != nil {
			return err
		}
	}
	return e.try(func(w *weld) []string { return b.foreign(w, arrives) })
}

// foreign are those of some parts that bring nothing of the weld's joint.
func (b *builder) foreign(w *weld, parts []string) []string {
	return slices.DeleteFunc(slices.Clone(parts), func(part string) bool {
		return common(b.plan.Joints[w.strip.joint].Panels, b.plan.PanelsOf(part))
	})
}

// earlier is one look at the welds of a station that nothing reaches.
type earlier struct {
	*builder
	own     []*weld
	asked   []reach.Weld
	results []reach.Result
	jig     jig
	find    func([]reach.Weld) ([]reach.Result, error)
}

// try finds what is reached without the parts that without names, and puts off no more of them than it must.
func (e *earlier) try(without func(w *weld) []string) error {
	var open []int
	var parts [][]string
	for i, w := range e.own {
		blocked := !e.results[i].Reached() && len(e.results[i].Stuck) == 0 // a way off may be found that was not seen
		if away := without(w); blocked && w.early == nil && w.before == nil && len(away) > 0 {
			open, parts = append(open, i), append(parts, away)
		}
	}
	found, err := e.look(open, parts)
	if err != nil {
		return err
	}
	for k := range open {
		if !found[k].Reached() {
			parts[k] = nil
		}
	}
	for _, part := range e.plan.Stations[e.own[0].station].Arrives { // take parts back one by one
		less := make([][]string, len(parts))
		for k := range parts {
			if at := slices.Index(parts[k], part); at >= 0 && len(parts[k]) > 1 {
				less[k] = slices.Delete(slices.Clone(parts[k]), at, at+1)
			}
		}
		again, err := e.look(open, less)
		if err != nil {
			return err
		}
		for k := range open {
			if less[k] != nil && again[k].Reached() {
				found[k], parts[k] = again[k], less[k]
			}
		}
	}
	e.accept(open, parts, found)
	return nil
}

// look asks for the welds without the parts; nothing is asked where there are none.
func (e *earlier) look(open []int, parts [][]string) ([]reach.Result, error) {
	var welds []reach.Weld
	var at []int
	for k, i := range open {
		if len(parts[k]) > 0 {
			welds, at = append(welds, e.without(i, parts[k])), append(at, k)
		}
	}
	found, err := e.find(welds)
	if err != nil {
		return nil, err
	}
	out := make([]reach.Result, len(open))
	for n, k := range at {
		out[k] = found[n]
	}
	return out, nil
}

func (e *earlier) without(i int, parts []string) reach.Weld {
	w := e.asked[i]
	w.Absent = slices.Clone(w.Absent)
	for _, part := range parts {
		w.Absent = append(w.Absent, e.inScene(e.jig, e.plan.PanelsOf(part))...)
	}
	return w
}

// accept puts the parts off, flange by flange, unless parts would then wait for each other in a circle.
func (e *earlier) accept(open []int, parts [][]string, found []reach.Result) {
	type group struct {
		strip *strip
		parts string
	}
	var order []group
	welds := map[group][]int{} // indices into open
	for k, i := range open {
		if len(parts[k]) > 0 {
			g := group{e.own[i].strip, strings.Join(parts[k], " and ")}
			if welds[g] == nil {
				order = append(order, g)
			}
			welds[g] = append(welds[g], k)
		}
	}
	station := e.own[0].station
	for _, g := range order {
		first := welds[g][0]
		constraints := e.earlyWelds(station)
		for _, part := range parts[first] {
			constraints = append(constraints, stations.Early{Joint: e.plan.Joints[g.strip.joint].ID, Part: part})
		}
		if _, circle := stations.LoadPhases(e.plan, e.plan.Stations[station], constraints); circle != nil {
			e.circleFinding(g.strip, circle)
			continue
		}
		for _, k := range welds[g] {
			i := open[k]
			e.own[i].before, e.asked[i], e.results[i] = parts[k], e.without(i, parts[k]), found[k]
		}
		w := e.own[open[first]]
		e.builder.find(rule.Problem{Rule: "reach.early", Remedy: g.parts + " would be in every gun's way: these are welded before it is loaded"},
			g.strip.about(w.spot.Position), fmt.Sprintf("flange %s: %d welds, the first at %.0f mm", g.strip.id, len(welds[g]), w.spot.S))
	}
}

// earlyWelds is what the welds of a station say about parts that are loaded after them, each once.
func (b *builder) earlyWelds(station int) []stations.Early {
	var out []stations.Early
	for _, w := range b.welds {
		if w.station != station {
			continue
		}
		for _, part := range w.loadedAfter() {
			if e := (stations.Early{Joint: b.plan.Joints[w.strip.joint].ID, Part: part}); !slices.Contains(out, e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// loadedAfter are the parts that come after the weld.
func (w *weld) loadedAfter() []string {
	if w.early != nil {
		return []string{w.early.part}
	}
	return w.before
}

func (e *earlier) circleFinding(s *strip, circle []stations.Early) {
	var words []string
	for k, c := range circle {
		next := circle[(k+1)%len(circle)]
		words = append(words, fmt.Sprintf("joint %s is welded before %s is loaded, which joint %s needs", c.Joint, c.Part, next.Joint))
	}
	e.builder.find(rule.Problem{Rule: "reach.circle", Remedy: strings.Join(words, "; ") + ": no order of loading lets a gun in; give the " +
		"station another gun, or weld one of these joints at an earlier station"}, finding.About{Flange: s.id}, "flange "+s.id)
}

// partName is the word for a part that arrives.
func (b *builder) partName(id string) string {
	for _, p := range b.plan.Panels {
		if p.ID == id && p.Name != "" {
			return p.Name
		}
	}
	for _, s := range b.plan.Subassemblies {
		if s.ID == id && s.Name != "" {
			return s.Name
		}
	}
	return id
}
