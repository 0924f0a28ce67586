package cull

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// partOf is a mesh of some of a mesh's triangles and of all that share a corner with them, in the same order: what
// lies about the former is then the same as in the whole. A mesh that is nearly all of it is not copied.
func partOf(m *mesh.Mesh, triangles []int32) *mesh.Mesh {
	const nearlyAll = 0.7
	if float64(len(triangles)) > nearlyAll*float64(len(m.Triangles)) {
		return m
	}
	near := make([]bool, len(m.Vertices)) // corners of the triangles
	for _, t := range triangles {
		for _, v := range m.Triangles[t] {
			near[v] = true
		}
	}
	number := make([]int32, len(m.Vertices)) // + 1
	room := len(triangles) + len(triangles)/4 + 64
	out := &mesh.Mesh{Name: m.Name, Triangles: make([][3]int32, 0, room), Vertices: make([]r3.Vector, 0, room*5/8)}
	for _, t := range m.Triangles {
		if !near[t[0]] && !near[t[1]] && !near[t[2]] {
			continue
		}
		for k, v := range t {
			if number[v] == 0 {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				number[v] = int32(len(out.Vertices))
			}
			t[k] = number[v] - 1
		}
		out.Triangles = append(out.Triangles, t)
	}
	return out
}
