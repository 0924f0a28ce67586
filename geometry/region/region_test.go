package region

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// A sliver of a cut border that a moved cut point has turned over does not turn the normals at its corners: the width
// of a strip, moved out along them to the faying surface, would come out millimetres too wide there.
func TestOverturnedSliver(t *testing.T) {
	up, down := r3.Vector{Z: 1}, r3.Vector{Z: -1}
	at := []r3.Vector{{}, {X: 4}, {X: 4, Y: 3}, {Y: 3}, {X: 2, Y: 2.99}}
	for name, normals := range map[string][]r3.Vector{ // of the corners before
		"as the facets":      {up, up, up, up, up},
		"one facet's turned": {up, down, up, up, up},
		"the sliver's too":   {up, up, up, up, down},
	} {
		whole := &Region{
			Mesh:    &mesh.Mesh{Vertices: at, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {3, 2, 4}}},
			Normals: normals, Borders: make([]Border, len(at)),
		}
		r := whole.Sub([]int32{0, 1, 2})
		for v, n := range r.Normals {
			if n != up {
				t.Errorf("%s: the normal at %v is %v", name, r.Mesh.Vertices[v], n)
			}
		}
	}
}
