package order

import (
	"fmt"
	"slices"
	"strings"
)

// problem is the groups of one station with what must come before what.
type problem struct {
	groups []group
	of     []int   // for each stop its group; -1 for a hold point
	after  [][]int // for each group the groups that come later; the mirror of group.before
	holds  []hold
	opt    Options
}

// hold is one hold point and the groups that it comes before; every when it comes before all.
type hold struct {
	stop   int
	every  bool
	before []int
}

// build groups the stops and lifts what must come before what from stops to groups. Groups that pairs of
// stops tie in a knot are taken apart into single stops; a knot that remains is an error.
func build(stops []Stop, opt Options) (*problem, error) {
	apart := map[int]bool{} // stops that make a group of their own
	for {
		p := &problem{opt: opt}
		p.groups = split(grouped(stops, opt), apart, stops, opt)
		p.index(stops)
		if err := p.tie(stops); err != nil {
			return nil, err
		}
		knot := p.knot(stops)
		if len(knot) == 0 {
			return p, nil
		}
		more := false
		for _, g := range knot {
			for _, i := range p.groups[g].stops {
				if len(p.groups[g].stops) > 1 {
					apart[i], more = true, true
				}
			}
		}
		if !more {
			return nil, fmt.Errorf("no order keeps what must come first: %s", p.told(knot, stops))
		}
	}
}

// split takes the groups of the given stops apart.
func split(groups []group, apart map[int]bool, stops []Stop, opt Options) []group {
	var out []group
	for _, g := range groups {
		if !apart[g.stops[0]] {
			out = append(out, g)
			continue
		}
		for _, i := range g.stops {
			one := group{key: g.key, stops: []int{i}, stage: g.stage}
			one.ways = waysThrough(one, stops, opt)
			out = append(out, one)
		}
	}
	return out
}

func (p *problem) index(stops []Stop) {
	p.of = make([]int, len(stops))
	for i := range p.of {
		p.of[i] = -1
	}
	for g := range p.groups {
		for _, i := range p.groups[g].stops {
			p.of[i] = g
		}
	}
}

// tie lifts every rule to the groups.
func (p *problem) tie(stops []Stop) error {
	for i, s := range stops {
		if s.Step == Hold {
			p.holds = append(p.holds, p.holdAt(i, stops))
		}
	}
	for _, pair := range p.opt.Pairs {
		if err := p.tiePair(pair, stops); err != nil {
			return err
		}
	}
	p.demote()
	p.after = make([][]int, len(p.groups))
	for g := range p.groups {
		slices.Sort(p.groups[g].before)
		p.groups[g].before = slices.Compact(p.groups[g].before)
		for _, b := range p.groups[g].before {
			p.after[b] = append(p.after[b], g)
		}
	}
	return nil
}

// holdAt finds what hold point i comes before: its joint's work and whatever pairs say.
func (p *problem) holdAt(i int, stops []Stop) hold {
	h := hold{stop: i, every: stops[i].Joint == "" && len(stops[i].Joints) == 0}
	for g := range p.groups {
		if joint := p.groups[g].key.joint; joint == stops[i].Joint || slices.Contains(stops[i].Joints, joint) {
			h.before = append(h.before, g)
		}
	}
	for _, pair := range p.opt.Pairs {
		if pair.First == i && p.of[pair.Then] >= 0 {
			h.before = append(h.before, p.of[pair.Then])
		}
	}
	return h
}

func (p *problem) first(g, h int) {
	if g != h {
		p.groups[h].before = append(p.groups[h].before, g)
	}
}

// tiePair lifts a pair of stops. What comes before a hold point comes before all that the hold point does.
func (p *problem) tiePair(pair Pair, stops []Stop) error {
	from, to := p.of[pair.First], p.of[pair.Then]
	switch {
	case from >= 0 && to >= 0:
		p.first(from, to)
	case from >= 0:
		for _, h := range p.holds {
			if h.stop != pair.Then {
				continue
			}
			if h.every {
				return fmt.Errorf("%s cannot come before %s, which comes before everything", stops[pair.First].ID, stops[pair.Then].ID)
			}
			for _, g := range h.before {
				p.first(from, g)
			}
		}
	}
	return nil
}

// demote takes groups out of the stage of their kind that a pair puts behind work of a later one. What follows a tack on its
// joint then waits for it alone, and so does a roller seam for a spot of its flange.
func (p *problem) demote() {
	tied := make([]bool, len(p.groups))
	for again := true; again; {
		again = false
		for g := range p.groups {
			for _, b := range p.groups[g].before {
				if p.groups[b].stage > p.groups[g].stage {
					p.groups[g].stage, again = p.groups[b].stage, true
				}
			}
			if !tied[g] && p.groups[g].stage != stageOf(p.groups[g].key) {
				tied[g], again = true, true
				p.tieDemoted(g)
			}
		}
	}
}

func (p *problem) tieDemoted(g int) {
	a := p.groups[g].key
	for h := range p.groups {
		b := p.groups[h].key
		if a.step == Tack && b.step != Tack && a.joint == b.joint || b.step == Roll && a.flange == b.flange {
			p.first(g, h)
		}
	}
}

// knot returns groups that no order can satisfy: those left over when all that can come next has been
// taken away from both ends, and those that a pair within them leaves no way through.
func (p *problem) knot(stops []Stop) []int {
	var out []int
	for _, g := range p.paired() {
		p.groups[g].ways = p.allowed(p.groups[g])
		if len(p.groups[g].ways) == 0 {
			out = append(out, g)
		}
	}
	if len(out) > 0 {
		return out
	}
	return p.circle()
}

// circle returns the groups that wait for each other: those left over when all that can come next has been taken away from
// both ends.
func (p *problem) circle() []int {
	open := func(before func(g int) []int, after func(g int) []int, gone []bool) {
		left, ready := make([]int, len(p.groups)), []int(nil)
		for g := range p.groups {
			for _, b := range before(g) {
				if !gone[b] {
					left[g]++
				}
			}
			if left[g] == 0 && !gone[g] {
				ready = append(ready, g)
			}
		}
		for len(ready) > 0 {
			g := ready[len(ready)-1]
			ready, gone[g] = ready[:len(ready)-1], true
			for _, a := range after(g) {
				if left[a]--; left[a] == 0 && !gone[a] {
					ready = append(ready, a)
				}
			}
		}
	}
	before, after := func(g int) []int { return p.groups[g].before }, func(g int) []int { return p.after[g] }
	gone := make([]bool, len(p.groups))
	open(before, after, gone)
	open(after, before, gone)
	var out []int
	for g := range gone {
		if !gone[g] {
			out = append(out, g)
		}
	}
	return out
}

// paired are the groups that have both stops of a pair.
func (p *problem) paired() []int {
	var out []int
	for _, pair := range p.opt.Pairs {
		if g := p.of[pair.First]; g >= 0 && g == p.of[pair.Then] {
			out = append(out, g)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// allowed drops the ways through a group that a pair within it forbids.
func (p *problem) allowed(g group) []way {
	var out []way
	for _, w := range g.ways {
		place := map[int]int{}
		for _, i := range slices.Concat(w.runs...) {
			place[i] = len(place)
		}
		ok := true
		for _, pair := range p.opt.Pairs {
			a, hasA := place[pair.First]
			b, hasB := place[pair.Then]
			ok = ok && !(hasA && hasB && a >= b)
		}
		if ok {
			out = append(out, w)
		}
	}
	return out
}

// told names the stops of a knot, up to six.
func (p *problem) told(knot []int, stops []Stop) string {
	var names []string
	for _, g := range knot {
		if len(names) == 6 {
			names = append(names, "…")
			break
		}
		names = append(names, stops[p.groups[g].stops[0]].ID)
	}
	return strings.Join(names, ", ") + " wait for each other"
}
