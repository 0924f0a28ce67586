package flange_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// joined puts meshes into one without merging their corners: loose strips of one part.
func joined(parts ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range parts {
		first := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, t := range m.Triangles {
			out.Triangles = append(out.Triangles, [3]int32{t[0] + first, t[1] + first, t[2] + first})
		}
	}
	return out
}

func sheetOf(name string, m *mesh.Mesh, thickness float64) flange.Sheet {
	return flange.Sheet{Name: name, Mesh: m, Thickness: thickness}
}

// Two nested halves, channels of 60 mm walls that lap by 20 mm on both sides.
func TestNestedHalves(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	c := straight(400)
	outer := sweep(c, profile{{-40, 60}, {-40, 30}, {-40, 3}, {-37, 0}, {37, 0}, {40, 3}, {40, 30}, {40, 60}}, 12, rng)
	inner := sweep(c, profile{{-39, 40}, {-39, 70}, {-39, 97}, {-36, 100}, {36, 100}, {39, 97}, {39, 70}, {39, 40}}, 9, rng)
	found := find(t, flange.Options{}, sheetOf("outer", outer, 1), sheetOf("inner", inner, 1))
	if len(found.Flanges) != 2 {
		t.Fatalf("%d flanges, want one on each side", len(found.Flanges))
	}
	for _, f := range found.Flanges {
		if !(math.Abs(f.Length-400) <= 1) || !(math.Abs(f.Width.Least-20) <= 0.1) || !(math.Abs(f.Width.Greatest-20) <= 0.1) {
			t.Errorf("length %.2f, width %+v", f.Length, f.Width)
		}
		s := f.Line[len(f.Line)/2]
		if s.LeftEdge != flange.FreeEdge || s.RightEdge != flange.FreeEdge || s.LeftSheet == s.RightSheet {
			t.Errorf("edges %s of %d and %s of %d", s.LeftEdge, s.LeftSheet, s.RightEdge, s.RightSheet)
		}
	}
}

// Mid-surfaces that run from a fifth below their nominal distance to a fifth above it are one flange.
func TestGapFromBelowToAboveNominal(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	c := straight(400)
	const thickness = 1.5
	a := sweep(c, flat(9, thickness, 1, 3), 8, rng)
	for i, v := range a.Vertices {
		a.Vertices[i].Z += 0.2 * thickness * (v.X/200 - 1)
	}
	b := sweep(c, flat(9, 0, -1, 2), 11, rng)
	found := find(t, flange.Options{}, sheetOf("a", a, thickness), sheetOf("b", b, thickness))
	if len(found.Flanges) != 1 || len(found.Flanges[0].Open) != 0 {
		t.Fatalf("%d flanges, want 1 without an open place", len(found.Flanges))
	}
	f := found.Flanges[0]
	if !(math.Abs(f.Length-400) <= 1) || !(math.Abs(f.Gap.Least+0.3) <= 0.02) || !(math.Abs(f.Gap.Greatest-0.3) <= 0.02) {
		t.Errorf("length %.2f, gap %+v", f.Length, f.Gap)
	}
}

// Three sheets with 0.7 mm of air on both sides of the middle one.
func TestAirOnBothSides(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 4))
	c := straight(300)
	found := find(t, flange.Options{}, sheetOf("a", sweep(c, flat(8, 1.7, 1, 3), 8, rng), 1),
		sheetOf("b", sweep(c, profile{{8, 0}, {-8, 0}}, 9, rng), 1), sheetOf("c", sweep(c, flat(8, -1.7, -1, 2), 7, rng), 1))
	if len(found.Flanges) != 1 || len(found.Flanges[0].Sheets) != 3 || !(math.Abs(found.Flanges[0].Gap.Mean-1.4) <= 0.01) {
		t.Fatalf("%d flanges, want one of three sheets with 1.4 mm of air", len(found.Flanges))
	}
	check(t, found.Flanges[0], trueLine(c, 0, 300, 0), 16)
}

// A U of 18 mm with two sharp corners on a large curved panel.
func TestSharpCorneredU(t *testing.T) {
	const radius, half = 1500., 9.
	s := cylinderSurface(radius)
	grid := func(height, pitch float64, inside func(x, y float64) bool) *mesh.Mesh {
		m := &mesh.Mesh{}
		index := map[[2]int]int32{}
		at := func(i, j int) int32 {
			if v, known := index[[2]int{i, j}]; known {
				return v
			}
			p := s.onto(float64(i)*pitch, float64(j)*pitch)
			index[[2]int{i, j}] = int32(len(m.Vertices))
			m.Vertices = append(m.Vertices, p.Add(s.normal(p).Mul(height)))
			return int32(len(m.Vertices) - 1)
		}
		for i := -60; i < 60; i++ {
			for j := -60; j < 60; j++ {
				if inside((float64(i)+.5)*pitch, (float64(j)+.5)*pitch) {
					m.Triangles = append(m.Triangles, [3]int32{at(i, j), at(i+1, j), at(i+1, j+1)}, [3]int32{at(i, j), at(i+1, j+1), at(i, j+1)})
				}
			}
		}
		return m
	}
	u := grid(1, 3, func(x, y float64) bool {
		return math.Abs(x) < 90+half && y < 60+half && y > -90 && !(math.Abs(x) < 90-half && y < 60-half)
	})
	panel := grid(0, 7, func(x, y float64) bool { return true })
	found := find(t, flange.Options{}, sheetOf("panel", panel, 1), sheetOf("u", u, 1))
	if len(found.Flanges) != 1 {
		for _, f := range found.Flanges {
			t.Logf("length %.1f, width %+v, closed %v", f.Length, f.Width, f.Closed)
		}
		t.Fatalf("%d flanges, want 1", len(found.Flanges))
	}
	line := curve.New(points(found.Flanges[0]), false)
	for _, q := range [][2]float64{{-90, -80}, {-90, 0}, {-90, 40}, {-60, 60}, {0, 60}, {60, 60}, {90, 40}, {90, 0}, {90, -80}} {
		p := s.onto(q[0], q[1])
		if _, d := line.Nearest(p.Add(s.normal(p).Mul(.5))); d > 0.3 {
			t.Errorf("the weld line passes %.2f mm beside %v", d, q)
		}
	}
	if want := 150*2 + 180.; !(math.Abs(line.Length()-want) <= 12) {
		t.Errorf("length %.1f, want %.0f less the corners that are cut", line.Length(), want)
	}
}

// One part of two loose strips, on both sides of the other part's sheet.
func TestLooseStripsOnBothSides(t *testing.T) {
	blade := plate(0, 0, 300, 60, 0)
	strips := joined(plate(0, 0, 300, 18, 1), plate(0, 0, 300, 18, -1))
	for _, sheets := range [][]flange.Sheet{{sheetOf("blade", blade, 1), sheetOf("strips", strips, 1)}, {sheetOf("strips", strips, 1),
		sheetOf("blade", blade, 1)}} {
		found := find(t, flange.Options{}, sheets...)
		if len(found.Flanges) != 1 {
			for _, f := range found.Flanges {
				t.Logf("%v length %.1f, width %+v", f.Sheets, f.Length, f.Width)
			}
			t.Fatalf("%d flanges, want one stack of three layers", len(found.Flanges))
		}
		if f := found.Flanges[0]; len(f.Sheets) != 3 || !(math.Abs(f.Length-300) <= 1) || !(math.Abs(f.Width.Mean-18) <= 0.1) {
			t.Errorf("%v length %.2f, width %+v", f.Sheets, f.Length, f.Width)
		}
	}
}

// Two 4 mm slots in the lower sheet are listed, and the weld line runs straight past them.
func TestSlots(t *testing.T) {
	upper := plate(0, 0, 300, 20, 1)
	lower := &mesh.Mesh{}
	xs, ys := []float64{0, 95, 115, 200, 220, 300}, []float64{-40, 0, 8, 12, 20}
	for _, x := range xs {
		for _, y := range ys {
			lower.Vertices = append(lower.Vertices, vec(x, y, 0))
		}
	}
	for i := range int32(len(xs) - 1) {
		for j := range int32(len(ys) - 1) {
			if a, n := i*int32(len(ys))+j, int32(len(ys)); j != 2 || i%2 == 0 {
				lower.Triangles = append(lower.Triangles, [3]int32{a, a + n, a + n + 1}, [3]int32{a, a + n + 1, a + 1})
			}
		}
	}
	for _, sheets := range [][]flange.Sheet{{sheetOf("upper", upper, 1), sheetOf("lower", lower, 1)},
		{sheetOf("lower", lower, 1), sheetOf("upper", upper, 1)}} {
		found := find(t, flange.Options{}, sheets...)
		if len(found.Flanges) != 1 || len(found.Flanges[0].Holes) != 2 {
			for _, f := range found.Flanges {
				t.Logf("%v length %.1f, width %+v, holes %v", f.Sheets, f.Length, f.Width, f.Holes)
			}
			t.Fatalf("%d flanges, want one with two holes", len(found.Flanges))
		}
		check(t, found.Flanges[0], curve.New([]r3.Vector{vec(0, 10, .5), vec(300, 10, .5)}, false), 20)
		if f := found.Flanges[0]; !(math.Abs(f.Area-(6000-160)) <= 6) {
			t.Errorf("area %.1f, want 5840", f.Area)
		}
	}
}

// A mirrored pair has the mirrored weld line, to 1e-6 of its size.
func TestMirrored(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 4))
	c := sCurve(150, 1)
	a, b := sweep(c, flat(8, 1, 1, 3), 6, rng), sweep(c, flat(8, 0, -1, 2), 7, rng)
	mirror := func(m *mesh.Mesh) *mesh.Mesh {
		out := &mesh.Mesh{}
		for _, v := range m.Vertices {
			out.Vertices = append(out.Vertices, vec(v.X, -v.Y, v.Z))
		}
		for _, t := range m.Triangles {
			out.Triangles = append(out.Triangles, [3]int32{t[0], t[2], t[1]})
		}
		return out
	}
	one, err := flange.Find(context.Background(), []flange.Sheet{sheetOf("a", a, 1), sheetOf("b", b, 1)}, flange.Options{})
	two := find(t, flange.Options{}, sheetOf("a", mirror(a), 1), sheetOf("b", mirror(b), 1))
	if err != nil || len(one.Flanges) != 1 || len(two.Flanges) != 1 {
		t.Fatalf("%v: %d and %d flanges", err, len(one.Flanges), len(two.Flanges))
	}
	f, g := one.Flanges[0], two.Flanges[0]
	d := differ(f, g, func(p r3.Vector) r3.Vector { return vec(p.X, -p.Y, p.Z) })
	if limit := 1e-6 * size([]flange.Sheet{sheetOf("a", a, 1), sheetOf("b", b, 1)}); !(d.most() <= limit) {
		t.Errorf("the mirrored strip is off by %+v, more than %g", d, limit)
	}
}

// Sheets that share an edge at right angles, as parts cut out of one mesh do, are not a flange.
func TestSharedEdgesAreNoFlange(t *testing.T) {
	floor := joined(plate(0, 0, 300, 50, 0), plate(0, 50, 300, 100, 0))
	wall := &mesh.Mesh{
		Vertices:  []r3.Vector{vec(0, 50, 0), vec(300, 50, 0), vec(300, 50, 40), vec(0, 50, 40)},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	if found := find(t, flange.Options{}, sheetOf("floor", floor, 1), sheetOf("wall", wall, 1)); len(found.Flanges) != 0 {
		t.Errorf("%d flanges where a wall stands on a floor", len(found.Flanges))
	}
}
