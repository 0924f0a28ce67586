package centreline

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/medial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
)

// beside finds the metal beside a place of the line that lies on none, the nearest straight across, and how far to the
// left it is.
func (c *Line) beside(p r3.Vector, s *Section) (metal region.Place, off float64, ok bool) {
	if s.lateral(p.Sub(s.At.Point)).Norm2() <= medial.OffMetal*medial.OffMetal || !c.onRim(s.At) {
		return region.Place{}, 0, false
	}
	for out := medial.Probe; out < c.width; out += medial.Probe {
		for _, off := range [2]float64{out, -out} {
			q := p.Add(s.Across.Mul(off))
			hit, _ := c.tree.Closest(q, math.Inf(1))
			if s.lateral(q.Sub(hit.Point)).Norm2() <= medial.OffMetal*medial.OffMetal {
				return region.Place{Point: hit.Point, Tri: hit.Tri}, off, true
			}
		}
	}
	return region.Place{}, 0, false
}

// onRim says whether a place lies on the border of the metal. A place above the middle of it, as of a rough line that
// cuts short a bend, is over no slot.
func (c *Line) onRim(at region.Place) bool {
	tri := c.r.Mesh.Triangles[at.Tri]
	for k, v := range tri {
		p, q := c.r.Mesh.Vertices[v], c.r.Mesh.Vertices[tri[(k+1)%3]]
		if c.r.Topo.Across(at.Tri, k) == mesh.None && near.ToSegment(at.Point, p, q) <= region.OnEdge {
			return true
		}
		if c.rim.After[v] != mesh.None && p.Sub(at.Point).Norm() <= region.OnEdge {
			return true
		}
	}
	return false
}

// lateral is the part of a way that runs along the surface.
func (s *Section) lateral(d r3.Vector) r3.Vector { return d.Sub(s.Normal.Mul(d.Dot(s.Normal))) }
