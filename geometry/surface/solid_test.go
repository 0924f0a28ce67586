package surface

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// plate is a closed solid of a flat sheet in cells of 5 mm.
func plate(long, wide, thick float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	known := map[[3]float64]int32{}
	at := func(x, y, z float64) int32 {
		key := [3]float64{x, y, z}
		v, ok := known[key]
		if !ok {
			v = int32(len(m.Vertices))
			known[key] = v
			m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: y, Z: z})
		}
		return v
	}
	quad := func(a, b, c, d int32) { m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d}) }
	const cell = 5.0
	for x := 0.0; x < long; x += cell {
		for y := 0.0; y < wide; y += cell {
			quad(at(x, y, thick), at(x+cell, y, thick), at(x+cell, y+cell, thick), at(x, y+cell, thick))
			quad(at(x, y, 0), at(x, y+cell, 0), at(x+cell, y+cell, 0), at(x+cell, y, 0))
		}
		quad(at(x, 0, 0), at(x+cell, 0, 0), at(x+cell, 0, thick), at(x, 0, thick))
		quad(at(x+cell, wide, 0), at(x, wide, 0), at(x, wide, thick), at(x+cell, wide, thick))
	}
	for y := 0.0; y < wide; y += cell {
		quad(at(0, y+cell, 0), at(0, y, 0), at(0, y, thick), at(0, y+cell, thick))
		quad(at(long, y, 0), at(long, y+cell, 0), at(long, y+cell, thick), at(long, y, thick))
	}
	return m
}

// A solid's thickness is measured where it is not stated, and is the stated one where it is.
func TestThicknessOfASolid(t *testing.T) {
	for stated, want := range map[float64]float64{0: 1.2, 1.2: 1.2, 1.5: 1.5} {
		p := NewPanel(Sheet{Mesh: plate(60, 20, 1.2), Surface: Solid, Thickness: stated}, Whole{}, 25, 1)
		if !(math.Abs(p.Thickness-want) <= 1e-9) {
			t.Errorf("stated %g: %g, want %g", stated, p.Thickness, want)
		}
		if metal := p.GreatestMetal(); !(math.Abs(metal-want) <= 1e-9) {
			t.Errorf("stated %g: %g mm of metal on one side", stated, metal)
		}
	}
	if metal := NewPanel(Sheet{Mesh: plate(60, 20, 1.2), Surface: Mid, Thickness: 1.2}, Whole{}, 25, 1).GreatestMetal(); metal != 0.6 {
		t.Errorf("%g mm of metal on one side of a mid-surface", metal)
	}
}

// Tilt is how far the normals of noisy facets were turned at most.
func TestTiltOfNoisyFacets(t *testing.T) {
	m := &mesh.Mesh{}
	const n = 20
	for i := range n + 1 {
		for k := range n + 1 {
			m.Vertices = append(m.Vertices, r3.Vector{X: float64(i) * 0.4, Y: float64(k) * 0.4, Z: 0.02 * math.Sin(float64(7*i*i+13*k*i+5*k*k))})
		}
	}
	for i := range int32(n) {
		for k := range int32(n) {
			a, b := i*(n+1)+k, (i+1)*(n+1)+k
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	p := NewPanel(Sheet{Mesh: m, Thickness: 1}, Whole{}, 25, 1)
	most := 0.0
	for t := range m.Triangles {
		most = max(most, math.Acos(min(1, m.Normal(t).Dot(p.Normals[t]))))
	}
	if most < 0.02 || !(math.Abs(p.Tilt-most) <= 1e-6) {
		t.Errorf("tilt %g, normals were turned by up to %g", p.Tilt, most)
	}
}
