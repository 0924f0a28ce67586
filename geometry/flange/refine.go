package flange

import (
	"context"
	"errors"
	"math"

	"github.com/golang/geo/r3"
)

// fine is the edge length of the host's mesh where another panel is near, mm: a strip passes between the corners of
// such triangles only if it is narrower than their height, 2.9 mm, and the narrowest flange is wider.
const fine = 3.4

// patch is the part of the host that other panels come near to, cut fine and split along creases: a
// corner on a crease stands once for each side.
type patch struct {
	points  []r3.Vector
	normals []r3.Vector
	tris    [][3]int32
	split   edgeTable     // edges that are halved, with their middles, or -1
	spare   [2][][3]int32 // for triangles that come in the place of others
}

// refine cuts the host's triangles that are near to another panel until no edge there is longer than fine.
func (f *finder) refine(ctx context.Context, host int) (*patch, error) {
	p := f.nearTriangles(host)
	return p, p.cutFine(ctx, func(a, b r3.Vector) bool { return f.edgeIsNear(host, a, b) })
}

// mostPoints bounds the memory of one patch: contact all over a panel of 5 by 5 m takes fewer.
const mostPoints = 4_000_000

// ErrTooLarge is returned for a panel that lies on others over more surface than any sheet has.
var ErrTooLarge = errors.New("it lies near other panels over more than a sheet's surface: check its unit")

// cutFine halves edges longer than fine, where wanted says so, until there are none. A triangle whose
// edges all stay whole is done: what is decided of an edge does not change.
func (p *patch) cutFine(ctx context.Context, wanted func(a, b r3.Vector) bool) error {
	split := &p.split
	split.reset()
	done, open, next := p.spare[0][:0], p.tris, p.spare[1]
	for ; len(open) > 0; open, next = next, open[:0] {
		next = next[:0]
		for i, tri := range open {
			if len(p.points) > mostPoints {
				return ErrTooLarge
			}
			if i%1024 == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			var mid [3]int32
			cuts := 0
			for k := range 3 {
				if mid[k] = p.splitEdge(split, tri[k], tri[(k+1)%3], wanted, fine); mid[k] >= 0 {
					cuts++
				}
			}
			if cuts == 0 {
				done = append(done, tri)
			} else {
				next = p.appendPieces(next, tri, mid, cuts)
			}
		}
	}
	p.tris, p.spare = done, [2][][3]int32{open, next}
	return nil
}

// nearTriangles copies the host's triangles on which a strip may lie.
func (f *finder) nearTriangles(host int) *patch {
	panel := f.panels[host]
	p := &f.room.patch
	p.points, p.normals, p.tris = p.points[:0], p.normals[:0], p.tris[:0]
	f.room.angles = sized(f.room.angles, len(panel.fan))
	c := copier{panel: panel, patch: p, first: make([]int32, len(panel.Mesh.Vertices)), angles: f.room.angles}
	for t, wanted := range f.concerned(host) {
		if wanted {
			c.add(int32(t))
		}
	}
	return c.patch
}

// copier copies triangles of a panel into a patch. A corner on a crease becomes several points.
type copier struct {
	panel  *panel
	patch  *patch
	first  []int32   // of each vertex: the first of its points + 1
	next   []int32   // of each point: the next point of the same vertex + 1
	angles []float64 // of corners, as the panel's fan
}

func (c *copier) add(t int32) {
	var out [3]int32
	for k, v := range c.panel.Mesh.Triangles[t] {
		out[k] = c.point(v, c.panel.cornerNormal(t, k, c.angles))
	}
	c.patch.tris = append(c.patch.tris, out)
}

// point is the one at vertex v with the normal n: equal on one side of a crease, but for rounding.
func (c *copier) point(v int32, n r3.Vector) int32 {
	at := &c.first[v]
	for *at > 0 {
		if have := c.patch.normals[*at-1]; have == n || round(have.X) == round(n.X) && round(have.Y) == round(n.Y) &&
			round(have.Z) == round(n.Z) {
			return *at - 1
		}
		at = &c.next[*at-1]
	}
	i := int32(len(c.patch.points))
	*at = i + 1
	c.patch.points, c.patch.normals, c.next = append(c.patch.points, c.panel.Mesh.Vertices[v]), append(c.patch.normals, n), append(c.next, 0)
	return i
}

func round(x float64) float64 { return math.Round(x * 1e6) }

// splitEdge cuts the edge in half if it is longer than longest and wanted, and returns its middle, or -1 where it
// stays whole. The answer depends on the edge alone, so that both triangles on it agree; split holds it.
func (p *patch) splitEdge(split *edgeTable, a, b int32, wanted func(a, b r3.Vector) bool, longest float64) int32 {
	a, b = min(a, b), max(a, b)
	from, to := p.points[a], p.points[b]
	if from.Sub(to).Norm2() <= float64(longest*longest*(1+alikeTo)) {
		return -1
	}
	answer, known := split.at(edgeKey(a, b))
	if known {
		return *answer
	}
	*answer = -1
	middle := from.Add(to).Mul(0.5)
	if middle == from || middle == to { // no number lies between the two
		return -1
	}
	if !wanted(from, to) {
		return -1
	}
	*answer = int32(len(p.points))
	p.points = append(p.points, middle)
	n := p.normals[a].Add(p.normals[b])
	if l := n.Norm(); l > 0 {
		n = n.Mul(1 / l)
	}
	p.normals = append(p.normals, n)
	return *answer
}

// shortEdge is how long an edge is at most, in mm, whose middle's cell is worth gathering.
const shortEdge = 4 * cellSize

// edgeIsNear says whether the edge comes within reach of another panel. It must be exact: were a short edge
// called near where the long one beside it is not, triangles between the two would be cut without end.
func (f *finder) edgeIsNear(host int, a, b r3.Vector) bool {
	middle, half := a.Add(b).Mul(0.5), a.Sub(b).Norm()/2
	short := 2*half <= shortEdge
	if short && f.around.isNear(middle) {
		return true
	}
	for _, x := range f.around.sheets {
		tree, reach := f.panels[x].tree, f.reach(host, x)
		if !short {
			hit, ok := tree.Closest(middle, reach+half)
			if !ok {
				continue
			}
			if hit.Distance <= reach {
				return true
			}
		}
		if _, ok := tree.Capsule(a, b, reach); ok {
			return true
		}
	}
	return false
}

func midpoints(t [3]int32, split *edgeTable) (mid [3]int32, cuts int) {
	for k := range 3 {
		v, known := split.get(edgeKey(t[k], t[(k+1)%3]))
		if !known {
			v = -1
		}
		mid[k] = v
		if v >= 0 {
			cuts++
		}
	}
	return mid, cuts
}

// appendPieces adds what a triangle falls into when the edges with a middle are cut in half.
func (p *patch) appendPieces(out [][3]int32, t, mid [3]int32, cuts int) [][3]int32 {
	switch cuts {
	case 0:
		return append(out, t)
	case 3:
		return append(out, [3]int32{t[0], mid[0], mid[2]}, [3]int32{mid[0], t[1], mid[1]}, [3]int32{mid[2], mid[1], t[2]}, mid)
	}
	k := 0
	if cuts == 1 {
		for mid[k] < 0 {
			k++
		}
		a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
		return append(out, [3]int32{a, mid[k], c}, [3]int32{mid[k], b, c})
	}
	for mid[k] >= 0 { // edge k is whole; a faces it
		k++
	}
	b, c, a := t[k], t[(k+1)%3], t[(k+2)%3]
	ca, ab := mid[(k+1)%3], mid[(k+2)%3]
	one, other := p.points[b].Sub(p.points[ca]).Norm2(), p.points[c].Sub(p.points[ab]).Norm2()
	if math.Abs(one-other) <= alikeTo*one { // neither diagonal comes first, so that a mirrored panel is cut alike
		m := p.middle(a, b, c, ab, ca)
		return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, m}, [3]int32{b, c, m}, [3]int32{c, ca, m}, [3]int32{ca, ab, m})
	}
	if one < other {
		return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, ca}, [3]int32{b, c, ca})
	}
	return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, c}, [3]int32{ab, c, ca})
}

// middle adds the point amid the four corners of what is left of triangle abc without the corner a.
func (p *patch) middle(a, b, c, ab, ca int32) int32 {
	at := p.points[b].Add(p.points[c]).Add(p.points[ab].Add(p.points[ca])).Mul(0.25)
	n := p.normals[a].Add(p.normals[b].Add(p.normals[c]).Mul(1.5)) // as interpolated there, but for the length
	if l := n.Norm(); l > 0 {
		n = n.Mul(1 / l)
	}
	p.points, p.normals = append(p.points, at), append(p.normals, n)
	return int32(len(p.points) - 1)
}
