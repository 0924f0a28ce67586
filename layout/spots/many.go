package spots

import (
	"math"
	"slices"
)

// GreatestRows bounds how many rows are tried where none are asked for: a seventh has never been seen on a flange. Chosen.
const GreatestRows = 6

// grid sets out three rows or more in columns across the line: side by side in every column, or staggered, so that every
// second row stands in every second column. It needs room for all rows from the first weld to the last. What falls on a
// keep-out is left out, and what is not wanted is taken from the inner rows; nothing is where rows are asked for and no number of welds.
func (j *job) grid(p *pair, wanted int) []arrangement {
	whole := span{j.Start, p.base.length() - j.End}
	if p.base.closed {
		whole = span{0, p.base.length()}
	}
	if whole.length() < p.b.least || !p.covers(whole.from, whole.to) {
		return nil
	}
	rows := len(p.lanes)
	var out []arrangement
	if p.apart >= p.cross-slack {
		out = append(out, p.columns(whole, bounds{p.b.least, p.b.most}, wanted, func(int, int) bool { return true })...)
	}
	if 2*p.apart >= p.b.least-tiny {
		b := bounds{math.Max(p.along(p.apart), p.b.least/2), p.b.most / 2}
		for first := range 2 {
			stands := func(column, lane int) bool { return (column+lane)%2 == first }
			if rows%2 == 1 && first == 1 && p.base.closed {
				continue // as many as the other way
			}
			out = append(out, p.columns(whole, b, wanted, stands)...)
		}
	}
	return out
}

// columns spreads the fewest columns that hold what is wanted evenly over a stretch, or as many as fit.
func (p *pair) columns(whole span, step bounds, wanted int, stands func(column, lane int) bool) []arrangement {
	intervals := func(n int) float64 {
		if p.base.closed {
			return whole.length() / float64(n)
		}
		return whole.length() / float64(n-1)
	}
	var best *arrangement
	for n := 2; intervals(n) >= step.least-tiny; n++ {
		if p.base.closed && n%2 == 1 || intervals(n) > step.most+tiny {
			continue
		}
		a := arrangement{kind: many}
		a.pair = p
		for c := range n {
			u := whole.from + float64(intervals(n)*float64(c))
			for lane := range p.lanes {
				if stands(c, lane) && !covers(p.hard[lane], u) {
					a.u, a.lane = append(a.u, u), append(a.lane, lane)
				}
			}
		}
		if best == nil || len(a.u) > len(best.u) {
			best = &a
		}
		if len(a.u) >= wanted {
			break
		}
	}
	if best == nil || len(best.u) < leastOpen {
		return nil
	}
	if wanted > 0 {
		best.thin(wanted)
	}
	return []arrangement{*best}
}

// covers reports whether something hides a place.
func covers(all []hidden, u float64) bool {
	return slices.ContainsFunc(all, func(h hidden) bool { return u > h.from && u < h.to })
}

// thin takes what is not wanted out of the inner rows, spread evenly over them.
func (a *arrangement) thin(wanted int) {
	var inner []int
	for i, lane := range a.lane {
		if lane > 0 && lane < len(a.pair.lanes)-1 {
			inner = append(inner, i)
		}
	}
	spare := min(len(a.u)-max(wanted, leastOpen), len(inner))
	out := make([]bool, len(a.u))
	for k := range max(0, spare) {
		out[inner[(2*k+1)*len(inner)/(2*spare)]] = true
	}
	var u []float64
	var lane []int
	for i := range a.u {
		if !out[i] {
			u, lane = append(u, a.u[i]), append(lane, a.lane[i])
		}
	}
	a.u, a.lane = u, lane
}
