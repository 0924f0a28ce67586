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
	items := make([]node, len(triangles))
	for i, tri := range triangles {
		b := triangleBox(m, int(tri))
		items[i].lo, items[i].hi = t.frame.grown(b.Min, b.Max)
		items[i].first = tri
	}
	t.nodes = plant(items, leafSize, workers)
	t.order = make([]int32, len(items))
	for i := range items {
		t.order[i] = items[i].first
	}
	return t
}

// Mesh returns the mesh that the tree was built over.
func (t *Tree) Mesh() *mesh.Mesh { return t.mesh }

// Box is the box of the mesh's triangles.
func (t *Tree) Box() space.Box { return t.box }

func boxOf(m *mesh.Mesh, triangles []int32) space.Box {
	if len(triangles) == 0 {
		return space.EmptyBox()
	}
	box := triangleBox(m, int(triangles[0]))
	for _, tri := range triangles {
		for _, v := range m.Triangles[tri] {
			p := &m.Vertices[v]
			box.Min.X, box.Max.X = ends(box.Min.X, box.Max.X, p.X)
			box.Min.Y, box.Max.Y = ends(box.Min.Y, box.Max.Y, p.Y)
			box.Min.Z, box.Max.Z = ends(box.Min.Z, box.Max.Z, p.Z)
		}
	}
	return box
}

func triangleBox(m *mesh.Mesh, t int) space.Box {
	p, q, r := m.Corners(t)
	var b space.Box
	b.Min.X, b.Max.X = ends(p.X, q.X, r.X)
	b.Min.Y, b.Max.Y = ends(p.Y, q.Y, r.Y)
	b.Min.Z, b.Max.Z = ends(p.Z, q.Z, r.Z)
	return b
}

// ends are the least and the greatest of three numbers. Plain comparisons take a third of the time of min and max,
// which also mind what is not a number and the sign of zero; no corner of a mesh that was read is the former.
func ends(a, b, c float64) (lo, hi float64) {
	lo, hi = a, a
	if b < lo {
		lo = b
	} else if b > hi {
		hi = b
	}
	if c < lo {
		lo = c
	} else if c > hi {
		hi = c
	}
	return lo, hi
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
