package pitch

import "math"

// fine is the length in mm to which the least pitch that can be kept is sought, and that is left to it.
const fine = 1e-7

// reachable[k] is where weld k of a stretch can sit when weld 0 sits at the stretch's start: spans, by
// growing place. It is exact: from a span [a, b] the next weld can be in [a+least, b+most] where that is free.
type reachable [][]Span

// forward follows the welds from the start of free spans to their end. The free spans are apart and sorted;
// the first starts where the first weld is, the last ends where the last weld is to be.
func forward(free []Span, b Bounds) reachable {
	return forwardIn(alike(free), free[0].From, free[len(free)-1].To, b)
}

// forwardIn is forward from a start to an end where each weld has free spans of its own.
func forwardIn(free gates, start, end float64, b Bounds) reachable {
	out := reachable{{{start, start}}}
	for {
		var next []Span
		for _, s := range out[len(out)-1] {
			next = append(next, intersect(Span{s.From + b.Least - Tiny, s.To + b.Most + Tiny}, free(len(out)))...)
		}
		if next = Merge(next); len(next) == 0 || next[0].From > end {
			return out
		}
		out = append(out, next)
	}
}

// ends reports whether a stretch of k+1 welds can end at its end.
func (r reachable) ends(k int, end float64) bool {
	if k >= len(r) {
		return false
	}
	for _, s := range r[k] {
		if s.From <= end+Tiny && s.To >= end-Tiny {
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
func (r reachable) walk(n int, end float64, b Bounds) []float64 {
	out := make([]float64, n)
	out[n-1] = end
	start := r[0][0].From
	for k := n - 2; k >= 0; k-- {
		even := start + (end-start)*float64(k)/float64(n-1)
		window := Span{out[k+1] - b.Most - 2*Tiny, out[k+1] - b.Least + 2*Tiny}
		best := math.Inf(1)
		for _, s := range intersect(window, r[k]) {
			x := math.Min(s.To, math.Max(s.From, even))
			if math.Abs(x-even) < math.Abs(best-even)-Said {
				best = x
			}
		}
		out[k] = best
	}
	return out
}

// loosest returns the bounds with the least greatest pitch, no less than b.Most, at which the stretch can
// be welded from end to end at all.
func loosest(free []Span, b Bounds) Bounds {
	end := free[len(free)-1].To
	fits := func(most float64) bool { return len(forward(free, Bounds{b.Least, most}).counts(end)) > 0 }
	if fits(b.Most) {
		return b
	}
	low, high := b.Most, end-free[0].From
	for high-low > fine {
		if mid := (low + high) / 2; fits(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return Bounds{b.Least, high + 4*fine} // so that rounding decides nothing about the number of welds
}

// stretch is a part of a line between two places that get a weld because nothing nearer can hold one:
// its ends, with free spans between.
type stretch struct {
	free    []Span
	b       Bounds
	reach   reachable
	options []int // numbers of welds that fit
	pick    int   // index into options
}

// newStretch prepares a stretch. Too short for two welds, it has one.
func newStretch(free []Span, b Bounds) *stretch {
	s := &stretch{free: free, b: b, options: []int{1}}
	if s.length() < b.Least-Tiny {
		return s
	}
	s.b = loosest(free, b)
	s.reach = forward(free, s.b)
	s.options = s.reach.counts(s.end())
	return s
}

func (s *stretch) start() float64  { return s.free[0].From }
func (s *stretch) end() float64    { return s.free[len(s.free)-1].To }
func (s *stretch) length() float64 { return s.end() - s.start() }
func (s *stretch) count() int      { return s.options[s.pick] }
func (s *stretch) canGrow() bool   { return s.pick+1 < len(s.options) }

// places returns where the welds of the stretch sit.
func (s *stretch) places() []float64 {
	n := s.count()
	if n == 1 {
		return []float64{Nearest((s.start()+s.end())/2, s.free)}
	}
	return evenest(s.reach.walk(n, s.end(), s.b), alike(s.free), s.b)
}

// LeastOpen is how many welds an open line has at least, where the least pitch lets it: one would be a
// hinge. Common practice, no source.
const LeastOpen = 2

// Row is where the welds of one row go.
type Row struct {
	At      []float64 // growing
	ByPitch int       // welds that the greatest pitch alone needs
}

// Open places welds over the free spans of an open line, sorted and apart, the first and the last at their two ends: the fewest that the
// pitch lets be and no fewer than wanted, or as many as fit.
func Open(free []Span, b Bounds, wanted int) Row {
	all := stretches(free, b)
	out := Row{ByPitch: raise(all, 0)}
	raise(all, wanted)
	for _, s := range all {
		out.At = append(out.At, s.places()...)
	}
	return out
}

// stretches cuts the free spans of an open line where the gap between two is too long for the greatest
// pitch: a weld stands on both sides of such a gap.
func stretches(free []Span, b Bounds) []*stretch {
	var out []*stretch
	from := 0
	for i := 1; i <= len(free); i++ {
		if i == len(free) || free[i].From-free[i-1].To > b.Most+Tiny {
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
			if m := s.length() / math.Max(1, float64(s.count()-1)); s.canGrow() && m > mean+Said {
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
