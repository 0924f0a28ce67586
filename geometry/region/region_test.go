package region

import (
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
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

// A trace beyond its end is the trace to just beyond where it ends otherwise.
func TestTraceBeyond(t *testing.T) {
	m := &mesh.Mesh{}
	for i := range int32(12) {
		m.Vertices = append(m.Vertices, r3.Vector{X: float64(i), Y: -1}, r3.Vector{X: float64(i) + 0.3, Y: 2})
		if a := 2 * i; i > 0 {
			m.Triangles = append(m.Triangles, [3]int32{a - 2, a, a - 1}, [3]int32{a - 1, a, a + 1})
		}
	}
	r := &Region{Mesh: m, Topo: m.Topology()}
	from, plane, dir := Place{r3.Vector{X: 1.1}, 2}, r3.Vector{Y: 1}, r3.Vector{X: 1}
	for _, most := range []float64{0.2, 3, 7.5, 9.6, 40} {
		first := r.Trace(from, plane, dir, most)
		want, got := r.Trace(from, plane, dir, first.Length*(1+kit.AlikeTo)), r.TraceBeyond(from, plane, dir, most)
		if !slices.Equal(got.Path, want.Path) || got.Length != want.Length || got.Ok != want.Ok || got.Edge != want.Edge {
			t.Errorf("beyond %g mm: %+v, want %+v", most, got, want)
		}
		if !first.Ok && len(got.Path) == len(first.Path) {
			t.Errorf("beyond %g mm: no step on", most)
		}
	}
}
