// Package scan tells noisy scans of panels from drawn ones, and makes them fit to be asked what lies on what: specks beside the part
// are left out, small openings where the scanner saw nothing are closed, and noise is taken off the surface. All of it is told, for the
// mesh that is looked at is no longer the one that was given.
//
//	mesh
//	   |  Noise    is it a scan? Most facets are small and tilted against their neighbours
//	   v
//	 ____  .       Clean    specks: pieces that hang on no other facet by an edge, below an area
//	|  o | ..               scan holes: openings below a diameter, closed by a fan
//	|____|
//	   |  Faired   low-pass filtering that does not shrink; free edges move along with their neighbours on the edge only
//	   v
//	mesh
package scan

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
)

// Limits tell what the scanner made from what the part has.
type Limits struct {
	Speck float64 // mm²: smaller pieces of the mesh are no part of it; 0: none is left out
	Hole  float64 // mm: openings that fit into a circle of this diameter are none of the part; 0: none is closed
}

// Cleaning is what was left out of a scan and closed in it.
type Cleaning struct {
	Specks    int
	SpeckArea float64 // mm², of all of them
	SpeckAt   r3.Vector
	Holes     int
	Widest    float64 // mm: the diameter of the widest
	HoleAt    r3.Vector
}

// Some says whether anything was.
func (c *Cleaning) Some() bool { return c.Specks+c.Holes > 0 }

// Fairing is what was done against a scan's noise.
type Fairing struct {
	Facet       float64 // mm: the usual side of a facet
	Wave        float64 // mm: shorter waves were taken off
	Usual, Most float64 // mm: the median way of a corner, and the longest
	Place       r3.Vector
}

// leastFacets of a mesh for its noise to be told.
const leastFacets = 200

// Noise says whether a mesh is a noisy scan, and how long its edges are, mm. The topology is the mesh's, if that had to be made.
func Noise(m *mesh.Mesh) (side float64, is bool, topo *mesh.Topology) {
	if len(m.Triangles) < leastFacets || !anyFine(m) {
		return 0, false, nil
	}
	topo = m.Topology()
	side, is = noisy(m, topo)
	return side, is, topo
}

// mainPiece is the share of a mesh's area that one of its pieces has at least, for others to be specks beside it.
const mainPiece = 0.75

// Clean is a scan without its specks, and with its small openings closed; the mesh itself where there are none.
func Clean(m *mesh.Mesh, limits Limits) (*mesh.Mesh, Cleaning) {
	var done Cleaning
	out := withoutSpecks(m, limits.Speck, &done)
	out = closed(out, limits.Hole, &done)
	return out, done
}

// withoutSpecks leaves out the small pieces that hang together by edges.
func withoutSpecks(m *mesh.Mesh, speck float64, done *Cleaning) *mesh.Mesh {
	pieces := mesh.NewPieces(len(m.Triangles))
	for _, e := range m.Topology().Edges {
		if !e.Free() {
			pieces.Join(e.Tri[0], e.Tri[1])
		}
	}
	areas, whole, most := make([]float64, len(m.Triangles)), 0.0, 0.0
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		area := b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		first := pieces.First(int32(t))
		areas[first] += area
		whole, most = whole+area, max(most, areas[first])
	}
	if most < mainPiece*whole {
		return m
	}
	out := *m
	out.Triangles = nil
	for t, tri := range m.Triangles {
		first := pieces.First(int32(t))
		if areas[first] >= min(speck, most) {
			out.Triangles = append(out.Triangles, tri)
			continue
		}
		if int32(t) == first {
			done.Specks, done.SpeckArea, done.SpeckAt = done.Specks+1, done.SpeckArea+areas[t], m.Vertices[tri[0]]
		}
	}
	if done.Specks == 0 {
		return m
	}
	return compacted(&out)
}

// compacted is the mesh without the corners that no triangle has.
func compacted(m *mesh.Mesh) *mesh.Mesh {
	number := make([]int32, len(m.Vertices)) // + 1
	out := &mesh.Mesh{Name: m.Name, Triangles: make([][3]int32, len(m.Triangles))}
	for t, tri := range m.Triangles {
		for k, v := range tri {
			if number[v] == 0 {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				number[v] = int32(len(out.Vertices))
			}
			out.Triangles[t][k] = number[v] - 1
		}
	}
	return out
}

// closed puts a fan into every opening that fits into a circle of a diameter.
func closed(m *mesh.Mesh, diameter float64, done *Cleaning) *mesh.Mesh {
	r := &region.Region{Mesh: m, Topo: m.Topology()}
	loops := r.Loops()
	free := map[[2]int32]int32{} // the facet at each free edge
	for _, e := range r.Topo.Edges {
		if e.Free() {
			free[e.V] = e.Tri[0]
		}
	}
	out := &mesh.Mesh{Name: m.Name, Vertices: slices.Clip(m.Vertices), Triangles: slices.Clip(m.Triangles)}
	for k, loop := range loops {
		hole := r.Hole(loop)
		if k == 0 || 2*hole.Radius > diameter || !isClosed(r.Mesh, loop, free) {
			continue // the longest is the part's border
		}
		if done.Holes++; 2*hole.Radius > done.Widest {
			done.Widest, done.HoleAt = 2*hole.Radius, hole.Center
		}
		middle := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, hole.Center)
		for i, v := range loop {
			out.Triangles = append(out.Triangles, [3]int32{loop[(i+1)%len(loop)], v, middle})
		}
	}
	if done.Holes == 0 {
		return m
	}
	return out
}

// isClosed says whether a loop of free edges ends where it began, and its inside is an opening: of facets that are turned either way,
// or that touch at a corner only, some do not.
func isClosed(m *mesh.Mesh, loop []int32, free map[[2]int32]int32) bool {
	sum := r3.Vector{}
	normal := r3.Vector{}
	for i, v := range loop {
		w := loop[(i+1)%len(loop)]
		t, known := free[[2]int32{min(v, w), max(v, w)}]
		if !known {
			return false
		}
		sum = sum.Add(m.Vertices[v].Sub(m.Vertices[loop[0]]).Cross(m.Vertices[w].Sub(m.Vertices[loop[0]])))
		normal = normal.Add(m.Normal(int(t)))
	}
	return sum.Dot(normal) < 0 && math.Abs(sum.Norm()) > 0 // metal on the left: round an opening the loop runs the other way
}
