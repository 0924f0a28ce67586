package near_test

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// A tree over some triangles answers as one over a mesh of no others does, with the numbers of the whole mesh.
func TestNewOver(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	place := func() r3.Vector { return r3.Vector{X: 50 * rng.Float64(), Y: 50 * rng.Float64(), Z: 5 * rng.Float64()} }
	whole, part := &mesh.Mesh{}, &mesh.Mesh{}
	var some []int32
	for i := range int32(600) {
		for range 3 {
			whole.Vertices = append(whole.Vertices, place())
		}
		whole.Triangles = append(whole.Triangles, [3]int32{3 * i, 3*i + 1, 3*i + 2})
		if rng.IntN(3) == 0 {
			some = append(some, i)
			part.Triangles = append(part.Triangles, whole.Triangles[i])
		}
	}
	part.Vertices = whole.Vertices
	over, of := near.NewOver(whole, some, 2), near.New(part)
	if over.Box() != of.Box() {
		t.Errorf("box %v, want %v", over.Box(), of.Box())
	}
	for range 500 {
		p := place()
		a, okA := over.Closest(p, 3)
		b, okB := of.Closest(p, 3)
		if okA != okB || okA && (a.Tri != some[b.Tri] || a.Point != b.Point || a.Distance != b.Distance) {
			t.Fatalf("%v: %+v and %+v", p, a, b)
		}
	}
	if empty := near.NewOver(whole, nil, 2); !empty.Box().IsEmpty() {
		t.Error("a tree over nothing has a box")
	}
}
