package spots

import (
	"math"
	"slices"
)

// leastClosed is how many welds a closed line has at least, where the least pitch lets it: three hold it
// in its plane and cannot turn. Common practice, no source.
const leastClosed = 3

// ring is a closed line with its blocked stretches, spans of u within 0 to length; soft ones are rather
// to be missed but need not be.
type ring struct {
	length  float64
	blocked []span
	soft    []span
	b       bounds
}

// placed is where welds go: by growing u, with what could not be kept.
type placed struct {
	u       []float64
	byPitch int // welds that the greatest pitch alone needs

	pair *pair // the rows; nil for one
	lane []int // of each weld, with several rows: 0 for the rightmost and for a single weld, 1 for the next to the left, and so on

	edit []string // of each weld: the id of the edit that put it there; nil where nothing was edited
}

// place puts at least wanted welds round the ring. It needs at least one free place.
func (r ring) place(wanted int) placed {
	free := r.free()
	if len(free) == 0 {
		return placed{}
	}
	if k := r.widestGap(free); k >= 0 {
		return r.cutAt(free, k, wanted)
	}
	fits := int((r.length + tiny) / r.b.least)
	if fits < 2 {
		return placed{u: []float64{r.single(free)}, byPitch: 1}
	}
	byPitch, u := r.fewest(min(leastClosed, fits), fits)
	if u == nil {
		return r.loosest(free, wanted)
	}
	out := placed{u: u, byPitch: byPitch}
	if wanted > byPitch {
		if _, more := r.fewest(wanted, fits); more != nil {
			out.u = more
		} else {
			out.u = r.most(byPitch, min(wanted, fits))
		}
	}
	return out
}

// most returns the places of the greatest number of welds, from one number down to the other, that fits.
func (r ring) most(from, to int) []float64 {
	for n := to; n >= from; n-- {
		if u := r.exactly(n); u != nil {
			return u
		}
	}
	return nil
}

// free returns the free stretches, by growing u, as one turn; one over the closing point is cut there.
func (r ring) free() []span {
	out := gapsOf(r.blocked, span{0, r.length})
	if r.over() { // the closing point itself is blocked
		out = slices.DeleteFunc(out, func(s span) bool { return s.to <= tiny || s.from >= r.length-tiny })
	}
	return out
}

// over reports whether a blocked stretch goes on over the closing point.
func (r ring) over() bool {
	return len(r.blocked) > 0 && r.blocked[0].from <= tiny && r.blocked[len(r.blocked)-1].to >= r.length-tiny
}

// gapsOf returns what spans, sorted and merged, leave free of whole, ends included.
func gapsOf(blocked []span, whole span) []span {
	var out []span
	at := whole.from
	for _, b := range blocked {
		if b.to <= whole.from || b.from >= whole.to {
			continue
		}
		if b.from >= at-tiny {
			out = append(out, span{at, math.Max(at, b.from)})
		}
		at = math.Max(at, b.to)
	}
	if at <= whole.to+tiny {
		out = append(out, span{math.Min(at, whole.to), whole.to})
	}
	return out
}

// turnedTo returns the free stretches as a turn that starts at u, from 0 to length.
func (r ring) turnedTo(u float64) []span {
	var shifted []span
	for _, b := range r.blocked {
		from := math.Mod(b.from-u+2*r.length, r.length)
		if to := from + b.length(); to > r.length+tiny {
			shifted = append(shifted, span{from, r.length}, span{0, to - r.length})
		} else {
			shifted = append(shifted, span{from, math.Min(to, r.length)})
		}
	}
	return gapsOf(merge(shifted), span{0, r.length})
}

// widestGap returns the index of the free stretch before the widest gap that is too wide for the greatest
// pitch; -1 when there is none. With a single gap it may be over the closing point.
func (r ring) widestGap(free []span) int {
	best, widest := -1, r.b.most+tiny
	for i, f := range free {
		next := free[(i+1)%len(free)].from
		if i == len(free)-1 {
			next += r.length
		}
		if gap := next - f.to; gap > widest+tiny {
			best, widest = i, gap
		}
	}
	return best
}

// cutAt welds the ring as an open line that starts and ends at the gap after free stretch k.
func (r ring) cutAt(free []span, k, wanted int) placed {
	start := free[(k+1)%len(free)].from
	turned := r.turnedTo(start)
	all := stretches(turned[:r.lastFree(turned)], r.b)
	out := placed{byPitch: raise(all, 0)}
	raise(all, wanted)
	for _, s := range all {
		out.u = append(out.u, s.places()...)
	}
	return r.back(out, start)
}

// lastFree drops the point that remains at the end of a turn where the gap that it was cut at ends.
func (r ring) lastFree(turned []span) int {
	n := len(turned)
	if n > 1 && turned[n-1].length() < tiny && turned[n-1].from >= r.length-tiny {
		return n - 1
	}
	return n
}

// back turns the places from a start at u to the ring's own start.
func (r ring) back(p placed, u float64) placed {
	for i := range p.u {
		p.u[i] = math.Mod(p.u[i]+u, r.length)
	}
	slices.Sort(p.u)
	return p
}

// single is the place of the only weld of a ring: the middle of the longest free stretch.
func (r ring) single(free []span) float64 {
	best := free[0]
	for _, f := range free[1:] {
		if f.length() > best.length()+tiny {
			best = f
		}
	}
	return (best.from + best.to) / 2
}

// fewest returns the least number of welds, from n to fits, that can be placed, and where; nil for none.
func (r ring) fewest(n, fits int) (int, []float64) {
	n = max(n, int(math.Ceil((r.length-tiny)/r.b.most)))
	for ; n <= fits; n++ {
		if u := r.exactly(n); u != nil {
			return n, u
		}
	}
	return 0, nil
}

// exactly places n welds: evenly where the ring can be turned so that all miss the keep-outs, else as
// evenly as can be. It returns nil when n do not fit.
func (r ring) exactly(n int) []float64 {
	pitch := r.length / float64(n)
	if pitch < r.b.least-tiny || pitch > r.b.most+tiny {
		return nil
	}
	turn, ok := r.turn(pitch, append(slices.Clone(r.blocked), r.soft...))
	if !ok {
		turn, ok = r.turn(pitch, r.blocked)
	}
	if ok {
		u := make([]float64, n)
		for i := range u {
			u[i] = turn + float64(pitch*float64(i))
		}
		return u
	}
	return r.uneven(n)
}

// turn returns the start, 0 to pitch, from which evenly pitched welds stay farthest from the spans.
func (r ring) turn(pitch float64, avoid []span) (float64, bool) {
	if len(avoid) == 0 {
		return 0, true
	}
	var folded []span
	for _, s := range avoid {
		if s.length() >= pitch-tiny {
			return 0, false
		}
		from := math.Mod(s.from, pitch)
		to := from + s.length()
		folded = append(folded, span{from, math.Min(to, pitch)})
		if to > pitch {
			folded = append(folded, span{0, to - pitch})
		}
	}
	folded = merge(folded)
	best := span{0, 0}
	for i, s := range folded {
		next := folded[0].from + pitch
		if i+1 < len(folded) {
			next = folded[i+1].from
		}
		if next-s.to > best.length()+tiny {
			best = span{s.to, next}
		}
	}
	turn := math.Mod((best.from+best.to)/2, pitch)
	if pitch-turn < said { // a whole pitch on is where it began
		turn = 0
	}
	return turn, best.length() > tiny
}

// uneven places n welds where no turn of the even placement misses all keep-outs. Turning a placement
// until a weld meets the edge of a keep-out changes no pitch; so one of the best has a weld at such an
// edge, and it is enough to try them all.
func (r ring) uneven(n int) []float64 {
	var best []float64
	least := math.Inf(1)
	for _, start := range r.edges() {
		turned := r.turnedTo(start)
		reach := forward(turned, r.b)
		if !reach.ends(n, r.length) {
			continue
		}
		x := evenest(reach.walk(n+1, r.length, r.b), alike(turned), r.b)
		if sum := squares(x); sum < least-tiny {
			least = sum
			best = r.back(placed{u: x[:n]}, start).u
		}
	}
	return best
}

// edges are the ends of the free stretches. One that reaches the closing point counts only where the
// stretch does not go on beyond it.
func (r ring) edges() []float64 {
	var out []float64
	over := r.over()
	for _, b := range r.blocked {
		if b.from > tiny || !over {
			out = append(out, b.from)
		}
		if b.to < r.length-tiny || !over {
			out = append(out, b.to)
		}
	}
	return out
}

// loosest places welds where the greatest pitch cannot be kept though no single gap is too wide: at the
// start that needs the least excess.
func (r ring) loosest(free []span, wanted int) placed {
	best, at := math.Inf(1), 0.0
	for _, start := range r.edges() {
		if b := loosest(r.turnedTo(start), r.b); b.most < best-tiny {
			best, at = b.most, start
		}
	}
	turned := r.turnedTo(at)
	s := newStretch(turned, r.b)
	out := placed{byPitch: s.count() - 1}
	raise([]*stretch{s}, wanted+1)
	x := s.places()
	out.u = x[:max(1, len(x)-1)]
	return r.back(out, at)
}
