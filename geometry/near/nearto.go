package near

import "seamwright/geometry/space"

// NearTo are the triangles of t, rising, whose boxes come within a distance (mm) of a box about a few
// triangles of the other tree: all that are truly within it, and some more.
func (t *Tree) NearTo(other *Tree, within float64) []int32 {
	if len(t.nodes) == 0 || len(other.nodes) == 0 || !(within >= 0) {
		return nil
	}
	m := meeting{of: t, with: other, limit: other.frame.limit(within * within), is: make([]bool, len(t.mesh.Triangles))}
	m.descend(0, 0)
	found := make([]int32, 0, m.count)
	for tri, is := range m.is {
		if is {
			found = append(found, int32(tri))
		}
	}
	return found
}

// meeting walks two trees at once.
type meeting struct {
	of, with *Tree
	limit    int64  // squared grains of with
	is       []bool // of the one tree's triangles: near to the other
	count    int    // of these
}

// descend goes through the node at of the one tree; all of the other that can be near it is under entry.
func (m *meeting) descend(at, entry int32) {
	n := &m.of.nodes[at]
	lo, hi := m.of.seenIn(n, m.with)
	entry, ok := m.narrow(entry, &lo, &hi)
	if !ok {
		return
	}
	if m.holdsNear(entry, &lo, &hi) {
		for _, tri := range m.of.under(at) {
			m.note(tri)
		}
		return
	}
	if n.count == 0 {
		m.descend(n.first, entry)
		m.descend(n.first+1, entry)
		return
	}
	for _, tri := range m.of.order[n.first : n.first+n.count] {
		b := space.BoxOf(m.of.mesh.Corners(int(tri)))
		lo, hi := m.with.frame.grown(b.Min, b.Max)
		if m.any(entry, &lo, &hi) {
			m.note(tri)
		}
	}
}

func (m *meeting) note(tri int32) {
	m.is[tri] = true
	m.count++
}

// holdsNear reports whether a leaf under entry is near all that a box holds, as the one does that lies most nearly amid it: of a box about
// as large as the distance most that are near at all.
func (m *meeting) holdsNear(entry int32, lo, hi *[3]int32) bool {
	x, y, z := int64(hi[0]-lo[0]), int64(hi[1]-lo[1]), int64(hi[2]-lo[2])
	if (x*x+y*y+z*z)/4 > m.limit {
		return false // even from its middle
	}
	n := &m.with.nodes[entry]
	for n.count == 0 {
		left, right := &m.with.nodes[n.first], &m.with.nodes[n.first+1]
		if n = left; right.aside(lo, hi) < left.aside(lo, hi) {
			n = right
		}
	}
	x, y, z = beyondOf(n, lo, hi, 0), beyondOf(n, lo, hi, 1), beyondOf(n, lo, hi, 2)
	return x*x+y*y+z*z <= m.limit
}

// aside is how far the middle of a node's box lies from that of another box, in half grains, summed over the axes.
func (n *node) aside(lo, hi *[3]int32) (sum int64) {
	for k := range 3 {
		d := int64(n.lo[k]) + int64(n.hi[k]) - int64(lo[k]) - int64(hi[k])
		sum += max(d, -d)
	}
	return sum
}

// beyondOf is how far a box reaches beyond a node's along an axis, grains.
func beyondOf(n *node, lo, hi *[3]int32, axis int) int64 {
	return int64(max(n.lo[axis]-lo[axis], hi[axis]-n.hi[axis], 0))
}

// seenIn is a node's box in the grains of another tree.
func (t *Tree) seenIn(n *node, o *Tree) (lo, hi [3]int32) {
	b := t.frame.box(n)
	return o.frame.grown(b.Min, b.Max)
}

// narrow is narrow in the other tree.
func (m *meeting) narrow(entry int32, lo, hi *[3]int32) (int32, bool) {
	return narrow(m.with.nodes, entry, lo, hi, m.limit)
}

// narrow follows a tree down from a node while only one child is near a box; false when neither is.
func narrow(nodes []node, at int32, lo, hi *[3]int32, limit int64) (int32, bool) {
	if nodes[at].gap2(lo, hi) > limit {
		return 0, false
	}
	for nodes[at].count == 0 {
		left := nodes[at].first
		l, r := nodes[left].gap2(lo, hi) <= limit, nodes[left+1].gap2(lo, hi) <= limit
		switch {
		case l && r:
			return at, true
		case l:
			at = left
		case r:
			at = left + 1
		default:
			return 0, false
		}
	}
	return at, true
}

// any reports whether a leaf under entry is near the box.
func (m *meeting) any(entry int32, lo, hi *[3]int32) bool {
	entry, ok := m.narrow(entry, lo, hi)
	if !ok {
		return false
	}
	n := &m.with.nodes[entry]
	return n.count > 0 || m.any(n.first, lo, hi) || m.any(n.first+1, lo, hi)
}
