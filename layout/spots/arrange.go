package spots

import (
	"math"
	"slices"
)

// regular gives the staggered and the side by side arrangements that the pair has room for.
func (j *job) regular(p *pair, wanted int) []arrangement {
	if p.base.closed {
		return p.round(wanted)
	}
	whole := span{j.Start, p.base.length() - j.End}
	if whole.length() < p.b.least {
		return nil
	}
	free := p.free(whole)
	if len(free[0]) == 0 || len(free[1]) == 0 {
		return nil
	}
	var out []arrangement
	for first := range p.lanes {
		if a, ok := p.alternate(free, first, wanted); ok {
			out = append(out, a)
		}
	}
	if a, ok := p.twins(free, wanted); ok {
		out = append(out, a)
	}
	return out
}

// ends are the places of the first and the last weld, whichever row they are in.
func ends(free [2][]span) (from, to float64) {
	from, to = free[0][0].from, free[0][len(free[0])-1].to
	if n := len(free[1]); n > 0 {
		from, to = math.Min(from, free[1][0].from), math.Max(to, free[1][n-1].to)
	}
	return from, to
}

// step is the least and the greatest way along the line from each weld to the next of the other row, by which both the
// distance aslant and the pitch in each row are kept.
func (p *pair) step(all bool) bounds {
	across := p.apart
	if !all { // a single weld may stand beside a zone
		across = p.aside
	}
	return bounds{math.Max(p.along(across), p.b.least/2), p.b.most / 2}
}

// alternate staggers the welds from end to end, the first in the given row: the fewest that are wanted, else the most that fit.
func (p *pair) alternate(free [2][]span, first, wanted int) (arrangement, bool) {
	from, to := ends(free)
	b := p.step(p.covers(from, to))
	if b.least > b.most || free[first][0].from > from+tiny {
		return arrangement{}, false
	}
	own := func(i int) []span { return free[(first+i)%2] }
	reach := forwardIn(own, from, to, b)
	n := 0
	for _, c := range reach.counts(to) {
		if n = c; c >= wanted && c > 2 {
			break
		}
	}
	if n < 3 {
		return arrangement{}, false
	}
	out := arrangement{kind: staggered}
	out.pair, out.u = p, evenest(reach.walk(n, to, b), own, b)
	for i := range out.u {
		out.lane = append(out.lane, (first+i)%2)
	}
	return out, true
}

// covers reports whether a stretch is within one zone.
func (p *pair) covers(from, to float64) bool {
	return slices.ContainsFunc(p.zones, func(z span) bool { return z.from <= from+tiny && z.to >= to-tiny })
}

// twins sets the welds of both rows side by side.
func (p *pair) twins(free [2][]span, wanted int) (arrangement, bool) {
	from, to := ends(free)
	if p.along(p.apart) > 0 || !p.covers(from, to) {
		return arrangement{}, false
	}
	both := common(free[0], free[1])
	if len(both) == 0 || both[0].from > from+tiny || both[len(both)-1].to < to-tiny {
		return arrangement{}, false
	}
	all := stretches(both, p.b)
	raise(all, max(leastOpen, (wanted+1)/2))
	var u []float64
	for _, s := range all {
		u = append(u, s.places()...)
	}
	return p.doubled(u), true
}

// doubled puts a weld in both rows at every place.
func (p *pair) doubled(u []float64) arrangement {
	out := arrangement{kind: sideBySide}
	out.pair = p
	for _, v := range u {
		out.u, out.lane = append(out.u, v, v), append(out.lane, 0, 1)
	}
	return out
}

// common returns what two lists of spans share.
func common(a, b []span) []span {
	var out []span
	for _, s := range a {
		out = append(out, intersect(s, b)...)
	}
	return out
}

// round gives the arrangements of a closed line that is wide enough all round. Every second weld is in the other row, so that
// their number is even.
func (p *pair) round(wanted int) []arrangement {
	if !p.whole {
		return nil
	}
	var out []arrangement
	length, b := p.base.length(), p.step(true)
	for n := max(4, wanted+wanted%2, 2*int(math.Ceil((length-tiny)/(2*b.most)))); length/float64(n) >= b.least-tiny; n += 2 {
		if a, ok := p.turned(n); ok {
			out = append(out, a)
			break
		}
	}
	for n := (wanted - 1) / 2 * 2; len(out) == 0 && n >= 4 && length/float64(n) <= b.most+tiny; n -= 2 {
		if a, ok := p.turned(n); ok && length/float64(n) >= b.least-tiny {
			out = append(out, a)
		}
	}
	if p.along(p.apart) > 0 {
		return out
	}
	r := ring{length: length, blocked: spans(p.all(p.hard)), soft: spans(p.all(p.clamps)), b: p.b}
	if q := r.place((wanted + 1) / 2); len(q.u) >= 2 {
		out = append(out, p.doubled(q.u))
	}
	return out
}

// turned staggers n welds evenly round a closed line, turned so that they stay clear of what covers either row.
func (p *pair) turned(n int) (arrangement, bool) {
	r := ring{length: p.base.length(), b: bounds{p.b.least, p.b.most}}
	h := r.length / float64(n)
	for _, soft := range []bool{true, false} {
		avoid := slices.Clone(spans(p.hard[0]))
		left := spans(p.hard[1])
		if soft {
			avoid, left = append(avoid, spans(p.clamps[0])...), append(left, spans(p.clamps[1])...)
		}
		for _, s := range left {
			avoid = append(avoid, span{math.Mod(s.from-h+r.length, r.length), math.Mod(s.from-h+r.length, r.length) + s.length()})
		}
		turn, ok := r.turn(2*h, avoid)
		if !ok {
			continue
		}
		out := arrangement{kind: staggered}
		out.pair = p
		for i := range n {
			out.u, out.lane = append(out.u, turn+float64(h*float64(i))), append(out.lane, i%2)
		}
		return p.sorted(out), true
	}
	return arrangement{}, false
}

// sorted brings the places of a closed line into its one turn, by growing place.
func (p *pair) sorted(a arrangement) arrangement {
	index := make([]int, len(a.u))
	for i := range index {
		index[i] = i
		a.u[i] = p.base.wrap(a.u[i])
	}
	slices.SortStableFunc(index, func(x, y int) int {
		switch {
		case a.u[x] < a.u[y]:
			return -1
		case a.u[x] > a.u[y]:
			return 1
		}
		return a.lane[x] - a.lane[y]
	})
	u, lane := make([]float64, len(index)), make([]int, len(index))
	for i, k := range index {
		u[i], lane[i] = a.u[k], a.lane[k]
	}
	a.u, a.lane = u, lane
	return a
}
