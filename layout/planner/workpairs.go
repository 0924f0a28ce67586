package planner

import (
	"slices"

	"seamwright/layout"
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
