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
	for g := range p.groups {
		for h := range p.groups {
			if p.groups[h].key.step == Roll && p.groups[g].key.step != Roll && p.groups[g].key.flange == p.groups[h].key.flange {
				p.first(g, h)
			}
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
	h := hold{stop: i, every: stops[i].Joint == ""}
	for g := range p.groups {
		if p.groups[g].key.joint == stops[i].Joint {
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

// demote takes tacks out of the first stage that a pair puts behind work of the second; what follows them
// on their joint then waits for them alone.
func (p *problem) demote() {
	for again := true; again; {
		again = false
		for g := range p.groups {
			if p.groups[g].stage != stageTack {
				continue
			}
			for _, b := range p.groups[g].before {
				if p.groups[b].stage > stageTack {
					p.groups[g].stage, again = p.groups[b].stage, true
					break
				}
			}
		}
	}
	for g := range p.groups {
		for h := range p.groups {
			a, b := p.groups[g], p.groups[h]
			if a.key.step == Tack && a.stage != stageTack && b.key.step != Tack && a.key.joint == b.key.joint {
				p.first(g, h)
			}
		}
	}
}

// knot returns groups that no order can satisfy: those left over when all that can come next has been
// taken away from both ends, and those that a pair within them leaves no way through.
func (p *problem) knot(stops []Stop) []int {
	var out []int
	for g := range p.groups {
		p.groups[g].ways = p.allowed(p.groups[g])
		if len(p.groups[g].ways) == 0 {
			out = append(out, g)
		}
	}
	if len(out) > 0 {
		return out
	}
	gone := make([]bool, len(p.groups))
	for again := true; again; {
		again = false
		for g := range p.groups {
			open := func(o int) bool { return !gone[o] }
			if !gone[g] && (!slices.ContainsFunc(p.groups[g].before, open) || !slices.ContainsFunc(p.after[g], open)) {
				gone[g], again = true, true
			}
		}
	}
	for g := range gone {
		if !gone[g] {
			out = append(out, g)
		}
	}
	return out
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
