package pitch

import (
	"math"
	"slices"
)

// Columns sets out three rows or more in columns across the line: side by side in every column, or staggered, so that every
// second row stands in every second column. It needs room for all rows from the first weld to the last. What falls on a
// keep-out is left out, and what is not wanted is taken from the inner rows; nothing is where rows are asked for and no number of welds.
func (p *Rows) Columns(wanted int) []Arrangement {
	whole := p.between()
	if p.Closed {
		whole = Span{0, p.Length}
	}
	if whole.Length() < p.Pitch.Least || !p.covers(whole.From, whole.To) {
		return nil
	}
	var out []Arrangement
	if p.Beside {
		out = append(out, p.columns(whole, p.Pitch, wanted, func(int, int) bool { return true })...)
	}
	if 2*p.Apart >= p.Pitch.Least-Tiny {
		b := Bounds{math.Max(p.along(p.Apart), p.Pitch.Least/2), p.Pitch.Most / 2}
		for first := range 2 {
			stands := func(column, lane int) bool { return (column+lane)%2 == first }
			if p.Count%2 == 1 && first == 1 && p.Closed {
				continue // as many as the other way
			}
			out = append(out, p.columns(whole, b, wanted, stands)...)
		}
	}
	return out
}

// columns spreads the fewest columns that hold what is wanted evenly over a stretch, or as many as fit.
func (p *Rows) columns(whole Span, step Bounds, wanted int, stands func(column, lane int) bool) []Arrangement {
	intervals := func(n int) float64 {
		if p.Closed {
			return whole.Length() / float64(n)
		}
		return whole.Length() / float64(n-1)
	}
	var best *Arrangement
	for n := 2; intervals(n) >= step.Least-Tiny; n++ {
		if p.Closed && n%2 == 1 || intervals(n) > step.Most+Tiny {
			continue
		}
		a := Arrangement{kind: many, rows: p}
		for c := range n {
			u := whole.From + float64(intervals(n)*float64(c))
			for lane := range p.Count {
				if stands(c, lane) && !covers(p.Hard[lane], u) {
					a.At, a.Lane = append(a.At, u), append(a.Lane, lane)
				}
			}
		}
		if best == nil || len(a.At) > len(best.At) {
			best = &a
		}
		if len(a.At) >= wanted {
			break
		}
	}
	if best == nil || len(best.At) < LeastOpen {
		return nil
	}
	if wanted > 0 {
		best.thin(wanted)
	}
	return []Arrangement{*best}
}

// covers reports whether something hides a place.
func covers(all []Span, u float64) bool {
	return slices.ContainsFunc(all, func(s Span) bool { return u > s.From && u < s.To })
}

// thin takes what is not wanted out of the inner rows, spread evenly over them.
func (a *Arrangement) thin(wanted int) {
	var inner []int
	for i, lane := range a.Lane {
		if lane > 0 && lane < a.rows.Count-1 {
			inner = append(inner, i)
		}
	}
	spare := min(len(a.At)-max(wanted, LeastOpen), len(inner))
	out := make([]bool, len(a.At))
	for k := range max(0, spare) {
		out[inner[(2*k+1)*len(inner)/(2*spare)]] = true
	}
	var u []float64
	var lane []int
	for i := range a.At {
		if !out[i] {
			u, lane = append(u, a.At[i]), append(lane, a.Lane[i])
		}
	}
	a.At, a.Lane = u, lane
}
