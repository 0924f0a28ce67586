package region

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

// Place is a point on a region's mesh.
type Place struct {
	Point r3.Vector
	Tri   int32
}

// Trace is the way across a region from a place to its border, in one plane.
type Trace struct {
	Path   []Place // crossing points, with the triangle that is entered after each; the start first
	Length float64
	Clear  float64  // mm between the plane and the nearest corner of the triangles passed
	Edge   [2]int32 // border edge that ends it
	Ok     bool     // a border was reached
	Bent   bool     // it ends where a sheet bends away
	Parts  bool     // its length is that to where the sheets part, not that of the path
}

// grazing moves a plane off the vertices that it would pass through exactly, mm: far below any tolerance,
// far above rounding.
const grazing = 1e-6

// inPlane is how near to a plane a vertex counts as lying in it, mm: above the rounding of coordinates of
// some metres.
const inPlane = 1e-8

// Trace follows the cut of the region with the plane through from (unit normal plane), setting off
// towards dir, until the border.
func (r *Region) Trace(from Place, plane, dir r3.Vector, most float64) Trace {
	return r.trace(from, plane, dir, most, false)
}

// TraceBeyond is Trace, and one step on from where it ends.
func (r *Region) TraceBeyond(from Place, plane, dir r3.Vector, most float64) Trace {
	return r.trace(from, plane, dir, most, true)
}

func (r *Region) trace(from Place, plane, dir r3.Vector, most float64, beyond bool) Trace {
	for _, off := range [3]float64{0, -grazing, grazing} {
		if out := r.traceInPlane(from, from.Point.Add(plane.Mul(off)), plane, dir, most, beyond); len(out.Path) > 1 {
			return out
		}
	}
	return Trace{Path: []Place{from}}
}

// traceInPlane counts vertices in the plane as in front of it; where the plane only touches the first
// triangle the path has a single place.
func (r *Region) traceInPlane(from Place, origin, plane, dir r3.Vector, most float64, beyond bool) Trace {
	first := len(r.Places)
	r.Places = append(r.Places, from)
	out := r.follow(from, origin, plane, dir, most, beyond)
	out.Path = r.Places[first:len(r.Places):len(r.Places)]
	return out
}

// follow goes from triangle to triangle along the cut and adds the places where it enters them.
func (r *Region) follow(from Place, origin, plane, dir r3.Vector, most float64, beyond bool) (out Trace) {
	t, at := from.Tri, from.Point
	var h [3]float64 // of the triangle's corners above the plane
	for k, v := range r.Mesh.Triangles[t] {
		h[k] = r.height(v, origin, plane)
	}
	out.Clear = min(math.Abs(h[0]), math.Abs(h[1]), math.Abs(h[2]))
	exit, p, found := r.exit(t, h, plane, dir)
	if !found {
		return out
	}
	for range len(r.Mesh.Triangles) + 1 {
		out.Length += p.Sub(at).Norm()
		tri := r.Mesh.Triangles[t]
		next := r.Topo.Across(t, exit)
		if next == mesh.None {
			r.Places = append(r.Places, Place{p, t})
			out.Edge, out.Ok = [2]int32{tri[exit], tri[(exit+1)%3]}, true
			return out
		}
		r.Places = append(r.Places, Place{p, next})
		if out.Length > most {
			if !beyond {
				return out
			}
			most, beyond = out.Length*(1+kit.AlikeTo), false
		}
		k := r.side(next, r.Topo.TriEdge[t][exit])
		a, b := h[exit], h[(exit+1)%3]
		after := r.Mesh.Triangles[next]
		if after[k] != tri[exit] {
			a, b = b, a
		}
		c := r.height(after[(k+2)%3], origin, plane)
		out.Clear = min(out.Clear, math.Abs(c))
		h[k], h[(k+1)%3], h[(k+2)%3] = a, b, c
		if exit = (k + 1) % 3; (b >= 0) == (c >= 0) {
			exit = (k + 2) % 3
		}
		t, at, p = next, p, r.crossing(after, exit, h)
	}
	return out
}

// height is how far a vertex lies above a plane.
func (r *Region) height(v int32, origin, plane r3.Vector) float64 {
	h := r.Mesh.Vertices[v].Sub(origin).Dot(plane)
	if math.Abs(h) < inPlane {
		return 0 // or an edge that lies in the plane would be crossed at any of its points
	}
	return h
}

// side returns which side of triangle t the edge is.
func (r *Region) side(t, edge int32) int {
	for k := range 3 {
		if r.Topo.TriEdge[t][k] == edge {
			return k
		}
	}
	return -1
}

// crossing is where the plane crosses side k of a triangle with corners at heights h.
func (r *Region) crossing(tri [3]int32, k int, h [3]float64) r3.Vector {
	a, b := h[k], h[(k+1)%3]
	from, to := r.Mesh.Vertices[tri[k]], r.Mesh.Vertices[tri[(k+1)%3]]
	return from.Add(to.Sub(from).Mul(a / (a - b)))
}

// exit finds the side of the first triangle, with corners at heights h above a plane, where the cut with the plane leaves it
// towards dir. Round the triangle's corners one of the two sides that are cut rises through the plane and the other
// falls; which of them lies ahead hangs on which side of the way the plane's front is, and on no crossing's place, for a corner
// that all but lies in the plane has both crossings beside it, and the place set off from beyond them.
func (r *Region) exit(t int32, h [3]float64, plane, dir r3.Vector) (side int, p r3.Vector, found bool) {
	tri := r.Mesh.Triangles[t]
	a, b, c := r.Mesh.Corners(int(t))
	frontIsLeft := b.Sub(a).Cross(c.Sub(a)).Cross(dir).Dot(plane) > 0
	for k := range 3 {
		if rises, falls := h[k] < 0 && h[(k+1)%3] >= 0, h[k] >= 0 && h[(k+1)%3] < 0; rises && frontIsLeft || falls && !frontIsLeft {
			return k, r.crossing(tri, k, h), true
		}
	}
	return 0, r3.Vector{}, false
}

// Along returns the place at a length along the trace, held to its ends.
func (tr Trace) Along(length float64) Place {
	for i := 1; i < len(tr.Path); i++ {
		a, b := tr.Path[i-1], tr.Path[i]
		step := b.Point.Sub(a.Point).Norm()
		if length <= step && step > 0 {
			return Place{a.Point.Add(b.Point.Sub(a.Point).Mul(max(0, length) / step)), a.Tri}
		}
		length -= step
	}
	return tr.Path[len(tr.Path)-1]
}

// NormalAt is the smooth normal of the region at a place.
func (r *Region) NormalAt(p Place) r3.Vector {
	tri := r.Mesh.Triangles[p.Tri]
	a, b, c := r.Mesh.Corners(int(p.Tri))
	facet := b.Sub(a).Cross(c.Sub(a))
	area := facet.Norm2()
	if area == 0 {
		return r.Normals[tri[0]]
	}
	u := c.Sub(b).Cross(p.Point.Sub(b)).Dot(facet) / area
	v := a.Sub(c).Cross(p.Point.Sub(c)).Dot(facet) / area
	n := r.Normals[tri[0]].Mul(u).Add(r.Normals[tri[1]].Mul(v)).Add(r.Normals[tri[2]].Mul(1 - u - v))
	if l := n.Norm(); l > 0 {
		return n.Mul(1 / l)
	}
	return facet.Normalize()
}

// Raw is the length before it was smoothed, straight as a bend's start is measured.
func (tr Trace) Raw() float64 {
	if n := len(tr.Path); tr.Bent && n > 1 {
		return tr.Path[n-1].Point.Sub(tr.Path[0].Point).Norm()
	}
	return tr.Length
}

// Way is the length of the path, which smoothing leaves as it was.
func (tr Trace) Way() float64 {
	sum := 0.0
	for i := 1; i < len(tr.Path); i++ {
		sum += tr.Path[i].Point.Sub(tr.Path[i-1].Point).Norm()
	}
	return sum
}

// LengthAt is the length of a trace moved out along the normals: on a curved flange the faying surface is
// wider or narrower than the mesh.
func (r *Region) LengthAt(t Trace, offset float64) float64 {
	if len(t.Path) < 2 || offset == 0 {
		return t.Length
	}
	sum, own := 0.0, 0.0
	for i := 1; i < len(t.Path); i++ {
		a, b := t.Path[i-1], t.Path[i]
		step := b.Point.Sub(a.Point)
		if t.Bent && own > 0 && own+step.Norm() > t.Length/2 {
			break // towards the bend the smooth normals turn
		}
		out := step.Add(r.NormalAt(Place{b.Point, a.Tri}).Sub(r.NormalAt(a)).Mul(offset))
		own += step.Norm()
		sum += math.Max(0, out.Dot(step)/math.Max(step.Norm(), 1e-12))
	}
	if own < 1e-9 {
		return t.Length
	}
	return t.Length * sum / own // a section cut off by the strip's end has another's length
}
