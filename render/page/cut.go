package page

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// Cut is where a plane square to an axis (0 is x, 1 is y, 2 is z) meets a mesh, in mm: polylines, a closed one with its first point
// once more at its end. Each edge that passes through the plane gives one point on it, which the triangles beside it share, so that
// the lines are the mesh's own. A vertex on the plane counts as beyond it: a facet that lies in the plane gives no line.
func Cut(m *mesh.Mesh, axis int, at float64) [][]r3.Vector {
	component := func(v int32) float64 {
		p := m.Vertices[v]
		return [3]float64{p.X, p.Y, p.Z}[axis] - at
	}
	type edge [2]int32
	point := func(e edge) r3.Vector {
		a, b := component(e[0]), component(e[1])
		p, q := m.Vertices[e[0]], m.Vertices[e[1]]
		return p.Add(q.Sub(p).Mul(a / (a - b)))
	}
	next := map[edge][]edge{} // crossed edges that a triangle joins
	var order []edge
	for _, t := range m.Triangles {
		var crossed []edge
		for k := range 3 {
			a, b := min(t[k], t[(k+1)%3]), max(t[k], t[(k+1)%3])
			if (component(a) >= 0) != (component(b) >= 0) {
				crossed = append(crossed, edge{a, b})
			}
		}
		if len(crossed) != 2 {
			continue
		}
		for i, e := range crossed {
			if next[e] == nil {
				order = append(order, e)
			}
			next[e] = append(next[e], crossed[1-i])
		}
	}
	walk := func(from edge) []r3.Vector {
		line := []r3.Vector{point(from)}
		for here := from; len(next[here]) > 0; {
			to := next[here][0]
			next[here] = next[here][1:]
			for i, back := range next[to] {
				if back == here {
					next[to] = append(next[to][:i:i], next[to][i+1:]...)
					break
				}
			}
			line, here = append(line, point(to)), to
		}
		return line
	}
	var out [][]r3.Vector
	for _, ends := range []bool{true, false} { // open lines from their ends, then what goes round
		for _, e := range order {
			if n := len(next[e]); n == 1 || n > 0 && !ends {
				out = append(out, walk(e))
			}
		}
	}
	return out
}
