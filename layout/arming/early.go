package arming

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/reach"
	"seamwright/layout/stations"
	"seamwright/seams/rule"
)

// beforeParts looks anew at the welds that no gun reaches once all is loaded: those that one does without a part of
// which they need nothing are made before that part is loaded, the last to arrive first, or before several where one is
// not enough. It changes what was asked and found for them.
func (x *arming) beforeParts() error {
	arrives := x.station.Arrives
	for i := len(arrives) - 1; i >= 0; i-- {
		part := arrives[i]
		if err := x.try(func(w *ArmedWeld) []string { return x.foreign(w, []string{part}) }); err != nil {
			return err
		}
	}
	if err := x.try(func(w *ArmedWeld) []string { return x.foreign(w, arrives) }); err != nil {
		return err
	}
	x.tellCircles()
	return nil
}

// foreign are those of some parts that bring nothing of the weld's joint.
func (x *arming) foreign(w *ArmedWeld, parts []string) []string {
	return slices.DeleteFunc(slices.Clone(parts), func(part string) bool {
		return joining.Common(x.jointOf(w).Panels, x.Shell.PanelsOf(part))
	})
}

// try finds what is reached without the parts that without names, and puts off no more of them than it must.
func (x *arming) try(without func(w *ArmedWeld) []string) error {
	var open []int
	var parts [][]string
	for i, w := range x.own {
		if x.results[i].Reached() || len(x.results[i].Stuck) > 0 || w.Early != nil || w.before != nil {
			continue // where it is stuck, a way off may be found that was not seen
		}
		if away := without(w); len(away) > 0 {
			open, parts = append(open, i), append(parts, away)
		}
	}
	found, err := x.lookWithout(open, parts)
	if err != nil {
		return err
	}
	for k := range open {
		if !found[k].Reached() {
			parts[k] = nil
		}
	}
	for _, part := range x.station.Arrives { // take parts back one by one
		less := make([][]string, len(parts))
		for k := range parts {
			if at := slices.Index(parts[k], part); at >= 0 && len(parts[k]) > 1 {
				less[k] = slices.Delete(slices.Clone(parts[k]), at, at+1)
			}
		}
		again, err := x.lookWithout(open, less)
		if err != nil {
			return err
		}
		for k := range open {
			if less[k] != nil && again[k].Reached() {
				found[k], parts[k] = again[k], less[k]
			}
		}
	}
	x.accept(open, parts, found)
	return nil
}

// lookWithout asks for the welds without the parts; nothing is asked where there are none.
func (x *arming) lookWithout(open []int, parts [][]string) ([]reach.Result, error) {
	var welds []reach.Weld
	var at []int
	for k, i := range open {
		if len(parts[k]) > 0 {
			welds, at = append(welds, x.without(i, parts[k])), append(at, k)
		}
	}
	found, err := x.look(welds, x.quietly())
	if err != nil {
		return nil, err
	}
	out := make([]reach.Result, len(open))
	for n, k := range at {
		out[k] = found[n]
	}
	return out, nil
}

func (x *arming) without(i int, parts []string) reach.Weld {
	w := x.asked[i]
	w.Absent = slices.Clone(w.Absent)
	for _, part := range parts {
		w.Absent = append(w.Absent, x.inScene(x.Shell.PanelsOf(part))...)
	}
	return w
}

// accept puts the parts off, flange by flange, unless parts would then wait for each other in a circle.
func (x *arming) accept(open []int, parts [][]string, found []reach.Result) {
	type group struct {
		strip *joining.Strip
		parts string
	}
	var order []group
	welds := map[group][]int{} // indices into open
	for k, i := range open {
		if len(parts[k]) > 0 {
			g := group{x.own[i].Strip, strings.Join(parts[k], " and ")}
			if welds[g] == nil {
				order = append(order, g)
			}
			welds[g] = append(welds[g], k)
		}
	}
	for _, g := range order {
		first := welds[g][0]
		constraints := EarlyWelds(x.own, x.Joints)
		for _, part := range parts[first] {
			constraints = append(constraints, stations.Early{Joint: x.Joints[g.strip.Joint].ID, Part: part})
		}
		if _, circle := stations.LoadPhases(x.station.Arrives, x.Joints, x.Shell.PanelsOf, constraints); circle != nil {
			for _, k := range welds[g] {
				x.inCircle(open[k], circle)
			}
			continue
		}
		for _, k := range welds[g] {
			i := open[k]
			x.own[i].before, x.asked[i], x.results[i] = parts[k], x.without(i, parts[k]), found[k]
		}
		w := x.own[open[first]]
		x.find(rule.Problem{Rule: "reach.early", Remedy: g.parts + " would be in every gun's way: these are welded before it is loaded"},
			g.strip.About(w.Spot.Position), fmt.Sprintf("flange %s: %d welds, the first at %.0f mm", g.strip.ID, len(welds[g]), w.Spot.S))
	}
}

// EarlyWelds is what the welds of a station say about parts that are loaded after them, each once.
func EarlyWelds(welds []*ArmedWeld, joints []layout.Joint) []stations.Early {
	var out []stations.Early
	for _, w := range welds {
		for _, part := range w.LoadedAfter() {
			if e := (stations.Early{Joint: joints[w.Strip.Joint].ID, Part: part}); !slices.Contains(out, e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// LoadedAfter are the parts that come after the weld.
func (w *ArmedWeld) LoadedAfter() []string {
	if w.Early != nil {
		return []string{w.Early.Part}
	}
	return w.before
}

// circle is parts that would wait for each other, and the welds that are not reached for it.
type circle struct {
	parts []string // sorted
	waits []stations.Early
	welds []int // indices of own
}

// inCircle notes that a weld cannot be made before parts, because they would wait for each other.
func (x *arming) inCircle(weld int, waits []stations.Early) {
	var parts []string
	for _, w := range waits {
		parts = append(parts, w.Part)
	}
	slices.Sort(parts)
	parts = slices.Compact(parts)
	k := slices.IndexFunc(x.circles, func(c circle) bool { return slices.Equal(c.parts, parts) })
	if k < 0 {
		k = len(x.circles)
		x.circles = append(x.circles, circle{parts: parts, waits: waits})
	}
	if !slices.Contains(x.circles[k].welds, weld) {
		x.circles[k].welds = append(x.circles[k].welds, weld)
	}
}

// tellCircles makes one finding of each set of parts that wait for each other, with all the welds that are left unreached for it.
func (x *arming) tellCircles() {
	for _, c := range x.circles {
		var strips []*joining.Strip
		count := 0
		for _, i := range c.welds {
			if x.results[i].Reached() { // by another way since
				continue
			}
			if count++; !slices.Contains(strips, x.own[i].Strip) {
				strips = append(strips, x.own[i].Strip)
			}
		}
		if count == 0 {
			continue
		}
		var words []string
		for k, w := range c.waits {
			next := c.waits[(k+1)%len(c.waits)]
			words = append(words, fmt.Sprintf("joint %s is welded before %s is loaded, which joint %s needs", w.Joint, w.Part, next.Joint))
		}
		about := finding.About{Flange: strips[0].ID}
		names := make([]string, len(strips))
		for k, s := range strips {
			if names[k] = s.ID; k > 0 {
				about.Also = append(about.Also, layout.Subject{Flange: s.ID})
			}
		}
		x.find(rule.Problem{Rule: "reach.circle", Remedy: strings.Join(words, "; ") + ": no order of loading lets a gun in; give the " +
			"station another gun, or weld one of these joints at an earlier station"}, about,
			fmt.Sprintf("station %s: %d welds on %s", x.station.ID, count, strings.Join(names, ", ")))
	}
}
