package pitch

import (
	"math"
	"slices"
)

// Regular gives the staggered and the side by side arrangements of two rows that there is room for.
func (p *Rows) Regular(wanted int) []Arrangement {
	if p.Closed {
		return p.round(wanted)
	}
	whole := p.between()
	if whole.Length() < p.Pitch.Least {
		return nil
	}
	free := p.free(whole)
	if len(free[0]) == 0 || len(free[1]) == 0 {
		return nil
	}
	var out []Arrangement
	for first := range p.Count {
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
func ends(free [2][]Span) (from, to float64) {
	from, to = free[0][0].From, free[0][len(free[0])-1].To
	if n := len(free[1]); n > 0 {
		from, to = math.Min(from, free[1][0].From), math.Max(to, free[1][n-1].To)
	}
	return from, to
}

// step is the least and the greatest way along the line from each weld to the next of the other row, by which both the
// distance aslant and the pitch in each row are kept.
func (p *Rows) step(all bool) Bounds {
	across := p.Apart
	if !all { // a single weld may stand beside a zone
		across = p.Aside
	}
	return Bounds{math.Max(p.along(across), p.Pitch.Least/2), p.Pitch.Most / 2}
}

// alternate staggers the welds from end to end, the first in the given row: the fewest that are wanted, else the most that fit.
func (p *Rows) alternate(free [2][]Span, first, wanted int) (Arrangement, bool) {
	from, to := ends(free)
	b := p.step(p.covers(from, to))
	if b.Least > b.Most || free[first][0].From > from+Tiny {
		return Arrangement{}, false
	}
	own := func(i int) []Span { return free[(first+i)%2] }
	reach := forwardIn(own, from, to, b)
	n := 0
	for _, c := range reach.counts(to) {
		if n = c; c >= wanted && c > 2 {
			break
		}
	}
	if n < 3 {
		return Arrangement{}, false
	}
	out := Arrangement{kind: staggered, rows: p, At: evenest(reach.walk(n, to, b), own, b)}
	for i := range out.At {
		out.Lane = append(out.Lane, (first+i)%2)
	}
	return out, true
}

// covers reports whether a stretch is within one zone.
func (p *Rows) covers(from, to float64) bool {
	return slices.ContainsFunc(p.Zones, func(z Span) bool { return z.From <= from+Tiny && z.To >= to-Tiny })
}

// twins sets the welds of both rows side by side.
func (p *Rows) twins(free [2][]Span, wanted int) (Arrangement, bool) {
	from, to := ends(free)
	if p.along(p.Apart) > 0 || !p.covers(from, to) {
		return Arrangement{}, false
	}
	shared := common(free[0], free[1])
	if len(shared) == 0 || shared[0].From > from+Tiny || shared[len(shared)-1].To < to-Tiny {
		return Arrangement{}, false
	}
	return p.doubled(Open(shared, p.Pitch, max(LeastOpen, (wanted+1)/2)).At), true
}

// doubled puts a weld in both rows at every place.
func (p *Rows) doubled(u []float64) Arrangement {
	out := Arrangement{kind: sideBySide, rows: p}
	for _, v := range u {
		out.At, out.Lane = append(out.At, v, v), append(out.Lane, 0, 1)
	}
	return out
}

// round gives the arrangements of a closed line that is wide enough all round. Every second weld is in the other row, so that
// their number is even.
func (p *Rows) round(wanted int) []Arrangement {
	if !p.Whole {
		return nil
	}
	var out []Arrangement
	length, b := p.Length, p.step(true)
	for n := max(4, wanted+wanted%2, 2*int(math.Ceil((length-Tiny)/(2*b.Most)))); length/float64(n) >= b.Least-Tiny; n += 2 {
		if a, ok := p.turned(n); ok {
			out = append(out, a)
			break
		}
	}
	for n := (wanted - 1) / 2 * 2; len(out) == 0 && n >= 4 && length/float64(n) <= b.Most+Tiny; n -= 2 {
		if a, ok := p.turned(n); ok && length/float64(n) >= b.Least-Tiny {
			out = append(out, a)
		}
	}
	if p.along(p.Apart) > 0 {
		return out
	}
	r := Ring{Length: length, Blocked: both(p.Hard), Soft: both(p.Clamps), Pitch: p.Pitch}
	if q := r.Place((wanted + 1) / 2); len(q.At) >= 2 {
		out = append(out, p.doubled(q.At))
	}
	return out
}

// turned staggers n welds evenly round a closed line, turned so that they stay clear of what covers either row.
func (p *Rows) turned(n int) (Arrangement, bool) {
	r := Ring{Length: p.Length, Pitch: p.Pitch}
	h := r.Length / float64(n)
	for _, soft := range []bool{true, false} {
		avoid, left := slices.Clone(p.Hard[0]), slices.Clone(p.Hard[1])
		if soft {
			avoid, left = append(avoid, p.Clamps[0]...), append(left, p.Clamps[1]...)
		}
		for _, s := range left {
			avoid = append(avoid, Span{math.Mod(s.From-h+r.Length, r.Length), math.Mod(s.From-h+r.Length, r.Length) + s.Length()})
		}
		turn, ok := r.turn(2*h, avoid)
		if !ok {
			continue
		}
		out := Arrangement{kind: staggered, rows: p}
		for i := range n {
			out.At, out.Lane = append(out.At, turn+float64(h*float64(i))), append(out.Lane, i%2)
		}
		return p.sorted(out), true
	}
	return Arrangement{}, false
}

// sorted brings the places of a closed line into its one turn, by growing place.
func (p *Rows) sorted(a Arrangement) Arrangement {
	index := make([]int, len(a.At))
	for i := range index {
		index[i] = i
		a.At[i] = math.Mod(a.At[i], p.Length)
	}
	slices.SortStableFunc(index, func(x, y int) int {
		switch {
		case a.At[x] < a.At[y]:
			return -1
		case a.At[x] > a.At[y]:
			return 1
		}
		return a.Lane[x] - a.Lane[y]
	})
	u, lane := make([]float64, len(index)), make([]int, len(index))
	for i, k := range index {
		u[i], lane[i] = a.At[k], a.Lane[k]
	}
	a.At, a.Lane = u, lane
	return a
}
