package planner

import (
	"context"
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/order"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
)

// latePart is a part that is loaded late: a hold point stands before the joint that it closes, and it is the last to
// arrive of that joint's parts. Guns do not meet it at welds that are made before.
type latePart struct {
	part   string
	panels []string
	hold   string
	joint  string
	scene  []int // its panels in the station's scene
}

// lateParts are the parts that a station's hold points keep out, as the steps load them.
func (b *builder) lateParts(station int, j jig) []latePart {
	var out []latePart
	st := b.plan.Stations[station]
	for _, h := range st.HoldPoints {
		k := slices.IndexFunc(b.plan.Joints, func(x layout.Joint) bool { return x.ID == h.Before && x.Station == st.ID })
		if h.Before == "" || k < 0 {
			continue
		}
		for i := len(st.Arrives) - 1; i > 0; i-- {
			panels := b.plan.PanelsOf(st.Arrives[i])
			if !common(b.plan.Joints[k].Panels, panels) {
				continue
			}
			if !slices.ContainsFunc(out, func(p latePart) bool { return p.part == st.Arrives[i] }) {
				out = append(out, latePart{st.Arrives[i], panels, h.ID, h.Before, b.inScene(j, panels)})
			}
			break
		}
	}
	return out
}

func common(a, b []string) bool {
	return slices.ContainsFunc(a, func(x string) bool { return slices.Contains(b, x) })
}

// inScene is where panels stand in a jig's scene.
func (b *builder) inScene(j jig, panels []string) []int {
	var out []int
	for k, p := range b.plan.Panels {
		if slices.Contains(panels, p.ID) && j.place[k] >= 0 {
			out = append(out, j.place[k])
		}
	}
	return out
}

// beforeLateParts looks anew at the welds that no gun reaches upright once all is loaded: those that one does before a
// late part arrives are made before. It changes what was asked and found for them.
func (b *builder) beforeLateParts(ctx context.Context, own []*weld, asked []reach.Weld, results []reach.Result, tools []reach.Tool, j jig,
	opt reach.Options) error {
	opt.Progress, opt.Tilt, opt.Quiet = nil, 0, true
	var used []latePart
	for _, p := range b.lateParts(own[0].station, j) {
		var open []int
		var again []reach.Weld
		for i, w := range own {
			joint := b.plan.Joints[w.strip.joint]
			if upright(results[i]) || w.early != nil || joint.ID == p.joint || common(w.strip.panels, p.panels) || waitsForAny(w, used) {
				continue
			}
			open, again = append(open, i), append(again, asked[i])
			again[len(again)-1].Absent = slices.Concat(clampsOpenBefore(w, j), p.scene)
		}
		if slices.ContainsFunc(own, func(w *weld) bool { return w.early != nil && common(w.strip.panels, p.panels) }) {
			continue // what is made before another part arrives needs this one
		}
		found, err := reach.Find(ctx, j.scene, again, tools, opt)
		if err != nil {
			return err
		}
		helped := map[*strip]int{}
		for k, i := range open {
			if found[k].Reached() {
				own[i].early, asked[i], results[i] = &p, again[k], found[k]
				helped[own[i].strip]++
			}
		}
		if len(helped) > 0 {
			used = append(used, p)
			b.earlyFindings(own, p, helped)
		}
	}
	return nil
}

func upright(r reach.Result) bool { return r.Reached() && r.Poses[0].Tilt == 0 }

// waitsForAny reports whether a weld's own sheets belong to a part that others are made before.
func waitsForAny(w *weld, parts []latePart) bool {
	return slices.ContainsFunc(parts, func(p latePart) bool { return common(w.strip.panels, p.panels) })
}

// clampsOpenBefore are the clamps that are surely open when a weld is made before all tacks are: those that it waits for.
func clampsOpenBefore(w *weld, j jig) []int {
	if w.step != layout.Released {
		return nil
	}
	return j.late
}

// earlyFindings says once for each flange what is welded before a part arrives.
func (b *builder) earlyFindings(own []*weld, p latePart, helped map[*strip]int) {
	for _, w := range own {
		n := helped[w.strip]
		if w.early == nil || n == 0 {
			continue
		}
		delete(helped, w.strip)
		b.find(rule.Problem{Rule: "reach.early",
			Remedy: fmt.Sprintf("%s would be in every gun's way: these are welded before hold point %s, after which it is loaded", p.part, p.hold)},
			w.strip.about(w.spot.Position), fmt.Sprintf("flange %s: %d welds, the first at %.0f mm", w.strip.id, n, w.spot.S))
	}
}

// earlyPairs puts welds that are made before a late part arrives before its hold point, and all that is welded to the
// part after it.
func (b *builder) earlyPairs(work stationWork) []order.Pair {
	var out []order.Pair
	var done []string
	for _, w := range work.welds {
		if w == nil || w.early == nil || slices.Contains(done, w.early.part) {
			continue
		}
		p := w.early
		done = append(done, p.part)
		hold := slices.IndexFunc(work.stops, func(s order.Stop) bool { return s.ID == holdStop(p.hold) })
		for i, s := range work.stops {
			switch x := work.welds[i]; {
			case s.Step == order.Hold:
			case x != nil && x.early != nil && x.early.part == p.part:
				out = append(out, order.Pair{First: i, Then: hold, Why: "welded before " + p.part + " is loaded"})
			case common(b.jointPanels(s.Joint), p.panels):
				out = append(out, order.Pair{First: hold, Then: i, Why: "waits until " + p.part + " is loaded, after hold point " + p.hold})
			}
		}
	}
	return out
}

func (b *builder) jointPanels(id string) []string {
	for _, j := range b.plan.Joints {
		if j.ID == id {
			return j.Panels
		}
	}
	return nil
}

// holdStop is a hold point's name in the order of the work.
func holdStop(id string) string { return "hold point " + id }
