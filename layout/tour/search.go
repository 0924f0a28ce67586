package tour

import (
	"cmp"
	"container/heap"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// Sizes of the search.
const (
	everywhere  = 24   // groups up to which a move looks at every place; beyond, at those beside near groups
	blockEvery  = 50   // fresh starts after which whole blocks are looked at, beyond that size
	afarEvery   = 8    // fresh starts of which one disturbs the order all over, beyond that size and up to mostTabled groups
	longestTurn = 2000 // groups; longer stretches are not turned round, which would take long and seldom help
)

// search is a tour in the making.
type search struct {
	ctx   context.Context // once it is cancelled, what comes out is of no use
	p     *problem
	c     *costs
	seq   []step
	place []int     // by group: where in seq
	gap   []float64 // gap[i]: cost of the link to seq[i], and behind the last
	ahead sums      // of the groups and the links behind them, going forward
	back  sums      // the same with every group turned and the order reversed
	known []linked  // by group: its link to the group that it stood before last
	last  [][]int32 // by kit and place: the last earlier place of the kit, -1 for none
	next  [][]int32 // by kit and place: the first place of the kit from here on, len(seq) for none
	bound []int     // by stage: its first place; the end of the last one behind
	near  [][]int32 // by group: groups that are worth standing beside
	queue []int32   // groups whose surroundings have changed
	waits []bool    // by group: in the queue
	from  int       // the first and last place that has changed since the order was last kept
	to    int
	saved float64 // since then

	spots []int    // of places and
	spans [][2]int // stretches: kept for their memory
	seen  []int    // by place: the stamp of the move that last looked at it
	stamp int
}

// searched returns a good order: cheapest insertion, then moves while any helps, then the same again from disturbed
// copies of the best.
func (p *problem) searched(ctx context.Context, c *costs) []step {
	s := p.begin(ctx, c)
	n := len(s.seq)
	s.descend(true)
	best := slices.Clone(s.seq)
	rng := rand.New(rand.NewPCG(1, 2)) // fixed: the same stops give the same order
	for k := range starts(n) {
		if ctx.Err() != nil {
			break
		}
		s.from, s.to, s.saved = n, -1, 0
		switch {
		case n > everywhere && (k%afarEvery != 3 || n > mostTabled):
			s.disturb(rng, 1, 50)
		case n <= everywhere && k%4 == 3:
			s.disturb(rng, n, n)
		default:
			s.disturb(rng, 3, n)
		}
		s.descend(n <= everywhere || k%blockEvery == 0)
		if s.to < 0 {
			continue
		}
		if s.saved > c.gain {
			copy(best[s.from:s.to+1], s.seq[s.from:s.to+1])
		} else {
			copy(s.seq[s.from:s.to+1], best[s.from:s.to+1])
			s.changed(s.from, s.to)
		}
	}
	return best
}

// begin inserts all groups.
func (p *problem) begin(ctx context.Context, c *costs) *search {
	n := len(p.groups)
	s := &search{ctx: ctx, p: p, c: c, place: make([]int, n), waits: make([]bool, n), gap: make([]float64, n+1), known: make([]linked, n),
		ahead: sumsOf(n), back: sumsOf(n), seen: make([]int, n+1)}
	last := 0
	for _, g := range p.groups {
		last = max(last, g.Stage)
	}
	s.bound = make([]int, last+2)
	for _, g := range p.groups {
		for k := g.Stage + 1; k < len(s.bound); k++ {
			s.bound[k]++
		}
	}
	for range c.kits {
		s.last, s.next = append(s.last, slices.Repeat([]int32{-1}, n+1)), append(s.next, slices.Repeat([]int32{int32(n)}, n+1))
	}
	s.near = p.neighbours(c)
	s.insertAll()
	s.changed(0, n-1)
	for _, t := range s.seq {
		s.push(t.group)
	}
	return s
}

// starts is how often the search begins again.
func starts(groups int) int { return min(12_000, 400+4*groups) }

// insertAll puts one group after another where it costs least, each after all that must come before it. A tip counts
// as changed only against the groups beside it here.
func (s *search) insertAll() {
	placed := make([]bool, len(s.p.groups))
	end := make([]int, len(s.bound)-1)
	for _, g := range s.p.sorted() {
		low := 0
		stage := s.p.groups[g].Stage
		if stage > 0 {
			low = end[stage-1]
		}
		for _, b := range s.p.groups[g].Before {
			low = max(low, s.place[b]+1)
		}
		best, at, way := math.Inf(1), low, uint8(0)
		try := func(k int) {
			if k < low {
				return
			}
			a, b := s.stepAt(k-1), s.stepAt(k)
			for w := range s.p.groups[g].Ways {
				t := step{int32(g), uint8(w)}
				if cost := s.beside(a, t) + s.beside(t, b) + s.c.within(t) - s.beside(a, b); cost < best-s.c.gain {
					best, at, way = cost, k, uint8(w)
				}
			}
		}
		some := false
		for _, h := range s.near[g] {
			if placed[h] && s.place[h] >= low {
				some = true
				try(s.place[h])
				try(s.place[h] + 1)
			}
		}
		if !some || len(s.seq) < everywhere {
			for k := low; k <= len(s.seq); k++ {
				try(k)
			}
		}
		s.seq = slices.Insert(s.seq, at, step{int32(g), way})
		for k := at; k < len(s.seq); k++ {
			s.place[s.seq[k].group] = k
		}
		placed[g] = true
		for k := stage; k < len(end); k++ {
			end[k]++
		}
	}
}

// beside is the cost of a link with the tip and setting changed where both use one gun.
func (s *search) beside(a, b step) float64 {
	cost := s.c.link(a, b)
	if a.group >= 0 && b.group >= 0 && s.c.gun[a.group] == s.c.gun[b.group] {
		cost += s.c.dressing(a.group, b.group)
	}
	return cost
}

// ready is groups that can come next, earlier stages and lower groups first.
type ready struct {
	p    *problem
	list []int
}

func (r *ready) Len() int { return len(r.list) }
func (r *ready) Less(i, j int) bool {
	a, b := r.list[i], r.list[j]
	return cmp.Or(cmp.Compare(r.p.groups[a].Stage, r.p.groups[b].Stage), cmp.Compare(a, b)) < 0
}
func (r *ready) Swap(i, j int) { r.list[i], r.list[j] = r.list[j], r.list[i] }
func (r *ready) Push(x any)    { r.list = append(r.list, x.(int)) }
func (r *ready) Pop() any {
	last := r.list[len(r.list)-1]
	r.list = r.list[:len(r.list)-1]
	return last
}

// sorted is an order that keeps what must come first, lower groups first. Groups that wait for each other are left out.
func (p *problem) sorted() []int {
	open := make([]int, len(p.groups))
	r := &ready{p: p}
	for g := range p.groups {
		if open[g] = len(p.groups[g].Before); open[g] == 0 {
			heap.Push(r, g)
		}
	}
	var out []int
	for r.Len() > 0 {
		g := heap.Pop(r).(int)
		out = append(out, g)
		for _, a := range p.after[g] {
			if open[a]--; open[a] == 0 {
				heap.Push(r, a)
			}
		}
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
	if len(s.p.groups[t.group].Ways) < 2 {
		return t
	}
	return t.turned()
}

// changed brings what is kept beside the order up to date after the places from to to got other groups.
func (s *search) changed(from, to int) {
	s.from, s.to = min(s.from, from), max(s.to, to)
	n := len(s.seq)
	for i := from; i <= to; i++ {
		s.place[s.seq[i].group] = i
	}
	first, last := max(0, from-1), min(to, n-2)
	for i := first; i <= last; i++ {
		l := s.linked(s.seq[i], s.seq[i+1])
		s.gap[i+1], s.ahead.each[i], s.back.each[i] = l.there, l.there+l.within, l.back+l.withinTurned
	}
	s.ahead.add(first, last)
	s.back.add(first, last)
	s.gap[0], s.gap[n] = s.c.link(none, s.seq[0]), s.c.link(s.seq[n-1], none)
	for k := range s.last {
		s.changedKit(k, from, to)
	}
}

// linked is what a step costs after another, and the other way round with both turned.
type linked struct {
	from, to             step
	there, back          float64
	within, withinTurned float64 // from
}

// linked looks first whether the two stood side by side before, as most do after a move, be it the other way round.
func (s *search) linked(from, to step) *linked {
	l, other := &s.known[from.group], &s.known[to.group]
	switch {
	case l.from == from && l.to == to && from != to:
		return l
	case other.from == s.turned(to) && other.to == s.turned(from) && from != to:
		l.there, l.back = other.back, other.there
	default:
		l.there, l.back = s.c.link(from, to), s.c.link(s.turned(to), s.turned(from))
	}
	l.from, l.to, l.within, l.withinTurned = from, to, s.c.within(from), s.c.within(s.turned(from))
	return l
}

func (s *search) changedKit(kit, from, to int) {
	last, next, n := s.last[kit], s.next[kit], len(s.seq)
	for i := from; i < n; i++ {
		v := last[i]
		if s.c.kit[s.seq[i].group] == kit {
			v = int32(i)
		}
		if i > to && last[i+1] == v {
			break
		}
		last[i+1] = v
	}
	for i := to; i >= 0; i-- {
		v := next[i+1]
		if s.c.kit[s.seq[i].group] == kit {
			v = int32(i)
		}
		if i < from && next[i] == v {
			break
		}
		next[i] = v
	}
}

func (s *search) push(g int32) {
	if !s.waits[g] {
		s.waits[g] = true
		s.queue = append(s.queue, g)
	}
}

// pushAround queues the groups at a place and beside it.
func (s *search) pushAround(i int) {
	for k := max(0, i-1); k <= min(len(s.seq)-1, i+1); k++ {
		s.push(s.seq[k].group)
	}
}

// descend moves and turns stretches around the queued groups as long as it helps; where blocks are asked for, it ends when
// moving everything that is done with one gun or tip as a whole does not help either.
func (s *search) descend(blocks bool) {
	for {
		for head := 0; head < len(s.queue) && s.ctx.Err() == nil; head++ {
			g := s.queue[head]
			s.waits[g] = false
			for s.better(s.place[g]) {
			}
			if head > len(s.seq) {
				s.queue, head = slices.Delete(s.queue, 0, head+1), -1
			}
		}
		s.queue = s.queue[:0]
		if !blocks || s.ctx.Err() != nil || !s.moveBlocks() {
			return
		}
	}
}

// better makes the first move around place i that helps.
func (s *search) better(i int) bool {
	for j := i; j < min(len(s.seq), i+3); j++ {
		if s.shift(i, j) {
			return true
		}
	}
	for j := i - 1; j >= max(0, i-2); j-- {
		if s.shift(j, i) {
			return true
		}
	}
	return s.reverse(i)
}

// moveBlocks moves all that is done with one gun, and with one gun dressed alike.
func (s *search) moveBlocks() bool {
	moved := false
	same := func(of func(g int32) int) {
		for i := 0; i < len(s.seq); i++ {
			if i > 0 && of(s.seq[i-1].group) == of(s.seq[i].group) {
				continue
			}
			j := i
			for j+1 < len(s.seq) && of(s.seq[j+1].group) == of(s.seq[i].group) {
				j++
			}
			if j > i && s.shift(i, j) {
				moved = true
			}
		}
	}
	if s.c.gunChange > 0 {
		same(func(g int32) int { return s.c.gun[g] })
	}
	if s.c.kits > 0 {
		same(func(g int32) int { return s.c.gun[g]*len(s.c.change) + s.c.dress[g] })
	}
	return moved
}
