package region

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// Edge says what ends a strip on one side.
type Edge string

// What a strip may end at.
const (
	FreeEdge   Edge = "free edge" // the free edge of one of the sheets
	Bend       Edge = "bend"      // a sheet turns away from the other
	GapOpens   Edge = "gap opens" // the sheets part beyond the search gap
	StackEnds  Edge = "stack"     // the strip goes on with other sheets
	UnknownEnd Edge = ""
)

// Border says what ends a region at a border point.
type Border struct {
	Why    Edge
	Whose  int
	Cut    bool      // the point was cut out of an edge of the patch, or moved to a sheet's edge, rather than being a corner of it
	Beside r3.Vector // from the place that was asked about to the end of the sheet, along the sheet
}

// Region is a connected part of a sheet's mesh on which the same sheets lie on each other.
type Region struct {
	Mesh    *mesh.Mesh
	Topo    *mesh.Topology
	Normals []r3.Vector // of vertices, smooth
	Borders []Border    // of vertices
	Filled  []bool      // of triangles: closes a hole, is not metal
	About
	Ends    kit.EdgeTable // border edges that were asked about, by their ways
	Ended   []Border      // what ends the region there
	numbers []int32       // room for sub
	Places  []Place       // room for traces
}

// About is what a region is told of the sheets that lie on each other in it.
type About struct {
	EndOf     func(r *Region, a, b int32) Border            // what ends it at the border edge from a to b
	Air       func(p, n r3.Vector) (air float64, here bool) // mm between the sheets at a place with a normal, if they lie there
	Layers    []Layer                                       // the sheets, in order
	Folded    bool                                          // one of them lies in it twice
	Beyond    float64                                       // mm beyond its border that the layers are known
	Metal     r3.Vector                                     // the centre of the sheets' metal
	MetalArea float64                                       // mm² of it; 0 where it is not known
}

// Layer is one of the surfaces that lie on each other, known beyond the region too.
type Layer struct {
	Mesh    *mesh.Mesh
	Topo    *mesh.Topology
	Nearest func(at, n r3.Vector) (near.Hit, bool) // the place that lies over or under one of the region with normal n
}

// Middle is the centre of the metal of the sheets that lie on each other, or of the region itself: the point from which a
// weld line's start is told, so that the start turns with the panels.
func (r *Region) Middle() r3.Vector {
	if r.MetalArea > 0 && !math.IsInf(r.MetalArea, 0) {
		return r.Metal
	}
	n := Centroid{}
	for t := range r.Mesh.Triangles {
		n.Add(r, int32(t))
	}
	if n.Area > 0 {
		return n.Sum.Mul(1 / n.Area)
	}
	return r.Mesh.Vertices[0]
}

// Centroid gathers the centre of some triangles.
type Centroid struct {
	Sum  r3.Vector // centre times area
	Area float64   // mm²
}

// Add counts a triangle in.
func (n *Centroid) Add(r *Region, t int32) {
	a, b, c := r.Mesh.Corners(int(t))
	area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	n.Sum = n.Sum.Add(a.Add(b).Add(c).Mul(area / 3))
	n.Area += area
}

// Center of what was added; not a number where that has no area.
func (n *Centroid) Center() r3.Vector { return n.Sum.Mul(1 / n.Area) }

// Reset empties a region whose buffers are used again.
func (r *Region) Reset() {
	if r.Mesh == nil {
		r.Mesh = &mesh.Mesh{}
	}
	r.Mesh.Triangles, r.Normals, r.Borders = r.Mesh.Triangles[:0], r.Normals[:0], r.Borders[:0]
}

// Connected returns the triangles of each part that hangs together by edges, in order of first triangle.
func Connected(r *Region) [][]int32 {
	part := make([]int32, len(r.Mesh.Triangles))
	for i := range part {
		part[i] = -1
	}
	var parts [][]int32
	for start := range part {
		if part[start] >= 0 {
			continue
		}
		id := int32(len(parts))
		part[start] = id
		list := []int32{int32(start)}
		for i := 0; i < len(list); i++ {
			for k := range 3 {
				if o := r.Topo.Across(list[i], k); o != mesh.None && part[o] < 0 {
					part[o] = id
					list = append(list, o)
				}
			}
		}
		parts = append(parts, list)
	}
	return parts
}

// Sub copies some triangles into a region of their own, all turned the same way round.
func (r *Region) Sub(tris []int32) *Region {
	if len(r.numbers) < len(r.Mesh.Vertices) {
		r.numbers = make([]int32, len(r.Mesh.Vertices)) // + 1, zero between calls
	}
	out := &Region{Mesh: &mesh.Mesh{Triangles: make([][3]int32, 0, len(tris)), Vertices: make([]r3.Vector, 0, len(tris))}}
	out.Normals, out.Borders = make([]r3.Vector, 0, len(tris)), make([]Border, 0, len(tris))
	for _, t := range tris {
		tri := r.Mesh.Triangles[t]
		for k, v := range tri {
			i := r.numbers[v]
			if i == 0 {
				out.Mesh.Vertices = append(out.Mesh.Vertices, r.Mesh.Vertices[v])
				out.Normals = append(out.Normals, r.Normals[v])
				out.Borders = append(out.Borders, r.Borders[v])
				i = int32(len(out.Mesh.Vertices))
				r.numbers[v] = i
			}
			tri[k] = i - 1
		}
		out.Mesh.Triangles = append(out.Mesh.Triangles, tri)
	}
	for _, t := range tris {
		for _, v := range r.Mesh.Triangles[t] {
			r.numbers[v] = 0
		}
	}
	out.Filled, out.About = make([]bool, len(out.Mesh.Triangles)), r.About
	out.Topo = out.Mesh.Topology()
	out.turnAlike()
	return out
}

// turnAlike flips triangles until neighbours agree, and normals with them: panels come with flipped facets.
func (r *Region) turnAlike() {
	done := make([]bool, len(r.Mesh.Triangles))
	list := []int32{0}
	done[0] = true
	for i := 0; i < len(list); i++ {
		t := list[i]
		for k := range 3 {
			o := r.Topo.Across(t, k)
			if o == mesh.None || done[o] {
				continue
			}
			done[o] = true
			a, b := r.Mesh.Triangles[t][k], r.Mesh.Triangles[t][(k+1)%3]
			if RunsAlong(r.Mesh.Triangles[o], a, b) {
				tri := &r.Mesh.Triangles[o]
				tri[1], tri[2] = tri[2], tri[1]
				r.Topo.Turn(o)
			}
			list = append(list, o)
		}
	}
	r.turnNormals()
}

// BeyondWay is how far a point of a border that was cut out of an edge of the mesh may lie beyond the edge's ends, mm.
const BeyondWay = 0.02

// MostLayers is the most sheets that are told apart in one stack-up; welding rules stop at three.
const MostLayers = 5

// LeastHeight is the height from which a triangle of a region says which way up it is, mm: a cut border moves by
// BeyondWay at most, and what is lower may so have been turned over.
const LeastHeight = 1.5 * BeyondWay

// turnNormals turns the normals at the corners to the side of the triangles; at corners of slivers alone to that of
// the normals beside them.
func (r *Region) turnNormals() {
	sound := make([]bool, len(r.Mesh.Vertices))
	var slivers []int
	for t, tri := range r.Mesh.Triangles {
		a, b, c := r.Mesh.Corners(t)
		facet := b.Sub(a).Cross(c.Sub(a))
		if long := math.Sqrt(max(b.Sub(a).Norm2(), c.Sub(b).Norm2(), a.Sub(c).Norm2())); facet.Norm() <= float64(LeastHeight*long) {
			slivers = append(slivers, t)
			continue
		}
		for _, v := range tri {
			sound[v] = true
			if r.Normals[v].Dot(facet) < -0.5*facet.Norm() {
				r.Normals[v] = r.Normals[v].Mul(-1)
			}
		}
	}
	for _, t := range slivers {
		tri := r.Mesh.Triangles[t]
		for k, v := range tri {
			one, other := tri[(k+1)%3], tri[(k+2)%3]
			if !sound[one] {
				one = other
			}
			if !sound[v] && sound[one] {
				sound[v] = true
				if r.Normals[v].Dot(r.Normals[one]) < 0 {
					r.Normals[v] = r.Normals[v].Mul(-1)
				}
			}
		}
	}
}

// RunsAlong says whether a triangle passes from a to b, the way round that it is given.
func RunsAlong(tri [3]int32, a, b int32) bool {
	for k := range 3 {
		if tri[k] == a && tri[(k+1)%3] == b {
			return true
		}
	}
	return false
}

// OnEdge is how near to an edge of the host a border counts as lying on it, mm: above the rounding of
// coordinates of a few metres.
const OnEdge = 1e-5

// End says what ends the region at the border edge from a to b.
func (r *Region) End(a, b int32) Border {
	at, known := r.Ends.At(kit.WayKey(a, b))
	if !known {
		*at = int32(len(r.Ended))
		r.Ended = append(r.Ended, r.EndOf(r, a, b))
	}
	return r.Ended[*at]
}
