package pitch

import (
	"math"
	"slices"
	"sort"
)

// branchLimit bounds the search for the evenest placement. Each keep-out that an even pitch would hit
// doubles the cases at most; the limit lets ten such keep-outs on one stretch be searched to the end.
const branchLimit = 2000

// evenest places as many welds as there are in first, which is a valid placement with the two ends fixed,
// so that the sum of squared pitches is least. Where a weld of the even placement falls between two free
// spans, both sides are tried (branch and bound). Each case is a taut string, whose pitches are the
// evenest in every sense at once: least sum of squares, least greatest and greatest least. So a case
// whose string breaks a bound on the pitch holds no valid placement.
//
// free says where weld i may sit: the same spans for all in a single row.
func evenest(first []float64, free gates, b Bounds) []float64 {
	s := &evenSearch{free: free, b: b, best: taut(sidesOf(first, free))}
	n := len(first)
	s.least, s.alike = squares(s.best), 1e-9+20*fine*(first[n-1]-first[0])
	low, high := make([]float64, n), make([]float64, n)
	for i := range first {
		low[i], high[i] = first[0], first[n-1]
	}
	high[0], low[n-1] = first[0], first[n-1]
	s.branch(low, high)
	return s.best
}

// gates are the free spans that weld i of a row may sit in.
type gates func(i int) []Span

// alike are gates that let every weld sit in the same spans.
func alike(free []Span) gates { return func(int) []Span { return free } }

type evenSearch struct {
	free  gates
	b     Bounds
	best  []float64
	least float64
	alike float64 // what the sum of squares differs by where every place is off by ten times fine
	cases int
}

// branch searches the placements within the limits for one that betters the best.
func (s *evenSearch) branch(low, high []float64) {
	if s.cases++; s.cases > branchLimit {
		return
	}
	x := taut(low, high)
	if squares(x) >= s.least-s.alike || !s.b.hold(x) {
		return
	}
	i, left, right := firstHit(x, s.free)
	if i < 0 {
		s.best, s.least = x, squares(x)
		return
	}
	below := func() {
		h := slices.Clone(high)
		for j := range i + 1 {
			h[j] = math.Min(h[j], left)
		}
		if low[i] <= left {
			s.branch(low, h)
		}
	}
	above := func() {
		l := slices.Clone(low)
		for j := i; j < len(l); j++ {
			l[j] = math.Max(l[j], right)
		}
		if high[i] >= right {
			s.branch(l, high)
		}
	}
	if x[i]-left <= right-x[i]+Said {
		below()
		above()
	} else {
		above()
		below()
	}
}

// holding is the index of the span that v is in, else of the last one before v; 0 where all are after it.
func holding(spans []Span, v float64) int {
	k := sort.Search(len(spans), func(i int) bool { return spans[i].From-Tiny > v }) - 1
	return max(0, k)
}

// firstHit returns the first weld that is in no free span and the free places next to it; -1 for none.
func firstHit(x []float64, free gates) (i int, left, right float64) {
	for i, v := range x {
		spans := free(i)
		k := holding(spans, v)
		switch {
		case v < spans[k].From-Tiny: // before the first free place of its row
			return i, math.Inf(-1), spans[k].From
		case v <= spans[k].To+Tiny:
		case k+1 < len(spans):
			return i, spans[k].To, spans[k+1].From
		default:
			return i, spans[k].To, math.Inf(1)
		}
	}
	return -1, 0, 0
}

// sidesOf returns limits that keep each weld in the free span that it is in.
func sidesOf(x []float64, free gates) (low, high []float64) {
	low, high = make([]float64, len(x)), make([]float64, len(x))
	for i, v := range x {
		spans := free(i)
		k := sort.Search(len(spans)-1, func(i int) bool { return v <= spans[i].To+Tiny })
		low[i], high[i] = spans[k].From, spans[k].To
	}
	low[0], high[0] = x[0], x[0]
	low[len(x)-1], high[len(x)-1] = x[len(x)-1], x[len(x)-1]
	return low, high
}

func squares(x []float64) float64 {
	sum := 0.0
	for i := 1; i < len(x); i++ {
		d := x[i] - x[i-1]
		sum += float64(d * d)
	}
	return sum
}

// taut returns the string pulled tight through the gates low[i]..high[i], i = 0, 1, 2 …, from the first
// gate to the last, each a point: from the last knot the range of slopes that passes all gates so far is
// narrowed until it is empty; the knot is then the gate that closed it.
func taut(low, high []float64) []float64 {
	n := len(low)
	x := make([]float64, n)
	x[0] = low[0]
	for at := 0; at < n-1; {
		least, most := math.Inf(-1), math.Inf(1)
		leastAt, mostAt := at+1, at+1
		knot, slope := n-1, 0.0
		for j := at + 1; j < n; j++ {
			run := float64(j - at)
			l, h := (low[j]-x[at])/run, (high[j]-x[at])/run
			if l > most {
				knot, slope = mostAt, most
				break
			}
			if h < least {
				knot, slope = leastAt, least
				break
			}
			if l >= least {
				least, leastAt = l, j
			}
			if h <= most {
				most, mostAt = h, j
			}
			slope = least // at the last gate, a point, least and most are equal
		}
		for j := at + 1; j <= knot; j++ {
			x[j] = x[at] + float64(slope*float64(j-at))
		}
		at = knot
	}
	x[n-1] = high[n-1]
	return x
}
