package near

import "seamwright/geometry/space"

// Walk goes down the tree for who knows better than a box what is of interest, as in a frame of their own: it asks enter
// about the box of each part of the tree, and where that says yes goes on into the part, down to visit with each of its
// triangles. A box may be a little larger than what it holds. The order is the same every time.
func (t *Tree) Walk(enter func(box space.Box) bool, visit func(tri int32)) {
	if len(t.nodes) == 0 {
		return
	}
	var stack [deepest + 2]int32
	depth := 1
	for depth > 0 {
		depth--
		n := &t.nodes[stack[depth]]
		if !enter(t.frame.box(n)) {
			continue
		}
		if n.count == 0 {
			stack[depth], stack[depth+1] = n.first+1, n.first
			depth += 2
			continue
		}
		for _, tri := range t.order[n.first : n.first+n.count] {
			visit(tri)
		}
	}
}
