// Package solid measures closed meshes of sheet: how thick they are, how far one runs into another, and how far two
// meshes of any kind are apart.
//
//	t, ok := solid.Thickness(near.NewShape(roof)) // false: the mesh is open, or no sheet
//
// Millimetres. A mesh may face inward as well as outward; what it bounds is told by the sign of its volume.
package solid

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// mostSamples is how many facets a thickness is measured at, the largest first: enough for a median to 1 %.
const mostSamples = 2000

// thickest is the greatest thickness in mm that still counts as sheet. Chosen: three times the thickest that is spot
// welded.
const thickest = 10.0

// nudge is how far in mm within the mesh a ray starts, so that it does not meet the facet that it leaves.
const nudge = 1e-6

// opposed is the cosine beyond which two facets face each other: within 25 degrees. Chosen, wide enough for facets of
// unlike meshes of the two sides of a bend.
const opposed = -0.9

// Thickness is the median distance straight through a closed mesh from its facets to those that face them, by area.
// False for a mesh that is open, empty or thicker than sheet. Cut edges and bends, whose facets find others far away or
// aslant, are fewer than the sheet's two sides and do not move the median.
func Thickness(s *near.Shape) (mm float64, ok bool) {
	if len(s.Mesh.Triangles) == 0 || !s.Closed() {
		return 0, false
	}
	out := outward(s)
	type seen struct{ distance, area float64 }
	var all []seen
	total := 0.0
	for _, t := range largest(s) {
		a, b, c := s.Mesh.Corners(int(t))
		area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		into := s.Mesh.Normal(int(t)).Mul(-out)
		// The place is off the middle, so that it does not meet the edge between two facets of a square.
		from := a.Mul(0.4).Add(b.Mul(0.35)).Add(c.Mul(0.25))
		start := from.Add(into.Mul(nudge))
		total += area
		hit, met := s.Tree().Ray(start, into, 2*thickest)
		if met && s.Mesh.Normal(int(hit.Tri)).Dot(s.Mesh.Normal(int(t))) < opposed {
			all = append(all, seen{hit.Distance, area})
		}
	}
	slices.SortFunc(all, func(a, b seen) int { return cmp.Compare(a.distance, b.distance) })
	covered := 0.0
	for _, x := range all {
		if covered += x.area; covered >= total/2 { // of all facets, those that meet nothing opposite included
			return x.distance + nudge, x.distance <= thickest
		}
	}
	return 0, false
}

// outward is 1 where the mesh's normals point out of it, else -1.
func outward(s *near.Shape) float64 {
	if s.Mesh.Volume() < 0 {
		return -1
	}
	return 1
}

// largest are the mesh's largest facets, at most mostSamples; equal ones in the mesh's order.
func largest(s *near.Shape) []int32 {
	area := make([]float64, len(s.Mesh.Triangles))
	order := make([]int32, len(area))
	for t := range area {
		a, b, c := s.Mesh.Corners(t)
		area[t], order[t] = b.Sub(a).Cross(c.Sub(a)).Norm2(), int32(t)
	}
	if len(order) > mostSamples {
		slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(area[b], area[a]) })
		order = order[:mostSamples]
	}
	return order
}

// Overlap is where one solid runs into another.
type Overlap struct {
	Depth float64   // mm, the greatest: from the one's surface within the other to where it came in
	Area  float64   // mm² of the one's surface that lies within the other
	Place r3.Vector // where it is deepest
}

// cell is the spacing in mm at which a facet is asked whether it lies within another mesh; mostCells bounds that of one
// facet's side.
const (
	cell      = 4.0
	mostCells = 200
)

// Into says how far a's surface lies within b, both closed. Only where the two surfaces face against each other, as those of
// sheets on each other do: how far an edge is pushed through a sheet is not its depth. Depths up to least are none; one
// beyond a's own thickness is taken for an edge's.
func Into(a, b *near.Shape, thickness, least float64) Overlap {
	var out Overlap
	box := b.Tree().Box()
	if !a.Tree().Box().Overlaps(box) || !a.Closed() || !b.Closed() {
		return out
	}
	facing, within := outward(a), outward(b)
	for _, t := range a.Tree().NearTo(b.Tree(), thickest) {
		normal := a.Mesh.Normal(int(t)).Mul(facing)
		p, q, r := a.Mesh.Corners(int(t))
		longest := math.Sqrt(max(q.Sub(p).Norm2(), r.Sub(q).Norm2(), p.Sub(r).Norm2()))
		n := min(max(1, int(math.Ceil(longest/cell))), mostCells)
		area := q.Sub(p).Cross(r.Sub(p)).Norm() / 2 / float64(n*n)
		centres(p, q, r, n, func(at r3.Vector) {
			if box.Distance2(at) > 0 || !inside(b, at, within) {
				return
			}
			hit, met := b.Tree().Ray(at, normal.Mul(-1), thickness)
			if !met || hit.Distance <= least || b.Mesh.Normal(int(hit.Tri)).Mul(within).Dot(normal) > opposed {
				return
			}
			if out.Area += area; hit.Distance > out.Depth {
				out.Depth, out.Place = hit.Distance, at
			}
		})
	}
	return out
}

// centres visits the middles of the n² equal parts of a triangle.
func centres(p, q, r r3.Vector, n int, visit func(r3.Vector)) {
	along, up := q.Sub(p).Mul(1/float64(n)), r.Sub(p).Mul(1/float64(n))
	at := func(i, j float64) r3.Vector { return p.Add(along.Mul(i)).Add(up.Mul(j)) }
	for i := range n {
		for j := range n - i {
			visit(at(float64(i)+1./3, float64(j)+1./3))
			if i+j+1 < n {
				visit(at(float64(i)+2./3, float64(j)+2./3))
			}
		}
	}
}

// inside reports whether a place lies within a closed mesh, by the side of the nearest facet on which it is. Places
// nearest to an edge or a corner, where that is not told by one facet, count as outside.
func inside(s *near.Shape, at r3.Vector, outward float64) bool {
	hit, ok := s.Tree().Closest(at, thickest)
	return ok && hit.Feature == near.Face && at.Sub(hit.Point).Dot(s.Mesh.Normal(int(hit.Tri)))*outward < 0
}

// Apart is how far two meshes are from each other, from the corners of each to the surface of the other, if that is at most
// within: too great by what two edges cross between their corners.
func Apart(a, b *near.Shape, within float64) (mm float64, ok bool) {
	least := within
	for _, pair := range [][2]*near.Shape{{a, b}, {b, a}} {
		box := pair[1].Tree().Box()
		for _, v := range pair[0].Mesh.Vertices {
			if box.Distance2(v) > least*least {
				continue
			}
			if hit, met := pair[1].Tree().Closest(v, least); met {
				least, ok = hit.Distance, true
			}
		}
	}
	return least, ok
}
