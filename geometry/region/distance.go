package region

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
)

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

// Ways are the straight ways from each vertex of a region to others near it, over its surface: along the edges, and over each edge from the
// corner on one side of it to that on the other. Without the latter, lengths along edges would depend on which of its
// diagonals a mesh has.
type Ways struct {
	first  []int32 // of each vertex: its first way, and of all after it
	to     []int32
	length []float64 // mm
}

// way is one of them.
type way struct {
	from, to int32
	length   float64
}

// Ways are those of the region.
func (r *Region) Ways() Ways {
	ways := make([]way, 0, 2*len(r.Topo.Edges))
	for _, e := range r.Topo.Edges {
		a, b := e.V[0], e.V[1]
		edge := r.Mesh.Vertices[b].Sub(r.Mesh.Vertices[a])
		ways = append(ways, way{a, b, edge.Norm()})
		if e.Free() || e.More > 0 {
			continue
		}
		c, d := r.Mesh.Third(e, e.Tri[0]), r.Mesh.Third(e, e.Tri[1])
		if length, ok := overEdge(edge, r.Mesh.Vertices[c].Sub(r.Mesh.Vertices[a]), r.Mesh.Vertices[d].Sub(r.Mesh.Vertices[a])); ok {
			ways = append(ways, way{c, d, length})
		}
	}
	out := Ways{make([]int32, len(r.Mesh.Vertices)+1), make([]int32, 2*len(ways)), make([]float64, 2*len(ways))}
	for _, w := range ways {
		out.first[w.from+1]++
		out.first[w.to+1]++
	}
	for i := 1; i < len(out.first); i++ {
		out.first[i] += out.first[i-1]
	}
	fill := slices.Clone(out.first)
	for _, w := range ways {
		for _, ends := range [2][2]int32{{w.from, w.to}, {w.to, w.from}} {
			at := fill[ends[0]]
			out.to[at], out.length[at] = ends[1], w.length
			fill[ends[0]]++
		}
	}
	return out
}

// overEdge is the length of the straight way over an edge from a corner on one side to one on the other, both seen from where the edge
// begins, once the two sides are laid into one plane, if it passes between the edge's ends.
func overEdge(edge, c, d r3.Vector) (float64, bool) {
	long := edge.Norm()
	if !(long > 0) {
		return 0, false
	}
	cx, dx := c.Dot(edge)/long, d.Dot(edge)/long
	cy, dy := math.Sqrt(max(0, c.Norm2()-float64(cx*cx))), math.Sqrt(max(0, d.Norm2()-float64(dx*dx)))
	if !(cy+dy > 0) {
		return 0, false
	}
	if x := cx + (dx-cx)*cy/(cy+dy); !(x > 0 && x < long) {
		return 0, false
	}
	return math.Hypot(cx-dx, cy+dy), true
}

// Distances are lengths from one vertex along ways to others and on (Dijkstra 1959): good enough to tell bands apart.
func (r *Region) Distances(from int32, ways Ways) []float64 {
	d := make([]float64, len(r.Mesh.Vertices))
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
		for i := ways.first[at.vertex]; i < ways.first[at.vertex+1]; i++ {
			if w, s := ways.to[i], at.distance+ways.length[i]; s < d[w] {
				d[w] = s
				h.push(reached{w, s})
			}
		}
	}
	return d
}

// FarthestFrom is the vertex of the region that is farthest from a place; of equally far ones, that which is first
// by its coordinates.
func (r *Region) FarthestFrom(p r3.Vector) int32 {
	d := make([]float64, len(r.Mesh.Vertices))
	for v, q := range r.Mesh.Vertices {
		d[v] = q.Sub(p).Norm()
	}
	return r.Farthest(d)
}

// Farthest is the vertex with the greatest finite distance; of equal ones, that which is first by its coordinates.
func (r *Region) Farthest(d []float64) int32 {
	most := 0.0
	for _, x := range d {
		if !math.IsInf(x, 0) {
			most = max(most, x)
		}
	}
	best := int32(-1)
	for v, x := range d {
		if x >= most*(1-kit.AlikeTo) && !math.IsInf(x, 0) && (best < 0 || kit.Before(r.Mesh.Vertices[v], r.Mesh.Vertices[best], 10*most)) {
			best = int32(v)
		}
	}
	return max(best, 0)
}

// Stretch is the area of the region moved out along its normals, as a part of its own.
func (r *Region) Stretch(offset float64) float64 {
	sum, own := 0.0, 0.0
	at := func(v int32) r3.Vector { return r.Mesh.Vertices[v].Add(r.Normals[v].Mul(offset)) }
	for t, tri := range r.Mesh.Triangles {
		if r.Filled[t] {
			continue
		}
		a, b, c := r.Mesh.Corners(t)
		own += b.Sub(a).Cross(c.Sub(a)).Norm()
		a, b, c = at(tri[0]), at(tri[1]), at(tri[2])
		sum += b.Sub(a).Cross(c.Sub(a)).Norm()
	}
	if !(own > 0) {
		return 1
	}
	return sum / own
}
