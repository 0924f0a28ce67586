package near

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// Leaning is a tree that knows of each of its boxes how its triangles lean, so that who asks for a surface of one direction can leave
// whole boxes out: a cone of normals, as is kept for silhouettes (Sander et al., Silhouette Clipping, 2000; from memory). A triangle and
// the same one flipped lean alike.
type Leaning struct {
	tree  *Tree
	cones []Cone // of the tree's nodes
}

// Cone is where the normals of some triangles point, or their opposites: off the axis by an angle at most, of which it holds cosine and
// sine. A cosine below zero says that they point anywhere.
type Cone struct {
	Axis      r3.Vector
	Cos, Sin  float64
	Low, High float64 // mm along the axis, from the origin: between them lie the corners of the triangles
	count     float64 // of triangles that have a normal
}

// roundedCone is by how much a cone's cosine is widened for rounding.
const roundedCone = 1e-12

func newCone(axis r3.Vector, cos, count float64) Cone {
	everywhere := Cone{Low: math.Inf(-1), High: math.Inf(1), count: count}
	if cos -= roundedCone; !(cos > 0) {
		everywhere.Cos = -1
		return everywhere
	}
	everywhere.Axis, everywhere.Cos, everywhere.Sin = axis, cos, math.Sqrt(1-cos*cos)
	return everywhere
}

// Leaning is the tree with the directions of its triangles, given their unit normals; a triangle whose normal is zero is of none, and is
// never accepted by who asks.
func (t *Tree) Leaning(normals []r3.Vector) *Leaning {
	l := &Leaning{t, make([]Cone, len(t.nodes))}
	from, to := make([]int32, len(t.nodes)), make([]int32, len(t.nodes)) // of the order: a node's triangles
	for i := len(t.nodes) - 1; i >= 0; i-- {                             // children stand behind their parents
		if n := &t.nodes[i]; n.count > 0 {
			l.cones[i], from[i], to[i] = coneOf(t.order[n.first:n.first+n.count], normals), n.first, n.first+n.count
		} else {
			l.cones[i], from[i], to[i] = both(&l.cones[n.first], &l.cones[n.first+1]), from[n.first], to[n.first+1]
		}
		if to[i]-from[i] <= mostLaid {
			l.cones[i].lay(t.mesh, t.order[from[i]:to[i]])
		}
	}
	return l
}

// mostLaid is of how many triangles at most it is told how far they reach along their axis: more are wider than any neighbourhood that
// is asked about, and no sheet is as flat as that.
const mostLaid = 1 << 8

// lay tells from where to where triangles reach along the axis.
func (c *Cone) lay(m *mesh.Mesh, triangles []int32) {
	if c.Cos < 0 {
		return
	}
	axis, low, high := c.Axis, math.Inf(1), math.Inf(-1)
	for _, t := range triangles {
		for _, v := range &m.Triangles[t] {
			at := m.Vertices[v].Dot(axis)
			if at < low { // plain comparisons take a third of the time of min and max
				low = at
			}
			if at > high {
				high = at
			}
		}
	}
	c.Low, c.High = low, high
}

func coneOf(triangles []int32, normals []r3.Vector) Cone {
	sum, count, least := r3.Vector{}, 0.0, 1.0
	for _, t := range triangles {
		if n := normals[t]; n != (r3.Vector{}) {
			sum = sum.Add(n.Mul(math.Copysign(1, n.Dot(sum))))
			count++
		}
	}
	axis := sum.Normalize()
	for _, t := range triangles {
		if n := normals[t]; n != (r3.Vector{}) {
			least = min(least, math.Abs(n.Dot(axis)))
		}
	}
	return newCone(axis, least, count)
}

// both is a cone about two.
func both(a, b *Cone) Cone {
	switch {
	case a.count == 0:
		return *b
	case b.count == 0:
		return *a
	case a.Cos < 0 || b.Cos < 0:
		return newCone(r3.Vector{}, 0, a.count+b.count)
	}
	axis := a.Axis.Mul(a.count).Add(b.Axis.Mul(math.Copysign(b.count, a.Axis.Dot(b.Axis)))).Normalize()
	cosA, _ := a.Farthest(axis)
	cosB, _ := b.Farthest(axis)
	return newCone(axis, min(cosA, cosB), a.count+b.count)
}

// Farthest is the cosine and the sine of the greatest angle between a unit direction, or its opposite, and the normals of the cone. A
// cosine that is not above zero says that it may be any.
func (c *Cone) Farthest(dir r3.Vector) (cos, sin float64) {
	if c.Cos < 0 {
		return -1, 0
	}
	along, across := c.off(dir)
	return along*c.Cos - across*c.Sin, across*c.Cos + along*c.Sin
}

// Nearest is the cosine of the least of these angles; one where the direction may be one of the normals.
func (c *Cone) Nearest(dir r3.Vector) float64 {
	if c.Cos < 0 {
		return 1
	}
	along, across := c.off(dir)
	if across*c.Cos <= along*c.Sin {
		return 1
	}
	return along*c.Cos + across*c.Sin
}

// off is the cosine and sine of the angle between a unit direction and the axis.
func (c *Cone) off(dir r3.Vector) (along, across float64) {
	along = min(1, math.Abs(c.Axis.Dot(dir)))
	return along, math.Sqrt(1 - along*along)
}

// Entry is a part of a tree, for questions about one neighbourhood: the way down to it is gone once. The zero Entry is all of it.
type Entry int32

// Entries appends parts no larger than a size, mm, along any axis, or single leaves, in which all lies that comes within a distance, mm,
// of a box; nearer ones mostly come first.
func (l *Leaning) Entries(b space.Box, within, size float64, to []Entry) []Entry {
	if l.tree.Empty() {
		return to
	}
	e := entering{tree: l.tree, limit: l.tree.frame.limit(within * within), most: l.tree.frame.limit(size * size)}
	e.lo, e.hi = l.tree.frame.grown(b.Min, b.Max)
	return e.under(0, to)
}

// entering is the search for entries.
type entering struct {
	tree        *Tree
	lo, hi      [3]int32
	limit, most int64 // squared grains
}

func (e *entering) under(at int32, to []Entry) []Entry {
	n := &e.tree.nodes[at]
	if n.gap2(&e.lo, &e.hi) > e.limit {
		return to
	}
	side := int64(max(n.hi[0]-n.lo[0], n.hi[1]-n.lo[1], n.hi[2]-n.lo[2]))
	if n.count > 0 || side*side <= e.most {
		return append(to, Entry(at))
	}
	near, far := n.first, n.first+1
	if e.tree.nodes[far].aside(&e.lo, &e.hi) < e.tree.nodes[near].aside(&e.lo, &e.hi) {
		near, far = far, near
	}
	return e.under(far, e.under(near, to))
}

// Closest is the tree's ClosestFrom, in parts of it, for triangles of two kinds at once, each with a hint: kind is 0 or 1, or -1 for a
// triangle of neither. A hit's triangle is -1 where there is none. Who knows of some boxes that they hold no triangle of a kind says so in
// without, given the box's corners and the directions in it: what is in it is then not looked at for that kind.
func (l *Leaning) Closest(
	in []Entry, hints [2]int32, p r3.Vector, within float64, without func(low, high r3.Vector, c *Cone) [2]bool, kind func(tri int32) int,
) (best [2]Hit) {
	t := l.tree
	best[0].Tri, best[1].Tri = -1, -1
	limit := [2]float64{within * within, within * within}
	if len(t.nodes) == 0 || !(limit[0] >= 0) {
		return best
	}
	for k, hint := range hints {
		if hint >= 0 && kind(hint) == k {
			limit[k] = t.nearer(p, hint, &best[k], limit[k])
		}
	}
	at := t.frame.place(p)
	grains := [2]int64{t.frame.limit(limit[0]), t.frame.limit(limit[1])}
	var stack [deepest + 2]part
	for next, depth := 0, 0; depth > 0 || next < len(in); {
		if depth == 0 {
			stack[0].set(t.nodes[in[next]].gap2(&at, &at), int32(in[next]), [2]bool{})
			depth, next = 1, next+1
		}
		depth--
		top := &stack[depth]
		if top.isDone(&grains) {
			continue
		}
		n := &t.nodes[top.at]
		if top.mayLack(&best) {
			low, high := t.frame.corners(n)
			lacks := without(low, high, &l.cones[top.at])
			top.lacks[0], top.lacks[1] = top.lacks[0] || lacks[0], top.lacks[1] || lacks[1]
			if top.isDone(&grains) {
				continue
			}
		}
		if n.count == 0 {
			near, far, lacks := n.first, n.first+1, top.lacks
			gap, other := t.nodes[near].gap2(&at, &at), t.nodes[far].gap2(&at, &at)
			if other < gap {
				near, far, gap, other = far, near, other, gap
			}
			stack[depth].set(other, far, lacks)
			stack[depth+1].set(gap, near, lacks)
			depth += 2
			continue
		}
		gone := [2]bool{top.lacks[0] || top.gap > grains[0], top.lacks[1] || top.gap > grains[1]}
		for _, tri := range t.order[n.first : n.first+n.count] {
			if k := kind(tri); k >= 0 && !gone[k] {
				limit[k] = t.nearer(p, tri, &best[k], limit[k])
			}
		}
		grains = [2]int64{t.frame.limit(limit[0]), t.frame.limit(limit[1])}
	}
	for k := range best {
		if best[k].Tri >= 0 {
			best[k].Distance = best[k].Point.Sub(p).Norm()
		}
	}
	return best
}

// part is a node still to be looked at, and the kinds of which it holds no triangle, as nothing below it does then.
type part struct {
	gap   int64 // squared grains
	at    int32
	lacks [2]bool
}

// set is an assignment field by field: one of the whole would wait for its fields to be put together.
func (p *part) set(gap int64, at int32, lacks [2]bool) {
	p.gap, p.at = gap, at
	p.lacks[0], p.lacks[1] = lacks[0], lacks[1]
}

// isDone says whether nothing in it is near enough, of either kind.
func (p *part) isDone(most *[2]int64) bool {
	return (p.lacks[0] || p.gap > most[0]) && (p.lacks[1] || p.gap > most[1])
}

// mayLack says whether it is worth asking which kinds a node lacks: not where it lacks one and of the other something is found, for then
// distance alone leaves out nearly all.
func (p *part) mayLack(best *[2]Hit) bool {
	return !(p.lacks[0] && best[1].Tri >= 0 || p.lacks[1] && best[0].Tri >= 0)
}
