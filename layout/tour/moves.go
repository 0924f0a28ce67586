package tour

import (
	"math"
	"math/rand/v2"
	"slices"
)

// inner is the cost of what is within seq[i..j], in order or turned round, without tips and settings.
func (s *search) inner(i, j int, round bool) float64 {
	if round {
		return s.back.to(j) - s.back.to(i) + s.c.within(s.turned(s.seq[j]))
	}
	return s.ahead.to(j) - s.ahead.to(i) + s.c.within(s.seq[j])
}

// room is how far the stretch i..j may move: its first place may become low at least and its last high at
// most.
func (s *search) room(i, j int) (low, high int) {
	low, high = 0, len(s.seq)-1
	for k := i; k <= j; k++ {
		g := s.seq[k].group
		stage := s.p.groups[g].Stage
		low, high = max(low, s.bound[stage]), min(high, s.bound[stage+1]-1)
		for _, b := range s.p.groups[g].Before {
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
	if s.p.groups[s.seq[i].group].Stage != s.p.groups[s.seq[j].group].Stage {
		return false
	}
	for k := i + 1; k <= j; k++ {
		for _, b := range s.p.groups[s.seq[k].group].Before {
			if at := s.place[b]; at >= i && at < k {
				return false
			}
		}
	}
	return true
}

// places are where the stretch i..j may be worth putting: between k-1 and k.
func (s *search) places(i, j, low, high int) []int {
	out := s.spots[:0]
	defer func() { s.spots = out }()
	if len(s.seq) <= everywhere {
		for k := low; k <= high+1; k++ {
			out = append(out, k)
		}
		return out
	}
	for _, end := range [2]int{i, j} {
		for _, h := range s.near[s.seq[end].group] {
			out = append(out, s.place[h], s.place[h]+1)
		}
	}
	if j-i > 2 { // a block: between others
		for k := low; k <= high+1; k++ {
			if k == 0 || k == len(s.seq) || s.c.gun[s.seq[k-1].group] != s.c.gun[s.seq[k].group] ||
				s.c.dress[s.seq[k-1].group] != s.c.dress[s.seq[k].group] {
				out = append(out, k)
			}
		}
	}
	out = append(out, low, high+1)
	return out
}

// lifted is a stretch taken out of the order, as it is and turned round.
type lifted struct {
	i, j        int
	first, last [2]step
	gone        [2]float64 // what taking it out costs, and turning it round
	kits        float64    // the least that tips and settings on all guns can change by
}

func (s *search) lift(i, j int) lifted {
	l := lifted{i: i, j: j, first: [2]step{s.seq[i], s.turned(s.seq[j])}, last: [2]step{s.seq[j], s.turned(s.seq[i])}}
	before, after := s.stepAt(i-1), s.stepAt(j+1)
	l.gone[0] = s.c.link(before, after) - s.gap[i] - s.gap[j+1]
	l.gone[1] = l.gone[0] + s.inner(i, j, true) - s.inner(i, j, false)
	for kit := range s.last {
		f, t := int(s.next[kit][i]), int(s.last[kit][j+1])
		if a, b := s.outside(kit, i, i, j); f <= j && a >= 0 {
			l.kits += s.dressing(a, b) - s.dressing(a, f) - s.dressing(t, b) - s.dressing(f, t) // triangle: no place brings more
		}
	}
	return l
}

// put is what moving the stretch between k-1 and k costs, or something no less than below.
func (s *search) put(l *lifted, k, turn int, below float64) float64 {
	delta := l.gone[turn] + s.c.link(s.stepAt(k-1), l.first[turn]) - s.gap[k]
	if delta+l.kits >= below { // another link comes on top
		return below
	}
	if delta += s.c.link(l.last[turn], s.stepAt(k)); delta+l.kits >= below {
		return below
	}
	for kit := range s.last {
		delta += s.kitDelta(kit, l.i, l.j, k, turn == 1)
	}
	return delta
}

// shift moves the stretch i..j, as it is or turned round, to where it saves most.
func (s *search) shift(i, j int) bool {
	low, high := s.room(i, j)
	if high-low == j-i {
		return false
	}
	l := s.lift(i, j)
	turnable := s.turnable(i, j)
	best, at, round := 0.0, -1, 0
	s.stamp++
	for _, k := range s.places(i, j, low, high) {
		if k < low || k > high+1 || k >= i && k <= j+1 || s.seen[k] == s.stamp {
			continue
		}
		s.seen[k] = s.stamp
		if delta := s.put(&l, k, 0, best-s.c.gain); delta < best-s.c.gain {
			best, at, round = delta, k, 0
		}
		if turnable {
			if delta := s.put(&l, k, 1, best-s.c.gain); delta < best-s.c.gain {
				best, at, round = delta, k, 1
			}
		}
	}
	if at < 0 {
		return false
	}
	s.move(i, j, at, round == 1, best)
	return true
}

// kitDelta is what changes of tip and setting on one gun the move brings or saves.
func (s *search) kitDelta(kit, i, j, k int, turn bool) float64 {
	f, l := int(s.next[kit][i]), int(s.last[kit][j+1])
	if f > j {
		return 0
	}
	a, b := s.outside(kit, i, i, j)
	if a < 0 {
		return 0 // every use of the gun moves
	}
	c, d := s.outside(kit, k, i, j)
	first, last := f, l
	if turn {
		first, last = l, f
	}
	return s.dressing(a, b) - s.dressing(a, f) - s.dressing(l, b) + s.dressing(c, first) + s.dressing(last, d) - s.dressing(c, d)
}

func (s *search) dressing(i, j int) float64 { return s.c.dressing(s.seq[i].group, s.seq[j].group) }

// outside are the uses of a gun before and from place k on, without those in i..j. Before the first comes the last, of
// the shell before; -1: there is none.
func (s *search) outside(kit, k, i, j int) (before, after int) {
	last, next, n := s.last[kit], s.next[kit], len(s.seq)
	within := func(at int) bool { return at >= i && at <= j }
	before, after = int(last[k]), int(next[k])
	if within(before) {
		before = int(last[i])
	}
	if before < 0 {
		if before = int(last[n]); within(before) {
			before = int(last[i])
		}
	}
	if within(after) {
		after = int(next[j+1])
	}
	if after == n {
		if after = int(next[0]); within(after) {
			after = int(next[j+1])
		}
	}
	return before, after
}

// move applies a shift whose cost is known.
func (s *search) move(i, j, k int, round bool, delta float64) {
	s.saved -= delta
	if round {
		s.turnRound(s.seq[i : j+1])
	}
	from, to, at := i, k-1, k-1-(j-i)
	if k > j {
		rotate(s.seq[i:k], j-i+1)
	} else {
		rotate(s.seq[k:j+1], i-k)
		from, to, at = k, j, k
	}
	s.changed(from, to)
	for _, p := range [4]int{from, to, at, at + j - i} {
		s.pushAround(p)
	}
}

// rotate puts the first n behind the others.
func rotate(list []step, n int) {
	slices.Reverse(list[:n])
	slices.Reverse(list[n:])
	slices.Reverse(list)
}

func (s *search) turnRound(stretch []step) {
	slices.Reverse(stretch)
	for k := range stretch {
		stretch[k] = s.turned(stretch[k])
	}
}

// reverse turns the stretch that saves most round, of those that begin or end at place i; a stretch of one group is gone
// the other way.
func (s *search) reverse(i int) bool {
	best, from, to := 0.0, -1, -1
	for _, r := range s.stretches(i) {
		if r[0] < 0 || r[1] >= len(s.seq) || r[0] > r[1] || r[1]-r[0] > longestTurn {
			continue
		}
		if delta := s.reverseDelta(r[0], r[1]); delta < best-s.c.gain && s.turnable(r[0], r[1]) {
			best, from, to = delta, r[0], r[1]
		}
	}
	if from < 0 {
		return false
	}
	s.turn(from, to, best)
	return true
}

// turn applies a reversal whose cost is known.
func (s *search) turn(from, to int, delta float64) {
	s.saved -= delta
	s.turnRound(s.seq[from : to+1])
	s.changed(from, to)
	s.pushAround(from)
	s.pushAround(to)
}

// stretches are those that may be worth turning round, of those that begin or end at place i.
func (s *search) stretches(i int) [][2]int {
	out := s.spans[:0]
	defer func() { s.spans = out }()
	if len(s.seq) <= everywhere {
		for j := range s.seq {
			out = append(out, [2]int{min(i, j), max(i, j)})
		}
		return out
	}
	out = append(out, [2]int{i, i})
	at := func(k int, pair func(place int) [2]int) {
		if k >= 0 && k < len(s.seq) {
			for _, h := range s.near[s.seq[k].group] {
				out = append(out, pair(s.place[h]))
			}
		}
	}
	at(i-1, func(p int) [2]int { return [2]int{i, p} })
	at(i, func(p int) [2]int { return [2]int{i, p - 1} })
	at(i, func(p int) [2]int { return [2]int{p + 1, i} })
	at(i+1, func(p int) [2]int { return [2]int{p, i} })
	return out
}

// reverseDelta is what turning the stretch i..j round costs.
func (s *search) reverseDelta(i, j int) float64 {
	before, after := s.stepAt(i-1), s.stepAt(j+1)
	delta := s.c.link(before, s.turned(s.seq[j])) + s.c.link(s.turned(s.seq[i]), after) + s.inner(i, j, true) -
		s.gap[i] - s.gap[j+1] - s.inner(i, j, false)
	for kit := range s.last {
		f, l := int(s.next[kit][i]), int(s.last[kit][j+1])
		if f > j {
			continue
		}
		if a, b := s.outside(kit, i, i, j); a >= 0 {
			delta += s.dressing(a, l) + s.dressing(f, b) - s.dressing(a, f) - s.dressing(l, b)
		}
	}
	return delta
}

// disturb swaps two neighbouring stretches at a few random places, no farther than reach, and turns some round, as far as
// what must come first lets it.
func (s *search) disturb(rng *rand.Rand, times, reach int) {
	n := len(s.seq)
	for range times {
		i := rng.IntN(n)
		j := min(n-1, i+rng.IntN(1+min(n, 12)))
		low, high := s.room(i, j)
		low, high = max(low, i-reach), min(high, j+reach)
		choices := (i - low) + (high - j) // places to the left and to the right
		if choices <= 0 {
			if s.turnable(i, j) {
				s.turn(i, j, s.reverseDelta(i, j))
			}
			continue
		}
		k := low + rng.IntN(choices)
		if k >= i {
			k += j - i + 2
		}
		l, turn := s.lift(i, j), 0
		if rng.IntN(2) == 0 && s.turnable(i, j) {
			turn = 1
		}
		s.move(i, j, k, turn == 1, s.put(&l, k, turn, math.Inf(1)))
	}
}
