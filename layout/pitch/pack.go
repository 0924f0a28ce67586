package pitch

import (
	"math"
	"slices"
)

// packing is two rows to be packed: where welds may be, and what they keep.
type packing struct {
	rows     *Rows
	free     [2][]Span
	from, to float64 // of the first and the last weld
	least    float64 // pitch in each row
}

// packed is a weld of a packing and all before it, packed to the left.
type packed struct {
	u     float64
	lane  int
	last  [2]float64 // place of the last weld of each row; -Inf for none
	wide  bool       // the right row's last weld stands where there is room for two
	count int
	prev  *packed
}

// need is how far along the line a weld at u in a row stays from the last one of the other row.
func (k packing) need(s *packed, lane int, wide bool) float64 {
	if lane == 1 {
		wide = s.wide
	}
	if wide {
		return k.rows.along(k.rows.Apart)
	}
	return k.rows.along(k.rows.Aside)
}

// next returns the first places in a row that can follow s: one where there is room for two rows, one where there is not.
func (k packing) next(s *packed, lane int) []*packed {
	var out []*packed
	seen := [2]bool{}
	for _, f := range k.pieces(lane) {
		place := 0
		if f.wide {
			place = 1
		}
		u := math.Max(f.From, math.Max(s.u, math.Max(s.last[lane]+k.least, s.last[1-lane]+k.need(s, lane, f.wide))))
		if u > f.To+Tiny || seen[place] {
			continue
		}
		seen[place] = true
		out = append(out, k.after(s, math.Min(u, f.To), lane, f.wide))
		if seen[0] && seen[1] || lane == 1 {
			break
		}
	}
	return out
}

func (k packing) after(s *packed, u float64, lane int, wide bool) *packed {
	t := &packed{u: u, lane: lane, last: s.last, wide: s.wide, count: s.count + 1, prev: s}
	t.last[lane] = u
	if lane == 0 {
		t.wide = wide
	}
	return t
}

// piece is a free span of a row that is wide, or is not, all along.
type piece struct {
	Span
	wide bool
}

// pieces cuts the free spans of a row at the ends of the zones.
func (k packing) pieces(lane int) []piece {
	var out []piece
	for _, f := range k.free[lane] {
		if lane == 1 {
			out = append(out, piece{f, true})
			continue
		}
		at := f.From
		for _, z := range k.rows.Zones {
			from, to := math.Max(z.From, at), math.Min(z.To, f.To)
			if from > to {
				continue
			}
			if from > at+2*Tiny {
				out = append(out, piece{Span{at, from - 2*Tiny}, false})
			}
			out = append(out, piece{Span{from, to}, true})
			at = to + 2*Tiny
		}
		if at <= f.To || f.From == f.To && len(out) == 0 {
			out = append(out, piece{Span{math.Min(at, f.To), f.To}, false})
		}
	}
	return out
}

// densest packs as many welds as fit between the first and the last. It is exact: every packing can be pushed to the left weld
// by weld, so only the leftmost places count, and of two packings of as many welds the one that is farther right in
// both rows never wins.
func (k packing) densest() *packed {
	var level []*packed
	none := &packed{u: k.from, last: [2]float64{math.Inf(-1), math.Inf(-1)}, wide: true}
	for lane := range k.free {
		for _, s := range k.next(none, lane) {
			if s.u <= k.from+Tiny {
				level = append(level, s)
			}
		}
	}
	var best *packed
	for len(level) > 0 {
		var further []*packed
		for _, s := range level {
			if t := k.close(s); t != nil && (best == nil || t.count > best.count) {
				best = t
			}
			for lane := range k.free {
				further = append(further, k.next(s, lane)...)
			}
		}
		level = undominated(further)
	}
	return best
}

// close ends a packing with a weld at the end; nil where none fits.
func (k packing) close(s *packed) *packed {
	if s.u >= k.to-Tiny {
		return s
	}
	for lane := range k.free {
		for _, f := range k.pieces(lane) {
			fits := k.to >= s.last[lane]+k.least-Tiny && k.to >= s.last[1-lane]+k.need(s, lane, f.wide)-Tiny
			if fits && f.From <= k.to+Tiny && f.To >= k.to-Tiny {
				return k.after(s, k.to, lane, f.wide)
			}
		}
	}
	return nil
}

// undominated keeps the packings that no other one betters.
func undominated(all []*packed) []*packed {
	var out []*packed
	for i, s := range all {
		worse := slices.ContainsFunc(all[:i], func(t *packed) bool { return t.atLeast(s) }) ||
			slices.ContainsFunc(all[i+1:], func(t *packed) bool { return t.atLeast(s) && !s.atLeast(t) })
		if !worse {
			out = append(out, s)
		}
	}
	return out
}

// atLeast reports whether whatever can follow t can follow s.
func (s *packed) atLeast(t *packed) bool {
	return s.last[0] <= t.last[0]+Tiny && s.last[1] <= t.last[1]+Tiny && s.u <= t.u+Tiny && (s.wide || !t.wide)
}

// Irregular gives an arrangement of two rows of exactly as many welds as are wanted where these fit at all, else of as many as fit:
// the rows run over no more of the line than that takes, but where they are to fill all of their room.
func (p *Rows) Irregular(wanted int) []Arrangement {
	whole := p.between()
	if p.Closed || whole.Length() < p.Pitch.Least {
		return nil
	}
	free := p.free(whole)
	if len(free[0]) == 0 || len(free[1]) == 0 {
		return nil
	}
	if p.Fill {
		return p.sparse(free, wanted)
	}
	k := newPacking(p, free, 1)
	s := k.densest()
	if s == nil {
		return nil
	}
	if s.count > wanted {
		low, high := 0.0, 1.0 // shares of the room that hold too few, and enough
		for range 20 {
			middle := (low + high) / 2
			if t := newPacking(p, free, middle).densest(); t != nil && t.count >= wanted {
				high = middle
			} else {
				low = middle
			}
		}
		k = newPacking(p, free, high)
		s = k.densest()
	}
	return []Arrangement{k.relaxed(k.thinned(s.list(), wanted))}
}

// newPacking packs two rows with the second only in the middle share of its room.
func newPacking(p *Rows, free [2][]Span, share float64) packing {
	k := packing{rows: p, free: free, least: p.Pitch.Least}
	k.from, k.to = ends(free)
	if share >= 1 {
		return k
	}
	k.free[1] = nil
	for _, z := range p.Zones {
		cut := (1 - share) / 2 * z.Length()
		k.free[1] = append(k.free[1], common([]Span{{z.From + cut, z.To - cut}}, free[1])...)
	}
	return k
}

// sparse packs two rows over all of their room as loosely as the greatest pitch and the count wanted let it.
func (p *Rows) sparse(free [2][]Span, wanted int) []Arrangement {
	low, high := p.Pitch.Least, p.Pitch.Most
	var best *Arrangement
	for range 20 {
		middle := (low + high) / 2
		k := newPacking(p, free, 1)
		k.least = middle
		s := k.densest()
		ok := s != nil
		if ok {
			a := k.relaxed(s.list())
			if ok = len(a.At) >= wanted && a.above() == 0; ok {
				best = &a
			}
		}
		if ok {
			low = middle
		} else {
			high = middle
		}
	}
	if best != nil {
		return []Arrangement{*best}
	}
	k := newPacking(p, free, 1)
	if s := k.densest(); s != nil {
		return []Arrangement{k.relaxed(s.list())}
	}
	return nil
}

// list is the welds of a packing from the first to the last.
func (s *packed) list() []*packed {
	var out []*packed
	for ; s.prev != nil; s = s.prev {
		out = append(out, s)
	}
	slices.Reverse(out)
	return out
}

// thinned takes out welds of the second row, from its ends, until as many are left as are wanted.
func (k packing) thinned(all []*packed, wanted int) []*packed {
	for len(all) > max(wanted, LeastOpen) {
		first := slices.IndexFunc(all, func(s *packed) bool { return s.lane == 1 })
		if first < 0 {
			break
		}
		at := first
		if first == 0 || len(all)%2 == 0 { // not the weld at the line's start; and from both ends in turn
			for i, s := range all {
				if s.lane == 1 {
					at = i
				}
			}
		}
		if at == 0 || at == len(all)-1 {
			break
		}
		all = slices.Delete(slices.Clone(all), at, at+1)
	}
	return all
}

// sweeps bounds the evening out of a packing: each sweep carries a change as far as the row goes, and thousands of them
// spread one gap over a hundred welds.
const sweeps = 4000

// relaxed evens a packing out: every weld but the first and last goes as near to the middle between its neighbours as its
// free span and the least distances let it, until nothing moves.
func (k packing) relaxed(all []*packed) Arrangement {
	out := Arrangement{kind: uneven, rows: k.rows}
	within := make([]piece, len(all))
	for i, s := range all {
		out.At, out.Lane = append(out.At, s.u), append(out.Lane, s.lane)
		for _, f := range k.pieces(s.lane) {
			if s.u >= f.From-Tiny && s.u <= f.To+Tiny {
				within[i] = f
			}
		}
	}
	for range sweeps {
		moved := 0.0
		for i := 1; i+1 < len(all); i++ {
			low, high := k.limits(out, within, i)
			to := math.Min(high, math.Max(low, (out.At[i-1]+out.At[i+1])/2))
			if low > high {
				continue
			}
			moved = math.Max(moved, math.Abs(to-out.At[i]))
			out.At[i] = to
		}
		if moved < 1e-6 {
			break
		}
	}
	return out
}

// limits are how far weld i may go while all others stay.
func (k packing) limits(a Arrangement, within []piece, i int) (low, high float64) {
	low, high = math.Max(within[i].From, a.At[i-1]), math.Min(within[i].To, a.At[i+1])
	seen := [2]bool{}
	for n := i - 1; n >= 0 && !(seen[0] && seen[1]); n-- {
		if !seen[a.Lane[n]] {
			low, seen[a.Lane[n]] = math.Max(low, a.At[n]+k.between(a, within, i, n)), true
		}
	}
	seen = [2]bool{}
	for n := i + 1; n < len(a.At) && !(seen[0] && seen[1]); n++ {
		if !seen[a.Lane[n]] {
			high, seen[a.Lane[n]] = math.Min(high, a.At[n]-k.between(a, within, i, n)), true
		}
	}
	return low, high
}

// between is how far two welds stay apart along the line.
func (k packing) between(a Arrangement, within []piece, i, n int) float64 {
	switch {
	case a.Lane[i] == a.Lane[n]:
		return k.least
	case within[i].wide && within[n].wide:
		return k.rows.along(k.rows.Apart)
	}
	return k.rows.along(k.rows.Aside)
}
