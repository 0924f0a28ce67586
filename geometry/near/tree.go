// Package near answers which part of a panel is near: closest points, everything within a distance, rays,
// capsules and boxes against a bounding-volume tree over one mesh, and which triangles come near another tree's.
//
//	tree := near.New(m)
//	if hit, ok := tree.Closest(p, 1.5); ok {
//		fmt.Println(hit.Point, hit.Distance)
//	}
//
// Lengths are millimetres. The tie rule: where the computed distances to several triangles are equal, as at an edge
// or a corner that they share, the triangle with the lowest index is returned, whatever the order in which the tree
// was walked, on any number of workers. A tree is read-only after New and may be used from many goroutines.
package near

import (
	"runtime"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// Tree is a bounding-volume tree over the triangles of one mesh: some 25 bytes for a triangle.
type Tree struct {
	mesh  *mesh.Mesh
	box   space.Box
	frame frame
	nodes []node
	order []int32 // triangles, leaf by leaf
}

// New builds the tree on as many workers as there are processors. Triangles of no area take part: they are
// points or segments.
func New(m *mesh.Mesh) *Tree { return NewOn(m, runtime.GOMAXPROCS(0)) }

// NewOn is New on at most so many workers. What the tree answers does not depend on their number.
func NewOn(m *mesh.Mesh, workers int) *Tree {
	all := make([]int32, len(m.Triangles))
	for i := range all {
		all[i] = int32(i)
	}
	return NewOver(m, all, workers)
}

// NewOver is NewOn over some of the mesh's triangles, as if it had no others.
func NewOver(m *mesh.Mesh, triangles []int32, workers int) *Tree {
	t := &Tree{mesh: m, box: boxOf(m, triangles)}
	t.frame = newFrame(t.box)
	items := t.paired(triangles)
	leaf := (leafSize*len(items) + len(triangles)/2) / max(1, len(triangles)) // as many items as make about leafSize triangles
	t.nodes = plant(items, leaf, workers)
	t.spread(items, triangles)
	return t
}

// paired are the boxes that a tree is made of, each of a triangle or of two that share an edge and follow each other: the first of
// triangles, and how many. Exporters write the halves of a quad so, and a tree over half as many items takes half the time.
func (t *Tree) paired(triangles []int32) []node {
	items := make([]node, 0, len(triangles))
	for i := 0; i < len(triangles); {
		box, count := space.BoxOf(t.mesh.Corners(int(triangles[i]))), 1
		if next := i + 1; next < len(triangles) {
			if v, ok := beyond(&t.mesh.Triangles[triangles[i]], &t.mesh.Triangles[triangles[next]]); ok {
				box.Hold(t.mesh.Vertices[v])
				count = 2
			}
		}
		item := node{first: int32(i), count: int32(count)}
		item.lo, item.hi = t.frame.grown(box.Min, box.Max)
		items = append(items, item)
		i += count
	}
	return items
}

// beyond is the corner of a triangle b that is none of a, if that is one only.
func beyond(a, b *[3]int32) (v int32, ok bool) {
	others := 0
	for _, c := range b {
		if c != a[0] && c != a[1] && c != a[2] {
			v = c
			others++
		}
	}
	return v, others == 1
}

// spread puts the triangles of the items into their order, and has leaves count them.
func (t *Tree) spread(items []node, triangles []int32) {
	t.order = make([]int32, 0, len(triangles))
	starts := make([]int32, len(items)+1) // of an item: its first triangle's place in the order
	for i := range items {
		n := &items[i]
		t.order = append(t.order, triangles[n.first:n.first+n.count]...)
		starts[i+1] = int32(len(t.order))
	}
	for i := range t.nodes {
		if n := &t.nodes[i]; n.count > 0 {
			from, to := starts[n.first], starts[n.first+n.count]
			n.first, n.count = from, to-from
		}
	}
}

// Mesh returns the mesh that the tree was built over.
func (t *Tree) Mesh() *mesh.Mesh { return t.mesh }

// Box is the box of the mesh's triangles.
func (t *Tree) Box() space.Box { return t.box }

func boxOf(m *mesh.Mesh, triangles []int32) space.Box {
	if len(triangles) == 0 {
		return space.EmptyBox()
	}
	box := space.BoxOf(m.Corners(int(triangles[0])))
	for _, tri := range triangles {
		for _, v := range &m.Triangles[tri] {
			box.Hold(m.Vertices[v])
		}
	}
	return box
}

// walk goes through the leaves whose boxes come within a limit of a place, nearer child first.
type walk struct {
	tree   *Tree
	lo, hi [3]int32 // what distances are taken from, in grains
	limit  int64    // squared grains
	stack  [deepest + 2]int32
	depth  int
}

// start sets out for everything within a squared distance in mm² of the box from low to high, which may be a point.
func (w *walk) start(lo, hi [3]int32, within2 float64) {
	w.lo, w.hi, w.depth = lo, hi, 0
	w.limit = w.tree.frame.limit(within2)
	if len(w.tree.nodes) > 0 {
		w.stack[0], w.depth = 0, 1
	}
}

// shrink lowers the limit to a squared distance in mm².
func (w *walk) shrink(within2 float64) { w.limit = w.tree.frame.limit(within2) }

// next is the next leaf's triangles, or nil when all have been given out.
func (w *walk) next() []int32 {
	nodes := w.tree.nodes
	for w.depth > 0 {
		w.depth--
		n := &nodes[w.stack[w.depth]]
		if n.gap2(&w.lo, &w.hi) > w.limit {
			continue
		}
		for n.count == 0 {
			near, far := n.first, n.first+1
			a, b := nodes[near].gap2(&w.lo, &w.hi), nodes[far].gap2(&w.lo, &w.hi)
			if b < a {
				near, far, a, b = far, near, b, a
			}
			if a > w.limit {
				n = nil
				break
			}
			if b <= w.limit {
				w.stack[w.depth] = far
				w.depth++
			}
			n = &nodes[near]
		}
		if n != nil {
			return w.tree.order[n.first : n.first+n.count]
		}
	}
	return nil
}
