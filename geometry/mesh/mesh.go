// Package mesh holds triangle meshes of pressed panels in millimetres: read from STL, with equal
// vertices merged so that neighbours, free edges and creases can be found.
//
//	m, notes, err := mesh.ReadFile("roof.stl", mesh.Options{Unit: space.Millimetre})
//	if err != nil { … }
//	fmt.Println(m.Area(), len(m.Topology().Edges), notes)
package mesh

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/intake"
	"seamwright/geometry/space"
)

// Mesh is a triangle mesh. Vertices are in millimetres; each triangle holds three vertex indices,
// anticlockwise seen from the side that its normal points to. No two vertices are equal.
type Mesh struct {
	Name      string
	Vertices  []r3.Vector
	Triangles [][3]int32
	Source    intake.Sum // of the file that ReadFile read it from
}

// Corners returns the three corners of triangle t.
func (m *Mesh) Corners(t int) (a, b, c r3.Vector) {
	v := m.Triangles[t]
	return m.Vertices[v[0]], m.Vertices[v[1]], m.Vertices[v[2]]
}

// Normal returns the unit normal of triangle t, or the zero vector when its area is zero.
func (m *Mesh) Normal(t int) r3.Vector {
	n := m.twiceArea(m.Triangles[t])
	length := n.Norm()
	if length == 0 {
		return r3.Vector{}
	}
	return n.Mul(1 / length)
}

// Area is the sum of the triangles' areas in mm².
func (m *Mesh) Area() float64 {
	sum := 0.0
	for _, t := range m.Triangles {
		sum += m.twiceArea(t).Norm() / 2
	}
	return sum
}

// twiceArea is normal to a triangle and as long as twice its area in mm².
func (m *Mesh) twiceArea(t [3]int32) r3.Vector {
	a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
	return b.Sub(a).Cross(c.Sub(a))
}

// Box is the box of all vertices.
func (m *Mesh) Box() space.Box {
	box := space.EmptyBox()
	for _, v := range m.Vertices {
		box = box.Add(v)
	}
	return box
}

// Placed returns a copy of the mesh in its place. A mirrored place also flips the triangles, so that
// normals keep pointing to the same side of the sheet.
func (m *Mesh) Placed(p space.Place) *Mesh {
	out := &Mesh{Name: m.Name, Source: m.Source, Vertices: make([]r3.Vector, len(m.Vertices)), Triangles: make([][3]int32, len(m.Triangles))}
	for i, v := range m.Vertices {
		out.Vertices[i] = p.Apply(v)
	}
	copy(out.Triangles, m.Triangles)
	if p.Mirror {
		for i, t := range out.Triangles {
			out.Triangles[i] = [3]int32{t[0], t[2], t[1]}
		}
	}
	return out
}
