package region

import (
	"context"
	"errors"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

// Fine is the edge length of the host's mesh where another panel is near, mm: a strip passes between the corners of
// such triangles only if it is narrower than their height, 2.9 mm, and the narrowest flange is wider.
const Fine = 3.4

// Patch is the part of the host that other panels come near to, cut fine and split along creases: a
// corner on a crease stands once for each side.
type Patch struct {
	Points  []r3.Vector
	Normals []r3.Vector
	Tris    [][3]int32
	Split   kit.EdgeTable // edges that are halved, with their middles, or -1
	Spare   [2][][3]int32 // for triangles that come in the place of others
}

// mostPoints bounds the memory of one patch: contact all over a panel of 5 by 5 m takes fewer.
const mostPoints = 4_000_000

// ErrTooLarge is returned for a panel that lies on others over more surface than any sheet has.
var ErrTooLarge = errors.New("it lies near other panels over more than a sheet's surface: check its unit")

// CutFine halves edges longer than fine, where wanted says so of the points at their ends, until there are none. A triangle whose
// edges all stay whole is done: what is decided of an edge does not change.
func (p *Patch) CutFine(ctx context.Context, wanted func(a, b int32) bool) error {
	return p.CutFineWhere(ctx, nil, wanted)
}

// CutFineWhere is CutFine, and leaves large triangles out that use says are of none; nil says of none so. What is left is cut as if all
// were there.
func (p *Patch) CutFineWhere(ctx context.Context, use func(t [3]int32) bool, wanted func(a, b int32) bool) error {
	split := &p.Split
	split.Reset()
	done, open, next := p.Spare[0][:0], p.Tris, p.Spare[1]
	for ; len(open) > 0; open, next = next, open[:0] {
		next = next[:0]
		for i, tri := range open {
			if len(p.Points) > mostPoints {
				return ErrTooLarge
			}
			if i%1024 == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			if use != nil && p.isLarge(tri) && !use(tri) {
				continue
			}
			var mid [3]int32
			cuts := 0
			for k := range 3 {
				if mid[k] = p.SplitEdge(split, tri[k], tri[(k+1)%3], wanted, Fine); mid[k] >= 0 {
					cuts++
				}
			}
			if cuts == 0 {
				done = append(done, tri)
			} else {
				next = p.AppendPieces(next, tri, mid, cuts)
			}
		}
	}
	p.Tris, p.Spare = done, [2][][3]int32{open, next}
	return nil
}

// isLarge says whether a triangle falls into so many that it saves time to ask about all of them at once.
func (p *Patch) isLarge(t [3]int32) bool {
	a, b, c := p.Points[t[0]], p.Points[t[1]], p.Points[t[2]]
	return max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()) > (2*Fine)*(2*Fine)
}

// SplitEdge cuts the edge in half if it is longer than longest and wanted, and returns its middle, or -1 where it
// stays whole. The answer depends on the edge alone, so that both triangles on it agree; split holds it.
func (p *Patch) SplitEdge(split *kit.EdgeTable, a, b int32, wanted func(a, b int32) bool, longest float64) int32 {
	a, b = min(a, b), max(a, b)
	from, to := p.Points[a], p.Points[b]
	if from.Sub(to).Norm2() <= float64(longest*longest*(1+kit.AlikeTo)) {
		return -1
	}
	answer, known := split.At(kit.EdgeKey(a, b))
	if known {
		return *answer
	}
	*answer = -1
	middle := from.Add(to).Mul(0.5)
	if middle == from || middle == to { // no number lies between the two
		return -1
	}
	if !wanted(a, b) {
		return -1
	}
	*answer = int32(len(p.Points))
	p.Points = append(p.Points, middle)
	n := p.Normals[a].Add(p.Normals[b])
	if l := n.Norm(); l > 0 {
		n = n.Mul(1 / l)
	}
	p.Normals = append(p.Normals, n)
	return *answer
}

// Everywhere is for CutFine where all edges are to be fine.
func Everywhere(_, _ int32) bool { return true }

// Midpoints is the middles of the sides of a triangle that are split, or -1, and how many there are.
func Midpoints(t [3]int32, split *kit.EdgeTable) (mid [3]int32, cuts int) {
	for k := range 3 {
		v, known := split.Get(kit.EdgeKey(t[k], t[(k+1)%3]))
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

// AppendPieces adds what a triangle falls into when the edges with a middle are cut in half.
func (p *Patch) AppendPieces(out [][3]int32, t, mid [3]int32, cuts int) [][3]int32 {
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
	one, other := p.Points[b].Sub(p.Points[ca]).Norm2(), p.Points[c].Sub(p.Points[ab]).Norm2()
	if math.Abs(one-other) <= kit.AlikeTo*one { // neither diagonal comes first, so that a mirrored panel is cut alike
		m := p.middle(a, b, c, ab, ca)
		return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, m}, [3]int32{b, c, m}, [3]int32{c, ca, m}, [3]int32{ca, ab, m})
	}
	if one < other {
		return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, ca}, [3]int32{b, c, ca})
	}
	return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, c}, [3]int32{ab, c, ca})
}

// middle adds the point amid the four corners of what is left of triangle abc without the corner a.
func (p *Patch) middle(a, b, c, ab, ca int32) int32 {
	at := p.Points[b].Add(p.Points[c]).Add(p.Points[ab].Add(p.Points[ca])).Mul(0.25)
	n := p.Normals[a].Add(p.Normals[b].Add(p.Normals[c]).Mul(1.5)) // as interpolated there, but for the length
	if l := n.Norm(); l > 0 {
		n = n.Mul(1 / l)
	}
	p.Points, p.Normals = append(p.Points, at), append(p.Normals, n)
	return int32(len(p.Points) - 1)
}

// NormalWithin is the smooth normal at a place in the plane of a triangle, if it lies within it.
func (p *Patch) NormalWithin(t [3]int32, at, facet r3.Vector) (r3.Vector, bool) {
	a, b, c := p.Points[t[0]], p.Points[t[1]], p.Points[t[2]]
	area := facet.Norm2()
	u := c.Sub(b).Cross(at.Sub(b)).Dot(facet) / area
	v := a.Sub(c).Cross(at.Sub(c)).Dot(facet) / area
	w := 1 - u - v
	if !(u >= 0 && v >= 0 && w >= 0) {
		return r3.Vector{}, false
	}
	n := p.Normals[t[0]].Mul(u).Add(p.Normals[t[1]].Mul(v)).Add(p.Normals[t[2]].Mul(w))
	if l := n.Norm(); l > 0 {
		return n.Mul(1 / l), true
	}
	return n, false
}

// Region is the patch as a region, of which nothing else is told.
func (p *Patch) Region() *Region {
	r := &Region{Mesh: &mesh.Mesh{Vertices: p.Points, Triangles: p.Tris}, Normals: p.Normals, Borders: make([]Border, len(p.Points)),
		Filled: make([]bool, len(p.Tris))}
	r.Topo = r.Mesh.Topology()
	return r
}
