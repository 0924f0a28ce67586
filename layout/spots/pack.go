package spots

import (
	"math"
	"slices"
)

// field of a packing: where welds may be, and what they keep.
type packing struct {
	pair     *pair
	free     [2][]span
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
		return k.pair.along(k.pair.apart)
	}
	return k.pair.along(k.pair.aside)
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
		u := math.Max(f.from, math.Max(s.u, math.Max(s.last[lane]+k.least, s.last[1-lane]+k.need(s, lane, f.wide))))
		if u > f.to+tiny || seen[place] {
			continue
		}
		seen[place] = true
		out = append(out, k.after(s, math.Min(u, f.to), lane, f.wide))
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
	span
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
		at := f.from
		for _, z := range k.pair.zones {
			from, to := math.Max(z.from, at), math.Min(z.to, f.to)
			if from > to {
				continue
			}
			if from > at+2*tiny {
				out = append(out, piece{span{at, from - 2*tiny}, false})
			}
			out = append(out, piece{span{from, to}, true})
			at = to + 2*tiny
		}
		if at <= f.to || f.from == f.to && len(out) == 0 {
			out = append(out, piece{span{math.Min(at, f.to), f.to}, false})
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
			if s.u <= k.from+tiny {
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
	if s.u >= k.to-tiny {
		return s
	}
	for lane := range k.free {
		for _, f := range k.pieces(lane) {
			fits := k.to >= s.last[lane]+k.least-tiny && k.to >= s.last[1-lane]+k.need(s, lane, f.wide)-tiny
			if fits && f.from <= k.to+tiny && f.to >= k.to-tiny {
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
	return s.last[0] <= t.last[0]+tiny && s.last[1] <= t.last[1]+tiny && s.u <= t.u+tiny && (s.wide || !t.wide)
}

// irregular gives an arrangement of exactly as many welds as are wanted where these fit at all, else of as many as fit: two rows
// over no more of the line than that takes. Where two rows are asked for they go on over all of the room.
func (j *job) irregular(p *pair, wanted int) []arrangement {
	whole := span{j.Start, p.base.length() - j.End}
	if p.base.closed || whole.length() < p.b.least {
		return nil
	}
	free := p.free(whole)
	if len(free[0]) == 0 || len(free[1]) == 0 {
		return nil
	}
	if j.Rows >= 2 {
		return j.sparse(p, free, wanted)
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
	return []arrangement{k.relaxed(k.thinned(s.list(), wanted))}
}

// newPacking packs two rows with the second only in the middle share of its room.
func newPacking(p *pair, free [2][]span, share float64) packing {
	k := packing{pair: p, free: free, least: p.b.least}
	k.from, k.to = ends(free)
	if share >= 1 {
		return k
	}
	k.free[1] = nil
	for _, z := range p.zones {
		cut := (1 - share) / 2 * z.length()
		k.free[1] = append(k.free[1], common([]span{{z.from + cut, z.to - cut}}, free[1])...)
	}
	return k
}

// sparse packs two rows over all of their room as loosely as the greatest pitch and the count wanted let it.
func (j *job) sparse(p *pair, free [2][]span, wanted int) []arrangement {
	low, high := p.b.least, p.b.most
	var best *arrangement
	for range 20 {
		middle := (low + high) / 2
		k := newPacking(p, free, 1)
		k.least = middle
		s := k.densest()
		ok := s != nil
		if ok {
			a := k.relaxed(s.list())
			if ok = len(a.u) >= wanted && j.over(a.placed) == 0; ok {
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
		return []arrangement{*best}
	}
	k := newPacking(p, free, 1)
	if s := k.densest(); s != nil {
		return []arrangement{k.relaxed(s.list())}
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
	for len(all) > max(wanted, leastOpen) {
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
func (k packing) relaxed(all []*packed) arrangement {
	out := arrangement{kind: uneven}
	out.pair = k.pair
	within := make([]piece, len(all))
	for i, s := range all {
		out.u, out.lane = append(out.u, s.u), append(out.lane, s.lane)
		for _, f := range k.pieces(s.lane) {
			if s.u >= f.from-tiny && s.u <= f.to+tiny {
				within[i] = f
			}
		}
	}
	for range sweeps {
		moved := 0.0
		for i := 1; i+1 < len(all); i++ {
			low, high := k.limits(out, within, i)
			to := math.Min(high, math.Max(low, (out.u[i-1]+out.u[i+1])/2))
			if low > high {
				continue
			}
			moved = math.Max(moved, math.Abs(to-out.u[i]))
			out.u[i] = to
		}
		if moved < 1e-6 {
			break
		}
	}
	return out
}

// limits are how far weld i may go while all others stay.
func (k packing) limits(a arrangement, within []piece, i int) (low, high float64) {
	low, high = math.Max(within[i].from, a.u[i-1]), math.Min(within[i].to, a.u[i+1])
	seen := [2]bool{}
	for n := i - 1; n >= 0 && !(seen[0] && seen[1]); n-- {
		if !seen[a.lane[n]] {
			low, seen[a.lane[n]] = math.Max(low, a.u[n]+k.between(a, within, i, n)), true
		}
	}
	seen = [2]bool{}
	for n := i + 1; n < len(a.u) && !(seen[0] && seen[1]); n++ {
		if !seen[a.lane[n]] {
			high, seen[a.lane[n]] = math.Min(high, a.u[n]-k.between(a, within, i, n)), true
		}
	}
	return low, high
}

// between is how far two welds stay apart along the line.
func (k packing) between(a arrangement, within []piece, i, n int) float64 {
	switch {
	case a.lane[i] == a.lane[n]:
		return k.least
	case within[i].wide && within[n].wide:
		return k.pair.along(k.pair.apart)
	}
	return k.pair.along(k.pair.aside)
}
