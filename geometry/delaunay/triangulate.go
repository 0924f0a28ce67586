package delaunay

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// face is a triangle: its corners, turning left, and the faces across from each corner; -1 for none.
type face struct {
	corner [3]int32
	across [3]int32
}

// edge is an edge by its corners, the lower first.
type edge [2]int32

func edgeOf(a, b int32) edge { return edge{min(a, b), max(a, b)} }

// fixing is what the triangulation knows of an edge that an outline runs along.
type fixing struct {
	odd  bool // an odd number of outlines run here, so that inside and outside lie on its two sides
	loop int  // the first loop that ran here
}

// triangulation is a constrained Delaunay triangulation: points first, then the edges that must be in it.
// The three corners of a triangle around everything come after the points.
type triangulation struct {
	points []r2.Point
	faces  []face
	at     []int32 // a face at each point
	fixed  map[edge]fixing
	touch  float64 // a point this close to an edge lies on it
}

// triangulate joins the points by triangles. No two points are closer than twice touch.
func triangulate(points []r2.Point, touch float64) *triangulation {
	t := &triangulation{touch: touch, fixed: map[edge]fixing{}}
	box := r2.RectFromPoints(points...)
	size := math.Max(box.X.Length(), box.Y.Length())
	mid := box.Center()
	const around = 16 // boxes away: far enough that the three corners do not crowd the real points
	d := around * size
	t.points = append(slices.Clip(points), r2.Point{X: mid.X - d, Y: mid.Y - d}, r2.Point{X: mid.X + d, Y: mid.Y - d},
		r2.Point{X: mid.X, Y: mid.Y + d})
	n := int32(len(points))
	t.faces = []face{{corner: [3]int32{n, n + 1, n + 2}, across: [3]int32{-1, -1, -1}}}
	t.at = make([]int32, n+3)
	last := n
	for _, p := range inRows(points, box) {
		t.insert(p, t.at[last])
		last = p
	}
	return t
}

// inRows orders points row by row, to and fro, so that each is near the one before.
func inRows(points []r2.Point, box r2.Rect) []int32 {
	rows := math.Ceil(math.Sqrt(float64(len(points)) / 2))
	height := math.Max(box.Y.Length()/rows, math.SmallestNonzeroFloat64)
	order := make([]int32, len(points))
	for i := range order {
		order[i] = int32(i)
	}
	row := func(i int32) int { return int((points[i].Y - box.Y.Lo) / height) }
	slices.SortFunc(order, func(i, j int32) int {
		if d := row(i) - row(j); d != 0 {
			return d
		}
		forth := 1
		if row(i)%2 == 1 {
			forth = -1
		}
		switch a, b := points[i], points[j]; {
		case a.X < b.X:
			return -forth
		case a.X > b.X:
			return forth
		}
		return int(i - j)
	})
	return order
}

func (t *triangulation) orient(a, b, c int32) float64 {
	return Orient(t.points[a], t.points[b], t.points[c])
}

// locate walks from a face to the one that holds the point, on its rim or inside.
func (t *triangulation) locate(p int32, from int32) int32 {
	f := from
	for range 4*len(t.faces) + 16 {
		next := int32(-1)
		for k := range 3 {
			a, b := t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
			if t.orient(a, b, p) < 0 {
				next = t.faces[f].across[k]
				break
			}
		}
		if next < 0 {
			return f
		}
		f = next
	}
	return t.search(p)
}

// search looks at every face; only a walk that goes round in circles needs it.
func (t *triangulation) search(p int32) int32 {
	for f := range t.faces {
		c := t.faces[f].corner
		if t.orient(c[0], c[1], p) >= 0 && t.orient(c[1], c[2], p) >= 0 && t.orient(c[2], c[0], p) >= 0 {
			return int32(f)
		}
	}
	return 0
}

// insert puts a point in: into a face, or onto an edge, and flips edges until all are Delaunay again.
func (t *triangulation) insert(p, from int32) {
	f := t.locate(p, from)
	for k := range 3 {
		a, b := t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
		if t.orient(a, b, p) == 0 {
			t.splitEdge(f, k, p)
			return
		}
	}
	t.splitFace(f, p)
}

// splitFace makes three faces of one.
func (t *triangulation) splitFace(f, p int32) {
	old := t.faces[f]
	g, h := int32(len(t.faces)), int32(len(t.faces)+1)
	a, b, c := old.corner[0], old.corner[1], old.corner[2]
	t.faces[f] = face{[3]int32{p, a, b}, [3]int32{old.across[2], g, h}}
	t.faces = append(t.faces,
		face{[3]int32{p, b, c}, [3]int32{old.across[0], h, f}},
		face{[3]int32{p, c, a}, [3]int32{old.across[1], f, g}})
	t.relink(old.across[0], f, g)
	t.relink(old.across[1], f, h)
	t.at[p], t.at[a], t.at[b], t.at[c] = f, f, g, h
	for _, around := range [3]int32{f, g, h} {
		t.legalise(around, p)
	}
}

// splitEdge makes four faces of the two at the edge across from corner k of f: around p lie, to the left in
// turn, f = p a b, o = p b d, h = p d c and g = p c a.
func (t *triangulation) splitEdge(f int32, k int, p int32) {
	o := t.faces[f].across[k]
	a, b, c := t.faces[f].corner[k], t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
	ca, ab := t.faces[f].across[(k+1)%3], t.faces[f].across[(k+2)%3]
	j := t.opposite(o, b, c)
	d := t.faces[o].corner[j]
	bd, dc := t.faces[o].across[(j+1)%3], t.faces[o].across[(j+2)%3]
	g, h := int32(len(t.faces)), int32(len(t.faces)+1)
	t.faces[f] = face{[3]int32{p, a, b}, [3]int32{ab, o, g}}
	t.faces[o] = face{[3]int32{p, b, d}, [3]int32{bd, h, f}}
	t.faces = append(t.faces,
		face{[3]int32{p, c, a}, [3]int32{ca, f, h}},
		face{[3]int32{p, d, c}, [3]int32{dc, g, o}})
	t.relink(ca, f, g)
	t.relink(dc, o, h)
	t.at[p], t.at[a], t.at[b], t.at[c], t.at[d] = f, f, f, g, o
	for _, around := range [4]int32{f, o, g, h} {
		t.legalise(around, p)
	}
}

// relink tells a face that a neighbour has a new number.
func (t *triangulation) relink(f, was, is int32) {
	if f < 0 {
		return
	}
	for k := range 3 {
		if t.faces[f].across[k] == was {
			t.faces[f].across[k] = is
			return
		}
	}
}

// opposite returns the corner of a face that is neither a nor b.
func (t *triangulation) opposite(f, a, b int32) int {
	for k, c := range t.faces[f].corner {
		if c != a && c != b {
			return k
		}
	}
	return 0
}

// cornerOf returns which corner of a face a point is.
func (t *triangulation) cornerOf(f, p int32) int {
	for k, c := range t.faces[f].corner {
		if c == p {
			return k
		}
	}
	return 0
}

// legalise flips the edge across from p, and those that this brings up, until none has a point in the circle
// of its face.
func (t *triangulation) legalise(f, p int32) {
	stack := []int32{f}
	for len(stack) > 0 {
		f := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		k := t.cornerOf(f, p)
		if t.faces[f].corner[k] != p || !t.shouldFlip(f, k) {
			continue
		}
		g := t.faces[f].across[k]
		t.flip(f, k)
		stack = append(stack, f, g)
	}
}

// shouldFlip reports whether the edge across from corner k is free and not Delaunay.
func (t *triangulation) shouldFlip(f int32, k int) bool {
	g := t.faces[f].across[k]
	if g < 0 {
		return false
	}
	a, b, c := t.faces[f].corner[k], t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
	if _, fixed := t.fixed[edgeOf(b, c)]; fixed {
		return false
	}
	d := t.faces[g].corner[t.opposite(g, b, c)]
	return surelyInCircle(t.points[a], t.points[b], t.points[c], t.points[d]) && t.orient(a, b, d) > 0 && t.orient(a, d, c) > 0
}

// flip turns the edge across from corner k of f to the other diagonal of the two faces at it. With f = a b c
// and g = d c b before, f = a b d and g = a d c after.
func (t *triangulation) flip(f int32, k int) {
	g := t.faces[f].across[k]
	a, b, c := t.faces[f].corner[k], t.faces[f].corner[(k+1)%3], t.faces[f].corner[(k+2)%3]
	ca, ab := t.faces[f].across[(k+1)%3], t.faces[f].across[(k+2)%3]
	j := t.opposite(g, b, c)
	d := t.faces[g].corner[j]
	bd, dc := t.faces[g].across[(j+1)%3], t.faces[g].across[(j+2)%3]
	t.faces[f] = face{[3]int32{a, b, d}, [3]int32{bd, g, ab}}
	t.faces[g] = face{[3]int32{a, d, c}, [3]int32{dc, ca, f}}
	t.relink(bd, g, f)
	t.relink(ca, f, g)
	t.at[a], t.at[b], t.at[c], t.at[d] = f, f, g, f
}
