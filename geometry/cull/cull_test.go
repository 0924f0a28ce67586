package cull_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/cull"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// Of two panels whose corners come within the distance, near any border between cells and on either side, both keep the triangles that
// do; and far from each other nothing is kept of a large one.
func TestWhatComesNearIsKept(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for range 400 {
		within := .2 + 30*rng.Float64()
		at := r3.Vector{X: 400 * (rng.Float64() - .5), Y: 400 * (rng.Float64() - .5), Z: 400 * (rng.Float64() - .5)}
		axis := rng.IntN(3)
		apart := within * (1 - 1e-6) // a whole distance along one axis, so that each box is grown by its half
		a, b := speck(at, axis, -1), speck(moved(at, axis, apart), axis, 1)
		parts, err := cull.NearParts(context.Background(), []*mesh.Mesh{a, b}, within, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(parts[0].Triangles) == 0 || len(parts[1].Triangles) == 0 {
			t.Fatalf("%.3f apart along axis %d at %v: %d and %d triangles kept of 1", apart, axis, at, len(parts[0].Triangles),
				len(parts[1].Triangles))
		}
	}
}

// speck is a small triangle that ends at a place along an axis, to one side.
func speck(at r3.Vector, axis int, side float64) *mesh.Mesh {
	back, beside := moved(at, axis, side), moved(moved(at, axis, side), (axis+1)%3, .5)
	return &mesh.Mesh{Vertices: []r3.Vector{at, back, beside}, Triangles: [][3]int32{{0, 1, 2}}}
}

func moved(p r3.Vector, axis int, by float64) r3.Vector {
	switch axis {
	case 0:
		p.X += by
	case 1:
		p.Y += by
	default:
		p.Z += by
	}
	return p
}

// Against every pair of triangles of meshes drawn at random.
func TestAgainstEveryPair(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 8))
	for range 60 {
		within := .5 + 12*rng.Float64()
		var meshes []*mesh.Mesh
		for range 3 {
			m := &mesh.Mesh{}
			for range 40 {
				p := r3.Vector{X: 200 * rng.Float64(), Y: 200 * rng.Float64(), Z: 60 * rng.Float64()}
				n := int32(len(m.Vertices))
				for range 3 {
					m.Vertices = append(m.Vertices, p.Add(r3.Vector{X: 8 * rng.NormFloat64(), Y: 8 * rng.NormFloat64(), Z: 2 * rng.NormFloat64()}))
				}
				m.Triangles = append(m.Triangles, [3]int32{n, n + 1, n + 2})
			}
			meshes = append(meshes, m)
		}
		parts, err := cull.NearParts(context.Background(), meshes, within, 1)
		if err != nil {
			t.Fatal(err)
		}
		for i, m := range meshes {
			kept := map[[3]r3.Vector]bool{}
			for k := range parts[i].Triangles {
				kept[corners(parts[i], k)] = true
			}
			for k := range m.Triangles {
				if near := boxNear(m, k, meshes, i, within); near && !kept[corners(m, k)] {
					t.Fatalf("triangle %d of mesh %d has another's within %.2f and is not kept", k, i, within)
				}
			}
		}
	}
}

func corners(m *mesh.Mesh, k int) [3]r3.Vector {
	a, b, c := m.Corners(k)
	return [3]r3.Vector{a, b, c}
}

// boxNear reports whether the boxes of a triangle and of one of another mesh are within a distance along each axis.
func boxNear(m *mesh.Mesh, k int, all []*mesh.Mesh, own int, within float64) bool {
	box := func(m *mesh.Mesh, k int) space.Box {
		a, b, c := m.Corners(k)
		return space.EmptyBox().Add(a).Add(b).Add(c)
	}
	of := box(m, k)
	for i, o := range all {
		for n := range o.Triangles {
			with := box(o, n)
			gap := math.Max(math.Max(axisGap(of.Min.X, of.Max.X, with.Min.X, with.Max.X), axisGap(of.Min.Y, of.Max.Y, with.Min.Y, with.Max.Y)),
				axisGap(of.Min.Z, of.Max.Z, with.Min.Z, with.Max.Z))
			if i != own && gap <= within {
				return true
			}
		}
	}
	return false
}

func axisGap(a, b, c, d float64) float64 { return math.Max(0, math.Max(c-b, a-d)) }
