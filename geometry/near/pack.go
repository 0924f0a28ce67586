package near

import "seamwright/geometry/mesh"

// packed is a tree over kept triangles.
type packed struct {
	nodes []node
	soup  *mesh.Soup
	order []int32 // their numbers in the soup, leaf by leaf
}

// plant makes the trees of all panels but the first, which is asked for by none.
func (m *Matcher) plant() {
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
	items, n := p.bundles(f, workers)
	p.tree.nodes = plant(items, max(1, bundle*len(items)/max(1, n)), workers)
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

// bundle is how many triangles that follow each other in the file become one item of a tree at most, and about how many
// a leaf holds: as a packet weighs a triangle for all its places at once, more than in the leaves of a Tree.
const bundle = shortRun

// bundles makes items of the kept triangles, and counts these: one of several triangles where they lie so close that a
// box about them all is no larger than boxes about each.
func (p *panel) bundles(f *frame, workers int) (items []node, triangles int) {
	starts := make([]int, (len(p.asked)+taskPackets-1)/taskPackets) // of what each task has room for
	for i, s := range p.asked {
		if i%taskPackets == 0 {
			starts[i/taskPackets] = triangles
		}
		triangles += int(s.to - s.from)
	}
	items = make([]node, triangles)
	parts := make([][]node, len(starts))
	each(workers, len(parts), func(i int) {
		parts[i] = items[starts[i]:starts[i]]
		for _, s := range p.asked[i*taskPackets : min((i+1)*taskPackets, len(p.asked))] {
			parts[i] = p.bundle(f, s, parts[i])
		}
	})
	n := 0
	for _, part := range parts {
		n += copy(items[n:], part)
	}
	return items[:n], triangles
}

func (p *panel) bundle(f *frame, s span, items []node) []node {
	n := s.to - s.from
	low, high := p.soup.Box(int(s.from), int(s.to))
	if n > 1 {
		one := max(halfArea(p.soup.Box(int(s.from), int(s.from)+1)), halfArea(p.soup.Box(int(s.to)-1, int(s.to))))
		if halfArea(low, high) > float64(n)*one {
			left, right := s.halves()
			return p.bundle(f, right, p.bundle(f, left, items))
		}
	}
	item := node{first: s.from, count: n}
	item.lo, item.hi = f.grown(wide(low), wide(high))
	return append(items, item)
}

func halfArea(low, high [3]float32) float64 {
	s := wide(high).Sub(wide(low))
	return float64(s.X*s.Y) + float64(s.Y*s.Z) + float64(s.Z*s.X)
}
