package schedule

import (
	"cmp"
	"context"
	"math"
	"slices"
)

const (
	// tries is how many lists the improvement looks at, divided by the tasks for long ones, and nodes how many partial
	// schedules the exhaustive search goes through, with no more than few tasks. Chosen: a tenth of a second each.
	tries = 60000
	nodes = 20000
	few   = 12
	// equal is the time in s below which two schedules take the same.
	equal = 1e-6
)

// prepared is a problem with what is asked again and again.
type prepared struct {
	Problem
	gun  []int     // kind by task; -1: none
	near [][]int   // tasks that a task gets in the way of
	tail []float64 // s from a task's start to the end of the longest chain behind it
	head []float64 // s before a task's start, by the longest chain
	work []float64 // person-seconds of a task with the least change before it
	busy []float64 // s that a task occupies its gun, with the least setting up

	holding []bool // by person: has a gun at the start, which another would wait for
}

func prepare(p Problem) *prepared {
	n := len(p.Tasks)
	out := &prepared{Problem: p, gun: make([]int, n), near: make([][]int, n), tail: make([]float64, n), head: make([]float64, n),
		work: make([]float64, n), busy: make([]float64, n)}
	for i, t := range p.Tasks {
		out.gun[i] = slices.IndexFunc(p.Guns, func(g Gun) bool { return t.Gun != "" && g.ID == t.Gun })
		for j, o := range p.Tasks {
			if i != j && t.Room.meets(o.Room) {
				out.near[i] = append(out.near[i], j)
			}
		}
		change, setup := out.change(-1, i), out.setup(-1, i)
		for j := range p.Tasks {
			if j != i {
				change, setup = math.Min(change, out.change(j, i)), math.Min(setup, out.setup(j, i))
			}
		}
		out.work[i] = float64(max(1, t.Persons)) * (t.Seconds + change)
		out.busy[i] = t.Seconds + setup
	}
	out.holding = make([]bool, p.Persons)
	for _, g := range p.Guns {
		for _, person := range g.With {
			if person >= 0 && p.HandOver > 0 {
				out.holding[person] = true
			}
		}
	}
	out.chains()
	return out
}

// chains fills heads and tails along the order of precedence.
func (p *prepared) chains() {
	for range p.Tasks { // at most as many rounds as a chain has tasks
		changed := false
		for i, t := range p.Tasks {
			p.tail[i] = math.Max(p.tail[i], t.Seconds)
			for _, a := range t.After {
				if h := p.head[a] + p.Tasks[a].Seconds; h > p.head[i] {
					p.head[i], changed = h, true
				}
				if l := p.Tasks[a].Seconds + p.tail[i]; l > p.tail[a] {
					p.tail[a], changed = l, true
				}
			}
		}
		if !changed {
			return
		}
	}
}

func (p *prepared) change(before, after int) float64 {
	if p.Change == nil {
		return 0
	}
	return p.Change(before, after)
}

func (p *prepared) setup(before, after int) float64 {
	if p.Setup == nil {
		return 0
	}
	return p.Setup(before, after)
}

// with is who has a gun at the start; -1 for nobody.
func (p *prepared) with(gun, unit int) int {
	if w := p.Guns[gun].With; len(w) > 0 {
		return w[unit]
	}
	return -1
}

func (p *prepared) units(task int) int {
	if p.gun[task] < 0 {
		return 1
	}
	return p.Guns[p.gun[task]].Count
}

// bound is what no schedule goes below.
func (p *prepared) bound() float64 {
	least, work := 0.0, 0.0
	busy := make([]float64, len(p.Guns))
	for i := range p.Tasks {
		least = math.Max(least, p.head[i]+p.tail[i])
		work += p.work[i]
		if p.gun[i] >= 0 {
			busy[p.gun[i]] += p.busy[i]
		}
	}
	least = math.Max(least, work/float64(p.Persons))
	for g, b := range busy {
		least = math.Max(least, b/float64(p.Guns[g].Count))
	}
	return least
}

// search is the best schedule so far and what it takes to find a better one.
type search struct {
	ctx   context.Context
	p     *prepared
	s     *state
	best  []Share
	end   float64
	lost  float64
	list  []int // that the best was built from
	bound float64
	done  bool // nothing better exists
}

func newSearch(ctx context.Context, p Problem) *search {
	prep := prepare(p)
	s := &search{ctx: ctx, p: prep, s: newState(prep), end: math.Inf(1), bound: prep.bound()}
	given := make([]int, len(p.Tasks))
	for i := range given {
		given[i] = i
	}
	byTail := slices.Clone(given)
	slices.SortStableFunc(byTail, func(a, b int) int { return cmp.Compare(prep.tail[b], prep.tail[a]) })
	byTime := slices.Clone(given)
	slices.SortStableFunc(byTime, func(a, b int) int { return cmp.Compare(p.Tasks[b].Seconds, p.Tasks[a].Seconds) })
	for _, list := range [][]int{given, byTail, byTime} {
		s.try(list)
	}
	return s
}

// settled says that no schedule takes less, or loses less, than the best so far.
func (s *search) settled() bool { return s.end <= s.bound+equal && s.lost <= equal }

// better says whether the schedule that stands is to be taken.
func (s *search) better() bool {
	return s.s.end < s.end-equal || s.s.end < s.end+equal && s.s.lost < s.lost-equal
}

func (s *search) keep() {
	s.best, s.end, s.lost = slices.Clone(s.s.shares), s.s.end, s.s.lost
}

func (s *search) try(list []int) bool {
	s.s.build(list)
	if !s.better() {
		return false
	}
	s.keep()
	s.list = slices.Clone(list)
	return true
}

// improve moves single tasks within the list, nearest places first, until nothing helps.
func (s *search) improve() {
	n := len(s.p.Tasks)
	left := min(tries/max(1, n), tries/20)
	for found := true; found && left > 0 && !s.settled() && s.ctx.Err() == nil; {
		found = false
		for by := 1; by < n && left > 0; by++ {
			for from := 0; from < n && left > 0; from++ {
				for _, to := range []int{from - by, from + by} {
					if to < 0 || to >= n {
						continue
					}
					left--
					found = s.try(moved(s.list, from, to)) || found
				}
			}
			if s.ctx.Err() != nil {
				return
			}
		}
	}
}

func moved(list []int, from, to int) []int {
	out := slices.Delete(slices.Clone(list), from, from+1)
	return slices.Insert(out, to, list[from])
}

// exhaust goes through all schedules as far as its nodes last.
func (s *search) exhaust() {
	if len(s.p.Tasks) > few || s.end <= s.bound+equal {
		return
	}
	s.s.clear()
	left := nodes
	s.done = s.branch(&left)
}

// branch tries every task that may come next; it reports whether it got through.
func (s *search) branch(left *int) bool {
	if len(s.s.shares) == len(s.p.Tasks) {
		if s.better() {
			s.keep()
		}
		return true
	}
	if *left--; *left < 0 || *left%256 == 0 && s.ctx.Err() != nil {
		return false
	}
	through := true
	for _, f := range s.next() {
		u := s.s.put(f)
		if s.least() < s.end-equal {
			through = s.branch(left) && through
		}
		s.s.take(u)
		if *left < 0 {
			return false
		}
	}
	return through
}

// next are the ways to go on, soonest end first. Nothing begins before what was put last: a list sorted by its starts, built
// and sorted again until nothing moves, is one of those that are left.
func (s *search) next() []Share {
	var out []Share
	from := 0.0
	if n := len(s.s.shares); n > 0 {
		from = s.s.shares[n-1].Start - equal
	}
	for task := range s.p.Tasks {
		if !s.s.eligible(task) {
			continue
		}
		for unit := range s.p.units(task) {
			for _, persons := range s.s.crews(task) {
				if f := s.s.fit(task, persons, unit); f.Start >= from {
					out = append(out, f)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Share) int { return cmp.Compare(a.End, b.End) })
	return out
}

// least is what the schedule that stands cannot go below.
func (s *search) least() float64 {
	least, work := s.s.end, 0.0
	for _, r := range s.s.ready {
		work += r
	}
	for task := range s.p.Tasks {
		if s.s.at[task] >= 0 {
			continue
		}
		work += s.p.work[task]
		start := 0.0
		for _, a := range s.p.Tasks[task].After {
			if k := s.s.at[a]; k >= 0 {
				start = math.Max(start, s.s.shares[k].End)
			}
		}
		least = math.Max(least, math.Max(start, slices.Min(s.s.ready))+s.p.tail[task])
	}
	return math.Max(math.Max(least, s.bound), work/float64(s.p.Persons))
}

func (s *search) result() Schedule {
	out := Schedule{Shares: s.best, Seconds: s.end, Changes: s.lost, Bound: s.bound, Proven: s.done || s.end <= s.bound+equal}
	if out.Proven {
		out.Bound = out.Seconds
	}
	slices.SortStableFunc(out.Shares, func(a, b Share) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Task, b.Task))
	})
	return out
}
