package region

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// Raggedness is what a border swerves at most where bends end it raggedly, mm.
const Raggedness = 4.

// LengthAround is the length of a loop in steps of some millimetres, so that a ragged border is no longer than a straight one.
func (r *Region) LengthAround(loop []int32) float64 {
	sum, from := 0.0, r.Mesh.Vertices[loop[0]]
	for i := range loop {
		p := r.Mesh.Vertices[loop[(i+1)%len(loop)]]
		if step := p.Sub(from).Norm(); step >= Raggedness || i == len(loop)-1 {
			sum, from = sum+step, p
		}
	}
	return sum
}

// Loops returns the border of the region as closed chains of vertices, metal on the left, longest first.
func (r *Region) Loops() [][]int32 {
	type edge struct{ from, to, other int32 } // and another that leaves the same vertex + 1
	var edges []edge
	last := make([]int32, len(r.Mesh.Vertices)) // edge that leaves a vertex + 1
	for t, tri := range r.Mesh.Triangles {
		for k := range 3 {
			if r.Topo.Across(int32(t), k) == mesh.None {
				a, b := tri[k], tri[(k+1)%3]
				edges = append(edges, edge{a, b, last[a]})
				last[a] = int32(len(edges))
			}
		}
	}
	var out [][]int32
	for _, e := range edges {
		var loop []int32
		for v := e.from; last[v] > 0; {
			loop = append(loop, v)
			way := &edges[last[v]-1]
			last[v] = way.other
			v = way.to
		}
		if len(loop) > 2 {
			out = append(out, loop)
		}
	}
	sortByLength(r, out)
	return out
}

// Area of the metal, mm²: what closes holes does not count.
func (r *Region) Area() float64 {
	sum := 0.0
	for t, tri := range r.Mesh.Triangles {
		if !r.Filled[t] {
			a, b, c := r.Mesh.Vertices[tri[0]], r.Mesh.Vertices[tri[1]], r.Mesh.Vertices[tri[2]]
			sum += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		}
	}
	return sum
}

// LoopLength is the length of a loop of vertices, mm.
func (r *Region) LoopLength(loop []int32) float64 {
	sum := 0.0
	for i, v := range loop {
		sum += r.Mesh.Vertices[v].Sub(r.Mesh.Vertices[loop[(i+1)%len(loop)]]).Norm()
	}
	return sum
}

// LoopArea is the area that a loop encloses: exact on a plane, that of its shadow on its mean plane otherwise.
func (r *Region) LoopArea(loop []int32) float64 {
	o := r.Mesh.Vertices[loop[0]]
	sum := r3.Vector{}
	for i := 1; i+1 < len(loop); i++ {
		sum = sum.Add(r.Mesh.Vertices[loop[i]].Sub(o).Cross(r.Mesh.Vertices[loop[i+1]].Sub(o)))
	}
	return math.Abs(sum.Norm()) / 2
}

// rimReach is how far to both sides of a place a border's direction is taken, mm: a border that was cut out of
// triangles has edges of micrometres, which run any way.
const rimReach = 1.

// Rim is the border of a region as chains of vertices: after and before each, mesh.None within.
type Rim struct {
	r             *Region
	After, before []int32
}

// Rim is the region's border.
func (r *Region) Rim() *Rim {
	m := &Rim{r: r, After: make([]int32, len(r.Mesh.Vertices)), before: make([]int32, len(r.Mesh.Vertices))}
	for v := range m.After {
		m.After[v], m.before[v] = mesh.None, mesh.None
	}
	for t, tri := range r.Mesh.Triangles {
		for k := range 3 {
			if r.Topo.Across(int32(t), k) == mesh.None {
				a, b := tri[k], tri[(k+1)%3]
				m.After[a], m.before[b] = b, a
			}
		}
	}
	return m
}

// Direction is the way from a place on the border before the edge to one after it.
func (m *Rim) Direction(edge [2]int32) r3.Vector {
	return m.walk(edge[1], m.After).Sub(m.walk(edge[0], m.before))
}

// walk goes rimReach on from a vertex.
func (m *Rim) walk(v int32, next []int32) r3.Vector {
	at := m.r.Mesh.Vertices[v]
	for left := rimReach; left > 0; {
		w := next[v]
		if w == mesh.None {
			return at
		}
		step := m.r.Mesh.Vertices[w].Sub(at)
		length := step.Norm()
		if length > left {
			return at.Add(step.Mul(left / length))
		}
		at, v, left = m.r.Mesh.Vertices[w], w, left-length
		if length == 0 {
			left -= 1e-3 // ends on any border
		}
	}
	return at
}

func sortByLength(r *Region, loops [][]int32) {
	lengths := make([]float64, len(loops))
	order := make([]int, len(loops))
	for i, l := range loops {
		lengths[i], order[i] = r.LoopLength(l), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(lengths[b], lengths[a]) })
	sorted := make([][]int32, len(loops))
	for i, o := range order {
		sorted[i] = loops[o]
	}
	copy(loops, sorted)
}

// Width is roughly how wide the region is between the loops about it.
func (r *Region) Width(loops [][]int32) float64 {
	around := 0.0
	for _, l := range loops {
		around += r.LoopLength(l)
	}
	return r.Area() / (around / 2)
}

// ReachesFreeEdge says whether some of the region's border is a free edge of one of its sheets: skins that
// merely pass near each other do not end there.
func (r *Region) ReachesFreeEdge(loops [][]int32) bool {
	free := 0.0
	for _, loop := range loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if r.End(a, b).Why == FreeEdge {
				free += r.Mesh.Vertices[a].Sub(r.Mesh.Vertices[b]).Norm()
			}
		}
	}
	return free >= 0.25*r.LengthAround(loops[0])
}
