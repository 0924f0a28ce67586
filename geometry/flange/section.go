package flange

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// place is a point on a region's mesh.
type place struct {
	point r3.Vector
	tri   int32
}

// trace is the way across a region from a place to its border, in one plane.
type trace struct {
	path   []place // crossing points, with the triangle that is entered after each; the start first
	length float64
	clear  float64  // mm between the plane and the nearest corner of the triangles passed
	edge   [2]int32 // border edge that ends it
	ok     bool     // a border was reached
	bent   bool     // it ends where a sheet bends away
	parts  bool     // its length is that to where the sheets part, not that of the path
}

// grazing moves a plane off the vertices that it would pass through exactly, mm: far below any tolerance,
// far above rounding.
const grazing = 1e-6

// inPlane is how near to a plane a vertex counts as lying in it, mm: above the rounding of coordinates of
// some metres.
const inPlane = 1e-8

// trace follows the cut of the region with the plane through from (unit normal plane), setting off
// towards dir, until the border.
func (r *region) trace(from place, plane, dir r3.Vector, most float64) trace {
	for _, off := range [3]float64{0, -grazing, grazing} {
		if out := r.traceInPlane(from, from.point.Add(plane.Mul(off)), plane, dir, most); len(out.path) > 1 {
			return out
		}
	}
	return trace{path: []place{from}}
}

// traceInPlane counts vertices in the plane as in front of it; where the plane only touches the first
// triangle the path has a single place.
func (r *region) traceInPlane(from place, origin, plane, dir r3.Vector, most float64) trace {
	first := len(r.places)
	r.places = append(r.places, from)
	out := r.follow(from, origin, plane, dir, most)
	out.path = r.places[first:len(r.places):len(r.places)]
	return out
}

// follow goes from triangle to triangle along the cut and adds the places where it enters them.
func (r *region) follow(from place, origin, plane, dir r3.Vector, most float64) (out trace) {
	t, at := from.tri, from.point
	var h [3]float64 // of the triangle's corners above the plane
	for k, v := range r.mesh.Triangles[t] {
		h[k] = r.height(v, origin, plane)
	}
	out.clear = min(math.Abs(h[0]), math.Abs(h[1]), math.Abs(h[2]))
	exit, p, found := r.exit(t, h, plane, dir)
	if !found {
		return out
	}
	for range len(r.mesh.Triangles) + 1 {
		out.length += p.Sub(at).Norm()
		tri := r.mesh.Triangles[t]
		next := r.topo.Across(t, exit)
		if next == mesh.None {
			r.places = append(r.places, place{p, t})
			out.edge, out.ok = [2]int32{tri[exit], tri[(exit+1)%3]}, true
			return out
		}
		r.places = append(r.places, place{p, next})
		if out.length > most {
			return out
		}
		k := r.side(next, r.topo.TriEdge[t][exit])
		a, b := h[exit], h[(exit+1)%3]
		after := r.mesh.Triangles[next]
		if after[k] != tri[exit] {
			a, b = b, a
		}
		c := r.height(after[(k+2)%3], origin, plane)
		out.clear = min(out.clear, math.Abs(c))
		h[k], h[(k+1)%3], h[(k+2)%3] = a, b, c
		if exit = (k + 1) % 3; (b >= 0) == (c >= 0) {
			exit = (k + 2) % 3
		}
		t, at, p = next, p, r.crossing(after, exit, h)
	}
	return out
}

// height is how far a vertex lies above a plane.
func (r *region) height(v int32, origin, plane r3.Vector) float64 {
	h := r.mesh.Vertices[v].Sub(origin).Dot(plane)
	if math.Abs(h) < inPlane {
		return 0 // or an edge that lies in the plane would be crossed at any of its points
	}
	return h
}

// side returns which side of triangle t the edge is.
func (r *region) side(t, edge int32) int {
	for k := range 3 {
		if r.topo.TriEdge[t][k] == edge {
			return k
		}
	}
	return -1
}

// crossing is where the plane crosses side k of a triangle with corners at heights h.
func (r *region) crossing(tri [3]int32, k int, h [3]float64) r3.Vector {
	a, b := h[k], h[(k+1)%3]
	from, to := r.mesh.Vertices[tri[k]], r.mesh.Vertices[tri[(k+1)%3]]
	return from.Add(to.Sub(from).Mul(a / (a - b)))
}

// exit finds the side of the first triangle, with corners at heights h above a plane, where the cut with the plane leaves it
// towards dir. Round the triangle's corners one of the two sides that are cut rises through the plane and the other
// falls; which of them lies ahead hangs on which side of the way the plane's front is, and on no crossing's place, for a corner
// that all but lies in the plane has both crossings beside it, and the place set off from beyond them.
func (r *region) exit(t int32, h [3]float64, plane, dir r3.Vector) (side int, p r3.Vector, found bool) {
	tri := r.mesh.Triangles[t]
	a, b, c := r.mesh.Corners(int(t))
	frontIsLeft := b.Sub(a).Cross(c.Sub(a)).Cross(dir).Dot(plane) > 0
	for k := range 3 {
		if rises, falls := h[k] < 0 && h[(k+1)%3] >= 0, h[k] >= 0 && h[(k+1)%3] < 0; rises && frontIsLeft || falls && !frontIsLeft {
			return k, r.crossing(tri, k, h), true
		}
	}
	return 0, r3.Vector{}, false
}

// along returns the place at a length along the trace, held to its ends.
func (tr trace) along(length float64) place {
	for i := 1; i < len(tr.path); i++ {
		a, b := tr.path[i-1], tr.path[i]
		step := b.point.Sub(a.point).Norm()
		if length <= step && step > 0 {
			return place{a.point.Add(b.point.Sub(a.point).Mul(max(0, length) / step)), a.tri}
		}
		length -= step
	}
	return tr.path[len(tr.path)-1]
}

// normalAt is the smooth normal of the region at a place.
func (r *region) normalAt(p place) r3.Vector {
	tri := r.mesh.Triangles[p.tri]
	a, b, c := r.mesh.Corners(int(p.tri))
	facet := b.Sub(a).Cross(c.Sub(a))
	area := facet.Norm2()
	if area == 0 {
		return r.normals[tri[0]]
	}
	u := c.Sub(b).Cross(p.point.Sub(b)).Dot(facet) / area
	v := a.Sub(c).Cross(p.point.Sub(c)).Dot(facet) / area
	n := r.normals[tri[0]].Mul(u).Add(r.normals[tri[1]].Mul(v)).Add(r.normals[tri[2]].Mul(1 - u - v))
	if l := n.Norm(); l > 0 {
		return n.Mul(1 / l)
	}
	return facet.Normalize()
}
