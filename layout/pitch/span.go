package pitch

import (
	"math"
	"slices"
	"sort"
)

// Tiny is the length in mm below which two places, and two lengths, are one: far below what a weld can be placed to, and what a plan is
// written to; far above what adding a few hundred pitches loses in float64, and what a turned or mirrored shell differs by. Of ways
// to lay that are as good as each other to it the first stands: that nearest to the line's start.
const Tiny = 1e-4

// Said is the length in mm from which it is said that a pitch or an end is not kept: below it lies what even welds are laid with.
const Said = 5 * Tiny

// Span is a stretch of a line, mm along it.
type Span struct{ From, To float64 }

// Length is how long it is, mm.
func (s Span) Length() float64 { return s.To - s.From }

// Bounds are the least and the greatest pitch, mm.
type Bounds struct{ Least, Most float64 }

// hold reports whether all pitches are within the bounds, with a tolerance for rounding.
func (b Bounds) hold(x []float64) bool {
	for i := 1; i < len(x); i++ {
		if p := x[i] - x[i-1]; p < b.Least-4*Tiny || p > b.Most+4*Tiny {
			return false
		}
	}
	return true
}

// Merge sorts spans and joins those that touch, within the slice that it is given.
func Merge(spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	out := spans[:0]
	for _, s := range spans {
		if n := len(out); n > 0 && s.From <= out[n-1].To+Tiny {
			out[n-1].To = math.Max(out[n-1].To, s.To)
			continue
		}
		out = append(out, s)
	}
	return out
}

// Left returns what spans, sorted and merged, leave free of whole, ends included.
func Left(blocked []Span, whole Span) []Span {
	var out []Span
	at := whole.From
	for _, b := range blocked {
		if b.To <= whole.From || b.From >= whole.To {
			continue
		}
		if b.From >= at-Tiny {
			out = append(out, Span{at, math.Max(at, b.From)})
		}
		at = math.Max(at, b.To)
	}
	if at <= whole.To+Tiny {
		out = append(out, Span{math.Min(at, whole.To), whole.To})
	}
	return out
}

// intersect returns the parts of free, which are sorted and apart, within s; parts shorter than nothing by no more than Tiny are points.
func intersect(s Span, free []Span) []Span {
	var out []Span
	first := sort.Search(len(free), func(i int) bool { return free[i].To >= s.From })
	for _, f := range free[first:] {
		if f.From > s.To {
			break
		}
		from, to := math.Max(s.From, f.From), math.Min(s.To, f.To)
		if from <= to {
			out = append(out, Span{from, to})
		}
	}
	return out
}

// Nearest is the place in one of the spans that is nearest to x; of places as near the first, and infinity where there is no span.
func Nearest(x float64, free []Span) float64 {
	best := math.Inf(1)
	for _, f := range free {
		y := math.Min(f.To, math.Max(f.From, x))
		if math.Abs(y-x) < math.Abs(best-x)-Said {
			best = y
		}
	}
	return best
}

// common returns what two lists of spans share.
func common(a, b []Span) []Span {
	var out []Span
	for _, s := range a {
		out = append(out, intersect(s, b)...)
	}
	return out
}
