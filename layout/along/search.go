package along

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// spacing is that of the points on edges among which a way is looked for, mm. They choose the triangles; the length is that of the
// way pulled straight.
const spacing = 1.0

// leastNodes is how many points an edge has at least.
const leastNodes = 2

// node is a point on an edge.
type node struct {
	at    r3.Vector
	edge  int32
	way   float64 // from the start
	prev  int32   // the node before it; below zero the start: ^k is the k-th
	via   int32   // the triangle between
	fixed bool
}

// search is the ways found from a start.
type search struct {
	sheet *Sheet
	start []place
	reach float64
	nodes []node
	of    map[int32][]int32 // nodes of an edge
	queue queue
}

// spread follows the sheet from the start as far as reach.
func (s *Sheet) spread(start []place, reach float64) *search {
	f := &search{sheet: s, start: start, reach: reach, of: map[int32][]int32{}}
	for k, p := range start {
		for _, e := range s.topo.TriEdge[p.tri] {
			for _, n := range f.on(e) {
				f.offer(n, p.at.Distance(f.nodes[n].at), ^int32(k), p.tri)
			}
		}
	}
	for f.queue.Len() > 0 {
		n := heap.Pop(&f.queue).(entry).node
		if f.nodes[n].fixed {
			continue
		}
		f.nodes[n].fixed = true
		f.expand(n)
	}
	return f
}

// on gives the nodes of an edge, which are made when it is first asked for: within reach of the start, and not at the ends, so
// that every way goes from triangle to triangle over an edge.
func (f *search) on(edge int32) []int32 {
	if have, ok := f.of[edge]; ok {
		return have
	}
	v := f.sheet.topo.Edges[edge].V
	a, b := f.sheet.mesh.Vertices[v[0]], f.sheet.mesh.Vertices[v[1]]
	from, to := f.clip(a, b)
	var out []int32
	if length := (to - from) * a.Distance(b); length > 0 {
		n := max(leastNodes, int(math.Ceil(length/spacing)))
		for i := range n {
			t := from + (to-from)*(float64(i)+0.5)/float64(n)
			out = append(out, int32(len(f.nodes)))
			f.nodes = append(f.nodes, node{at: a.Add(b.Sub(a).Mul(t)), edge: edge, way: math.Inf(1)})
		}
	}
	f.of[edge] = out
	return out
}

// clip is the part of an edge, 0 to 1, within reach of the first start.
func (f *search) clip(a, b r3.Vector) (from, to float64) {
	d, c := b.Sub(a), a.Sub(f.start[0].at)
	aa, bb, cc := d.Norm2(), c.Dot(d), c.Norm2()-f.reach*f.reach
	root := float64(bb*bb) - float64(aa*cc)
	if aa == 0 || root <= 0 {
		return 0, 0
	}
	root = math.Sqrt(root)
	return math.Max(0, (-bb-root)/aa), math.Min(1, (-bb+root)/aa)
}

func (f *search) offer(n int32, way float64, prev, via int32) {
	if node := &f.nodes[n]; way < node.way && way <= f.reach {
		node.way, node.prev, node.via = way, prev, via
		heap.Push(&f.queue, entry{way, n})
	}
}

// expand goes on from a node over the triangles on its edge.
func (f *search) expand(n int32) {
	from := f.nodes[n]
	for _, tri := range f.sheet.topo.Edges[from.edge].Tri {
		if tri == mesh.None {
			continue
		}
		for _, e := range f.sheet.topo.TriEdge[tri] {
			if e == from.edge {
				continue
			}
			for _, k := range f.on(e) {
				if !f.nodes[k].fixed {
					f.offer(k, from.way+from.at.Distance(f.nodes[k].at), n, tri)
				}
			}
		}
	}
}

// tries is how many of the ways into the last triangle are pulled straight.
const tries = 3

// to is the length of the shortest way to a place; +Inf where none was found.
func (f *search) to(end place) float64 {
	var in [tries]int32
	way := [tries]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	for _, e := range f.sheet.topo.TriEdge[end.tri] {
		n, least := int32(-1), math.Inf(1)
		for _, k := range f.of[e] {
			if d := f.nodes[k].way + f.nodes[k].at.Distance(end.at); d < least {
				n, least = k, d
			}
		}
		for i := range way { // one way over each edge, the shortest first
			if least < way[i] {
				n, in[i] = in[i], n
				least, way[i] = way[i], least
			}
		}
	}
	best := way[0]
	for i, w := range way {
		if !math.IsInf(w, 1) {
			best = math.Min(best, f.pulled(in[i], end))
		}
	}
	return best
}

// pulled is the length of a way pulled straight. Where it bends at a vertex the triangles on that one's other side are tried, as
// long as that makes it shorter.
func (f *search) pulled(last int32, end place) float64 {
	triangles := []int32{end.tri}
	k := last
	for ; k >= 0; k = f.nodes[k].prev {
		triangles = append(triangles, f.nodes[k].via)
	}
	slices.Reverse(triangles)
	start := f.start[^k]
	length, bends := f.sheet.straight(start, end, triangles)
	for again := true; again; {
		again = false
		for _, v := range bends {
			other := f.sheet.otherSide(triangles, v)
			if other == nil {
				continue
			}
			if l, b := f.sheet.straight(start, end, other); l < length*(1-1e-9) {
				length, bends, triangles, again = l, b, other, true
				break
			}
		}
	}
	return length
}

// straight lays triangles out flat, the first with the start and the last with the end, and pulls the way through them straight.
func (s *Sheet) straight(start, end place, triangles []int32) (float64, []int32) {
	if len(triangles) == 1 {
		return start.at.Distance(end.at), nil
	}
	u := unfolding{sheet: s}
	u.begin(start)
	for _, next := range triangles[1:] {
		u.over(s.between(u.tri, next), next)
	}
	to := u.place(end.at)
	gates := u.gates
	for len(gates) > 0 && gates[0].holds(u.from) { // a place on an edge is in the triangle beyond it already
		gates = gates[1:]
	}
	for n := len(gates); n > 0 && gates[n-1].holds(to); n = len(gates) {
		gates = gates[:n-1]
	}
	if len(gates) == 0 {
		return to.Sub(u.from).Norm(), nil
	}
	return taut(u.from, to, gates)
}

// between is the edge of two neighbouring triangles.
func (s *Sheet) between(a, b int32) int32 {
	for _, e := range s.topo.TriEdge[a] {
		if slices.Contains(s.topo.TriEdge[b][:], e) {
			return e
		}
	}
	return mesh.None
}

// otherSide goes round a vertex the other way; nil where the sheet ends there.
func (s *Sheet) otherSide(triangles []int32, v int32) []int32 {
	has := func(t int32) bool { return slices.Contains(s.mesh.Triangles[t][:], v) }
	from := slices.IndexFunc(triangles, has)
	if from < 0 {
		return nil
	}
	to := from
	for to+1 < len(triangles) && has(triangles[to+1]) {
		to++
	}
	if to == from {
		return nil
	}
	out := slices.Clone(triangles[:from+1])
	gone, at := s.between(triangles[from], triangles[from+1]), triangles[from]
	for at != triangles[to] {
		next, over := s.round(at, v, gone)
		if next == mesh.None || len(out) > len(triangles)+64 {
			return nil
		}
		out, at, gone = append(out, next), next, over
	}
	out = append(out, triangles[to+1:]...)
	for i := 0; i+2 < len(out); { // there and back again
		if out[i] == out[i+2] {
			out = slices.Delete(out, i+1, i+3)
			i = max(0, i-1)
			continue
		}
		i++
	}
	return out
}

// round is the next triangle about a vertex over the edge that was not gone over before, and that edge.
func (s *Sheet) round(tri, v, gone int32) (next, over int32) {
	for _, e := range s.topo.TriEdge[tri] {
		edge := s.topo.Edges[e]
		if e == gone || edge.V[0] != v && edge.V[1] != v {
			continue
		}
		if edge.Tri[0] == tri {
			return edge.Tri[1], e
		}
		return edge.Tri[0], e
	}
	return mesh.None, mesh.None
}

// entry is a node in the queue.
type entry struct {
	way  float64
	node int32
}

// queue is a heap of nodes by their way, ties by their number.
type queue []entry

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, k int) bool {
	return cmp.Or(cmp.Compare(q[i].way, q[k].way), cmp.Compare(q[i].node, q[k].node)) < 0
}
func (q queue) Swap(i, k int) { q[i], q[k] = q[k], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(entry)) }
func (q *queue) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}
