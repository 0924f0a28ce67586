package near

import "seamwright/geometry/space"

// Part is a part of a tree, for who knows better than a box what is of interest, as in a frame of their own.
type Part struct {
	Box       space.Box // holds the part; it may be a little larger
	Parts     int32     // number of the first of its two parts, the second's is the next; 0 where it has triangles
	Triangles []int32   // of a part that has no parts: at least one; not to be changed
}

// Part is the part of a number: 0 is the whole tree, which is only there where Empty says no. The others' numbers are the
// parts' own.
func (t *Tree) Part(number int32) Part {
	n := &t.nodes[number]
	if n.count == 0 {
		return Part{Box: t.frame.box(n), Parts: n.first}
	}
	return Part{Box: t.frame.box(n), Triangles: t.order[n.first : n.first+n.count]}
}

// Empty reports whether the tree holds no triangles.
func (t *Tree) Empty() bool { return len(t.nodes) == 0 }
