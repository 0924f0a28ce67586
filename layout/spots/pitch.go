package spots

import (
	"math"
	"sort"
)

// tiny is the length in mm below which two places, and two lengths, are one: far below what a weld can be placed to, and what a plan is
// written to; far above what adding a few hundred pitches loses in float64, and what a turned or mirrored shell differs by. Of ways
// to lay that are as good as each other to it the first stands: that nearest to the line's start.
const tiny = 1e-4

// said is the length in mm from which it is said that a pitch or an end is not kept: below it lies what even welds are laid with.
const said = 5 * tiny

// fine is the length in mm to which the least pitch that can be kept is sought, and that is left to it.
const fine = 1e-7

// bounds are the least and the greatest pitch.
type bounds struct{ least, most float64 }

// reachable[k] is where weld k of a stretch can sit when weld 0 sits at the stretch's start: spans, by
// growing place. It is exact: from a span [a, b] the next weld can be in [a+least, b+most] where that is free.
type reachable [][]span

// forward follows the welds from the start of free spans to their end. The free spans are apart and sorted;
// the first starts where the first weld is, the last ends where the last weld is to be.
func forward(free []span, b bounds) reachable {
	return forwardIn(alike(free), free[0].from, free[len(free)-1].to, b)
}

// forwardIn is forward from a start to an end where each weld has free spans of its own.
func forwardIn(free gates, start, end float64, b bounds) reachable {
	out := reachable{{{start, start}}}
	for {
		var next []span
		for _, s := range out[len(out)-1] {
			next = append(next, intersect(span{s.from + b.least - tiny, s.to + b.most + tiny}, free(len(out)))...)
		}
		if next = merge(next); len(next) == 0 || next[0].from > end {
			return out
		}
		out = append(out, next)
	}
}

// intersect returns the parts of free, which are sorted and apart, within s; parts shorter than nothing by no more than tiny are points.
func intersect(s span, free []span) []span {
	var out []span
	first := sort.Search(len(free), func(i int) bool { return free[i].to >= s.from })
	for _, f := range free[first:] {
		if f.from > s.to {
			break
		}
		from, to := math.Max(s.from, f.from), math.Min(s.to, f.to)
		if from <= to {
			out = append(out, span{from, to})
		}
	}
	return out
}

// ends reports whether a stretch of k+1 welds can end at its end.
func (r reachable) ends(k int, end float64) bool {
	if k >= len(r) {
		return false
	}
	for _, s := range r[k] {
		if s.from <= end+tiny && s.to >= end-tiny {
			return true
		}
	}
	return false
}

// counts returns the numbers of welds that fit exactly, growing.
func (r reachable) counts(end float64) []int {
	var out []int
	for k := range r {
		if r.ends(k, end) {
			out = append(out, k+1)
		}
	}
	return out
}

// walk returns one way to place n welds, going back from the end and keeping each near its even place.
func (r reachable) walk(n int, end float64, b bounds) []float64 {
	out := make([]float64, n)
	out[n-1] = end
	start := r[0][0].from
	for k := n - 2; k >= 0; k-- {
		even := start + (end-start)*float64(k)/float64(n-1)
		window := span{out[k+1] - b.most - 2*tiny, out[k+1] - b.least + 2*tiny}
		best := math.Inf(1)
		for _, s := range intersect(window, r[k]) {
			x := math.Min(s.to, math.Max(s.from, even))
			if math.Abs(x-even) < math.Abs(best-even)-said {
				best = x
			}
		}
		out[k] = best
	}
	return out
}

// loosest returns the bounds with the least greatest pitch, no less than b.most, at which the stretch can
// be welded from end to end at all.
func loosest(free []span, b bounds) bounds {
	end := free[len(free)-1].to
	fits := func(most float64) bool { return len(forward(free, bounds{b.least, most}).counts(end)) > 0 }
	if fits(b.most) {
		return b
	}
	low, high := b.most, end-free[0].from
	for high-low > fine {
		if mid := (low + high) / 2; fits(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return bounds{b.least, high + 4*fine} // so that rounding decides nothing about the number of welds
}

// stretch is a part of a line between two places that get a weld because nothing nearer can hold one:
// its ends, with free spans between.
type stretch struct {
	free    []span
	b       bounds
	reach   reachable
	options []int // numbers of welds that fit
	pick    int   // index into options
}

// newStretch prepares a stretch. Too short for two welds, it has one.
func newStretch(free []span, b bounds) *stretch {
	s := &stretch{free: free, b: b, options: []int{1}}
	if s.length() < b.least-tiny {
		return s
	}
	s.b = loosest(free, b)
	s.reach = forward(free, s.b)
	s.options = s.reach.counts(s.end())
	return s
}

func (s *stretch) start() float64  { return s.free[0].from }
func (s *stretch) end() float64    { return s.free[len(s.free)-1].to }
func (s *stretch) length() float64 { return s.end() - s.start() }
func (s *stretch) count() int      { return s.options[s.pick] }
func (s *stretch) canGrow() bool   { return s.pick+1 < len(s.options) }

// places returns where the welds of the stretch sit.
func (s *stretch) places() []float64 {
	n := s.count()
	if n == 1 {
		return []float64{nearestFree((s.start()+s.end())/2, s.free)}
	}
	return evenest(s.reach.walk(n, s.end(), s.b), alike(s.free), s.b)
}

func nearestFree(x float64, free []span) float64 {
	best := math.Inf(1)
	for _, f := range free {
		y := math.Min(f.to, math.Max(f.from, x))
		if math.Abs(y-x) < math.Abs(best-x)-said {
			best = y
		}
	}
	return best
}

// stretches cuts the free spans of an open line where the gap between two is too long for the greatest
// pitch: a weld stands on both sides of such a gap.
func stretches(free []span, b bounds) []*stretch {
	var out []*stretch
	from := 0
	for i := 1; i <= len(free); i++ {
		if i == len(free) || free[i].from-free[i-1].to > b.most+tiny {
			out = append(out, newStretch(free[from:i], b))
			from = i
		}
	}
	return out
}

// raise adds welds until there are wanted of them, each time in the stretch with the greatest mean pitch.
// It returns how many there are.
func raise(all []*stretch, wanted int) int {
	total := 0
	for _, s := range all {
		total += s.count()
	}
	for total < wanted {
		var widest *stretch
		mean := -1.0
		for _, s := range all {
			if m := s.length() / math.Max(1, float64(s.count()-1)); s.canGrow() && m > mean+said {
				widest, mean = s, m
			}
		}
		if widest == nil {
			return total
		}
		total -= widest.count()
		widest.pick++
		total += widest.count()
	}
	return total
}
