package balance

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Gather rearranges a line so that tasks of one group (a jig's, say) stand at as few stations as it finds, with no more
// stations and no longer takt than before. It builds lines that stay with a group as long as they can, many times in
// different orders of the groups, and then exchanges tasks between stations; a fixed seed makes both the same each time.
func Gather(tasks []Task, group []int, r Result) Result {
	if len(r.Stations) < 2 || len(group) != len(tasks) {
		return r
	}
	g := &gatherer{tasks: tasks, group: group, takt: r.Takt, most: len(r.Stations), random: rand.New(rand.NewPCG(1, 1))}
	g.prepare()
	best := g.placed(r.Stations)
	for try := range 400 {
		if at, ok := g.build(float64(try%5) / 5); ok && g.spread(at) < g.spread(best) {
			best = at
		}
	}
	best = g.exchange(best)
	r.Stations = g.stations(best)
	return r
}

type gatherer struct {
	tasks  []Task
	group  []int
	takt   int64
	most   int // stations
	random *rand.Rand
	next   [][]int
	groups int
}

func (g *gatherer) prepare() {
	g.next = make([][]int, len(g.tasks))
	for i, t := range g.tasks {
		g.groups = max(g.groups, g.group[i]+1)
		for _, b := range t.After {
			g.next[b] = append(g.next[b], i)
		}
	}
}

// placed is the station of each task.
func (g *gatherer) placed(stations [][]int) []int {
	at := make([]int, len(g.tasks))
	for k, s := range stations {
		for _, i := range s {
			at[i] = k
		}
	}
	return at
}

// spread counts at how many stations the groups stand, all added.
func (g *gatherer) spread(at []int) int {
	seen := map[[2]int]bool{}
	for i, k := range at {
		seen[[2]int{k, g.group[i]}] = true
	}
	return len(seen)
}

// build fills station after station and stays with a group as long as it can. A new group is not begun in less room than
// the given share of the takt, as long as the stations suffice.
func (g *gatherer) build(shy float64) ([]int, bool) {
	rank := g.random.Perm(g.groups)
	at, left := make([]int, len(g.tasks)), make([]int, len(g.tasks))
	ready := []int{}
	spare := int64(g.most) * g.takt
	for i, t := range g.tasks {
		spare -= t.Time
		if left[i] = len(t.After); left[i] == 0 {
			ready = append(ready, i)
		}
	}
	station, room, current := 0, g.takt, -1
	open := make([]bool, g.groups) // at this station
	for done := 0; done < len(g.tasks); {
		pick := g.pick(ready, room, current, open, rank)
		enough := pick < 0 || !open[g.group[ready[pick]]] && room < g.takt && float64(room) < float64(shy*float64(g.takt)) && room <= spare
		if enough {
			spare -= room
			if station++; station >= g.most || spare < 0 {
				return nil, false
			}
			room = g.takt
			clear(open)
			continue
		}
		i := ready[pick]
		ready = slices.Delete(ready, pick, pick+1)
		at[i] = station
		room -= g.tasks[i].Time
		current = g.group[i]
		open[current] = true
		done++
		for _, j := range g.next[i] {
			if left[j]--; left[j] == 0 {
				ready = append(ready, j)
			}
		}
	}
	return at, true
}

// pick chooses what is done next of what fits: the group at hand, then one that stands at the station already, then the
// first by rank; of a group the longest.
func (g *gatherer) pick(ready []int, room int64, current int, open []bool, rank []int) int {
	best, value := -1, 0
	for k, i := range ready {
		if g.tasks[i].Time > room {
			continue
		}
		v := 2*g.groups - rank[g.group[i]]
		switch own := g.group[i]; {
		case own == current:
			v += 6 * g.groups
		case open[own]:
			v += 3 * g.groups
		}
		if best < 0 || v > value || v == value && g.tasks[i].Time > g.tasks[ready[best]].Time {
			best, value = k, v
		}
	}
	return best
}

// exchange moves tasks between stations and swaps them, at first also for the worse (annealing), and returns the best.
func (g *gatherer) exchange(start []int) []int {
	const steps = 150_000
	s := newShuffle(g, start)
	best, least := slices.Clone(s.at), g.spread(s.at)
	for step := range steps {
		heat := 0.6 * math.Pow(0.002, float64(step)/steps)
		i := g.random.IntN(len(g.tasks))
		var ok bool
		if g.random.IntN(2) == 0 {
			ok = s.move(i, g.random.IntN(g.most), heat)
		} else {
			ok = s.swap(i, g.random.IntN(len(g.tasks)), heat)
		}
		if ok && s.pairs < least {
			best, least = slices.Clone(s.at), s.pairs
		}
	}
	return best
}

// stations lists the tasks of each station in an order in which they can be done, group by group where that is free.
// Stations that came out empty are dropped.
func (g *gatherer) stations(at []int) [][]int {
	out := make([][]int, g.most)
	left := make([]int, len(g.tasks))
	ready := []int{}
	for i, t := range g.tasks {
		if left[i] = len(t.After); left[i] == 0 {
			ready = append(ready, i)
		}
	}
	current := -1
	for station := range out {
		for {
			pick := -1
			for k, i := range ready {
				if at[i] == station && (pick < 0 || g.group[i] == current && g.group[ready[pick]] != current ||
					(g.group[i] == current) == (g.group[ready[pick]] == current) && i < ready[pick]) {
					pick = k
				}
			}
			if pick < 0 {
				break
			}
			i := ready[pick]
			ready = slices.Delete(ready, pick, pick+1)
			out[station] = append(out[station], i)
			current = g.group[i]
			for _, j := range g.next[i] {
				if left[j]--; left[j] == 0 {
					ready = append(ready, j)
				}
			}
		}
	}
	return slices.DeleteFunc(out, func(s []int) bool { return len(s) == 0 })
}

// shuffle is a line whose tasks are being moved about.
type shuffle struct {
	g     *gatherer
	at    []int
	load  []int64
	held  [][]int64 // time of each group at each station; one more for each task, so that none weighs nothing
	count [][]int
	pairs int
}

func newShuffle(g *gatherer, start []int) *shuffle {
	s := &shuffle{g: g, at: slices.Clone(start), load: make([]int64, g.most), held: make([][]int64, g.most), count: make([][]int, g.most)}
	for k := range s.held {
		s.held[k], s.count[k] = make([]int64, g.groups), make([]int, g.groups)
	}
	for i, k := range s.at {
		s.put(i, k, 1)
	}
	return s
}

// put counts a task in (+1) or out (-1) of a station.
func (s *shuffle) put(i, station, sign int) {
	t, own := s.g.tasks[i].Time, s.g.group[i]
	s.load[station] += int64(sign) * t
	s.held[station][own] += int64(sign) * (t + 1)
	before := s.count[station][own]
	s.count[station][own] += sign
	switch {
	case before == 0:
		s.pairs++
	case before == 1 && sign < 0:
		s.pairs--
	}
}

// strain falls as a group's time gathers at fewer stations.
func (s *shuffle) strain(station, own int) float64 {
	return math.Pow(float64(s.held[station][own])/float64(s.g.takt), 0.3)
}

// fits says whether a task may stand at a station by what comes before and after it.
func (s *shuffle) fits(i, station int) bool {
	for _, b := range s.g.tasks[i].After {
		if s.at[b] > station {
			return false
		}
	}
	for _, j := range s.g.next[i] {
		if s.at[j] < station {
			return false
		}
	}
	return true
}

func (s *shuffle) accept(before, after, heat float64) bool {
	return after <= before || s.g.random.Float64() < math.Exp((before-after)/heat)
}

// move puts a task elsewhere.
func (s *shuffle) move(i, to int, heat float64) bool {
	from, own := s.at[i], s.g.group[i]
	if from == to || s.load[to]+s.g.tasks[i].Time > s.g.takt || !s.fits(i, to) {
		return false
	}
	before := s.strain(from, own) + s.strain(to, own)
	s.put(i, from, -1)
	s.put(i, to, 1)
	if s.accept(before, s.strain(from, own)+s.strain(to, own), heat) {
		s.at[i] = to
		return true
	}
	s.put(i, to, -1)
	s.put(i, from, 1)
	return false
}

// swap changes the places of two tasks.
func (s *shuffle) swap(i, j int, heat float64) bool {
	a, b := s.at[i], s.at[j]
	gi, gj := s.g.group[i], s.g.group[j]
	dt := s.g.tasks[i].Time - s.g.tasks[j].Time
	if a == b || gi == gj || s.load[b]+dt > s.g.takt || s.load[a]-dt > s.g.takt {
		return false
	}
	before := s.strain(a, gi) + s.strain(b, gi) + s.strain(a, gj) + s.strain(b, gj)
	s.at[i], s.at[j] = b, a
	if s.fits(i, b) && s.fits(j, a) {
		s.put(i, a, -1)
		s.put(j, b, -1)
		s.put(i, b, 1)
		s.put(j, a, 1)
		if s.accept(before, s.strain(a, gi)+s.strain(b, gi)+s.strain(a, gj)+s.strain(b, gj), heat) {
			return true
		}
		s.put(i, b, -1)
		s.put(j, a, -1)
		s.put(i, a, 1)
		s.put(j, b, 1)
	}
	s.at[i], s.at[j] = a, b
	return false
}
