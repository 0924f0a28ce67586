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

// Groups calls visit with the triangles of the largest parts that hold at most so many or are no larger than a size, mm, along any axis:
// all of the tree's, each once, those together that lie together. They are not to be changed.
func (t *Tree) Groups(most int, size float64, visit func(triangles []int32)) {
	if !t.Empty() {
		t.groups(0, most, size, visit)
	}
}

func (t *Tree) groups(at int32, most int, size float64, visit func(triangles []int32)) {
	n, under := &t.nodes[at], t.under(at)
	s := t.frame.box(n).Size()
	if n.count > 0 || len(under) <= most || max(s.X, s.Y, s.Z) <= size {
		visit(under)
		return
	}
	t.groups(n.first, most, size, visit)
	t.groups(n.first+1, most, size, visit)
}

// under is the triangles of a node.
func (t *Tree) under(at int32) []int32 {
	first, last := &t.nodes[at], &t.nodes[at] // leaves lie in the triangles' order
	for first.count == 0 {
		first = &t.nodes[first.first]
	}
	for last.count == 0 {
		last = &t.nodes[last.first+1]
	}
	return t.order[first.first : last.first+last.count]
}
