package medial

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
)

// bandGraph is the pieces of the bands and which of them touch.
type bandGraph struct {
	nodes []bandNode
}

type bandNode struct {
	region.Centroid
	links []int32
	dead  bool
	band  int
}

// slicing cuts a region's triangles at equal distances, between which they grow as along a plane. So the bands' pieces and which of them
// touch do not depend on how fine the triangles are.
type slicing struct {
	r        *region.Region
	distance []float64
	width    float64
	first    []int32 // of each triangle: the number of its first slice, and of all after it
	low      []int32 // of each triangle: the band of its first slice
	node     []int32 // of each slice: its piece
}

func bands(r *region.Region, from r3.Vector, distance []float64, width float64) *bandGraph {
	n := len(r.Mesh.Triangles)
	s := slicing{r: r, distance: distance, width: width, first: make([]int32, n+1), low: make([]int32, n)}
	for t, tri := range r.Mesh.Triangles {
		a, b, c := distance[tri[0]], distance[tri[1]], distance[tri[2]]
		s.low[t] = s.bandFrom(min(a, b, c))
		s.first[t+1] = s.first[t] + max(1, s.bandTo(max(a, b, c))-s.low[t]+1)
	}
	s.node = make([]int32, s.first[len(s.low)])
	for i := range s.node {
		s.node[i] = -1
	}
	g := &bandGraph{}
	for t := range s.low {
		for i := s.first[t]; i < s.first[t+1]; i++ {
			if s.node[i] < 0 {
				g.nodes = append(g.nodes, s.piece(int32(t), s.low[t]+i-s.first[t], int32(len(g.nodes))))
			}
		}
	}
	s.link(g, g.sort(from))
	return g
}

// bandFrom is the band that begins at a distance or before it, and bandTo the one that ends there or after.
func (s *slicing) bandFrom(distance float64) int32 { return int32(math.Floor(distance / s.width)) }
func (s *slicing) bandTo(distance float64) int32   { return int32(math.Ceil(distance/s.width)) - 1 }

// slice is the number of a triangle's slice in a band; -1 where it has none there.
func (s *slicing) slice(t, band int32) int32 {
	if i := s.first[t] + band - s.low[t]; band >= s.low[t] && i < s.first[t+1] {
		return i
	}
	return -1
}

// piece gathers the slices of a band that hang together with one of them.
func (s *slicing) piece(t, band, id int32) bandNode {
	n := bandNode{band: int(band)}
	s.node[s.slice(t, band)] = id
	for list := []int32{t}; len(list) > 0; {
		t := list[len(list)-1]
		list = list[:len(list)-1]
		n.add(s, t, band)
		for k := range 3 {
			o := s.r.Topo.Across(t, k)
			if o == mesh.None || !s.passes(t, k, band) {
				continue
			}
			if i := s.slice(o, band); i >= 0 && s.node[i] < 0 {
				s.node[i] = id
				list = append(list, o)
			}
		}
	}
	return n
}

// passes says whether some of side k of a triangle lies within a band, on both sides of it.
func (s *slicing) passes(t int32, k int, band int32) bool {
	tri := s.r.Mesh.Triangles[t]
	a, b := s.distance[tri[k]], s.distance[tri[(k+1)%3]]
	low, high := float64(band)*s.width, float64(band+1)*s.width
	return min(a, b) < high && max(a, b) > low
}

// link links the pieces, by their new numbers, that touch within a triangle, or at a side of it along which the distance stays the same.
func (s *slicing) link(g *bandGraph, number []int32) {
	for t := range s.low {
		for i := s.first[t] + 1; i < s.first[t+1]; i++ {
			if a, b := s.node[i-1], s.node[i]; a != b {
				g.link(number[a], number[b])
			}
		}
		for k := range 3 {
			if o := s.r.Topo.Across(int32(t), k); o != mesh.None {
				if a, b := s.node[s.beside(int32(t), k)], s.node[s.beside(o, s.sideOf(o, int32(t)))]; a != b && s.isBetween(int32(t), k) {
					g.link(number[a], number[b])
				}
			}
		}
	}
	for i := range g.nodes {
		slices.Sort(g.nodes[i].links)
	}
}

// isBetween says whether side k of a triangle runs along the border of two bands.
func (s *slicing) isBetween(t int32, k int) bool {
	return !s.passes(t, k, s.bandFrom(s.distance[s.r.Mesh.Triangles[t][k]]))
}

// sideOf is the side of a triangle that another lies at.
func (s *slicing) sideOf(t, other int32) int {
	for k := range 2 {
		if s.r.Topo.Across(t, k) == other {
			return k
		}
	}
	return 2
}

// beside is the slice of a triangle at the middle of its side k.
func (s *slicing) beside(t int32, k int) int32 {
	tri := s.r.Mesh.Triangles[t]
	middle := (s.distance[tri[k]] + s.distance[tri[(k+1)%3]]) / 2
	band := s.bandFrom(middle)
	if s.distance[tri[(k+2)%3]] < middle {
		band = s.bandTo(middle)
	}
	return s.first[t] + min(max(band-s.low[t], 0), s.first[t+1]-s.first[t]-1)
}

// add counts the slice of a triangle in.
func (n *bandNode) add(s *slicing, t, band int32) {
	if s.first[t+1]-s.first[t] == 1 {
		n.Add(s.r, t)
		return
	}
	var room [2][6]level
	part := room[0][:0]
	for _, v := range s.r.Mesh.Triangles[t] {
		part = append(part, level{s.r.Mesh.Vertices[v], s.distance[v] / s.width})
	}
	part = above(above(part, room[1][:0], float64(band), 1), room[0][:0], float64(band+1), -1)
	for i := 2; i < len(part); i++ {
		a, b, c := part[0].at, part[i-1].at, part[i].at
		area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		n.Sum, n.Area = n.Sum.Add(a.Add(b).Add(c).Mul(area/3)), n.Area+area
	}
}

// level is a corner of a slice, and its distance in bands.
type level struct {
	at r3.Vector
	d  float64
}

// above is what of a polygon lies above a distance, or below it where sign is -1 (Sutherland and Hodgman 1974), in room.
func above(polygon, room []level, limit, sign float64) []level {
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		over, under := (a.d-limit)*sign, (b.d-limit)*sign
		if over >= 0 {
			room = append(room, a)
		}
		if over > 0 && under < 0 || over < 0 && under > 0 {
			room = append(room, level{a.at.Add(b.at.Sub(a.at).Mul(over / (over - under))), limit})
		}
	}
	return room
}

// sort puts the pieces into an order that the triangles' does not change: by band, then the larger first, then
// the nearer to the start. It returns their new numbers.
func (g *bandGraph) sort(from r3.Vector) []int32 {
	order := make([]int, len(g.nodes))
	for i := range order {
		order[i] = i
	}
	kit.SortByKeys(order, []func(i int) float64{
		func(i int) float64 { return float64(g.nodes[i].band) },
		func(i int) float64 { return -g.nodes[i].Area },
		func(i int) float64 { return g.nodes[i].Sum.Mul(1 / max(g.nodes[i].Area, 1e-300)).Sub(from).Norm() },
	})
	number := make([]int32, len(order))
	sorted := make([]bandNode, len(order))
	for to, i := range order {
		number[i], sorted[to] = int32(to), g.nodes[i]
	}
	g.nodes = sorted
	return number
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
	to.Sum, to.Area = to.Sum.Add(from.Sum), to.Area+from.Area
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
		if n.dead || n.Area >= area || len(n.links) == 0 {
			continue
		}
		best := n.links[0]
		for _, o := range n.links {
			if g.nodes[o].Area > g.nodes[best].Area || g.nodes[o].Area == g.nodes[best].Area && o < best {
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
				if ends[0] == ends[1] && g.joinLoop(path, width) {
					joined = true
					break
				}
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

// joinLoop merges the halves of a path that leaves a piece and comes back to it, as where the last band but one of a strip fell apart, if
// they lie no farther from each other than the strip is wide.
func (g *bandGraph) joinLoop(path []int32, width float64) bool {
	half := (len(path) - 2) / 2
	one, other := path[1:1+half], path[1+half:]
	if half == 0 || !g.beside(one, other, width) {
		return false
	}
	g.mergeInto(one, other)
	return true
}

// slender is how wide a sliver is at most, in widths of the strip, over its length. A branch of two bands comes out as two thirds.
const slender = 0.6

// joinSlivers merges a path that ends where it comes to no other into another one that leaves the same piece, if it lies beside that all
// along and is slender: a sliver along a strip's side, parted from it by a slit, is no branch.
func (g *bandGraph) joinSlivers(width float64) {
	for joined := true; joined; {
		joined = false
		for a := range g.nodes {
			if g.nodes[a].dead || len(g.nodes[a].links) < 3 {
				continue
			}
			sliver, other := g.sliver(int32(a), width)
			for _, v := range sliver { // what they come to beside them they do not touch
				g.unlink(v)
				g.nodes[v].links = nil
			}
			g.mergeInto(sliver, other)
			joined = joined || sliver != nil
		}
	}
}

// sliver is such a path from a piece, and the pieces that it lies beside.
func (g *bandGraph) sliver(a int32, width float64) (path, other []int32) {
	paths := make([][]int32, 0, len(g.nodes[a].links))
	for _, b := range g.nodes[a].links {
		paths = append(paths, g.walk(a, b))
	}
	for i, p := range paths {
		if end := p[len(p)-1]; len(g.nodes[end].links) != 1 || g.area(p[1:]) > slender*width*g.length(p) {
			continue
		}
		for k, q := range paths {
			if k != i && g.beside(p[1:], q, 1.5*width) { // the rim of the sliver makes the strip seem narrower than it is
				return p[1:], q
			}
		}
	}
	return nil, nil
}

// area is that of some pieces, mm².
func (g *bandGraph) area(path []int32) (sum float64) {
	for _, v := range path {
		sum += g.nodes[v].Area
	}
	return sum
}

// length is that of a path from the middle of its first piece to the end of its last, mm, which is as far again as its middle.
func (g *bandGraph) length(path []int32) (sum float64) {
	last := 0.0
	for i, v := range path[1:] {
		last = g.nodes[v].Center().Sub(g.nodes[path[i]].Center()).Norm()
		sum += last
	}
	return sum + last
}

func (g *bandGraph) onward(at, last int32) int32 {
	if g.nodes[at].links[0] == last {
		return g.nodes[at].links[1]
	}
	return g.nodes[at].links[0]
}

// chains walks the graph from its ends and branches; what is left over then are rings.
func (g *bandGraph) chains() []Chain {
	used := map[[2]int32]bool{}
	inRing := make([]bool, len(g.nodes))
	var out []Chain
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

func (g *bandGraph) chain(path []int32, closed bool) Chain {
	c := Chain{Closed: closed, Forks: [2]int32{NoFork, NoFork}}
	for i, v := range path {
		n := g.nodes[v]
		c.Points = append(c.Points, n.Sum.Mul(1/n.Area))
		if len(n.links) <= 2 {
			continue
		}
		if i == 0 {
			c.Forks[0] = v
		} else {
			c.Forks[1] = v
		}
	}
	return c
}

// nearest is the piece of a path that is nearest to piece a.
func (g *bandGraph) nearest(a int32, path []int32) (best int32, distance float64) {
	distance = math.Inf(1)
	for _, b := range path {
		if d := g.nodes[a].Center().Sub(g.nodes[b].Center()).Norm(); d < distance {
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
