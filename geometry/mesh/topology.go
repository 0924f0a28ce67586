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

// Topology tells which triangles share which edges. Edges are sorted by their vertices; the triangles of an
// edge by their index.
type Topology struct {
	Edges   []Edge
	TriEdge [][3]int32 // TriEdge[t][k]: the edge from corner k to corner k+1 of triangle t
	beside  [][3]int32 // the same for the triangle on its other side, or None: those who walk from one to the next wait for that alone
}

// Topology finds the edges of the mesh, in time that grows with its size alone.
func (m *Mesh) Topology() *Topology {
	room := min(3*len(m.Triangles), len(m.Vertices)+len(m.Triangles)) // Euler: a disc has one edge fewer, most sheets about as many
	topo := &Topology{Edges: make([]Edge, 0, room), TriEdge: make([][3]int32, len(m.Triangles)), beside: make([][3]int32, len(m.Triangles))}
	for v, fan := range m.fans() {
		topo.addFan(v, fan)
	}
	return topo
}

func (topo *Topology) addFan(v int32, fan []side) {
	for len(fan) > 0 {
		n := 1
		for n < len(fan) && fan[n].upper == fan[0].upper {
			n++
		}
		e := Edge{V: [2]int32{v, fan[0].upper}, Tri: [2]int32{fan[0].corner.triangle(), None}, More: int32(max(0, n-2))}
		if n > 1 {
			e.Tri[1] = fan[1].corner.triangle()
		}
		number := int32(len(topo.Edges))
		topo.Edges = append(topo.Edges, e)
		for _, s := range fan[:n] {
			t, k, other := s.corner.triangle(), s.corner.index(), e.Tri[0]
			if t == other {
				other = e.Tri[1]
			}
			topo.TriEdge[t][k], topo.beside[t][k] = number, other
		}
		fan = fan[n:]
	}
}

// Across returns the triangle on the other side of corner k to k+1 of triangle t, or None.
func (topo *Topology) Across(t int32, k int) int32 { return topo.beside[t][k] }

// Turn is for a triangle whose second and third corner have changed places.
func (topo *Topology) Turn(t int32) {
	e, o := &topo.TriEdge[t], &topo.beside[t]
	e[0], e[2], o[0], o[2] = e[2], e[0], o[2], o[0]
}

// find is the number of the edge between two vertices, the lower first.
func (topo *Topology) find(v [2]int32) (int32, bool) {
	i, ok := slices.BinarySearchFunc(topo.Edges, v, func(e Edge, v [2]int32) int { return slices.Compare(e.V[:], v[:]) })
	return int32(i), ok
}

// Components groups the triangles that hang together by edges, free-standing pieces apart. Each group is in rising
// order, and the groups are in the order of their first triangles.
func (topo *Topology) Components() [][]int32 {
	pieces := NewPieces(len(topo.TriEdge))
	for t, edges := range topo.TriEdge {
		for _, e := range edges {
			pieces.Join(int32(t), topo.Edges[e].Tri[0])
		}
	}
	var groups [][]int32
	group := make([]int32, len(pieces)) // of a piece, by its first: its group
	for t := range pieces {
		r := pieces.First(int32(t))
		if r == int32(t) {
			group[t] = int32(len(groups))
			groups = append(groups, nil)
		}
		groups[group[r]] = append(groups[group[r]], int32(t))
	}
	return groups
}
