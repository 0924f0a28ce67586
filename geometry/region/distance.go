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

// Distances are lengths along edges from one vertex to its neighbours and on (Dijkstra 1959): good enough to tell bands apart.
func (r *Region) Distances(from int32, start, next []int32) []float64 {
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
		for _, w := range next[start[at.vertex]:start[at.vertex+1]] {
			if s := at.distance + r.Mesh.Vertices[w].Sub(r.Mesh.Vertices[at.vertex]).Norm(); s < d[w] {
				d[w] = s
				h.push(reached{w, s})
			}
		}
	}
	return d
}

// Neighbours are the vertices that share an edge with vertex v: next[start[v]:start[v+1]].
func (r *Region) Neighbours() (start, next []int32) {
	start = make([]int32, len(r.Mesh.Vertices)+1)
	for _, e := range r.Topo.Edges {
		start[e.V[0]+1]++
		start[e.V[1]+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	next = make([]int32, 2*len(r.Topo.Edges))
	fill := slices.Clone(start)
	for _, e := range r.Topo.Edges {
		next[fill[e.V[0]]], next[fill[e.V[1]]] = e.V[1], e.V[0]
		fill[e.V[0]]++
		fill[e.V[1]]++
	}
	return start, next
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
