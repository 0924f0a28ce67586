package page

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// Cut is where a plane meets a mesh, in mm: polylines, a closed one with its first point once more at its end. The plane holds the
// points whose dot product with the normal is at. Each edge that passes through it gives one point, shared by its triangles, so that
// the lines are the mesh's own. A vertex on the plane counts as beyond it: a facet that lies in the plane gives no line.
func Cut(m *mesh.Mesh, normal r3.Vector, at float64) [][]r3.Vector {
	component := func(v int32) float64 { return normal.Dot(m.Vertices[v]) - at }
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

// Along is the way in mm between two places of a mesh along its surface, in the plane that holds both and stands square on the sheet
// at the first; false where no line of that plane leads from one to the other. Places count as on a line within a millimetre.
func Along(m *mesh.Mesh, from, to r3.Vector) (mm float64, ok bool) {
	nearest, least := -1, math.Inf(1)
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		on, _ := near.ClosestOnTriangle(from, a, b, c)
		if d := on.Sub(from).Norm2(); d < least {
			nearest, least = t, d
		}
	}
	if nearest < 0 {
		return 0, false
	}
	normal := to.Sub(from).Cross(m.Normal(nearest))
	if !(normal.Norm() > 1e-9) {
		return 0, false
	}
	normal = normal.Normalize()
	best := math.Inf(1)
	for _, l := range Cut(m, normal, normal.Dot(from)) {
		line := curve.New(l, false)
		a, off := line.Nearest(from)
		b, off2 := line.Nearest(to)
		if off > 1 || off2 > 1 {
			continue
		}
		way := math.Abs(a - b)
		if l[0] == l[len(l)-1] {
			way = math.Min(way, line.Length()-way)
		}
		best = math.Min(best, way)
	}
	return best, !math.IsInf(best, 1)
}
