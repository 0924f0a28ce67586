package sheet

import (
	"cmp"
	"math"
	"slices"

	"seamwright/render/paper"
)

// placeAll finds places for labels in their order.
func (q *placer) placeAll(labels []*label) {
	for _, l := range labels {
		q.place(l)
	}
}

// place finds a place for one label; labels that must not be left out may make others move.
func (q *placer) place(l *label) bool {
	at, ok := q.find(l, math.Inf(1))
	if !ok && (l.must || l.keen) {
		if at, ok = q.findAnywhere(l); !ok {
			return q.makeRoom(l)
		}
	}
	if ok {
		q.put(l, at)
	}
	return ok
}

func (q *placer) put(l *label, at placed) {
	at.reach = at.box
	if at.hasLeader() {
		at.reach = at.box.With(at.to)
	}
	at.reach = at.reach.Grow(labelAir)
	l.done, l.place = true, at
	q.placed = append(q.placed, l)
}

func (q *placer) lift(l *label) {
	l.done = false
	q.placed = slices.DeleteFunc(q.placed, func(o *label) bool { return o == l })
}

// nearest are the placed labels next to a label's first target, the nearest first, at most neighbours.
func (q *placer) nearest(l *label) []*label {
	out := slices.Clone(q.placed)
	slices.SortStableFunc(out, func(a, b *label) int {
		return cmp.Compare(away(l.targets[0].at, a.place.box), away(l.targets[0].at, b.place.box))
	})
	return out[:min(len(out), neighbours)]
}

// neighbours is how many labels are asked to move for another one.
const neighbours = 10

// makeRoom lifts one placed label after another and keeps the exchange when both find a place; a label that
// may be left out is left out.
func (q *placer) makeRoom(l *label) bool {
	for _, o := range q.nearest(l) {
		old := o.place
		q.lift(o)
		at, ok := q.find(l, math.Inf(1))
		if ok {
			q.put(l, at)
			if !o.must {
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

// improve places each label once more, now that all others stand, and then lets those with long leaders
// change places with a neighbour. It never gets worse.
func (q *placer) improve(labels []*label) {
	for range 2 {
		for _, l := range labels {
			if !l.done {
				if at, ok := q.find(l, math.Inf(1)); ok { // something may have moved away
					q.put(l, at)
				}
				continue
			}
			old := l.place
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
func (q *placer) exchange(labels []*label) {
	worst := slices.Clone(labels)
	worst = slices.DeleteFunc(worst, func(l *label) bool { return !l.done || l.place.cost < longLeader })
	slices.SortStableFunc(worst, func(a, b *label) int {
		return cmp.Compare(b.place.cost, a.place.cost)
	})
	for _, l := range worst[:min(len(worst), exchanges)] {
		for _, o := range q.nearest(l) {
			if o != l && o.done && away(l.targets[0].at, o.place.box) < nearby {
				q.change(l, o)
			}
		}
	}
}

// change lets two labels find new places, the first one first, if that costs less in all.
func (q *placer) change(l, o *label) {
	was, other := l.place, o.place
	q.lift(l)
	q.lift(o)
	if at, ok := q.find(l, was.cost-1); ok {
		q.put(l, at)
		leave, below := !o.must && at.cost+leaveOut < was.cost, was.cost+other.cost-at.cost
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

// paintLabels draws what was placed, and counts what was not.
func (p *page) paintLabels(f *figure, labels []*label) {
	backs := p.paper.Layer("view "+f.letter+" label backs", paper.Style{Fill: paper.White})
	leaders := p.paper.Layer("view "+f.letter+" leaders", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	p.paper.Layer("view "+f.letter+" label lines", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.White})
	p.paper.Layer("view "+f.letter+" label words", paper.Style{Fill: paper.Black})
	p.paper.Layer("view "+f.letter+" balloon ends", paper.Style{Fill: paper.Black})
	for _, l := range labels {
		switch {
		case l.done:
			p.labels.Placed++
			backs.Rect(l.place.box)
			if l.place.hasLeader() {
				leaders.Line(l.place.from, l.place.to)
				if d := l.place.to.Sub(l.place.from); l.ends && d.Norm() > 2 {
					arrow(leaders, l.place.to, d.Mul(1/d.Norm()), 1.6)
				}
			}
			l.paint(p, f, l.place)
		case l.must:
			p.labels.Unplaced++
			p.lost = append(p.lost, []string{f.letter, l.says})
		default:
			p.labels.Dropped++
		}
	}
}

func (p *page) labelWords(f *figure) *paper.Layer {
	return p.layer("view " + f.letter + " label words")
}
func (p *page) labelDots(f *figure) *paper.Layer {
	return p.layer("view " + f.letter + " balloon ends")
}
func (p *page) labelLines(f *figure) *paper.Layer {
	return p.layer("view " + f.letter + " label lines")
}

// layer finds the page's latest layer of a name.
func (p *page) layer(name string) *paper.Layer { return p.layerOf(name, paper.Style{}) }

// layerOf finds the page's latest layer of a name, or adds it in a style.
func (p *page) layerOf(name string, style paper.Style) *paper.Layer {
	for i := len(p.paper.Layers) - 1; i >= 0; i-- {
		if p.paper.Layers[i].Name == name {
			return p.paper.Layers[i]
		}
	}
	return p.paper.Layer(name, style)
}
