package flange

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// rimReach is how far to both sides of a place a border's direction is taken, mm: a border that was cut out of
// triangles has edges of micrometres, which run any way.
const rimReach = 1.

// rim is the border of a region as chains of vertices: after and before each, mesh.None within.
type rim struct {
	r             *region
	after, before []int32
}

func (r *region) rim() *rim {
	m := &rim{r: r, after: make([]int32, len(r.mesh.Vertices)), before: make([]int32, len(r.mesh.Vertices))}
	for v := range m.after {
		m.after[v], m.before[v] = mesh.None, mesh.None
	}
	for t, tri := range r.mesh.Triangles {
		for k := range 3 {
			if r.topo.Across(int32(t), k) == mesh.None {
				a, b := tri[k], tri[(k+1)%3]
				m.after[a], m.before[b] = b, a
			}
		}
	}
	return m
}

// direction is the way from a place on the border before the edge to one after it.
func (m *rim) direction(edge [2]int32) r3.Vector {
	return m.walk(edge[1], m.after).Sub(m.walk(edge[0], m.before))
}

// walk goes rimReach on from a vertex.
func (m *rim) walk(v int32, next []int32) r3.Vector {
	at := m.r.mesh.Vertices[v]
	for left := rimReach; left > 0; {
		w := next[v]
		if w == mesh.None {
			return at
		}
		step := m.r.mesh.Vertices[w].Sub(at)
		length := step.Norm()
		if length > left {
			return at.Add(step.Mul(left / length))
		}
		at, v, left = m.r.mesh.Vertices[w], w, left-length
		if length == 0 {
			left -= 1e-3 // ends on any border
		}
	}
	return at
}
