package balance

import (
	"container/heap"
	"context"
	"math"
	"slices"
)

// search looks for the fewest stations at one takt.
type search struct {
	ctx    context.Context
	line   *line
	takt   int64
	most   int64 // steps
	target int   // stop as soon as a line has so few stations; 0: only at the bound

	best      [][]int // the caller's indices
	floor     int     // proven bound
	steps     int64
	exhausted bool // nothing better than best exists, or than target
}

// run searches from both ends in turns, with more steps each time.
func (s *search) run(floor int) error {
	s.floor = floor
	if s.target > 0 {
		s.floor = max(s.target, s.bound())
	}
	for _, l := range []*line{s.line, s.line.reverse} {
		s.build(l)
		if s.enough() {
			return s.ctx.Err()
		}
	}
	loads, share := int64(300), s.most/64
	for {
		for _, l := range []*line{s.line, s.line.reverse} {
			proven, err := s.lengthen(l, loads, min(share, s.most-s.steps))
			if err != nil {
				return err
			}
			if proven {
				s.prove()
			}
			if s.enough() || s.steps >= s.most {
				return nil
			}
		}
		loads, share = loads*8, share*4
	}
}

// enough says whether the search may end: at the bound, or at the number of stations asked for.
func (s *search) enough() bool {
	if s.exhausted || len(s.best) > 0 && len(s.best) <= s.floor {
		s.exhausted = true
		return true
	}
	return false
}

// prove notes that there is nothing better than what was found.
func (s *search) prove() {
	s.exhausted = true
	if s.target == 0 {
		s.floor = len(s.best)
	}
}

// goal is the greatest number of stations that is still of interest.
func (s *search) goal() int {
	if s.target > 0 {
		return s.target
	}
	return len(s.best) - 1
}

// keep takes a line of l over when it is the best.
func (s *search) keep(l *line, loads []set) {
	if len(s.best) > 0 && len(loads) >= len(s.best) {
		return
	}
	s.best = nil
	for _, load := range loads {
		s.best = append(s.best, s.line.sorted(s.own(l, &load)))
	}
	if l != s.line {
		slices.Reverse(s.best)
	}
}

// own is a set of tasks of l in the numbers of s.line.
func (s *search) own(l *line, load *set) *set {
	if l == s.line {
		return load
	}
	var out set
	for k, i := range s.line.task {
		for j, task := range l.task {
			if task == i && load.has(j) {
				out.add(k)
			}
		}
	}
	return &out
}

// build fills station after station with the load that is worth most, by several weights.
func (s *search) build(l *line) {
	const loads = 2000 // steps a station
	scale := float64(l.total) / float64(max(1, len(l.time))) / 1000
	for _, w := range [][3]float64{{0, 0, 0}, {0, 0, 1}, {5, 0, 0}, {20, 0, 0}, {0, 5 * scale, 0}, {0, 20 * scale, 0}, {5, 5 * scale, 1},
		{10, 10 * scale, 0}, {5, 20 * scale, 2}, {20, 5 * scale, 2}} {
		if s.enough() || s.steps >= s.most {
			return
		}
		s.buildOne(l, loads, w[0]/1000, w[1], w[2]*scale*10)
	}
}

// buildOne values a load at its time, plus so much for the weight of its tasks and for each direct follower, less so
// much for each task.
func (s *search) buildOne(l *line, steps int64, weight, follower, each float64) {
	value := make([]float64, len(l.time))
	for i, t := range l.time {
		value[i] = float64(t) + float64(weight*float64(l.weight[i])) + float64(follower*float64(len(l.next[i]))) - each
	}
	var done set
	var loads []set
	rest := l.total
	d := loader{line: l, takt: s.takt, most: steps}
	for placed := 0; placed < len(l.time); {
		var best set
		most := math.Inf(-1)
		d.each = func(load *set, _ int64) bool {
			sum := 0.0
			for i := range value {
				if load.has(i) {
					sum += value[i]
				}
			}
			if sum > most {
				most, best = sum, *load
			}
			return true
		}
		d.all = false
		d.run(&done, rest)
		s.steps += d.steps
		if best == (set{}) { // every load seen so far could be bettered; take one of them all the same
			d.all = true
			d.run(&done, rest)
			s.steps += d.steps
		}
		loads = append(loads, best)
		for i, t := range l.time {
			if best.has(i) {
				done.add(i)
				rest -= t
				placed++
			}
		}
	}
	s.keep(l, loads)
}

// partial is a line of some stations.
type partial struct {
	done     set
	load     set // of its last station
	parent   int32
	stations int32
	rest     int64 // time of what is not done
	worth    float64
}

// lengthen takes the most promising partial line of each length in turn and lengthens it by every load worth while, at
// most so many steps for each. It says whether nothing better than the goal was left out.
func (s *search) lengthen(l *line, loadSteps, most int64) (proven bool, err error) {
	t := table{line: l, seen: map[set]int32{}, queue: make([]queue, len(s.best)+1)}
	t.add(partial{parent: -1, rest: l.total})
	d := loader{line: l, takt: s.takt, most: loadSteps}
	end := s.steps + most
	complete := true
	for depth, idle := 0, 0; ; depth++ {
		if depth >= s.goal() || depth >= len(t.queue) {
			depth = 0
		}
		at, ok := t.pop(depth)
		if !ok {
			if idle++; idle > s.goal() {
				return complete, nil
			}
			continue
		}
		idle = 0
		if s.ctx.Err() != nil {
			return false, s.ctx.Err()
		}
		p := t.list[at]
		s.steps += int64(len(l.time)*len(l.time)) / 20 // what the bound takes
		if int(p.stations)+packed(t.falling(&p.done), s.takt) > s.goal() {
			continue
		}
		d.each = func(load *set, idle int64) bool { return s.place(&t, l, at, load, idle) }
		d.run(&p.done, p.rest)
		s.steps += d.steps
		complete = complete && !d.gaveUp
		if s.enough() {
			return true, nil
		}
		if s.steps >= end || len(t.list) > mostPartials {
			return false, nil
		}
	}
}

// mostPartials bounds the memory: about 300 bytes each.
const mostPartials = 1_000_000

// place adds a partial line with one more load, unless it is not worth while. It reports false to end the listing.
func (s *search) place(t *table, l *line, at int32, load *set, idle int64) bool {
	from := &t.list[at]
	next := partial{load: *load, parent: at, stations: from.stations + 1, rest: from.rest - (s.takt - idle)}
	for w := range next.done {
		next.done[w] = from.done[w] | load[w]
	}
	if next.rest == 0 && next.done.size() == len(l.time) {
		t.list = append(t.list, next)
		s.keep(l, t.loads(int32(len(t.list)-1)))
		return !s.enough()
	}
	if int(next.stations)+max(1, ceil(next.rest, s.takt)) > s.goal() {
		return true
	}
	const lean = 0.02 // leaves many small tasks for the end, where they fill gaps
	waste := float64(int64(next.stations)*s.takt-(l.total-next.rest)) / float64(s.takt)
	next.worth = waste/float64(next.stations) - float64(lean*float64(len(l.time)-next.done.size()))
	t.add(next)
	return true
}

// table is the partial lines found, with the fewest stations for each set of tasks.
type table struct {
	line  *line
	list  []partial
	seen  map[set]int32
	queue []queue
	times []int64
}

func (t *table) add(p partial) {
	if known, ok := t.seen[p.done]; ok && known <= p.stations {
		return
	}
	if int(p.stations) >= len(t.queue) {
		return
	}
	t.seen[p.done] = p.stations
	t.list = append(t.list, p)
	heap.Push(&t.queue[p.stations], entry{p.worth, int32(len(t.list) - 1)})
}

// pop takes the most promising partial line of a length that was not reached in fewer stations since.
func (t *table) pop(stations int) (int32, bool) {
	q := &t.queue[stations]
	for q.Len() > 0 {
		e := heap.Pop(q).(entry)
		if t.seen[t.list[e.at].done] == int32(stations) {
			return e.at, true
		}
	}
	return 0, false
}

// falling is the times of what is not done, longest first.
func (t *table) falling(done *set) []int64 {
	t.times = t.times[:0]
	for i, time := range t.line.time {
		if !done.has(i) {
			t.times = append(t.times, time)
		}
	}
	return t.times
}

// loads are those of the stations of a line.
func (t *table) loads(at int32) []set {
	var out []set
	for ; t.list[at].parent >= 0; at = t.list[at].parent {
		out = append(out, t.list[at].load)
	}
	slices.Reverse(out)
	return out
}

// entry is a partial line in a queue, the least worth first, then the oldest.
type entry struct {
	worth float64
	at    int32
}

type queue []entry

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].worth < q[j].worth || q[i].worth == q[j].worth && q[i].at < q[j].at
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(e any)   { *q = append(*q, e.(entry)) }
func (q *queue) Pop() any {
	old := *q
	e := old[len(old)-1]
	*q = old[:len(old)-1]
	return e
}
