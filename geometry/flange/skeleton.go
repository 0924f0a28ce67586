package flange

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// chain is a first, rough centre line of a strip.
type chain struct {
	points []r3.Vector
	closed bool
	forks  [2]int32 // the pieces at which the line's start and its end meet others; noFork for none
}

// noFork stands for the end of a line that meets no other.
const noFork = -1

func sortByLength(r *region, loops [][]int32) {
	lengths := make([]float64, len(loops))
	order := make([]int, len(loops))
	for i, l := range loops {
		lengths[i], order[i] = r.loopLength(l), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(lengths[b], lengths[a]) })
	sorted := make([][]int32, len(loops))
	for i, o := range order {
		sorted[i] = loops[o]
	}
	copy(loops, sorted)
}

// skeleton returns the rough centre lines of the region: the middles of bands of equal distance along the
// surface from one of its ends, band by band; a band that falls into several pieces is a branch, bands that
// meet again are a ring.
func (r *region) skeleton(anchor int32, width float64) []chain {
	start, next := r.neighbours()
	from := r.farthest(r.distances(anchor, start, next))
	distance := r.distances(from, start, next)
	band := math.Max(2*fine, width/2)
	g := r.bands(r.mesh.Vertices[from], distance, band)
	g.absorbSmall(0.25 * band * width)
	g.prune(int(math.Ceil(1.5 * width / band)))
	g.joinParallel(width)
	return g.chains()
}

type reached struct {
	vertex   int32
	distance float64
}

func (a reached) before(b reached) bool {
	return a.distance < b.distance || a.distance == b.distance && a.vertex < b.vertex
}

// reachedHeap is a binary heap, the nearest vertex first (Williams 1964).
type reachedHeap []reached

func (h *reachedHeap) push(x reached) {
	*h = append(*h, x)
	s := *h
	i := len(s) - 1
	for i > 0 && x.before(s[(i-1)/2]) {
		s[i], i = s[(i-1)/2], (i-1)/2
	}
	s[i] = x
}

func (h *reachedHeap) pop() reached {
	s := *h
	top, x := s[0], s[len(s)-1]
	s = s[:len(s)-1]
	*h = s
	for i := 0; len(s) > 0; {
		child := 2*i + 1
		if child+1 < len(s) && s[child+1].before(s[child]) {
			child++
		}
		if child >= len(s) || !s[child].before(x) {
			s[i] = x
			break
		}
		s[i], i = s[child], child
	}
	return top
}

// distances are lengths along edges from one vertex to its neighbours and on (Dijkstra 1959): good enough to tell bands apart.
func (r *region) distances(from int32, start, next []int32) []float64 {
	d := make([]float64, len(r.mesh.Vertices))
	for i := range d {
		d[i] = math.Inf(1)
	}
	d[from] = 0
	h := reachedHeap{{from, 0}}
	for len(h) > 0 {
		at := h.pop()
		if at.distance > d[at.vertex] {
			continue
		}
		for _, w := range next[start[at.vertex]:start[at.vertex+1]] {
			if s := at.distance + r.mesh.Vertices[w].Sub(r.mesh.Vertices[at.vertex]).Norm(); s < d[w] {
				d[w] = s
				h.push(reached{w, s})
			}
		}
	}
	return d
}

// neighbours are the vertices that share an edge with vertex v: next[start[v]:start[v+1]].
func (r *region) neighbours() (start, next []int32) {
	start = make([]int32, len(r.mesh.Vertices)+1)
	for _, e := range r.topo.Edges {
		start[e.V[0]+1]++
		start[e.V[1]+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	next = make([]int32, 2*len(r.topo.Edges))
	fill := slices.Clone(start)
	for _, e := range r.topo.Edges {
		next[fill[e.V[0]]], next[fill[e.V[1]]] = e.V[1], e.V[0]
		fill[e.V[0]]++
		fill[e.V[1]]++
	}
	return start, next
}

// bandGraph is the pieces of the bands and which of them touch.
type bandGraph struct {
	nodes []bandNode
}

type bandNode struct {
	sum   r3.Vector // centre times area
	area  float64
	tris  []int32
	links []int32
	dead  bool
	band  int
}

func (r *region) bands(from r3.Vector, distance []float64, width float64) *bandGraph {
	bandOf := func(t int32) int {
		tri := r.mesh.Triangles[t]
		return int((distance[tri[0]] + distance[tri[1]] + distance[tri[2]]) / 3 / width)
	}
	node := make([]int32, len(r.mesh.Triangles))
	for i := range node {
		node[i] = -1
	}
	g := &bandGraph{}
	for t := range node {
		if node[t] >= 0 {
			continue
		}
		id := int32(len(g.nodes))
		band := bandOf(int32(t))
		n := bandNode{band: band}
		node[t] = id
		n.tris = []int32{int32(t)}
		for i := 0; i < len(n.tris); i++ {
			n.add(r, n.tris[i])
			for k := range 3 {
				if o := r.topo.Across(n.tris[i], k); o != mesh.None && node[o] < 0 && bandOf(o) == band {
					node[o] = id
					n.tris = append(n.tris, o)
				}
			}
		}
		g.nodes = append(g.nodes, n)
	}
	number := g.sort(from)
	for t := range node {
		for k := range 3 {
			if o := r.topo.Across(int32(t), k); o != mesh.None && node[o] != node[t] {
				g.link(number[node[t]], number[node[o]])
			}
		}
	}
	for i := range g.nodes {
		slices.Sort(g.nodes[i].links)
	}
	return g
}

// sort puts the pieces into an order that the triangles' does not change: by band, then the larger first, then
// the nearer to the start. It returns their new numbers.
func (g *bandGraph) sort(from r3.Vector) []int32 {
	order := make([]int, len(g.nodes))
	for i := range order {
		order[i] = i
	}
	sortByKeys(order, []func(i int) float64{
		func(i int) float64 { return float64(g.nodes[i].band) },
		func(i int) float64 { return -g.nodes[i].area },
		func(i int) float64 { return g.nodes[i].sum.Mul(1 / max(g.nodes[i].area, 1e-300)).Sub(from).Norm() },
	})
	number := make([]int32, len(order))
	sorted := make([]bandNode, len(order))
	for to, i := range order {
		number[i], sorted[to] = int32(to), g.nodes[i]
	}
	g.nodes = sorted
	return number
}

func (n *bandNode) add(r *region, t int32) {
	a, b, c := r.mesh.Corners(int(t))
	area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	n.sum = n.sum.Add(a.Add(b).Add(c).Mul(area / 3))
	n.area += area
}

func (g *bandGraph) link(a, b int32) {
	if !slices.Contains(g.nodes[a].links, b) {
		g.nodes[a].links = append(g.nodes[a].links, b)
		g.nodes[b].links = append(g.nodes[b].links, a)
	}
}

// merge gives everything of node a to node b.
func (g *bandGraph) merge(a, b int32) {
	from, to := &g.nodes[a], &g.nodes[b]
	to.sum, to.area = to.sum.Add(from.sum), to.area+from.area
	to.tris = append(to.tris, from.tris...)
	g.unlink(a)
	for _, o := range from.links {
		if o != b {
			g.link(b, o)
		}
	}
	from.links, from.dead = nil, true
}

func (g *bandGraph) unlink(a int32) {
	for _, o := range g.nodes[a].links {
		g.nodes[o].links = slices.DeleteFunc(g.nodes[o].links, func(x int32) bool { return x == a })
	}
}

// absorbSmall merges every piece below the area into its largest neighbour: corners of ends, crumbs of noise.
func (g *bandGraph) absorbSmall(area float64) {
	for a := range g.nodes {
		n := &g.nodes[a]
		if n.dead || n.area >= area || len(n.links) == 0 {
			continue
		}
		best := n.links[0]
		for _, o := range n.links {
			if g.nodes[o].area > g.nodes[best].area || g.nodes[o].area == g.nodes[best].area && o < best {
				best = o
			}
		}
		g.merge(int32(a), best)
	}
}

// prune merges side branches shorter than the given number of bands into the node that they leave.
func (g *bandGraph) prune(bands int) {
	for a := range g.nodes {
		if g.nodes[a].dead || len(g.nodes[a].links) != 1 {
			continue
		}
		branch := []int32{int32(a)}
		at, last := g.nodes[a].links[0], int32(a)
		for len(g.nodes[at].links) == 2 && len(branch) < bands {
			branch = append(branch, at)
			at, last = g.onward(at, last), at
		}
		if len(g.nodes[at].links) > 2 && len(branch) < bands {
			for _, b := range branch {
				g.merge(b, at)
			}
		}
	}
}

// joinParallel merges paths that part and meet again no farther from each other than the strip is wide: bands that
// fell apart about a crumb or a filled hole, not legs.
func (g *bandGraph) joinParallel(width float64) {
	for joined := true; joined; {
		joined = false
		paths := map[[2]int32][]int32{} // the inner pieces of a path between two forks
		for a := range g.nodes {
			if g.nodes[a].dead || len(g.nodes[a].links) < 3 {
				continue
			}
			for _, b := range g.nodes[a].links {
				path := g.walk(int32(a), b)
				ends := [2]int32{int32(a), path[len(path)-1]}
				if ends[0] >= ends[1] || len(g.nodes[ends[1]].links) < 3 {
					continue
				}
				inner := path[1 : len(path)-1]
				other, known := paths[ends]
				if known && len(inner) == 0 {
					inner, other = other, inner
				}
				whole := append(slices.Clone(other), ends[0], ends[1])
				if !known {
					paths[ends] = inner
				} else if len(inner) > 0 && g.beside(inner, whole, width) {
					g.mergeInto(inner, whole)
					joined = true
					break
				}
			}
			if joined {
				break
			}
		}
	}
}

func (g *bandGraph) onward(at, last int32) int32 {
	if g.nodes[at].links[0] == last {
		return g.nodes[at].links[1]
	}
	return g.nodes[at].links[0]
}

// chains walks the graph from its ends and branches; what is left over then are rings.
func (g *bandGraph) chains() []chain {
	used := map[[2]int32]bool{}
	inRing := make([]bool, len(g.nodes))
	var out []chain
	for a := range g.nodes {
		n := g.nodes[a]
		if n.dead || len(n.links) == 2 {
			continue
		}
		if len(n.links) == 0 {
			out = append(out, g.chain([]int32{int32(a)}, false))
			continue
		}
		for _, b := range n.links {
			if used[[2]int32{int32(a), b}] {
				continue
			}
			path := g.walk(int32(a), b)
			used[[2]int32{path[0], path[1]}] = true
			used[[2]int32{path[len(path)-1], path[len(path)-2]}] = true
			for _, v := range path {
				inRing[v] = true
			}
			out = append(out, g.chain(path, false))
		}
	}
	for a := range g.nodes {
		if g.nodes[a].dead || inRing[a] || len(g.nodes[a].links) != 2 {
			continue
		}
		path := g.walk(int32(a), g.nodes[a].links[0])
		for _, v := range path {
			inRing[v] = true
		}
		out = append(out, g.chain(path[:len(path)-1], true))
	}
	return out
}

// walk follows the nodes with two links from a by way of b until an end, a branch or a again.
func (g *bandGraph) walk(a, b int32) []int32 {
	path := []int32{a, b}
	for last, at := a, b; len(g.nodes[at].links) == 2 && at != a; {
		last, at = at, g.onward(at, last)
		path = append(path, at)
	}
	return path
}

func (g *bandGraph) chain(path []int32, closed bool) chain {
	c := chain{closed: closed, forks: [2]int32{noFork, noFork}}
	for i, v := range path {
		n := g.nodes[v]
		c.points = append(c.points, n.sum.Mul(1/n.area))
		if len(n.links) <= 2 {
			continue
		}
		if i == 0 {
			c.forks[0] = v
		} else {
			c.forks[1] = v
		}
	}
	return c
}

func (n *bandNode) center() r3.Vector { return n.sum.Mul(1 / n.area) }

// nearest is the piece of a path that is nearest to piece a.
func (g *bandGraph) nearest(a int32, path []int32) (best int32, distance float64) {
	distance = math.Inf(1)
	for _, b := range path {
		if d := g.nodes[a].center().Sub(g.nodes[b].center()).Norm(); d < distance {
			best, distance = b, d
		}
	}
	return best, distance
}

// beside says whether every piece of a path is within a distance of some piece of another.
func (g *bandGraph) beside(path, other []int32, within float64) bool {
	return !slices.ContainsFunc(path, func(a int32) bool {
		_, d := g.nearest(a, other)
		return d > within
	})
}

// mergeInto merges every piece of a path into the nearest of another.
func (g *bandGraph) mergeInto(path, other []int32) {
	into := make([]int32, len(path))
	for i, a := range path {
		into[i], _ = g.nearest(a, other)
	}
	for i, a := range path {
		g.merge(a, into[i])
	}
}
