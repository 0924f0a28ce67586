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
	touching, corners := 0, int32(0)
	for _, t := range m.Triangles {
		if !near[t[0]] && !near[t[1]] && !near[t[2]] {
			continue
		}
		touching++
		for _, v := range t {
			if number[v] == 0 {
				corners++
				number[v] = corners
			}
		}
	}
	out := &mesh.Mesh{Name: m.Name, Triangles: make([][3]int32, 0, touching), Vertices: make([]r3.Vector, corners)}
	for _, t := range m.Triangles {
		if near[t[0]] || near[t[1]] || near[t[2]] {
			out.Triangles = append(out.Triangles, [3]int32{number[t[0]] - 1, number[t[1]] - 1, number[t[2]] - 1})
		}
	}
	for v, n := range number {
		if n > 0 {
			out.Vertices[n-1] = m.Vertices[v]
		}
	}
	return out
}
