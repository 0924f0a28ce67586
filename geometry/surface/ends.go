package surface

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
)

// Ends says what side k of triangle t is to the sheet: a free edge, or an edge with metal on both sides.
// A solid has no open edges: there the free edge is where a skin meets the narrow rim of the sheet.
func (p *Panel) Ends(t int32, k int) region.Edge {
	other := p.Topo.Across(t, k)
	switch {
	case other == mesh.None:
		return region.FreeEdge
	case p.Surface != Solid:
		return region.UnknownEnd
	case p.rim != nil && p.rim[t] != p.rim[other]:
		return region.FreeEdge
	case p.rim == nil && p.turnsToRim(t, other, k):
		return region.FreeEdge
	}
	return region.UnknownEnd
}

// turnsToRim says whether one of two facets with side k of the first between them stands on the other as a rim does: at more
// than 60 degrees, and about as wide as the sheet is thick.
func (p *Panel) turnsToRim(t, other int32, k int) bool {
	const rimCosine, rimWidth = 0.5, 1.6
	if math.Abs(p.Normals[t].Dot(p.Normals[other])) >= rimCosine {
		return false
	}
	from, to := p.side(t, k)
	edge := math.Max(to.Sub(from).Norm(), 1e-12)
	for _, x := range [2]int32{t, other} {
		if a, b, c := p.Mesh.Corners(int(x)); b.Sub(a).Cross(c.Sub(a)).Norm() <= rimWidth*p.Thickness*edge {
			return true
		}
	}
	return false
}

// sameEdge is how far apart free edges may be that end a strip together, mm.
const sameEdge = 0.05

// EndsNear says whether a free edge of the sheet passes over or under a place of a surface with normal n.
func (p *Panel) EndsNear(at r3.Vector, reach float64, n r3.Vector, cosLimit float64) bool {
	hit, ok := p.ParallelTo(n, at, reach, cosLimit)
	if !ok {
		return false
	}
	foot := hit.Point
	if d := foot.Sub(at); d.Sub(n.Mul(d.Dot(n))).Norm() > sameEdge {
		return false
	}
	tri := p.Mesh.Triangles[hit.Tri]
	for k, v := range tri {
		if p.Ends(hit.Tri, k) == region.FreeEdge && near.ToSegment(foot, p.Mesh.Vertices[v], p.Mesh.Vertices[tri[(k+1)%3]]) <= sameEdge {
			return true
		}
	}
	return false
}

// Facing is the normal of the sheet at a hit: at a corner, where several facets are equally near, that of all
// that are parallel to a host with normal n together.
func (p *Panel) Facing(hit near.Hit, n r3.Vector, cosLimit float64) r3.Vector {
	own := p.Normals[hit.Tri]
	if hit.Feature < near.CornerA {
		return own
	}
	v := p.Mesh.Triangles[hit.Tri][hit.Feature-near.CornerA]
	sum := r3.Vector{}
	for _, t := range p.around(v) {
		if math.Abs(p.Normals[t].Dot(n)) >= cosLimit {
			sum = sum.Add(p.Normals[t].Mul(math.Copysign(p.cornerAngle(t, v), p.Normals[t].Dot(own))))
		}
	}
	if l := sum.Norm(); l > 0 {
		return sum.Mul(1 / l)
	}
	return own
}

// EndsAt says whether the part of the sheet that is parallel to a host with normal n ends at the hit.
func (p *Panel) EndsAt(hit near.Hit, n r3.Vector, cosLimit float64) region.Edge {
	switch hit.Feature {
	case near.Face:
		return region.UnknownEnd
	case near.EdgeAB, near.EdgeBC, near.EdgeCA:
		side := int(hit.Feature - near.EdgeAB)
		if p.Ends(hit.Tri, side) == region.FreeEdge {
			return region.FreeEdge
		}
		if math.Abs(p.Normals[p.Topo.Across(hit.Tri, side)].Dot(n)) < cosLimit {
			return region.Bend
		}
		return region.UnknownEnd
	}
	v := p.Mesh.Triangles[hit.Tri][hit.Feature-near.CornerA]
	if p.onFree[v] {
		return region.FreeEdge
	}
	for _, t := range p.around(v) {
		if math.Abs(p.Normals[t].Dot(n)) < cosLimit && p.Normals[t] != (r3.Vector{}) {
			return region.Bend
		}
	}
	return region.UnknownEnd
}
