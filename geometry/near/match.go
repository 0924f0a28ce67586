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
		p := &panel{soup: s, box: space.EmptyBox()}
		for _, r := range s.Runs() {
			p.box = p.box.Add(wide(r.Low)).Add(wide(r.High))
		}
		m.panels = append(m.panels, p)
	}
	if c, ok := newCull(m.panels, opt.Within); ok {
		m.keep(c)
		m.plant(c.region)
	}
	return m, nil
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

// Sizes of a task, in long runs and in spans that were kept.
const (
	taskRuns = 1 << 9
	taskKept = 1 << 10
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
func keptOf(p *panel) int { return len(p.kept) }

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
			c.do(coarseStep, p, &p.soup.Runs()[at], p.span(at), uint32(t.panel)+1)
		}
	})
	c.divide()
	left := make([][]short, len(tasks))
	each(m.opt.Workers, len(tasks), func(i int) {
		t := tasks[i]
		for at := t.from; at < t.to; at++ {
			left[i] = c.markShort(m.panels[t.panel], at, uint32(t.panel)+1, left[i])
		}
	})
	kept := make([][]span, len(tasks))
	each(m.opt.Workers, len(tasks), func(i int) {
		p := m.panels[tasks[i].panel]
		for k := range left[i] {
			kept[i] = c.keep(p, &left[i][k].Run, left[i][k].span, kept[i])
		}
	})
	for i, t := range tasks {
		m.panels[t.panel].kept = append(m.panels[t.panel].kept, kept[i]...)
	}
}

// packed is a tree over kept triangles.
type packed struct {
	nodes []node
	soup  *mesh.Soup
	order []int32 // their numbers in the soup, leaf by leaf
}

// plant makes the trees of all panels but the first, which is asked for by none.
func (m *Matcher) plant(region space.Box) {
	m.frame = newFrame(region.Grow(m.opt.Within))
	later := m.panels[min(1, len(m.panels)):]
	if len(later) < 2*m.opt.Workers { // few panels: all workers on each
		for _, p := range later {
			p.plant(&m.frame, m.opt.Workers)
		}
		return
	}
	each(m.opt.Workers, len(later), func(i int) { later[i].plant(&m.frame, 1) })
}

func (p *panel) plant(f *frame, workers int) {
	items, n := p.bundles(f)
	p.tree.nodes = plant(items, max(1, leafSize*len(items)/max(1, n)), workers)
	p.tree.soup = p.soup
	p.tree.order = make([]int32, 0, n)
	starts := make([]int32, len(items)+1) // of each item's triangles
	for i := range items {
		for t := items[i].first; t < items[i].first+items[i].count; t++ {
			p.tree.order = append(p.tree.order, t)
		}
		starts[i+1] = int32(len(p.tree.order))
	}
	for i := range p.tree.nodes {
		if n := &p.tree.nodes[i]; n.count > 0 {
			n.first, n.count = starts[n.first], starts[n.first+n.count]-starts[n.first]
		}
	}
}

// bundles makes items of the kept triangles, and counts these: one of as many as a leaf holds where they follow each other
// in the file and lie so close that a box about them all is no larger than boxes about each, else one of each.
func (p *panel) bundles(f *frame) (items []node, triangles int) {
	items = make([]node, 0, 2*len(p.kept)+16)
	for _, s := range p.kept {
		triangles += int(s.to - s.from)
		for t := s.from; t < s.to; {
			n := min(leafSize, s.to-t)
			if n > 1 && !p.close(int(t), int(t+n)) {
				n = 1
			}
			low, high := p.soup.Box(int(t), int(t+n))
			item := node{first: t, count: n}
			item.lo, item.hi = f.grown(wide(low), wide(high))
			items = append(items, item)
			t += n
		}
	}
	return items, triangles
}

// close reports whether a box about some triangles is no larger than boxes about each are.
func (p *panel) close(from, to int) bool {
	one := max(halfArea(p.soup.Box(from, from+1)), halfArea(p.soup.Box(to-1, to)))
	return halfArea(p.soup.Box(from, to)) <= float64(to-from)*one
}

func halfArea(low, high [3]float32) float64 {
	s := wide(high).Sub(wide(low))
	return float64(s.X*s.Y) + float64(s.Y*s.Z) + float64(s.Z*s.X)
}

// Pairs asks the trees for the middles of the kept triangles of all earlier panels; see Match.
func (m *Matcher) Pairs() []PanelPair {
	parts := m.parts(taskKept, keptOf)
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
		s := search{tree: &q.tree, limit: m.opt.Within * m.opt.Within, frame: &m.frame}
		s.limitGrains = m.frame.limit(s.limit)
		searches = append(searches, s)
		found = append(found, PanelPair{A: t.panel, B: b})
	}
	var g asked
	for _, s := range a.kept[t.from:t.to] {
		g.take(a, s, &m.frame)
		for i := range searches {
			m.askOne(a, &g, &searches[i], &found[i])
		}
	}
	return slices.DeleteFunc(found, func(p PanelPair) bool { return len(p.Matched) == 0 })
}

// askOne appends the matches of some triangles with one panel. What is near none of them is left out once for all.
func (m *Matcher) askOne(a *panel, g *asked, s *search, into *PanelPair) {
	entry, ok := narrow(s.tree.nodes, 0, &g.low, &g.high, s.limitGrains)
	if !ok {
		return
	}
	for t := g.from; t < g.to; t++ {
		best, d2 := s.closest(entry, &g.middles[t-g.from])
		if best >= 0 && (m.opt.MinCos <= 0 || parallel(a.soup, t, s.tree.soup, s.tree.order[best], m.opt.MinCos)) {
			into.Matched = append(into.Matched, Matched{t, s.tree.order[best], float32(math.Sqrt(d2))})
		}
	}
}

// asked is the middles of a span of triangles, and their box in grains.
type asked struct {
	span
	middles   [shortRun]middle
	low, high [3]int32
}

// middle is a triangle's middle, in the soup's unit and in grains.
type middle struct {
	r3.Vector
	at [3]int32
}

func (g *asked) take(a *panel, s span, f *frame) {
	g.span, g.low, g.high = s, nothing.lo, nothing.hi
	for t := s.from; t < s.to; t++ {
		c := a.soup.Triangle(int(t))
		const third = 1 / float32(3)
		p := wide([3]float32{(c[0] + c[3] + c[6]) * third, (c[1] + c[4] + c[7]) * third, (c[2] + c[5] + c[8]) * third})
		at := f.place(p)
		g.middles[t-s.from] = middle{p, at}
		for k := range 3 {
			g.low[k], g.high[k] = min(g.low[k], at[k]), max(g.high[k], at[k])
		}
	}
}

// search looks for nearest triangles in a packed tree, one place after another.
type search struct {
	tree        *packed
	frame       *frame
	limit       float64 // squared
	limitGrains int64
	hint        *node // the leaf with what the place before found: a first guess for the next
}

// nearest is the nearest triangle so far.
type nearest struct {
	at     int32   // its place in the tree, or below zero
	limit  float64 // its squared distance, or the greatest that is asked for
	grains int64   // the same in grains, rounded up
	leaf   *node   // it is in
}

// closest is the place of the nearest triangle in the tree, of all under entry, and its squared distance; below zero
// when there is none within the limit.
func (s *search) closest(entry int32, from *middle) (int32, float64) {
	b := nearest{at: -1, limit: s.limit, grains: s.limitGrains}
	x, y, z := from.at[0], from.at[1], from.at[2]
	hint := s.hint
	if hint != nil {
		s.look(hint, from, &b)
	}
	nodes := s.tree.nodes
	var stack [deepest + 2]int32
	stack[0] = entry
	for depth := 1; depth > 0; {
		depth--
		n := &nodes[stack[depth]]
		if n.gapAt(x, y, z) > b.grains {
			continue
		}
		for n.count == 0 {
			near, far := n.first, n.first+1
			l, r := nodes[near].gapAt(x, y, z), nodes[far].gapAt(x, y, z)
			if r < l {
				near, far, l, r = far, near, r, l
			}
			if l > b.grains {
				break
			}
			if r <= b.grains {
				stack[depth] = far
				depth++
			}
			n = &nodes[near]
		}
		if n != hint {
			s.look(n, from, &b)
		}
	}
	if b.at >= 0 {
		s.hint = b.leaf
	}
	return b.at, b.limit
}

// look goes through a leaf's triangles.
func (s *search) look(n *node, from *middle, b *nearest) {
	for t := n.first; t < n.first+n.count; t++ {
		p, q, r := s.tree.soup.Corners(int(s.tree.order[t]))
		on, _ := ClosestOnTriangle(from.Vector, p, q, r)
		d := on.Sub(from.Vector).Norm2()
		if d < b.limit || d == b.limit && (b.at < 0 || s.tree.order[t] < s.tree.order[b.at]) {
			b.at, b.limit, b.grains, b.leaf = t, d, s.frame.limit(d), n
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
