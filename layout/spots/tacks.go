package spots

import (
	"cmp"
	"math"
	"slices"
)

// mark chooses the tacks among the welds at u.
func (j *job) mark(out *Layout, u []float64) {
	t := tacker{every: j.TackEvery, length: j.track.length(), closed: j.track.closed}
	var index []int
	for i, w := range out.Welds {
		if len(w.Clamps) == 0 {
			t.at, index = append(t.at, u[i]), append(index, i)
		}
	}
	for _, k := range t.choose(j.corners()) {
		out.Welds[index[k]].Tack = true
	}
}

// leastTacks is how many tacks a line of so many welds must have.
func leastTacks(welds int, closed bool) int {
	if closed {
		return min(welds, leastClosed)
	}
	return min(welds, leastOpen)
}

// tacker chooses tacks among the welds that no clamp hides.
type tacker struct {
	at     []float64 // their places, growing
	every  float64   // tack spacing; 0: none asked for
	length float64
	closed bool
}

// choose returns indices into at, growing.
func (t tacker) choose(corners []float64) []int {
	if len(t.at) == 0 {
		return nil
	}
	fixed := []int{}
	if !t.closed {
		fixed = append(fixed, 0, len(t.at)-1)
	}
	for _, c := range corners {
		if k := t.nearest(c); t.distance(t.at[k], c) <= t.every/2 {
			fixed = append(fixed, k)
		}
	}
	if len(fixed) == 0 {
		fixed = append(fixed, 0)
	}
	slices.Sort(fixed)
	fixed = slices.Compact(fixed)
	out := slices.Clone(fixed)
	for i, k := range fixed {
		switch {
		case i+1 < len(fixed):
			out = append(out, t.between(k, fixed[i+1])...)
		case t.closed:
			out = append(out, t.between(k, fixed[0]+len(t.at))...)
		}
	}
	for i := range out {
		out[i] %= len(t.at)
	}
	slices.Sort(out)
	return t.enough(slices.Compact(out))
}

// place of a weld by index; beyond the last the line is gone round once more.
func (t tacker) place(k int) float64 {
	n := len(t.at)
	return t.at[k%n] + float64(t.length*float64(k/n))
}

// nearest is the weld nearest to a corner, whose place is known to half a millimetre, as directions are taken every ten; of two as near
// the first.
func (t tacker) nearest(u float64) int {
	const known = 0.5
	best := 0
	for k, v := range t.at {
		if t.distance(v, u) < t.distance(t.at[best], u)-known {
			best = k
		}
	}
	return best
}

// distance between two places along the line, the shorter way round.
func (t tacker) distance(a, b float64) float64 {
	d := math.Abs(a - b)
	if t.closed {
		d = math.Min(d, t.length-d)
	}
	return d
}

// between returns the fewest tacks between two that leave no more than the spacing, as evenly as the welds
// lie; where the welds lie too far apart for that, it goes as far as it can each time.
func (t tacker) between(from, to int) []int {
	distance := t.place(to) - t.place(from)
	if t.every <= 0 || distance <= t.every+said {
		return nil
	}
	greedy := t.greedy(from, to)
	for parts := int(math.Ceil((distance - said) / t.every)); parts <= len(greedy)+1; parts++ {
		if even := t.even(from, to, parts); t.keeps(from, to, even) {
			return even
		}
	}
	return greedy
}

// greedy goes from tack to tack as far as the spacing lets it.
func (t tacker) greedy(from, to int) []int {
	var out []int
	for at := from; t.place(to)-t.place(at) > t.every+said; {
		next := at + 1
		for next+1 < to && t.place(next+1)-t.place(at) <= t.every+said {
			next++
		}
		if next >= to {
			break
		}
		out = append(out, next)
		at = next
	}
	return out
}

// even takes the weld nearest to each of the points that split the way into equal parts.
func (t tacker) even(from, to, parts int) []int {
	var out []int
	start, distance := t.place(from), t.place(to)-t.place(from)
	k := from + 1
	for i := 1; i < parts; i++ {
		target := start + distance*float64(i)/float64(parts)
		for k+1 < to && math.Abs(t.place(k+1)-target) < math.Abs(t.place(k)-target)-said {
			k++
		}
		if k < to && (len(out) == 0 || out[len(out)-1] != k) {
			out = append(out, k)
		}
	}
	return out
}

// keeps reports whether the tacks between two leave no more than the spacing.
func (t tacker) keeps(from, to int, between []int) bool {
	at := from
	for _, k := range append(slices.Clone(between), to) {
		if t.place(k)-t.place(at) > t.every+said {
			return false
		}
		at = k
	}
	return true
}

// enough adds tacks in the widest gap until there are as many as the line must have.
func (t tacker) enough(tacks []int) []int {
	for len(tacks) < leastTacks(len(t.at), t.closed) {
		add, widest := -1, -1.0
		for k := range t.at {
			if slices.Contains(tacks, k) {
				continue
			}
			if d := t.away(k, tacks); d > widest+said {
				add, widest = k, d
			}
		}
		tacks = append(tacks, add)
		slices.Sort(tacks)
	}
	return tacks
}

// away is the distance from a weld to the nearest tack, along the line.
func (t tacker) away(k int, tacks []int) float64 {
	least := math.Inf(1)
	for _, other := range tacks {
		least = math.Min(least, t.distance(t.at[k], t.at[other]))
	}
	return least
}

// corners returns the places u of the line's corners: in every stretch that turns by more than CornerTurn
// within a tack spacing one for each 90 degrees of turn, or the one, where that much of the turn is done.
func (j *job) corners() []float64 {
	if j.TackEvery <= 0 {
		return nil
	}
	u, turned := j.unrolled()
	if turned[len(turned)-1] <= CornerTurn || bent(u, turned) > 0.6 {
		return nil
	}
	var out []float64
	for _, s := range j.turns(u, turned) {
		from, to := interpolate(u, turned, s.from), interpolate(u, turned, s.to)
		n := max(1, int(math.Round((to-from)/90)))
		for i := range n {
			done := from + (to-from)*(float64(i)+0.5)/float64(n)
			out = append(out, j.track.wrap(interpolate(turned, u, done)))
		}
	}
	return out
}

// unrolled returns how far the line has turned along it. A closed line starts at its straightest place, so
// that no corner is cut in two.
func (j *job) unrolled() (u, turned []float64) {
	u, turned = j.track.turned()
	if !j.track.closed {
		return u, turned
	}
	n, length, all := len(u)-1, j.track.length(), turned[len(u)-1]
	at := func(v float64) float64 {
		laps := math.Floor((v - u[0]) / length)
		return interpolate(u, turned, v-laps*length) + laps*all
	}
	cut, least := 0, math.Inf(1)
	for k := range n {
		if bend := at(u[k]+j.TackEvery/2) - at(u[k]-j.TackEvery/2); bend < least-1e-6 {
			cut, least = k, bend
		}
	}
	var places, turns []float64
	for i := range n + 1 {
		k, lap := (cut+i)%n, float64((cut+i)/n)
		places = append(places, u[k]+lap*length)
		turns = append(turns, turned[k]-turned[cut]+lap*all)
	}
	return places, turns
}

// bent is the part of the line, 0 to 1, that does nine tenths of its turning: near 0.9 for a ring, little
// for straights with corners between.
func bent(u, turned []float64) float64 {
	type piece struct{ length, turn float64 }
	var pieces []piece
	for k := 1; k < len(u); k++ {
		pieces = append(pieces, piece{u[k] - u[k-1], turned[k] - turned[k-1]})
	}
	slices.SortStableFunc(pieces, func(a, b piece) int { return cmp.Compare(b.turn*a.length, a.turn*b.length) })
	length, turn := 0.0, 0.0
	for _, p := range pieces {
		if turn >= 0.9*turned[len(turned)-1] {
			break
		}
		length, turn = length+p.length, turn+p.turn
	}
	return length / (u[len(u)-1] - u[0])
}

// turns returns the stretches of the line, merged, that are windows of a tack spacing in which it turns by
// more than CornerTurn. Each window is drawn in to the middle of its turn, so that corners apart stay apart.
func (j *job) turns(u, turned []float64) []span {
	var out []span
	for k := range u {
		end := math.Min(u[k]+j.TackEvery, u[len(u)-1])
		from, to := turned[k], interpolate(u, turned, end)
		if to-from > CornerTurn {
			margin := 0.02 * (to - from)
			out = append(out, span{interpolate(turned, u, from+margin), interpolate(turned, u, to-margin)})
		}
	}
	return merge(out)
}

// interpolate returns y at x for growing xs; where xs stand still, the first of them counts.
func interpolate(xs, ys []float64, x float64) float64 {
	k, _ := slices.BinarySearch(xs, x)
	switch {
	case k == 0:
		return ys[0]
	case k >= len(xs):
		return ys[len(ys)-1]
	}
	if xs[k] == xs[k-1] {
		return ys[k]
	}
	return ys[k-1] + (ys[k]-ys[k-1])*(x-xs[k-1])/(xs[k]-xs[k-1])
}

// checkTacks says where clamps leave too few tacks or too far between.
func (j *job) checkTacks(out Layout, u []float64) []Problem {
	var at []float64
	for i, w := range out.Welds {
		if w.Tack {
			at = append(at, u[i])
		}
	}
	whole := span{0, j.track.length()}
	if need := leastTacks(len(u), j.track.closed); len(at) < need {
		p := j.problem(FewTacks, whole, float64(len(at)), float64(need))
		p.KeepOuts = touching(j.clamps, whole, said)
		return []Problem{p}
	}
	var problems []Problem
	for _, g := range j.gaps(at) {
		ids := j.hides(u, g)
		if j.TackEvery > 0 && g.length() > j.TackEvery+1e-6 && len(ids) > 0 {
			p := j.problem(TackGap, g, g.length(), j.TackEvery)
			p.KeepOuts = ids
			problems = append(problems, p)
		}
	}
	return problems
}

// hides returns the clamps that hide welds strictly within a gap.
func (j *job) hides(u []float64, gap span) []string {
	var out []string
	for _, v := range u {
		for _, w := range []float64{v, v + j.track.length()} {
			if w > gap.from+said && w < gap.to-said && (w == v || j.track.closed) {
				out = union(out, named(j.clamps, v))
			}
		}
	}
	return out
}

// union returns the ids of both, sorted, each once.
func union(a, b []string) []string {
	out := append(slices.Clone(a), b...)
	slices.Sort(out)
	return slices.Compact(out)
}
