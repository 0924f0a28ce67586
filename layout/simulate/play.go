package simulate

import (
	"container/heap"
	"math"
	"math/rand/v2"
)

// outcome is one run.
type outcome struct {
	first, last            float64
	held                   float64 // product-minutes begun and not yet out
	busy, blocked, starved []float64
}

// state is what a station is doing.
type state int

const (
	free state = iota
	busy
	blocked
)

// event is something that ends at a station: its getting ready, or its work on a product.
type event struct {
	at      float64
	station int
	work    bool
}

// events are soonest first; of equals the station further down the line, so that it frees places for those before.
type events []event

func (e events) Len() int { return len(e) }
func (e events) Less(i, j int) bool {
	if e[i].at != e[j].at {
		return e[i].at < e[j].at
	}
	return e[i].station > e[j].station
}
func (e events) Swap(i, j int) { e[i], e[j] = e[j], e[i] }
func (e *events) Push(x any)   { *e = append(*e, x.(event)) }
func (e *events) Pop() any {
	old := *e
	x := old[len(old)-1]
	*e = old[:len(old)-1]
	return x
}

// play is one line being played.
type play struct {
	line    []Station
	opt     Options
	feeders [][]int
	state   []state
	since   []float64 // of the state
	waiting []int     // finished products after each station
	started []int
	left    []int // products that each station passed out of the line
	ready   []bool
	factor  []float64 // of this run
	queue   events
	random  *rand.Rand
	out     outcome
	now     float64
	begun   int // products of any station in the line, not yet taken into another or out
	changed float64
}

func newPlay(line []Station, opt Options) *play {
	p := &play{line: line, opt: opt, feeders: make([][]int, len(line))}
	for i, s := range line {
		if s.Next >= 0 {
			p.feeders[s.Next] = append(p.feeders[s.Next], i)
		}
	}
	return p
}

// run plays the batch once.
func (p *play) run(random *rand.Rand, factor []float64) outcome {
	n := len(p.line)
	p.state, p.since, p.waiting, p.started, p.left = make([]state, n), make([]float64, n), make([]int, n), make([]int, n), make([]int, n)
	p.ready, p.factor = make([]bool, n), factor
	p.out = outcome{busy: make([]float64, n), blocked: make([]float64, n), starved: make([]float64, n)}
	p.random, p.now, p.begun, p.changed, p.queue = random, 0, 0, 0, p.queue[:0]
	for i, s := range p.line {
		heap.Push(&p.queue, event{s.Ready, i, false})
	}
	for p.queue.Len() > 0 {
		e := heap.Pop(&p.queue).(event)
		p.now = e.at
		if e.work {
			p.finish(e.station)
			continue
		}
		p.ready[e.station] = true
		p.since[e.station] = p.now
		p.begin(e.station)
	}
	return p.out
}

// draw is a log-normal number of the given mean and spread.
func (p *play) draw(mean, spread float64) float64 {
	if spread == 0 {
		return mean
	}
	variance := math.Log1p(float64(spread * spread))
	return mean * math.Exp(float64(math.Sqrt(variance)*p.random.NormFloat64())-variance/2)
}

// count notes how many products are in the line from now on.
func (p *play) count(more int) {
	p.out.held += float64(float64(p.begun) * (p.now - p.changed))
	p.begun, p.changed = p.begun+more, p.now
}

// begin starts the next product at a station if it can, and so frees places before it.
func (p *play) begin(i int) {
	if !p.ready[i] || p.state[i] != free || p.started[i] >= p.opt.Batch {
		return
	}
	for _, f := range p.feeders[i] {
		if p.waiting[f] == 0 && p.state[f] != blocked {
			return
		}
	}
	p.out.starved[i] += p.now - p.since[i]
	for _, f := range p.feeders[i] {
		if p.state[f] == blocked { // its product takes the place that comes free, or goes on at once
			p.out.blocked[f] += p.now - p.since[f]
			p.state[f], p.since[f] = free, p.now
		} else {
			p.waiting[f]--
		}
	}
	p.count(1 - len(p.feeders[i]))
	s := p.line[i]
	mean := s.Minutes[0]
	if len(s.Minutes) > 1 {
		mean = s.Minutes[p.started[i]]
	}
	p.started[i]++
	p.state[i], p.since[i] = busy, p.now
	heap.Push(&p.queue, event{p.now + p.draw(mean*p.factor[i], s.Spread), i, true})
	for _, f := range p.feeders[i] {
		p.begin(f)
	}
}

// finish passes a product on.
func (p *play) finish(i int) {
	p.out.busy[i] += p.now - p.since[i]
	p.state[i], p.since[i] = free, p.now
	next := p.line[i].Next
	switch {
	case next < 0:
		p.count(-1)
		p.leave(i)
	case p.opt.Limited && p.waiting[i] >= p.opt.Places:
		p.state[i] = blocked
	default:
		p.waiting[i]++
	}
	if next >= 0 {
		p.begin(next)
	}
	p.begin(i)
}

// leave notes that a product left the line. Where several stations end it, a shell is out with the last of its pieces.
func (p *play) leave(i int) {
	if p.left[i]++; p.left[i] == 1 {
		p.out.first = max(p.out.first, p.now)
	}
	p.out.last = max(p.out.last, p.now)
}
