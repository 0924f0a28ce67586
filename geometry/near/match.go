package near

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// MatchOptions say what Match looks for. Lengths are in the unit of the soups.
type MatchOptions struct {
	Within  float64 // the greatest distance
	MinCos  float64 // the least cosine between the triangles' normals, whichever way they point; 0 asks for nothing
	Workers int     // 1 when not stated; the result does not depend on it
}

// Matched is a triangle of one panel with the nearest triangle of another.
type Matched struct {
	A, B     int32
	Distance float32 // from the middle of A's triangle to the nearest point of B's
}

// PanelPair is what two panels, A before B in the list, have near each other, in the order of A's triangles.
type PanelPair struct {
	A, B    int
	Matched []Matched
}

// Match finds, for the middle of every triangle of every panel, the nearest place on each later panel; it keeps those
// within a distance where the two triangles are about parallel. The middle is the mean of the corners, rounded to
// float32 as they are; distances from it are reckoned in float64. Of triangles equally near, the
// lowest index is taken. Pairs are in the order of A, then B; those without a match are left out.
//
// All panels are gone through at once: what is nowhere near another panel is put aside by a grid of cells
// before any tree is built.
func Match(panels []*mesh.Soup, opt MatchOptions) ([]PanelPair, error) {
	m, err := NewMatcher(panels, opt)
	if err != nil {
		return nil, err
	}
	return m.Pairs(), nil
}

// NewMatcher does the part of Match that comes before the first question: it puts aside what is nowhere near another
// panel and builds trees over the rest.
func NewMatcher(panels []*mesh.Soup, opt MatchOptions) (*Matcher, error) {
	if !(opt.Within >= 0 && opt.Within <= math.MaxFloat32) {
		return nil, fmt.Errorf("match: a distance of %g: write a number from zero on", opt.Within)
	}
	m := &Matcher{opt: opt}
	m.opt.Workers = max(1, opt.Workers)
	for _, s := range panels {
		p := &panel{id: uint32(len(m.panels)) + 1, soup: s, box: boxOfRuns(s.Runs())}
		if len(m.panels) > 0 {
			p.may |= isAsked
		}
		if len(m.panels) < len(panels)-1 {
			p.may |= asks
		}
		m.panels = append(m.panels, p)
	}
	if c, ok := newCull(m.panels, opt.Within); ok {
		m.keep(c)
		m.frame = newFrame(c.region.Grow(opt.Within))
		m.gather()
		m.plant()
	}
	return m, nil
}

func boxOfRuns(runs []mesh.Run) space.Box {
	if len(runs) == 0 {
		return space.EmptyBox()
	}
	all := runs[0]
	for _, r := range runs[1:] {
		for k := range 3 {
			if r.Low[k] < all.Low[k] {
				all.Low[k] = r.Low[k]
			}
			if r.High[k] > all.High[k] {
				all.High[k] = r.High[k]
			}
		}
	}
	return space.Box{Min: wide(all.Low), Max: wide(all.High)}
}

// Matcher is panels made ready for Pairs.
type Matcher struct {
	opt    MatchOptions
	panels []*panel
	frame  frame
}

// task is a part of a panel: runs, or triangles kept.
type task struct {
	panel    int
	from, to int
}

// Sizes of a task, in long runs and in packets or spans.
const (
	taskRuns    = 1 << 9
	taskPackets = 1 << 10
)

// parts divides all panels into tasks of a size.
func (m *Matcher) parts(size int, length func(*panel) int) []task {
	var tasks []task
	for i, p := range m.panels {
		for from, n := 0, length(p); from < n; from += size {
			tasks = append(tasks, task{i, from, min(from+size, n)})
		}
	}
	return tasks
}

func runsOf(p *panel) int { return len(p.soup.Runs()) }

// each does n pieces of work on the workers.
func each(workers, n int, do func(i int)) {
	var next atomic.Int64
	work := func() {
		for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
			do(int(i))
		}
	}
	var wait sync.WaitGroup
	for range min(workers, n) - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
}

// keep finds the triangles that may be near another panel.
func (m *Matcher) keep(c *cull) {
	tasks := m.parts(taskRuns, runsOf)
	each(m.opt.Workers, len(tasks), func(i int) {
		t := tasks[i]
		p := m.panels[t.panel]
		for at := t.from; at < t.to; at++ {
			c.doRun(coarseStep, p, at)
		}
	})
	c.divide()
	left := make([]marked, len(tasks))
	each(m.opt.Workers, len(tasks), func(i int) { left[i] = c.markShort(m.panels[tasks[i].panel], tasks[i]) })
	asking, asked := make([][]span, len(tasks)), make([][]span, len(tasks))
	each(m.opt.Workers, len(tasks), func(i int) {
		k := c.keep(m.panels[tasks[i].panel], &left[i])
		asking[i], asked[i] = k.asking, k.asked
	})
	for from := 0; from < len(tasks); {
		to := from + 1
		for to < len(tasks) && tasks[to].panel == tasks[from].panel {
			to++
		}
		m.panels[tasks[from].panel].kept = kept{slices.Concat(asking[from:to]...), slices.Concat(asked[from:to]...)}
		from = to
	}
}

// Pairs asks the trees for the middles of the kept triangles of all earlier panels; see Match.
func (m *Matcher) Pairs() []PanelPair {
	parts := m.parts(taskPackets, (*panel).packets)
	found := make([][]PanelPair, len(parts))
	each(m.opt.Workers, len(parts), func(i int) { found[i] = m.ask(parts[i]) })
	count := map[[2]int]int{}
	for _, part := range found {
		for _, p := range part {
			count[[2]int{p.A, p.B}] += len(p.Matched)
		}
	}
	var pairs []PanelPair
	at := map[[2]int]int{} // place in pairs
	for _, part := range found {
		for _, p := range part {
			key := [2]int{p.A, p.B}
			i, ok := at[key]
			if !ok {
				i, at[key] = len(pairs), len(pairs)
				pairs = append(pairs, PanelPair{p.A, p.B, make([]Matched, 0, count[key])})
			}
			pairs[i].Matched = append(pairs[i].Matched, p.Matched...)
		}
	}
	slices.SortFunc(pairs, func(p, q PanelPair) int { return cmp.Or(p.A-q.A, p.B-q.B) })
	for _, p := range pairs {
		if m.panels[p.A].scattered != nil {
			slices.SortFunc(p.Matched, func(a, b Matched) int { return int(a.A - b.A) })
		}
	}
	return pairs
}

// ask gives the matches of some kept triangles of a panel with all later panels.
func (m *Matcher) ask(t task) []PanelPair {
	a := m.panels[t.panel]
	var searches []search
	var found []PanelPair
	for b, q := range m.panels {
		if b <= t.panel || len(q.tree.nodes) == 0 || !a.box.Grow(m.opt.Within).Overlaps(q.box) {
			continue
		}
		searches = append(searches, search{tree: &q.tree, limit: m.opt.Within * m.opt.Within})
		found = append(found, PanelPair{A: t.panel, B: b})
	}
	if len(searches) == 0 {
		return nil
	}
	p := newPacket(&m.frame, m.opt.Within)
	reach := m.frame.limit(m.opt.Within * m.opt.Within)
	run, near := -1, true
	for i := t.from; i < t.to; i++ {
		if a.scattered == nil {
			if r := int(a.asking[i].from) / longRun; r != run {
				run = r
				near = m.enter(searches, &a.soup.Runs()[r], reach)
			}
			if !near {
				continue
			}
		}
		a.fill(p, i)
		for i := range searches {
			if searches[i].entry < 0 {
				continue
			}
			if entry, ok := narrow(searches[i].tree.nodes, searches[i].entry, &p.low, &p.high, reach); ok {
				searches[i].closest(entry, p)
				m.note(a.soup, p, &searches[i], &found[i])
			}
		}
	}
	return slices.DeleteFunc(found, func(p PanelPair) bool { return len(p.Matched) == 0 })
}

// enter finds where the searches for the middles of a run's triangles may begin, and is false when none need to.
func (m *Matcher) enter(searches []search, r *mesh.Run, reach int64) bool {
	low, high := wide(r.Low), wide(r.High)
	off := 1e-6 * max(-low.X, -low.Y, -low.Z, high.X, high.Y, high.Z, 0) // of a middle by rounding
	by := r3.Vector{X: off, Y: off, Z: off}
	lo, hi := m.frame.grown(low.Sub(by), high.Add(by))
	any := false
	for i := range searches {
		entry, ok := narrow(searches[i].tree.nodes, 0, &lo, &hi, reach)
		if !ok {
			entry = -1
		}
		searches[i].entry = entry
		any = any || ok
	}
	return any
}

// note appends what was found for a packet, where the triangles are about parallel.
func (m *Matcher) note(a *mesh.Soup, p *packet, s *search, into *PanelPair) {
	for i, t := range p.triangles[:p.places] {
		best := &s.best[i]
		if best.at < 0 {
			continue
		}
		b := s.tree.order[best.at]
		if m.opt.MinCos <= 0 || parallel(a, t, s.tree.soup, b, m.opt.MinCos) {
			into.Matched = append(into.Matched, Matched{t, b, float32(math.Sqrt(best.limit))})
		}
	}
}

// parallel reports whether the cosine between the normals of triangle t of one soup and triangle u of another is at least
// minCos, whichever way they point. A triangle without area is parallel to everything.
func parallel(a *mesh.Soup, t int32, b *mesh.Soup, u int32, minCos float64) bool {
	m, n := normal(a, t), normal(b, u)
	return math.Abs(m.Dot(n)) >= minCos*math.Sqrt(m.Norm2()*n.Norm2())
}

func normal(s *mesh.Soup, t int32) r3.Vector {
	a, b, c := s.Corners(int(t))
	return b.Sub(a).Cross(c.Sub(a))
}
