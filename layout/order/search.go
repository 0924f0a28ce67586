package order

import (
	"math"
	"math/rand/v2"
	"slices"
)

// gain is the least saving in seconds that counts, so that rounding does not decide.
const gain = 1e-9

// work bounds the search beyond the first descent: about as many moves are looked at, whatever the size.
const work = 3e7

// search is a tour in the making.
type search struct {
	p     *problem
	c     *costs
	seq   []step
	place []int     // by group: where in seq
	ahead []float64 // ahead[i]: cost of the links and groups before seq[i], going forward
	back  []float64 // the same with every group turned and the order reversed
	left  []int     // by place: the last earlier place that must come before it, -1 for none
	early int       // groups of the first stage
}

// searched returns a good order: cheapest insertion, then moves while any helps, then the same again from
// disturbed copies of the best.
func (p *problem) searched(c *costs) []step {
	s := &search{p: p, c: c, place: make([]int, len(p.groups))}
	for _, g := range p.groups {
		if g.stage == stageTack {
			s.early++
		}
	}
	s.insertAll()
	s.descend()
	best, least := slices.Clone(s.seq), c.total(s.seq)
	rng := rand.New(rand.NewPCG(1, 2)) // fixed: the same stops give the same order
	n := float64(len(s.seq))
	for range int(math.Min(400, work/(n*n*12))) {
		s.disturb(rng)
		s.descend()
		if total := c.total(s.seq); total < least-gain {
			best, least = slices.Clone(s.seq), total
		} else {
			s.seq = append(s.seq[:0], best...)
			s.measure()
		}
	}
	return best
}

// insertAll puts one group after another where it costs least, each after all that must come before it.
func (s *search) insertAll() {
	for _, g := range s.p.sorted() {
		low := 0
		for i, t := range s.seq {
			if slices.Contains(s.p.groups[g].before, int(t.group)) || s.p.groups[t.group].stage < s.p.groups[g].stage {
				low = i + 1
			}
		}
		best, at, way := math.Inf(1), low, uint8(0)
		for i := low; i <= len(s.seq); i++ {
			for w := range s.p.groups[g].ways {
				t := step{int32(g), uint8(w)}
				a, b := s.stepAt(i-1), s.stepAt(i)
				if cost := s.c.link(a, t) + s.c.link(t, b) + s.c.within(t) - s.c.link(a, b); cost < best-gain {
					best, at, way = cost, i, uint8(w)
				}
			}
		}
		s.seq = slices.Insert(s.seq, at, step{int32(g), way})
	}
	s.measure()
}

// sorted is an order that keeps what must come first, lower groups first.
func (p *problem) sorted() []int {
	var out []int
	done := make([]bool, len(p.groups))
	for len(out) < len(p.groups) {
		best := -1
		for g := range p.groups {
			ready := !done[g] && !slices.ContainsFunc(p.groups[g].before, func(b int) bool { return !done[b] })
			if ready && (best < 0 || p.groups[g].stage < p.groups[best].stage) {
				best = g
			}
		}
		done[best] = true
		out = append(out, best)
	}
	return out
}

func (s *search) stepAt(i int) step {
	if i < 0 || i >= len(s.seq) {
		return none
	}
	return s.seq[i]
}

// turned is the step gone the other way, where the group has two.
func (s *search) turned(t step) step {
	if len(s.p.groups[t.group].ways) < 2 {
		return t
	}
	return t.turned()
}

// measure brings everything that is kept beside the order up to date.
func (s *search) measure() {
	n := len(s.seq)
	s.ahead, s.back, s.left = resized(s.ahead, n+1), resized(s.back, n+1), resized(s.left, n)
	for i, t := range s.seq {
		s.place[t.group] = i
	}
	for i, t := range s.seq {
		s.ahead[i+1], s.back[i+1] = s.ahead[i]+s.c.within(t), s.back[i]+s.c.within(s.turned(t))
		if i+1 < n {
			s.ahead[i+1] += s.c.link(t, s.seq[i+1])
			s.back[i+1] += s.c.link(s.turned(s.seq[i+1]), s.turned(t))
		}
		s.left[i] = -1
		if s.p.groups[t.group].stage > stageTack {
			s.left[i] = s.early - 1
		}
		for _, b := range s.p.groups[t.group].before {
			s.left[i] = max(s.left[i], s.place[b])
		}
	}
}

func resized[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}

// descend moves and turns stretches as long as it helps.
func (s *search) descend() {
	for again := true; again; {
		again = false
		for i := 0; i < len(s.seq); i++ {
			for _, j := range s.ends(i) {
				if s.shift(i, j) {
					again = true
				}
			}
			if s.reverse(i) {
				again = true
			}
		}
	}
}

// ends are the last places of the stretches from i that are worth moving: one to three groups, and all
// that is done with the same gun, tip or setting from here on.
func (s *search) ends(i int) []int {
	n := len(s.seq)
	var out []int
	for j := i; j < min(n, i+3); j++ {
		out = append(out, j)
	}
	gun := func(k int) string { return s.p.groups[s.seq[k].group].key.gun }
	class := func(k int) int { return s.c.class[s.seq[k].group] }
	if i == 0 || class(i-1) != class(i) {
		j := i
		for j+1 < n && class(j+1) == class(i) {
			j++
		}
		out = append(out, j)
	}
	if i == 0 || gun(i-1) != gun(i) {
		j := i
		for j+1 < n && gun(j+1) == gun(i) {
			j++
		}
		out = append(out, j)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// inner is the cost of what is within seq[i..j], in order or turned round.
func (s *search) inner(i, j int, round bool) float64 {
	if round {
		return s.back[j] - s.back[i] + s.c.within(s.turned(s.seq[j]))
	}
	return s.ahead[j] - s.ahead[i] + s.c.within(s.seq[j])
}

// room is how far the stretch i..j may move: its first place may become low at least and its last high at
// most.
func (s *search) room(i, j int) (low, high int) {
	low, high = 0, len(s.seq)-1
	for k := i; k <= j; k++ {
		g := s.seq[k].group
		if s.p.groups[g].stage > stageTack {
			low = max(low, s.early)
		} else {
			high = min(high, s.early-1)
		}
		for _, b := range s.p.groups[g].before {
			if at := s.place[b]; at < i {
				low = max(low, at+1)
			}
		}
		for _, a := range s.p.after[g] {
			if at := s.place[a]; at > j {
				high = min(high, at-1)
			}
		}
	}
	return low, high
}

// turnable reports whether the stretch holds nothing that must come before another of it.
func (s *search) turnable(i, j int) bool {
	for k := i + 1; k <= j; k++ {
		if s.left[k] >= i {
			return false
		}
	}
	return true
}

// shift moves the stretch i..j, as it is or turned round, to where it saves most.
func (s *search) shift(i, j int) bool {
	low, high := s.room(i, j)
	before, after := s.stepAt(i-1), s.stepAt(j+1)
	gone := s.c.link(before, after) - s.c.link(before, s.seq[i]) - s.c.link(s.seq[j], after)
	best, at, round := -gain, -1, false
	for _, turn := range [2]bool{false, true} {
		if turn && !s.turnable(i, j) {
			continue
		}
		first, last, extra := s.seq[i], s.seq[j], 0.0
		if turn {
			first, last = s.turned(s.seq[j]), s.turned(s.seq[i])
			extra = s.inner(i, j, true) - s.inner(i, j, false)
		}
		for k := low; k <= high+1; k++ { // between k-1 and k
			if k >= i && k <= j+1 {
				continue
			}
			a, b := s.stepAt(k-1), s.stepAt(k)
			delta := gone + extra + s.c.link(a, first) + s.c.link(last, b) - s.c.link(a, b)
			if delta < best {
				best, at, round = delta, k, turn
			}
		}
	}
	if at < 0 {
		return false
	}
	s.apply(i, j, at, round)
	return true
}

// apply moves the stretch i..j before what is at place k now.
func (s *search) apply(i, j, k int, round bool) {
	stretch := slices.Clone(s.seq[i : j+1])
	if round {
		s.turnRound(stretch)
	}
	rest := slices.Delete(s.seq, i, j+1)
	if k > j {
		k -= j - i + 1
	}
	s.seq = slices.Insert(rest, k, stretch...)
	s.measure()
}

func (s *search) turnRound(stretch []step) {
	slices.Reverse(stretch)
	for k := range stretch {
		stretch[k] = s.turned(stretch[k])
	}
}

// reverse turns the stretch from i round that saves most; a stretch of one group is gone the other way.
func (s *search) reverse(i int) bool {
	best, at := -gain, -1
	before := s.stepAt(i - 1)
	for j := i; j < len(s.seq); j++ {
		if j > i && s.left[j] >= i {
			break
		}
		after := s.stepAt(j + 1)
		delta := s.c.link(before, s.turned(s.seq[j])) + s.c.link(s.turned(s.seq[i]), after) + s.inner(i, j, true) -
			s.c.link(before, s.seq[i]) - s.c.link(s.seq[j], after) - s.inner(i, j, false)
		if delta < best {
			best, at = delta, j
		}
	}
	if at < 0 {
		return false
	}
	s.turnRound(s.seq[i : at+1])
	s.measure()
	return true
}

// disturb swaps two neighbouring stretches at a few random places, as far as what must come first lets it.
func (s *search) disturb(rng *rand.Rand) {
	n := len(s.seq)
	for range 3 {
		i := rng.IntN(n)
		j := min(n-1, i+rng.IntN(1+min(n, 12)))
		low, high := s.room(i, j)
		choices := (i - low) + (high - j) // places to the left and to the right
		if choices <= 0 {
			continue
		}
		k := low + rng.IntN(choices)
		if k >= i {
			k += j - i + 2
		}
		s.apply(i, j, k, false)
	}
}
