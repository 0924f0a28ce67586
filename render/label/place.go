package label

import (
	"cmp"
	"math"
	"slices"
)

// PlaceAll finds places for labels in their order.
func (q *Placer) PlaceAll(labels []*Label) {
	for _, l := range labels {
		q.Place(l)
	}
}

// Place finds a place for one label; labels that must not be left out may make others move.
func (q *Placer) Place(l *Label) bool {
	at, ok := q.find(l, math.Inf(1))
	if !ok && (l.Must || l.Keen) {
		if at, ok = q.findAnywhere(l); !ok {
			return q.makeRoom(l)
		}
	}
	if ok {
		q.put(l, at)
	}
	return ok
}

func (q *Placer) put(l *Label, at Placed) {
	at.reach = at.Box
	if at.HasLeader() {
		at.reach = at.Box.With(at.To)
	}
	at.reach = at.reach.Grow(Air)
	l.Done, l.Place = true, at
	q.placed = append(q.placed, l)
}

func (q *Placer) lift(l *Label) {
	l.Done = false
	q.placed = slices.DeleteFunc(q.placed, func(o *Label) bool { return o == l })
}

// nearest are the placed labels next to a label's first target, the nearest first, at most neighbours.
func (q *Placer) nearest(l *Label) []*Label {
	out := slices.Clone(q.placed)
	slices.SortStableFunc(out, func(a, b *Label) int {
		return cmp.Compare(Away(l.Targets[0].At, a.Place.Box), Away(l.Targets[0].At, b.Place.Box))
	})
	return out[:min(len(out), neighbours)]
}

// neighbours is how many labels are asked to move for another one.
const neighbours = 10

// makeRoom lifts one placed label after another and keeps the exchange when both find a place; a label that
// may be left out is left out.
func (q *Placer) makeRoom(l *Label) bool {
	for _, o := range q.nearest(l) {
		old := o.Place
		q.lift(o)
		at, ok := q.find(l, math.Inf(1))
		if ok {
			q.put(l, at)
			if !o.Must {
				return true
			}
			if other, fits := q.find(o, math.Inf(1)); fits {
				q.put(o, other)
				return true
			}
			q.lift(l)
		}
		q.put(o, old)
	}
	return false
}

// Improve places each label once more, now that all others stand, and then lets those with long leaders
// change places with a neighbour. It never gets worse.
func (q *Placer) Improve(labels []*Label) {
	for range 2 {
		for _, l := range labels {
			if !l.Done {
				if at, ok := q.find(l, math.Inf(1)); ok { // something may have moved away
					q.put(l, at)
				}
				continue
			}
			old := l.Place
			q.lift(l)
			if at, ok := q.find(l, old.cost); ok {
				old = at
			}
			q.put(l, old)
		}
		q.exchange(labels)
	}
}

const (
	longLeader = 14.0 // cost from which on a label looks for a neighbour to change with
	exchanges  = 12   // labels that may do so in one round
	nearby     = 35.0 // mm from a label's target to the neighbours that it asks
	leaveOut   = 6.0  // what leaving out a number costs
)

// exchange lifts, for each of the worst labels, one neighbour at a time, and keeps the best outcome for both.
func (q *Placer) exchange(labels []*Label) {
	worst := slices.Clone(labels)
	worst = slices.DeleteFunc(worst, func(l *Label) bool { return !l.Done || l.Place.cost < longLeader })
	slices.SortStableFunc(worst, func(a, b *Label) int {
		return cmp.Compare(b.Place.cost, a.Place.cost)
	})
	for _, l := range worst[:min(len(worst), exchanges)] {
		for _, o := range q.nearest(l) {
			if o != l && o.Done && Away(l.Targets[0].At, o.Place.Box) < nearby {
				q.change(l, o)
			}
		}
	}
}

// change lets two labels find new places, the first one first, if that costs less in all.
func (q *Placer) change(l, o *Label) {
	was, other := l.Place, o.Place
	q.lift(l)
	q.lift(o)
	if at, ok := q.find(l, was.cost-1); ok {
		q.put(l, at)
		leave, below := !o.Must && at.cost+leaveOut < was.cost, was.cost+other.cost-at.cost
		if leave {
			below = math.Inf(1) // only where it fits nowhere is it left out
		}
		next, fits := q.find(o, below)
		if fits && at.cost+next.cost < was.cost+other.cost-0.5 {
			q.put(o, next)
			return
		}
		if !fits && leave {
			return
		}
		q.lift(l)
	}
	q.put(l, was)
	q.put(o, other)
}
