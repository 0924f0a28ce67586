package mesh

import (
	"cmp"
	"slices"
)

// seamWidth is how far in mm a vertex may lie from another triangle's edge and still belong on it: what
// exporters that mesh each face on its own leave open along straight edges (common practice, no source).
const seamWidth = 0.002

// closeTJunctions splits triangles at the vertices that lie inside their free edges, where that joins them
// to another triangle's edge. It returns how many triangles were split, how many edges that
// joined, and how many free edges it did not look at because there were too many.
//
// It is one pass over the vertices and edges as they were, so it ends, and its result does not depend on the order
// of the triangles. A triangle too thin to be split without turning a piece of it over stays whole.
func closeTJunctions(m *Mesh, free []Edge) (split, joined, given int) {
	points, ok := pointsInsideEdges(m, free)
	if !ok {
		return 0, 0, len(free)
	}
	if len(points) == 0 {
		return 0, 0, 0
	}
	points, pieces := onlyJoining(m.Topology(), free, points)
	if len(points) == 0 {
		return 0, 0, 0
	}
	if split = m.splitAt(free, points); split == 0 {
		return 0, 0, 0
	}
	after := m.Topology()
	for _, piece := range pieces {
		if e, ok := after.find(piece); ok && !after.Edges[e].Free() {
			joined++
		}
	}
	return split, joined, 0
}

// onlyJoining keeps the points at the end of a piece of an edge that is also a piece of another edge, or a
// whole one: the others, where something merely touches, join nothing. It returns those pieces too.
func onlyJoining(topo *Topology, free []Edge, points []edgePoint) (joining []edgePoint, pieces [][2]int32) {
	uses := map[[2]int32]int{}
	divided := map[[2]int32]bool{}
	for run := range runs(points) {
		divided[free[run[0].edge].V] = true
		chain := chainOf(free, run)
		for i := range len(chain) - 1 {
			uses[lowFirst(chain[i], chain[i+1])]++
		}
	}
	shared := func(piece [2]int32) bool {
		_, ok := topo.find(piece)
		return uses[piece] > 1 || ok && !divided[piece]
	}
	for run := range runs(points) {
		chain := chainOf(free, run)
		before := false
		for i := range len(chain) - 1 {
			piece := lowFirst(chain[i], chain[i+1])
			behind := shared(piece)
			if behind {
				pieces = append(pieces, piece)
			}
			if i > 0 && (before || behind) {
				joining = append(joining, run[i-1])
			}
			before = behind
		}
	}
	slices.SortFunc(pieces, func(a, b [2]int32) int { return slices.Compare(a[:], b[:]) })
	return joining, slices.Compact(pieces)
}

// splitAt divides the triangles at the points on their sides and returns how many it divided.
func (m *Mesh) splitAt(free []Edge, points []edgePoint) int {
	sides := pointsOnSides(m, free, points)
	triangles := make([][3]int32, 0, len(m.Triangles)+len(points))
	split := 0
	for t, corners := range m.Triangles {
		if on, ok := sides[int32(t)]; ok {
			if pieces := m.cut(corners, on); m.sound(corners, pieces) {
				triangles = append(triangles, pieces...)
				split++
				continue
			}
		}
		triangles = append(triangles, corners)
	}
	m.Triangles = triangles
	return split
}

// chainOf is an edge with the points on it, from its lower vertex to its higher.
func chainOf(free []Edge, run []edgePoint) []int32 {
	e := &free[run[0].edge]
	chain := make([]int32, 0, len(run)+2)
	chain = append(chain, e.V[0])
	for _, p := range run {
		chain = append(chain, p.vertex)
	}
	return append(chain, e.V[1])
}

func lowFirst(a, b int32) [2]int32 { return [2]int32{min(a, b), max(a, b)} }

// pointsOnSides files the points by triangle: those on side k in the order from corner k to corner k+1.
func pointsOnSides(m *Mesh, free []Edge, points []edgePoint) map[int32][3][]int32 {
	sides := map[int32][3][]int32{}
	for run := range runs(points) {
		e := &free[run[0].edge]
		t := e.Tri[0]
		corners := m.Triangles[t]
		k := 0
		for lowFirst(corners[k], corners[(k+1)%3]) != e.V {
			k++
		}
		on := sides[t]
		for _, p := range run {
			on[k] = append(on[k], p.vertex)
		}
		if corners[k] != e.V[0] {
			slices.Reverse(on[k])
		}
		sides[t] = on
	}
	return sides
}

// cut divides a triangle at the points on its sides, keeping its turn. The longest divided side is cut by a fan from the
// corner across; the other two sides then belong to the first and the last triangle of that fan, and
// are cut by fans from the points next to them.
func (m *Mesh) cut(corners [3]int32, on [3][]int32) [][3]int32 {
	k := m.baseSide(corners, on)
	a, c, d := corners[k], corners[(k+1)%3], corners[(k+2)%3]
	base, next, last := on[k], on[(k+1)%3], on[(k+2)%3]
	var pieces [][3]int32
	fan := func(apex int32, chain ...int32) {
		for i := range len(chain) - 1 {
			pieces = append(pieces, [3]int32{chain[i], chain[i+1], apex})
		}
	}
	fan(base[0], slices.Concat([]int32{d}, last, []int32{a})...)
	fan(d, base...)
	fan(base[len(base)-1], slices.Concat([]int32{c}, next, []int32{d})...)
	return pieces
}

// baseSide is the longest side with points on it; of equally long ones the first by its ends in x, y, z.
func (m *Mesh) baseSide(corners [3]int32, on [3][]int32) int {
	ends := func(k int) (float64, []int32) {
		v := []int32{corners[k], corners[(k+1)%3]}
		slices.SortFunc(v, func(a, b int32) int { return m.Vertices[a].Cmp(m.Vertices[b]) })
		return m.Vertices[v[1]].Sub(m.Vertices[v[0]]).Norm2(), v
	}
	best := -1
	for k := range 3 {
		if len(on[k]) == 0 {
			continue
		}
		if best < 0 {
			best = k
			continue
		}
		length, v := ends(k)
		least, w := ends(best)
		if cmp.Or(cmp.Compare(least, length), m.Vertices[v[0]].Cmp(m.Vertices[w[0]]), m.Vertices[v[1]].Cmp(m.Vertices[w[1]])) < 0 {
			best = k
		}
	}
	return best
}

// sound reports whether every piece of a triangle has an area and faces as the triangle does.
func (m *Mesh) sound(corners [3]int32, pieces [][3]int32) bool {
	normal := m.twiceArea(corners)
	for _, p := range pieces {
		if m.isFlat(p) || m.twiceArea(p).Dot(normal) <= 0 {
			return false
		}
	}
	return true
}
