package flange_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// grid is a rectangle meshed at stations, its diagonals all one way.
func grid(x0, x1, y0, y1, size, z float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	nx, ny := int(math.Round((x1-x0)/size)), int(math.Round((y1-y0)/size))
	for i := range nx + 1 {
		for j := range ny + 1 {
			m.Vertices = append(m.Vertices, vec(x0+float64(i)*size, y0+float64(j)*size, z))
		}
	}
	for i := range int32(nx) {
		for j := range int32(ny) {
			a := i*int32(ny+1) + j
			b := a + int32(ny) + 1
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	return m
}

// slab is a closed solid between two grids.
func slab(x0, x1, y0, y1, size, z0, z1 float64) *mesh.Mesh {
	top, bottom := grid(x0, x1, y0, y1, size, z1), grid(x0, x1, y0, y1, size, z0)
	m := &mesh.Mesh{Vertices: append(bottom.Vertices, top.Vertices...)}
	n := int32(len(top.Vertices))
	for _, t := range top.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{t[0] + n, t[1] + n, t[2] + n})
	}
	for _, t := range bottom.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{t[0], t[2], t[1]})
	}
	topo := bottom.Topology()
	for _, t := range bottom.Triangles {
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			for _, e := range topo.Edges {
				if e.Free() && (e.V == [2]int32{a, b} || e.V == [2]int32{b, a}) {
					m.Triangles = append(m.Triangles, [3]int32{a, b, b + n}, [3]int32{a, b + n, a + n})
				}
			}
		}
	}
	return m
}

// Sheets meshed at the same stations have faces, edges and corners at the very same places. What is found does not hang on
// the order of their facets, on how they are turned, or on a move of less than anybody could measure.
func TestCoincidences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.SampledFrom([]float64{2, 4, 8}).Draw(t, "size")
		ta, tb := rapid.SampledFrom([]float64{0.8, 1, 2}).Draw(t, "a"), rapid.SampledFrom([]float64{0.8, 1, 1.5}).Draw(t, "b")
		width := 8 * float64(rapid.IntRange(1, 2).Draw(t, "width"))
		behind := 8 * float64(rapid.IntRange(0, 3).Draw(t, "behind")) // none: the two lie on each other all over
		surface := rapid.SampledFrom([]flange.Surface{flange.Mid, flange.Skin, flange.Solid}).Draw(t, "surface")
		a, b := flange.Sheet{Name: "a", Thickness: ta, Surface: surface}, flange.Sheet{Name: "b", Thickness: tb, Surface: surface}
		const length = 64
		switch surface {
		case flange.Mid:
			a.Mesh, b.Mesh = grid(0, length, -behind, width, size, ta/2), grid(0, length, 0, width+behind, size, -tb/2)
		case flange.Skin:
			a.Mesh, b.Mesh = grid(0, length, -behind, width, size, 0), grid(0, length, 0, width+behind, size, 0)
		default:
			a.Mesh, b.Mesh = slab(0, length, -behind, width, size, 0, ta), slab(0, length, 0, width+behind, size, -tb, 0)
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		draw := func(within float64) r3.Vector {
			return vec(within*(2*rng.Float64()-1), within*(2*rng.Float64()-1), within*(2*rng.Float64()-1))
		}
		place := rapid.SampledFrom([]space.Place{{}, {Turn: vec(90, 0, 180)}, {Turn: draw(180), Move: draw(900)}}).Draw(t, "place")
		tiny := rapid.SampledFrom([]float64{0, 1e-13, 1e-10, 1e-7, 1e-5, 1e-4}).Draw(t, "tiny")
		for _, s := range []*flange.Sheet{&a, &b} {
			s.Mesh = shuffled(s.Mesh, rng)
			for i, v := range s.Mesh.Vertices {
				s.Mesh.Vertices[i] = v.Add(draw(tiny))
			}
			s.Mesh = s.Mesh.Placed(place)
		}
		found, err := flange.Find(context.Background(), []flange.Sheet{a, b}, flange.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(found.Flanges) != 1 {
			t.Fatalf("%d flanges, want 1; near %+v", len(found.Flanges), found.Near)
		}
		f := found.Flanges[0]
		within := 0.002 + 20*tiny
		if !(math.Abs(f.Length-length) <= within) || !(math.Abs(f.Width.Least-width) <= within) ||
			!(math.Abs(f.Width.Greatest-width) <= within) ||
			!(math.Abs(f.Gap.Mean) <= within) || !(math.Abs(f.Area-length*width) <= within*length) || f.Closed || f.Sides != flange.SidesKnown {
			t.Fatalf("length %.4f, width %+v, gap %+v, area %.3f, sides %q; want %d x %g", f.Length, f.Width, f.Gap, f.Area, f.Sides, length, width)
		}
	})
}
