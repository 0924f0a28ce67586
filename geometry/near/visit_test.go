package near_test

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

// Every triangle is visited once, after a box that holds it was asked about; none where enter says no.
func TestWalk(t *testing.T) {
	m := soup(rand.New(rand.NewPCG(21, 4)), 700)
	for _, far := range []float64{0, 4e6} {
		for i := range m.Vertices {
			m.Vertices[i] = m.Vertices[i].Add(vec(far, -far, far/3))
		}
		tree := near.New(m)
		seen, asked := make([]int, len(m.Triangles)), 0
		var last space.Box
		tree.Walk(func(b space.Box) bool {
			last, asked = b, asked+1
			return true
		}, func(tri int32) {
			seen[tri]++
			p, q, r := m.Corners(int(tri))
			for _, v := range [3]r3.Vector{p, q, r} {
				if last.Distance2(v) > 0 {
					t.Fatalf("triangle %d has a corner %v outside its box %v", tri, v, last)
				}
			}
		})
		for tri, n := range seen {
			if n != 1 {
				t.Errorf("triangle %d visited %d times", tri, n)
			}
		}
		if asked < len(m.Triangles)/4 {
			t.Errorf("only %d boxes for %d triangles", asked, len(m.Triangles))
		}
		tree.Walk(func(space.Box) bool { return false }, func(tri int32) { t.Errorf("triangle %d visited", tri) })
	}
	near.New(&mesh.Mesh{}).Walk(func(space.Box) bool { return true }, func(int32) { t.Error("a triangle of nothing") })
}
