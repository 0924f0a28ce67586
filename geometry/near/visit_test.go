package near_test

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

// Every triangle is in one part that has no parts, and in the boxes of all parts on the way to it.
func TestParts(t *testing.T) {
	m := soup(rand.New(rand.NewPCG(21, 4)), 700)
	for _, far := range []float64{0, 4e6} {
		for i := range m.Vertices {
			m.Vertices[i] = m.Vertices[i].Add(vec(far, -far, far/3))
		}
		tree := near.New(m)
		seen := make([]int, len(m.Triangles))
		var below func(number int32) []int32
		below = func(number int32) []int32 {
			p := tree.Part(number)
			all := p.Triangles
			if len(all) == 0 {
				all = append(append(all, below(p.Parts)...), below(p.Parts+1)...)
			}
			for _, tri := range all {
				a, b, c := m.Corners(int(tri))
				for _, v := range [3]r3.Vector{a, b, c} {
					if p.Box.Distance2(v) > 0 {
						t.Fatalf("triangle %d has a corner %v outside its box %v", tri, v, p.Box)
					}
				}
			}
			return all
		}
		for _, tri := range below(0) {
			seen[tri]++
		}
		for tri, n := range seen {
			if n != 1 {
				t.Errorf("triangle %d is in %d parts", tri, n)
			}
		}
	}
	if !near.New(&mesh.Mesh{}).Empty() {
		t.Error("the tree of nothing is not empty")
	}
}

// Groups hold each triangle once, and are no larger than they may be.
func TestGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7))
		m := soup(rng, rapid.IntRange(0, 300).Draw(t, "triangles"))
		most, size := rapid.IntRange(1, 40).Draw(t, "most"), rapid.Float64Range(0, 40).Draw(t, "size")
		seen := make([]int, len(m.Triangles))
		near.New(m).Groups(most, size, func(triangles []int32) {
			box := space.EmptyBox()
			for _, tri := range triangles {
				seen[tri]++
				for _, v := range m.Triangles[tri] {
					box = box.Add(m.Vertices[v])
				}
			}
			if s := box.Size(); len(triangles) > max(most, 8) && max(s.X, s.Y, s.Z) > size { // a leaf has up to eight
				t.Fatalf("%d triangles over %v", len(triangles), s)
			}
		})
		for tri, n := range seen {
			if n != 1 {
				t.Fatalf("triangle %d is in %d groups", tri, n)
			}
		}
	})
}
