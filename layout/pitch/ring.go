package pitch

import (
	"math"
	"slices"
)

// LeastClosed is how many welds a closed line has at least, where the least pitch lets it: three hold it
// in its plane and cannot turn. Common practice, no source.
const LeastClosed = 3

// Ring is a closed line with its blocked stretches, sorted and apart, within 0 to Length; soft ones are rather
// to be missed but need not be.
type Ring struct {
	Length  float64
	Blocked []Span
	Soft    []Span
	Pitch   Bounds
}

// Place puts at least wanted welds round the ring. It needs at least one free place.
func (r Ring) Place(wanted int) Row {
	free := r.free()
	if len(free) == 0 {
		return Row{}
	}
	if k := r.widestGap(free); k >= 0 {
		return r.cutAt(free, k, wanted)
	}
	fits := int((r.Length + Tiny) / r.Pitch.Least)
	if fits < 2 {
		return Row{At: []float64{r.single(free)}, ByPitch: 1}
	}
	byPitch, u := r.fewest(min(LeastClosed, fits), fits)
	if u == nil {
		return r.loosest(free, wanted)
	}
	out := Row{At: u, ByPitch: byPitch}
	if wanted > byPitch {
		if _, more := r.fewest(wanted, fits); more != nil {
			out.At = more
		} else {
			out.At = r.most(byPitch, min(wanted, fits))
		}
	}
	return out
}

// most returns the places of the greatest number of welds, from one number down to the other, that fits.
func (r Ring) most(from, to int) []float64 {
	for n := to; n >= from; n-- {
		if u := r.exactly(n); u != nil {
			return u
		}
	}
	return nil
}

// free returns the free stretches, by growing u, as one turn; one over the closing point is cut there.
func (r Ring) free() []Span {
	out := Left(r.Blocked, Span{0, r.Length})
	if r.over() { // the closing point itself is blocked
		out = slices.DeleteFunc(out, func(s Span) bool { return s.To <= Tiny || s.From >= r.Length-Tiny })
	}
	return out
}

// over reports whether a blocked stretch goes on over the closing point.
func (r Ring) over() bool {
	return len(r.Blocked) > 0 && r.Blocked[0].From <= Tiny && r.Blocked[len(r.Blocked)-1].To >= r.Length-Tiny
}

// turnedTo returns the free stretches as a turn that starts at u, from 0 to length.
func (r Ring) turnedTo(u float64) []Span {
	var shifted []Span
	for _, b := range r.Blocked {
		from := math.Mod(b.From-u+2*r.Length, r.Length)
		if to := from + b.Length(); to > r.Length+Tiny {
			shifted = append(shifted, Span{from, r.Length}, Span{0, to - r.Length})
		} else {
			shifted = append(shifted, Span{from, math.Min(to, r.Length)})
		}
	}
	return Left(Merge(shifted), Span{0, r.Length})
}

// widestGap returns the index of the free stretch before the widest gap that is too wide for the greatest
// pitch; -1 when there is none. With a single gap it may be over the closing point.
func (r Ring) widestGap(free []Span) int {
	best, widest := -1, r.Pitch.Most+Tiny
	for i, f := range free {
		next := free[(i+1)%len(free)].From
		if i == len(free)-1 {
			next += r.Length
		}
		if gap := next - f.To; gap > widest+Tiny {
			best, widest = i, gap
		}
	}
	return best
}

// cutAt welds the ring as an open line that starts and ends at the gap after free stretch k.
func (r Ring) cutAt(free []Span, k, wanted int) Row {
	start := free[(k+1)%len(free)].From
	turned := r.turnedTo(start)
	return r.back(Open(turned[:r.lastFree(turned)], r.Pitch, wanted), start)
}

// lastFree drops the point that remains at the end of a turn where the gap that it was cut at ends.
func (r Ring) lastFree(turned []Span) int {
	n := len(turned)
	if n > 1 && turned[n-1].Length() < Tiny && turned[n-1].From >= r.Length-Tiny {
		return n - 1
	}
	return n
}

// back turns the places from a start at u to the ring's own start.
func (r Ring) back(p Row, u float64) Row {
	for i := range p.At {
		p.At[i] = math.Mod(p.At[i]+u, r.Length)
	}
	slices.Sort(p.At)
	return p
}

// single is the place of the only weld of a ring: the middle of the longest free stretch.
func (r Ring) single(free []Span) float64 {
	best := free[0]
	for _, f := range free[1:] {
		if f.Length() > best.Length()+Tiny {
			best = f
		}
	}
	return (best.From + best.To) / 2
}

// fewest returns the least number of welds, from n to fits, that can be placed, and where; nil for none.
func (r Ring) fewest(n, fits int) (int, []float64) {
	n = max(n, int(math.Ceil((r.Length-Tiny)/r.Pitch.Most)))
	for ; n <= fits; n++ {
		if u := r.exactly(n); u != nil {
			return n, u
		}
	}
	return 0, nil
}

// exactly places n welds: evenly where the ring can be turned so that all miss the keep-outs, else as
// evenly as can be. It returns nil when n do not fit.
func (r Ring) exactly(n int) []float64 {
	pitch := r.Length / float64(n)
	if pitch < r.Pitch.Least-Tiny || pitch > r.Pitch.Most+Tiny {
		return nil
	}
	turn, ok := r.turn(pitch, append(slices.Clone(r.Blocked), r.Soft...))
	if !ok {
		turn, ok = r.turn(pitch, r.Blocked)
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
func (r Ring) turn(pitch float64, avoid []Span) (float64, bool) {
	if len(avoid) == 0 {
		return 0, true
	}
	var folded []Span
	for _, s := range avoid {
		if s.Length() >= pitch-Tiny {
			return 0, false
		}
		from := math.Mod(s.From, pitch)
		to := from + s.Length()
		folded = append(folded, Span{from, math.Min(to, pitch)})
		if to > pitch {
			folded = append(folded, Span{0, to - pitch})
		}
	}
	folded = Merge(folded)
	best := Span{0, 0}
	for i, s := range folded {
		next := folded[0].From + pitch
		if i+1 < len(folded) {
			next = folded[i+1].From
		}
		if next-s.To > best.Length()+Tiny {
			best = Span{s.To, next}
		}
	}
	turn := math.Mod((best.From+best.To)/2, pitch)
	if pitch-turn < Said { // a whole pitch on is where it began
		turn = 0
	}
	return turn, best.Length() > Tiny
}

// uneven places n welds where no turn of the even placement misses all keep-outs. Turning a placement
// until a weld meets the edge of a keep-out changes no pitch; so one of the best has a weld at such an
// edge, and it is enough to try them all.
func (r Ring) uneven(n int) []float64 {
	var best []float64
	least := math.Inf(1)
	for _, start := range r.edges() {
		turned := r.turnedTo(start)
		reach := forward(turned, r.Pitch)
		if !reach.ends(n, r.Length) {
			continue
		}
		x := evenest(reach.walk(n+1, r.Length, r.Pitch), alike(turned), r.Pitch)
		if sum := squares(x); sum < least-Tiny {
			least = sum
			best = r.back(Row{At: x[:n]}, start).At
		}
	}
	return best
}

// edges are the ends of the free stretches. One that reaches the closing point counts only where the
// stretch does not go on beyond it.
func (r Ring) edges() []float64 {
	var out []float64
	over := r.over()
	for _, b := range r.Blocked {
		if b.From > Tiny || !over {
			out = append(out, b.From)
		}
		if b.To < r.Length-Tiny || !over {
			out = append(out, b.To)
		}
	}
	return out
}

// loosest places welds where the greatest pitch cannot be kept though no single gap is too wide: at the
// start that needs the least excess.
func (r Ring) loosest(free []Span, wanted int) Row {
	best, at := math.Inf(1), 0.0
	for _, start := range r.edges() {
		if b := loosest(r.turnedTo(start), r.Pitch); b.Most < best-Tiny {
			best, at = b.Most, start
		}
	}
	turned := r.turnedTo(at)
	s := newStretch(turned, r.Pitch)
	out := Row{ByPitch: s.count() - 1}
	raise([]*stretch{s}, wanted+1)
	x := s.places()
	out.At = x[:max(1, len(x)-1)]
	return r.back(out, at)
}
