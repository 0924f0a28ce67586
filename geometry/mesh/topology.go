package mesh

import "slices"

// None marks a missing neighbour.
const None = int32(-1)

// Edge is an undirected mesh edge: two vertices, lower index first, and the triangles on it.
type Edge struct {
	V    [2]int32
	Tri  [2]int32 // second is None on a free edge
	More int32    // triangles beyond two: not zero on a non-manifold edge
}

// Free reports whether only one triangle uses the edge.
func (e Edge) Free() bool { return e.Tri[1] == None }

// Topology tells which triangles share which edges. Edges are sorted by their vertices.
type Topology struct {
	Edges   []Edge
	TriEdge [][3]int32 // TriEdge[t][k]: the edge from corner k to corner k+1 of triangle t
}

// Topology finds the edges of the mesh.
func (m *Mesh) Topology() *Topology {
	type half struct {
		v    [2]int32
		tri  int32
		side int8
	}
	halves := make([]half, 0, 3*len(m.Triangles))
	for t, tri := range m.Triangles {
		for k := range 3 {
			a, b := tri[k], tri[(k+1)%3]
			halves = append(halves, half{[2]int32{min(a, b), max(a, b)}, int32(t), int8(k)})
		}
	}
	slices.SortFunc(halves, func(a, b half) int {
		if a.v[0] != b.v[0] {
			return int(a.v[0]) - int(b.v[0])
		}
		if a.v[1] != b.v[1] {
			return int(a.v[1]) - int(b.v[1])
		}
		if a.tri != b.tri {
			return int(a.tri) - int(b.tri)
		}
		return int(a.side) - int(b.side)
	})
	topo := &Topology{TriEdge: make([][3]int32, len(m.Triangles))}
	for i, h := range halves {
		if i == 0 || halves[i-1].v != h.v {
			topo.Edges = append(topo.Edges, Edge{V: h.v, Tri: [2]int32{h.tri, None}})
		} else if e := &topo.Edges[len(topo.Edges)-1]; e.Tri[1] == None {
			e.Tri[1] = h.tri
		} else {
			e.More++
		}
		topo.TriEdge[h.tri][h.side] = int32(len(topo.Edges) - 1)
	}
	return topo
}

// Across returns the triangle on the other side of corner k to k+1 of triangle t, or None.
func (topo *Topology) Across(t int32, k int) int32 {
	e := topo.Edges[topo.TriEdge[t][k]]
	if e.Tri[0] == t {
		return e.Tri[1]
	}
	return e.Tri[0]
}
