package flange

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// concerned says of each of the host's triangles whether a strip may lie on it that the host reports: where a
// sheet with a higher number comes within reach, or one with a lower number on both sides; see emits.
func (f *finder) concerned(host int) []bool {
	p := f.panels[host]
	out := make([]bool, len(p.Mesh.Triangles))
	for i, x := range f.around.sheets {
		if x > host {
			for _, t := range f.around.ofHost[i] {
				out[t] = true
			}
		}
	}
	for i, x := range f.around.sheets {
		if x > host {
			continue
		}
		for _, t := range f.around.ofHost[i] {
			out[t] = out[t] || !p.isLong(int(t)) || f.isClasped(host, x, int(t))
		}
	}
	for t, n := range p.normals {
		out[t] = out[t] && n != (r3.Vector{})
	}
	return out
}

// isLong says whether a triangle is to be cut; it takes longer to see that a small one is of no use than to ask at
// its corners.
func (p *panel) isLong(t int) bool {
	a, b, c := p.Mesh.Corners(t)
	return max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2()) > fine*fine
}

// isClasped says whether sheet x may lie on both sides of a triangle of the host. It looks at so many facets and
// no more.
func (f *finder) isClasped(host, x, t int) bool {
	p, q := f.panels[host], f.panels[x]
	a, b, c := p.Mesh.Corners(t)
	least := math.Cos(2.1 * math.Acos(f.cosLimit)) // the smooth normal leaves the triangle's by up to the limit
	if least <= 0 {
		return true
	}
	var seen [2]bool
	count := 0
	q.tree.Overlapping(space.EmptyBox().Add(a).Add(b).Add(c).Grow(f.reach(host, x)+rounding), func(tri int32) bool {
		if count++; count > mostFacets {
			seen = [2]bool{true, true}
			return false
		}
		cos := q.normals[tri].Dot(p.normals[t])
		if math.Abs(cos) < least {
			return true
		}
		if q.Surface == Solid {
			seen[upper], seen[lower] = seen[upper] || cos < 0, seen[lower] || cos > 0
			return !(seen[upper] && seen[lower])
		}
		on, n := q.Mesh.Vertices[q.Mesh.Triangles[tri][0]], q.normals[tri].Mul(math.Copysign(1, cos))
		for _, corner := range [3]r3.Vector{a, b, c} {
			h := on.Sub(corner).Dot(n)
			seen[upper], seen[lower] = seen[upper] || h > -rounding, seen[lower] || h < rounding
		}
		return !(seen[upper] && seen[lower])
	})
	return seen[upper] && seen[lower]
}
