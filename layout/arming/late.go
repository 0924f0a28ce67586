package arming

import (
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
)

// latePart is a part that is loaded late: a hold point stands before the joint that it closes, and it is the last to
// arrive of that joint's parts. Guns do not meet it at welds that are made before.
type latePart struct {
	Part   string
	Panels []string
	Hold   string
	joint  string
	scene  []int // its panels in the station's scene
}

// lateParts are the parts that the station's hold points keep out, as the steps load them.
func (x *arming) lateParts() []latePart {
	var out []latePart
	arrives := x.station.Arrives
	for _, h := range x.station.HoldPoints {
		for _, id := range h.Stated() {
			k := slices.IndexFunc(x.Joints, func(j layout.Joint) bool { return j.ID == id && j.Station == x.station.ID })
			for i := len(arrives) - 1; k >= 0 && i > 0; i-- {
				panels := x.Shell.PanelsOf(arrives[i])
				if !joining.Common(x.Joints[k].Panels, panels) {
					continue
				}
				if slices.Contains(h.On, arrives[i]) {
					break // it is measured on it
				}
				if !slices.ContainsFunc(out, func(p latePart) bool { return p.Part == arrives[i] }) {
					out = append(out, latePart{arrives[i], panels, h.ID, id, x.inScene(panels)})
				}
				break
			}
		}
	}
	return out
}

// inScene is where panels stand in the jig's scene.
func (x *arming) inScene(panels []string) []int {
	var out []int
	for k, p := range x.Shell.Panels {
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
			if upright(x.results[i]) || w.Early != nil || x.jointOf(w).ID == p.joint || joining.Common(w.Strip.Panels, p.Panels) ||
				waitsForAny(w, used) {
				continue
			}
			open, again = append(open, i), append(again, x.asked[i])
			again[len(again)-1].Absent = slices.Concat(x.clampsOpenBefore(w), p.scene)
		}
		if slices.ContainsFunc(x.own, func(w *ArmedWeld) bool { return w.Early != nil && joining.Common(w.Strip.Panels, p.Panels) }) {
			continue // what is made before another part arrives needs this one
		}
		found, err := x.look(again, opt)
		if err != nil {
			return err
		}
		helped := map[*joining.Strip]int{}
		for k, i := range open {
			if found[k].Reached() {
				x.own[i].Early, x.asked[i], x.results[i] = &p, again[k], found[k]
				helped[x.own[i].Strip]++
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
func waitsForAny(w *ArmedWeld, parts []latePart) bool {
	return slices.ContainsFunc(parts, func(p latePart) bool { return joining.Common(w.Strip.Panels, p.Panels) })
}

// clampsOpenBefore are the clamps that are surely open when a weld is made before all tacks are: those that it waits for.
func (x *arming) clampsOpenBefore(w *ArmedWeld) []int {
	if w.Step != layout.Released {
		return nil
	}
	return x.opened(w)
}

// earlyFindings says once for each flange what is welded before a part arrives.
func (x *arming) earlyFindings(p latePart, helped map[*joining.Strip]int) {
	for _, w := range x.own {
		n := helped[w.Strip]
		if w.Early == nil || n == 0 {
			continue
		}
		delete(helped, w.Strip)
		x.find(rule.Problem{Rule: "reach.early",
			Remedy: fmt.Sprintf("%s would be in every gun's way: these are welded before hold point %s, after which it is loaded", p.Part, p.Hold)},
			w.Strip.About(w.Spot.Position), fmt.Sprintf("flange %s: %d welds, the first at %.0f mm", w.Strip.ID, n, w.Spot.S))
	}
}
