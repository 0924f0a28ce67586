package planner

import (
	"slices"

	"seamwright/layout"
	"seamwright/layout/arming"
	"seamwright/layout/joining"
	"seamwright/layout/order"
)

// workPairs puts the welds and seams of joints that work besides welding waits for before those of joints that wait for it.
func (x *sequencing) workPairs(work stationWork) []order.Pair {
	var out []order.Pair
	for _, w := range x.station.Work {
		after := x.before(w, nil)
		for i, first := range work.stops {
			for k, then := range work.stops {
				if first.Step != order.Hold && then.Step != order.Hold && first.Joint != then.Joint && slices.Contains(after, first.Joint) &&
					slices.Contains(w.Before, then.Joint) {
					out = append(out, order.Pair{First: i, Then: k, Why: "waits until this is done: " + w.Name})
				}
			}
		}
	}
	return out
}

// before is what work waits for, by way of other work too.
func (x *sequencing) before(w layout.Work, seen []string) []string {
	out := slices.Clone(w.After)
	seen = append(seen, w.ID)
	for _, other := range x.station.Work {
		if !slices.Contains(seen, other.ID) && (slices.Contains(w.After, other.ID) || slices.Contains(other.Before, w.ID)) {
			out = append(out, x.before(other, seen)...)
		}
	}
	return out
}

// earlyPairs puts welds that are made before a late part arrives before its hold point, and all that is welded to the
// part after it.
func (x *sequencing) earlyPairs(work stationWork) []order.Pair {
	var out []order.Pair
	var done []string
	for _, w := range work.welds {
		if w == nil || w.Early == nil || slices.Contains(done, w.Early.Part) {
			continue
		}
		p := w.Early
		done = append(done, p.Part)
		hold := slices.IndexFunc(work.stops, func(s order.Stop) bool { return s.ID == holdStop(p.Hold) })
		for i, s := range work.stops {
			switch w := work.welds[i]; {
			case s.Step == order.Hold:
			case w != nil && w.Early != nil && w.Early.Part == p.Part:
				out = append(out, order.Pair{First: i, Then: hold, Why: "welded before " + p.Part + " is loaded"})
			case joining.Common(x.jointPanels(s.Joint), p.Panels):
				out = append(out, order.Pair{First: hold, Then: i, Why: "waits until " + p.Part + " is loaded, after hold point " + p.Hold})
			}
		}
	}
	return out
}

func (x *sequencing) jointPanels(id string) []string {
	for _, j := range x.Joints {
		if j.ID == id {
			return j.Panels
		}
	}
	return nil
}

// holdStop is a hold point's name in the order of the work.
func holdStop(id string) string { return "hold point " + id }

// clampPairs puts what one clamp hides before what the next one does, where they open one by one.
func (x *sequencing) clampPairs(work stationWork) []order.Pair {
	if !x.station.OneByOne {
		return nil
	}
	byTurn := make([][]int, len(x.turns)+1)
	for i, w := range work.welds {
		if w != nil && w.Step == layout.Released {
			if k := arming.Turn(x.turns, w.Spot.Clamps...); k >= 0 {
				byTurn[k] = append(byTurn[k], i)
			}
		}
	}
	var out []order.Pair
	before := -1
	for k, stops := range byTurn {
		if len(stops) == 0 {
			continue
		}
		if before >= 0 {
			for _, first := range byTurn[before] {
				for _, then := range stops {
					if work.stops[first].Phase == work.stops[then].Phase {
						out = append(out, order.Pair{First: first, Then: then, Why: "waits until what " + x.turns[before] + " hid is welded"})
					}
				}
			}
		}
		before = k
	}
	return out
}
