package stackup

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
	"seamwright/geometry/surface"
)

// facet is a triangle laid out for the search.
type facet struct {
	normal  r3.Vector
	box     space.Box
	a, b, c r3.Vector
	tri     int32
}

func (t *facet) isWithin(reach float64, p r3.Vector) bool {
	if t.isBeyond(reach*reach, &p) {
		return false
	}
	on, _ := near.ClosestOnTriangle(p, t.a, t.b, t.c)
	return on.Sub(p).Norm() <= reach
}

// isBeyond says whether the squared distance from p to the facet's box is above a limit, as along a single axis it mostly
// is already. Plain comparisons take a third of the time of max, which also minds what is not a number; a facet has no such
// corner.
func (t *facet) isBeyond(limit float64, p *r3.Vector) bool {
	x := beyond(t.box.Min.X, t.box.Max.X, p.X)
	gap2 := float64(x * x)
	if gap2 > limit {
		return true
	}
	y := beyond(t.box.Min.Y, t.box.Max.Y, p.Y)
	if gap2 += float64(y * y); gap2 > limit {
		return true
	}
	z := beyond(t.box.Min.Z, t.box.Max.Z, p.Z)
	return gap2+float64(z*z) > limit
}

// beyond is how far x lies outside a range, on either side.
func beyond(lo, hi, x float64) float64 {
	if x < lo {
		return lo - x
	}
	if x > hi {
		return x - hi
	}
	return 0
}

// hits are the places of a sheet that are nearest to a place, above it and below; a triangle of -1 is none.
type hits [2]near.Hit

// The sides of a host: along its normal and against it.
const (
	Upper = iota
	Lower
)

var sides = [2]float64{Upper: 1, Lower: -1}

// nearest finds the nearest of the sheet's facets that are parallel to a surface at p with normal n.
func (v *facetGrid) nearest(h *Host, s *candidate, p, n r3.Vector) (out hits) {
	if s.dense {
		out = h.nearestOn(s.sheet, v.host, v.entries[s.list.from:s.list.to], s.last, p, n)
		s.last = [2]int32{out[Upper].Tri, out[Lower].Tri}
		return out
	}
	q := h.search(v.host, s.sheet, p, n)
	reach := v.asked.Reach(v.host, s.sheet)
	for k := range q.best {
		q.best[k], q.won[k], q.hits[k].Tri = reach*reach, -1, -1
	}
	for _, i := range s.last {
		if i >= 0 {
			q.try(v.facets, i)
		}
	}
	for _, i := range v.list[s.list.from:s.list.to] {
		q.try(v.facets, i)
	}
	s.last = q.won
	v.noteLeaning(&q)
	return q.hits
}

// noteLeaning keeps whether a search came upon leaning facets.
func (v *facetGrid) noteLeaning(q *search) {
	v.leans = v.leans || q.leaning[Upper] <= q.best[Upper] || q.leaning[Lower] <= q.best[Lower]
	v.leaners = v.leaners || q.leaners
}

func (h *Host) search(host, x int, p, n r3.Vector) search {
	return search{p: p, n: n, cosLimit: h.leastCosine(host, x), leanCos: h.closedCosine(host, x), solid: h.Panels[x].Surface == surface.Solid,
		leaning: [2]float64{math.Inf(1), math.Inf(1)}}
}

// search is for the nearest facets above and below a place.
type search struct {
	p, n     r3.Vector
	cosLimit float64
	leanCos  float64 // of the angle that clamps close
	solid    bool
	leaners  bool       // a facet within reach leans by more than the limit, but can be drawn on
	leaning  [2]float64 // squared distances to the boxes of such
	best     [2]float64 // squared distances
	won      [2]int32
	hits     hits
}

// atMost widens a squared distance by more than the rounding of the distance to a box.
const atMost = 1 + 1e-12

func (q *search) try(facets []facet, i int32) {
	t := &facets[i]
	cos := t.normal.Dot(q.n)
	if !(math.Abs(cos) >= q.leanCos) || t.isBeyond(max(q.best[Upper], q.best[Lower])*atMost, &q.p) {
		return
	}
	k := q.sideOf(cos, t.normal, t.a)
	if math.Abs(cos) < q.cosLimit {
		q.leans(k, &t.box)
		return
	}
	if q.best[k] < q.best[1-k] && t.isBeyond(q.best[k]*atMost, &q.p) {
		return
	}
	on, feature := near.ClosestOnTriangle(q.p, t.a, t.b, t.c)
	d := on.Sub(q.p).Norm2()
	if d < q.best[k] || d == q.best[k] && (q.won[k] < 0 || t.tri < q.hits[k].Tri) {
		q.best[k], q.won[k] = d, i
		q.hits[k] = near.Hit{Tri: t.tri, Point: on, Feature: feature}
	}
}

// leans takes in that a facet in a box on a side does.
func (q *search) leans(side int, b *space.Box) {
	x, y, z := beyond(b.Min.X, b.Max.X, q.p.X), beyond(b.Min.Y, b.Max.Y, q.p.Y), beyond(b.Min.Z, b.Max.Z, q.p.Z)
	q.leaners, q.leaning[side] = true, min(q.leaning[side], float64(x*x)+float64(y*y)+float64(z*z))
}

// sideOf says on which side of the host a facet through a lies: of a solid only the skin that is turned to the host counts. cos is that
// of the angle between the two.
func (q *search) sideOf(cos float64, normal, a r3.Vector) int {
	height := -cos
	if !q.solid {
		if height = a.Sub(q.p).Dot(normal); cos < 0 {
			height = -height
		}
	}
	if height >= 0 {
		return Upper
	}
	return Lower
}

// noHints is for nearestOn when nothing is known beforehand.
var noHints = [2]int32{near.NoHint, near.NoHint}

// everywhere is for nearestOn when all of the tree is to be searched.
var everywhere = []near.Entry{0}

// nearestOn is the hits by way of the sheet's tree, of which some parts hold what is within reach; the triangles hints are tried first.
func (h *Host) nearestOn(x, host int, in []near.Entry, hints [2]int32, p, n r3.Vector) hits {
	sheet := h.Panels[x]
	q := h.search(host, x, p, n)
	kind := func(tri int32) int {
		cos := sheet.Normals[tri].Dot(n)
		if !(math.Abs(cos) >= q.leanCos) {
			return -1
		}
		side := q.sideOf(cos, sheet.Normals[tri], sheet.Mesh.Vertices[sheet.Mesh.Triangles[tri][0]])
		if math.Abs(cos) < q.cosLimit {
			box := sheet.BoxOf(tri)
			q.leans(side, &box)
			return -1
		}
		return side
	}
	slope := math.Sqrt(1-q.leanCos*q.leanCos) / q.leanCos
	without := func(low, high r3.Vector, c *near.Cone) [2]bool {
		along := c.Axis.Dot(n)
		if math.Abs(along) < q.leanCos && c.Nearest(n) < q.leanCos { // no normal of a cone is nearer than its axis by less than that
			return [2]bool{true, true}
		}
		if q.solid {
			return [2]bool{}
		}
		if across, ok := q.isAcrossAll(low, high, c, along > 0); ok {
			return across
		}
		rises := slope
		if cos, sin := c.Farthest(n); cos > q.leanCos {
			rises = sin / cos
		}
		return q.isAcross(low, high, rises)
	}
	reach := h.Reach(host, x)
	out := sheet.Leaning().Closest(in, hints, p, reach, without, kind)
	for k := range out {
		if q.best[k] = reach * reach; out[k].Tri >= 0 {
			q.best[k] = float64(out[k].Distance * out[k].Distance)
		}
	}
	h.around.noteLeaning(&q)
	return out
}

// isAcrossAll says on which side of the place no facet of a cone lies, if all surely lie on the other: up says that the cone's axis points
// to the upper side. Their corners are at least as far from the place along the cone's axis as its ends are, and no farther from it than
// the box: so far does a plane rise or fall that leans.
func (q *search) isAcrossAll(low, high r3.Vector, c *near.Cone, up bool) (across [2]bool, ok bool) {
	at := q.p.Dot(c.Axis)
	above := c.Low - at
	if !(above > 0) {
		if above = at - c.High; !(above > 0) {
			return across, false
		}
		up = !up
	}
	falls := above*c.Cos - kit.Rounding
	if !(falls > 0 && falls*falls > farthest2(low, high, q.p)*c.Sin*c.Sin) {
		return across, false
	}
	across[Upper], across[Lower] = !up, up
	return across, true
}

// farthest2 is the squared distance from a place to the farthest corner of a box.
func farthest2(low, high, p r3.Vector) float64 {
	x, y, z := max(p.X-low.X, high.X-p.X), max(p.Y-low.Y, high.Y-p.Y), max(p.Z-low.Z, high.Z-p.Z)
	return float64(x*x) + float64(y*y) + float64(z*z)
}

// isAcross says of each side whether all parallel facets in a box surely lie on the other side of the place. A facet's plane that leans by
// an angle at most, of which slope is the tangent, rises by no more than that on the way from straight over the place to the facet.
func (q *search) isAcross(low, high r3.Vector, slope float64) (across [2]bool) {
	middle, half := low.Add(high).Mul(0.5).Sub(q.p), high.Sub(low).Mul(0.5)
	height := middle.Dot(q.n)
	size := math.Abs(half.X*q.n.X) + math.Abs(half.Y*q.n.Y) + math.Abs(half.Z*q.n.Z)
	if math.Abs(height) <= size {
		return across
	}
	beside2 := middle.Norm2() - height*height
	is := math.Abs(height)-size > slope*(math.Sqrt(max(0, beside2))+half.Norm())+kit.Rounding
	across[Upper], across[Lower] = is && height < 0, is && height > 0
	return across
}
