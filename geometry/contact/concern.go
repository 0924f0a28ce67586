package contact

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/space"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// concerned says of each of the host's triangles whether a strip may lie on it that the host reports: where a
// sheet with a higher number comes within reach, or one with a lower number on both sides; see emits.
func concerned(h *stackup.Host) []bool {
	host := h.Index
	p := h.Panels[host]
	out := make([]bool, len(p.Mesh.Triangles))
	for i, x := range h.Others() {
		if x > host {
			for _, t := range h.Beside(i) {
				out[t] = true
			}
		}
	}
	for i, x := range h.Others() {
		if x > host {
			continue
		}
		for _, t := range h.Beside(i) {
			out[t] = out[t] || !p.IsLong(int(t)) || onBothSides(h, host, x, int(t))
		}
	}
	for t, n := range p.Normals {
		out[t] = out[t] && n != (r3.Vector{})
	}
	return out
}

// onBothSides says whether sheet x may lie on both sides of a triangle of the host. It looks at so many facets and
// no more.
func onBothSides(h *stackup.Host, host, x, t int) bool {
	p, q := h.Panels[host], h.Panels[x]
	a, b, c := p.Mesh.Corners(t)
	least := math.Cos(2.1 * math.Acos(h.CosLimit)) // the smooth normal leaves the triangle's by up to the limit
	if least <= 0 {
		return true
	}
	var seen [2]bool
	count := 0
	q.Tree.Overlapping(space.EmptyBox().Add(a).Add(b).Add(c).Grow(h.Reach(host, x)+kit.Rounding), func(tri int32) bool {
		if count++; count > stackup.MostFacets {
			seen = [2]bool{true, true}
			return false
		}
		cos := q.Normals[tri].Dot(p.Normals[t])
		if math.Abs(cos) < least {
			return true
		}
		if q.Surface == surface.Solid {
			seen[stackup.Upper], seen[stackup.Lower] = seen[stackup.Upper] || cos < 0, seen[stackup.Lower] || cos > 0
			return !(seen[stackup.Upper] && seen[stackup.Lower])
		}
		on, n := q.Mesh.Vertices[q.Mesh.Triangles[tri][0]], q.Normals[tri].Mul(math.Copysign(1, cos))
		for _, corner := range [3]r3.Vector{a, b, c} {
			h := on.Sub(corner).Dot(n)
			seen[stackup.Upper], seen[stackup.Lower] = seen[stackup.Upper] || h > -kit.Rounding, seen[stackup.Lower] || h < kit.Rounding
		}
		return !(seen[stackup.Upper] && seen[stackup.Lower])
	})
	return seen[stackup.Upper] && seen[stackup.Lower]
}
