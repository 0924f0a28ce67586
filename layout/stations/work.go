package stations

import (
	"fmt"
	"slices"

	"seamwright/layout"
)

// What is paid for at a station besides welding stands where it is stated to: right before the first of what waits for it, else
// as soon as all that it waits for is done, else before the work is looked over.

// workBefore writes the pending work that something waits for: a part that is loaded now, a joint that is welded, a hold point that
// is gauged, other work. Tacks are what is welded before any fill.
func (w *writer) workBefore(id string, tack bool) {
	for _, x := range w.station.Work {
		after := slices.Contains(x.After, layout.Tacks)
		waits := slices.Contains(x.Before, id) || tack && slices.Contains(x.Before, layout.Tacks)
		if waits && !(tack && after) {
			w.doWork(x)
		}
	}
}

// holdsBack says whether work is pending that a run of a joint waits for.
func (w *writer) holdsBack(r layout.Run) bool {
	tack := r.Step == layout.Tack
	return slices.ContainsFunc(w.station.Work, func(x layout.Work) bool {
		waits := slices.Contains(x.Before, r.Joint) || tack && slices.Contains(x.Before, layout.Tacks)
		return waits && !w.worked[x.ID] && !(tack && slices.Contains(x.After, layout.Tacks))
	})
}

// workReady writes the pending work that nothing waits for and that need not wait any longer.
func (w *writer) workReady() {
	for again := true; again; {
		again = false
		for _, x := range w.station.Work {
			ready := !slices.ContainsFunc(x.After, func(id string) bool { return !w.isDone(id) })
			if !w.worked[x.ID] && len(x.Before) == 0 && len(x.After) > 0 && ready {
				w.doWork(x)
				again = true
			}
		}
	}
}

// workRest writes what is left, in the stated order.
func (w *writer) workRest() {
	for _, x := range w.station.Work {
		w.doWork(x)
	}
}

// doWork writes a piece of work once, and before it the work that it waits for.
func (w *writer) doWork(x layout.Work) {
	if w.worked[x.ID] {
		return
	}
	w.worked[x.ID] = true
	for _, other := range w.station.Work {
		if slices.Contains(x.After, other.ID) || slices.Contains(other.Before, x.ID) {
			w.doWork(other)
		}
	}
	text := x.Name
	if x.Crew > 1 {
		text += fmt.Sprintf(", %d together", x.Crew)
	}
	w.add(layout.DoWork, text+".")
	w.steps[len(w.steps)-1].Work = x.ID
}

// isDone says whether a part is loaded, a joint welded and rolled, a hold point gauged, work done, or all tacks made.
func (w *writer) isDone(id string) bool {
	left := func(r layout.Run) bool {
		return (r.Joint == id || id == layout.Tacks && r.Step == layout.Tack) && !w.welded[r.ID]
	}
	switch {
	case slices.ContainsFunc(w.runs, left):
		return false
	case slices.ContainsFunc(w.plan.Seams, func(s layout.Seam) bool {
		return s.Station == w.station.ID && s.Joint == id && !w.rolled[s.ID]
	}):
		return false
	case slices.Contains(w.station.Arrives, id):
		return w.loaded[id]
	case slices.ContainsFunc(w.station.HoldPoints, func(h layout.HoldPoint) bool { return h.ID == id }):
		return w.gauged[id]
	case slices.ContainsFunc(w.station.Work, func(x layout.Work) bool { return x.ID == id }):
		return w.worked[id]
	}
	return true
}
