package spots

import (
	"cmp"
	"math"
	"slices"

	"seamwright/layout/pitch"
)

// mark chooses the tacks among the welds at u.
func (j *job) mark(out *Layout, u []float64) {
	t := pitch.Tacks{Every: j.TackEvery, Length: j.track.length(), Closed: j.track.closed}
	var index []int
	for i, w := range out.Welds {
		if len(w.Clamps) == 0 {
			t.At, index = append(t.At, u[i]), append(index, i)
		}
	}
	for _, k := range t.Choose(j.corners()) {
		out.Welds[index[k]].Tack = true
	}
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
		from, to := interpolate(u, turned, s.From), interpolate(u, turned, s.To)
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
func (j *job) turns(u, turned []float64) []pitch.Span {
	var out []pitch.Span
	for k := range u {
		end := math.Min(u[k]+j.TackEvery, u[len(u)-1])
		from, to := turned[k], interpolate(u, turned, end)
		if to-from > CornerTurn {
			margin := 0.02 * (to - from)
			out = append(out, pitch.Span{From: interpolate(turned, u, from+margin), To: interpolate(turned, u, to-margin)})
		}
	}
	return pitch.Merge(out)
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
	whole := pitch.Span{From: 0, To: j.track.length()}
	if need := pitch.LeastTacks(len(u), j.track.closed); len(at) < need {
		p := j.problem(FewTacks, whole, float64(len(at)), float64(need))
		p.KeepOuts = touching(j.clamps, whole, pitch.Said)
		return []Problem{p}
	}
	var problems []Problem
	for _, g := range j.track.gaps(at) {
		ids := j.hides(u, g)
		if j.TackEvery > 0 && g.Length() > j.TackEvery+1e-6 && len(ids) > 0 {
			p := j.problem(TackGap, g, g.Length(), j.TackEvery)
			p.KeepOuts = ids
			problems = append(problems, p)
		}
	}
	return problems
}

// hides returns the clamps that hide welds strictly within a gap.
func (j *job) hides(u []float64, gap pitch.Span) []string {
	var out []string
	for _, v := range u {
		for _, w := range []float64{v, v + j.track.length()} {
			if w > gap.From+pitch.Said && w < gap.To-pitch.Said && (w == v || j.track.closed) {
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
