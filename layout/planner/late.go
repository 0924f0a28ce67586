package planner

import (
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

// lateParts are the parts that the station's hold points keep out, as the steps load them.
func (x *arming) lateParts() []latePart {
	var out []latePart
	arrives := x.station.Arrives
	for _, h := range x.station.HoldPoints {
		for _, id := range h.Stated() {
			k := slices.IndexFunc(x.joints, func(j layout.Joint) bool { return j.ID == id && j.Station == x.station.ID })
			for i := len(arrives) - 1; k >= 0 && i > 0; i-- {
				panels := x.shell.PanelsOf(arrives[i])
				if !common(x.joints[k].Panels, panels) {
					continue
				}
				if slices.Contains(h.On, arrives[i]) {
					break // it is measured on it
				}
				if !slices.ContainsFunc(out, func(p latePart) bool { return p.part == arrives[i] }) {
					out = append(out, latePart{arrives[i], panels, h.ID, id, x.inScene(panels)})
				}
				break
			}
		}
	}
	return out
}

func common(a, b []string) bool {
	return slices.ContainsFunc(a, func(x string) bool { return slices.Contains(b, x) })
}

// inScene is where panels stand in the jig's scene.
func (x *arming) inScene(panels []string) []int {
	var out []int
	for k, p := range x.shell.Panels {
		if slices.Contains(panels, p.ID) && x.jig.place[k] >= 0 {
			out = append(out, x.jig.place[k])
		}
	}
	return out
}

// beforeLateParts looks anew at the welds that no gun reaches upright once all is loaded: those that one does before a
// late part arrives are made before. It changes what was asked and found for them.
func (x *arming) beforeLateParts() error {
	opt := x.quietly()
	opt.Tilt = 0
	var used []latePart
	for _, p := range x.lateParts() {
		var open []int
		var again []reach.Weld
		for i, w := range x.own {
			if upright(x.results[i]) || w.early != nil || x.jointOf(w).ID == p.joint || common(w.strip.panels, p.panels) || waitsForAny(w, used) {
				continue
			}
			open, again = append(open, i), append(again, x.asked[i])
			again[len(again)-1].Absent = slices.Concat(x.clampsOpenBefore(w), p.scene)
		}
		if slices.ContainsFunc(x.own, func(w *armedWeld) bool { return w.early != nil && common(w.strip.panels, p.panels) }) {
			continue // what is made before another part arrives needs this one
		}
		found, err := x.look(again, opt)
		if err != nil {
			return err
		}
		helped := map[*strip]int{}
		for k, i := range open {
			if found[k].Reached() {
				x.own[i].early, x.asked[i], x.results[i] = &p, again[k], found[k]
				helped[x.own[i].strip]++
			}
		}
		if len(helped) > 0 {
			used = append(used, p)
			x.earlyFindings(p, helped)
		}
	}
	return nil
}

func upright(r reach.Result) bool { return r.Reached() && r.Poses[0].Tilt == 0 }

// waitsForAny reports whether a weld's own sheets belong to a part that others are made before.
func waitsForAny(w *armedWeld, parts []latePart) bool {
	return slices.ContainsFunc(parts, func(p latePart) bool { return common(w.strip.panels, p.panels) })
}

// clampsOpenBefore are the clamps that are surely open when a weld is made before all tacks are: those that it waits for.
func (x *arming) clampsOpenBefore(w *armedWeld) []int {
	if w.step != layout.Released {
		return nil
	}
	return x.opened(w)
}

// earlyFindings says once for each flange what is welded before a part arrives.
func (x *arming) earlyFindings(p latePart, helped map[*strip]int) {
	for _, w := range x.own {
		n := helped[w.strip]
		if w.early == nil || n == 0 {
			continue
		}
		delete(helped, w.strip)
		x.find(rule.Problem{Rule: "reach.early",
			Remedy: fmt.Sprintf("%s would be in every gun's way: these are welded before hold point %s, after which it is loaded", p.part, p.hold)},
			w.strip.about(w.spot.Position), fmt.Sprintf("flange %s: %d welds, the first at %.0f mm", w.strip.id, n, w.spot.S))
	}
}

// earlyPairs puts welds that are made before a late part arrives before its hold point, and all that is welded to the
// part after it.
func (x *sequencing) earlyPairs(work stationWork) []order.Pair {
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
			switch w := work.welds[i]; {
			case s.Step == order.Hold:
			case w != nil && w.early != nil && w.early.part == p.part:
				out = append(out, order.Pair{First: i, Then: hold, Why: "welded before " + p.part + " is loaded"})
			case common(x.jointPanels(s.Joint), p.panels):
				out = append(out, order.Pair{First: hold, Then: i, Why: "waits until " + p.part + " is loaded, after hold point " + p.hold})
			}
		}
	}
	return out
}

func (x *sequencing) jointPanels(id string) []string {
	for _, j := range x.joints {
		if j.ID == id {
			return j.Panels
		}
	}
	return nil
}

// holdStop is a hold point's name in the order of the work.
func holdStop(id string) string { return "hold point " + id }
