package flange_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// pair is a plain straight flange, 300 x 16 mm, of 0.9 and 1.2 mm sheet.
func pair(rng *rand.Rand) (a, b flange.Sheet) {
	c := straight(300)
	a = flange.Sheet{Name: "a", Mesh: sweep(c, flat(8, 1.05, 1, 3), 9, rng), Thickness: 0.9}
	b = flange.Sheet{Name: "b", Mesh: sweep(c, flat(8, 0, -1, 2), 7, rng), Thickness: 1.2}
	return a, b
}

// plate is a rectangle of two triangles at a height.
func plate(x0, y0, x1, y1, z float64) *mesh.Mesh {
	return &mesh.Mesh{
		Vertices:  []r3.Vector{vec(x0, y0, z), vec(x1, y0, z), vec(x1, y1, z), vec(x0, y1, z)},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
}

// box is a closed rectangular solid of twelve triangles, normals outward.
func box(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		v := vec(x0, y0, z0)
		if i&1 > 0 {
			v.X = x1
		}
		if i&2 > 0 {
			v.Y = y1
		}
		if i&4 > 0 {
			v.Z = z1
		}
		m.Vertices = append(m.Vertices, v)
	}
	for _, q := range [6][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

func TestNoFlange(t *testing.T) {
	plain := func(m *mesh.Mesh) flange.Sheet { return flange.Sheet{Name: "p", Mesh: m, Thickness: 1} }
	upright := &mesh.Mesh{
		Vertices:  []r3.Vector{vec(0, 50, 0), vec(300, 50, 0), vec(300, 50, 80), vec(0, 50, 80)},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	for name, sheets := range map[string][]flange.Sheet{
		"edge to face":        {plain(plate(0, 0, 300, 100, 0)), plain(upright)},
		"edge to edge":        {plain(plate(0, 0, 300, 100, 0)), plain(plate(0, 100, 300, 200, 0))},
		"far apart":           {plain(plate(0, 0, 300, 100, 0)), plain(plate(0, 0, 300, 100, 60))},
		"inner skin, no edge": {plain(plate(0, 0, 300, 100, 0)), plain(plate(-50, -50, 350, 150, 9))},
		"alone":               {plain(plate(0, 0, 300, 100, 0))},
		"empty":               {plain(plate(0, 0, 300, 100, 0)), plain(&mesh.Mesh{})},
		"a solid and its own far side": {{Name: "s", Mesh: box(0, 0, 0, 300, 20, 1), Thickness: 1, Surface: flange.Solid},
			plain(plate(0, 200, 9, 209, 0))},
	} {
		t.Run(name, func(t *testing.T) {
			if found := find(t, flange.Options{}, sheets...); len(found.Flanges) != 0 {
				t.Errorf("found %d flanges, the first %+v", len(found.Flanges), found.Flanges[0].Width)
			}
		})
	}
}

func TestFacingTooFarApartIsSaid(t *testing.T) {
	for _, apart := range []float64{4, 5} {
		a := flange.Sheet{Name: "a", Mesh: plate(0, 0, 200, 18, 0), Thickness: 1}
		b := flange.Sheet{Name: "b", Mesh: plate(0, 0, 200, 18, apart), Thickness: 1}
		found := find(t, flange.Options{}, a, b)
		if len(found.Flanges) != 0 || len(found.Near) != 1 || !(math.Abs(found.Near[0].Distance-apart) <= 1e-9) {
			t.Errorf("%g mm apart: %d flanges, near: %+v", apart, len(found.Flanges), found.Near)
		}
	}
}

// What is a flange and what faces each other too far apart, at a glance: up to 1 mm of air beside known thicknesses, up to
// 3 mm between meshes where one is not known, and nothing is left unsaid up to 6 mm of air.
func TestFlangeOrTooFarApart(t *testing.T) {
	for _, c := range []struct{ a, b, least, flange, said float64 }{
		{0, 0, 0.5, 3, 6}, {1, 0, 0.5, 3, 6.5}, {5, 0, 2.5, 4, 8.5}, {1, 1, 1, 2, 7}, {2, 1, 1.5, 2.5, 7.5}, {2, 2, 2, 3, 8},
	} {
		for apart := c.least; apart < c.said+1; apart += 0.25 {
			found := find(t, flange.Options{}, sheetOf("a", plate(0, 0, 200, 18, 0), c.a), sheetOf("b", plate(0, -40, 200, 18, apart), c.b))
			flanges, near := 0, 0
			if apart <= c.flange {
				flanges = 1
			} else if apart <= c.said {
				near = 1
			}
			if len(found.Flanges) != flanges || len(found.Near) != near || near > 0 && !(math.Abs(found.Near[0].Distance-apart) <= 1e-9) {
				t.Errorf("thicknesses %g and %g, %g mm apart: %d flanges and near %+v, want %d and %d", c.a, c.b, apart, len(found.Flanges),
					found.Near, flanges, near)
			}
		}
	}
}

// Two nested halves: walls that lap by 20 mm, free edges on opposite sides of the overlap.
func TestLapWithoutOutwardFlange(t *testing.T) {
	a := flange.Sheet{Name: "outer", Mesh: plate(0, 0, 400, 60, 1.1), Thickness: 1}
	b := flange.Sheet{Name: "inner", Mesh: plate(0, 40, 400, 100, 0), Thickness: 1}
	found := find(t, flange.Options{}, a, b)
	if len(found.Flanges) != 1 {
		t.Fatalf("%d flanges, want 1", len(found.Flanges))
	}
	f := found.Flanges[0]
	if !(math.Abs(f.Width.Mean-20) <= 0.01) || !(math.Abs(f.Length-400) <= 0.1) || !(math.Abs(f.Area-8000) <= 8) ||
		!(math.Abs(f.Gap.Mean-0.1) <= 1e-6) {
		t.Errorf("width %.3f, length %.3f, area %.1f, gap %.3f", f.Width.Mean, f.Length, f.Area, f.Gap.Mean)
	}
	s := f.Line[len(f.Line)/2]
	if s.LeftEdge != flange.FreeEdge || s.RightEdge != flange.FreeEdge || s.LeftSheet == s.RightSheet {
		t.Errorf("edges %s of sheet %d and %s of sheet %d: want the free edge of each", s.LeftEdge, s.LeftSheet, s.RightEdge, s.RightSheet)
	}
}

func TestSurfaces(t *testing.T) {
	for name, test := range map[string]struct {
		a, b flange.Sheet
		gap  float64
	}{
		"mid on mid": {
			flange.Sheet{Mesh: plate(0, 0, 300, 18, 0), Thickness: 1},
			flange.Sheet{Mesh: plate(0, 0, 300, 60, 1.3), Thickness: 1.2}, 0.2},
		"skins facing": {
			flange.Sheet{Mesh: plate(0, 0, 300, 18, 0), Thickness: 1, Surface: flange.Skin},
			flange.Sheet{Mesh: plate(0, 0, 300, 60, 0.01), Thickness: 1.2, Surface: flange.Skin}, 0.01},
		"skins on the same side": {
			flange.Sheet{Mesh: plate(0, 0, 300, 18, 0), Thickness: 1, Surface: flange.Skin},
			flange.Sheet{Mesh: plate(0, 0, 300, 60, 1.0), Thickness: 1.2, Surface: flange.Skin}, 0},
		"solid on solid": {
			flange.Sheet{Mesh: box(0, 0, 0, 300, 18, 1), Thickness: 1, Surface: flange.Solid},
			flange.Sheet{Mesh: box(0, 0, 1.15, 300, 60, 2.35), Thickness: 1.2, Surface: flange.Solid}, 0.15},
		"solid in touch": {
			flange.Sheet{Mesh: box(0, 0, 0, 300, 18, 1), Thickness: 1, Surface: flange.Solid},
			flange.Sheet{Mesh: box(0, 0, 1, 300, 60, 2.2), Thickness: 1.2, Surface: flange.Solid}, 0},
		"thickness not known": {
			flange.Sheet{Mesh: plate(0, 0, 300, 18, 0)},
			flange.Sheet{Mesh: plate(0, 0, 300, 60, 1.7)}, 1.7},
	} {
		t.Run(name, func(t *testing.T) {
			found := find(t, flange.Options{}, test.a, test.b)
			if len(found.Flanges) != 1 {
				t.Fatalf("%d flanges, want 1", len(found.Flanges))
			}
			f := found.Flanges[0]
			if !(math.Abs(f.Gap.Mean-test.gap) <= 1e-6) || !(math.Abs(f.Width.Mean-18) <= 0.05) || !(math.Abs(f.Length-300) <= 0.2) {
				t.Errorf("gap %.4f (want %g), width %.3f, length %.3f", f.Gap.Mean, test.gap, f.Width.Mean, f.Length)
			}
			for _, st := range f.Line {
				if height := st.Point.Sub(st.Axis.Mul(st.Offset)).Z - f.Outline[0][0].Z; !(math.Abs(height) <= 1e-6) {
					t.Fatalf("at %.0f mm the offset of %.3f mm leads %.4f mm beside the outline", st.S, st.Offset, height)
				}
			}
		})
	}
}

func TestOpenFitIsPlaced(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	a, b := pair(rng)
	for i, v := range a.Mesh.Vertices { // the upper sheet rises by 0.8 mm about x = 200
		a.Mesh.Vertices[i].Z += 0.8 * math.Exp(-math.Pow((v.X-200)/30, 2))
	}
	found := find(t, flange.Options{}, a, b)
	if len(found.Flanges) != 1 || len(found.Flanges[0].Open) != 1 {
		t.Fatalf("want one flange with one open stretch: %d flanges", len(found.Flanges))
	}
	open, half := found.Flanges[0].Open[0], 30*math.Sqrt(math.Log(0.8/0.5))
	from, to := open.From, open.To
	if found.Flanges[0].Line[0].Point.X > 150 {
		from, to = 300-to, 300-from
	}
	if !(math.Abs(open.Gap-0.8) <= 0.05) || !(math.Abs(from-(200-half)) <= 5) || !(math.Abs(to-(200+half)) <= 5) {
		t.Errorf("open from %.1f to %.1f by %.2f, want %.1f to %.1f by 0.8", from, to, open.Gap, 200-half, 200+half)
	}
}

// A sheet that leaves the other at a slope ends the strip where the fit-up limit is passed, and is not an open fit.
func TestStripEndsWhereTheSheetsPart(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	a, b := pair(rng)
	for i, v := range a.Mesh.Vertices {
		a.Mesh.Vertices[i].Z += math.Max(0, v.X-200) * 0.1
	}
	found := find(t, flange.Options{}, a, b)
	if len(found.Flanges) != 1 {
		t.Fatalf("%d flanges, want 1", len(found.Flanges))
	}
	f := found.Flanges[0]
	unknownA, unknownB := a, b
	unknownA.Thickness, unknownB.Thickness = 0, 0
	if whole := find(t, flange.Options{}, unknownA, unknownB); len(whole.Flanges) != 1 || len(whole.Flanges[0].Open) != 0 {
		t.Errorf("without thicknesses: %d flanges, the gap cannot be called open", len(whole.Flanges))
	}
	if !(math.Abs(f.Length-205) <= 3) || len(f.Open) != 0 || !(math.Abs(f.Area-16*f.Length) <= 50) {
		t.Errorf("length %.1f, want 200 and the 5 mm that it takes to rise by 0.5 mm; open %v; area %.0f", f.Length, f.Open, f.Area)
	}
	end, least, area := max(f.Line[0].Point.X, f.Line[len(f.Line)-1].Point.X), math.Inf(1), 0.0
	for i, p := range f.Outline[0] {
		q := f.Outline[0][(i+1)%len(f.Outline[0])]
		least, area = min(least, end-p.X), area+(p.X*q.Y-p.Y*q.X)/2
	}
	if !(math.Abs(least) <= 0.01) || !(math.Abs(math.Abs(area)/f.Area-1) <= 0.01) {
		t.Errorf("the outline ends %.2f mm before the line and holds %.0f of %.0f mm²", least, math.Abs(area), f.Area)
	}
}

func TestHoleIsFoundAndCrossed(t *testing.T) {
	// A 200 x 20 strip with a square hole of 6 mm in its middle, drawn as loops and as a mesh.
	loop := func(x0, y0, x1, y1 float64) []r3.Vector {
		return []r3.Vector{vec(x0, y0, 0), vec(x1, y0, 0), vec(x1, y1, 0), vec(x0, y1, 0)}
	}
	flanges, err := flange.FromOutline(context.Background(), [][]r3.Vector{loop(0, 0, 200, 20), loop(97, 7, 103, 13)}, flange.Options{})
	if err != nil || len(flanges) != 1 {
		t.Fatalf("%d flanges, %v", len(flanges), err)
	}
	f := flanges[0]
	if f.Closed || len(f.Holes) != 1 || !(f.Holes[0].Center.Sub(vec(100, 10, 0)).Norm() <= 1e-6) ||
		!(math.Abs(f.Holes[0].Radius-3*math.Sqrt2) <= 1e-6) {
		t.Fatalf("closed %v, holes %+v", f.Closed, f.Holes)
	}
	for _, s := range f.Line {
		if !(math.Abs(s.Point.Y-10) <= 0.05) {
			t.Errorf("the weld line swerves to %.3f at %.1f", s.Point.Y, s.S)
		}
	}
	if !(math.Abs(f.Length-200) <= 0.1) || !(math.Abs(f.Area-(4000-36)) <= 0.5) {
		t.Errorf("length %.3f, area %.2f", f.Length, f.Area)
	}
}

func TestFromOutlineRefusesWhatIsNoStrip(t *testing.T) {
	small := [][]r3.Vector{{vec(0, 0, 0), vec(3, 0, 0), vec(3, 3, 0)}}
	if _, err := flange.FromOutline(context.Background(), small, flange.Options{}); !errors.Is(err, flange.ErrNoStrip) {
		t.Errorf("a 3 mm triangle: %v", err)
	}
}

func TestFromLine(t *testing.T) {
	f, err := flange.FromLine([]r3.Vector{vec(0, 0, 5), vec(100, 0, 5), vec(100, 80, 5)}, false, 16, nil, flange.Options{})
	if err != nil || !(math.Abs(f.Length-180) <= 1e-9) || f.Width.Mean != 16 || f.Line[10].Axis != vec(0, 0, 1) {
		t.Errorf("%v %+v", err, f.Width)
	}
	if _, err := flange.FromLine([]r3.Vector{vec(0, 0, 0), vec(1, 0, 0)}, false, 16, nil, flange.Options{}); err == nil {
		t.Error("a line of 1 mm was taken")
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	a, b := pair(rand.New(rand.NewPCG(1, 1)))
	if _, err := flange.Find(ctx, []flange.Sheet{a, b}, flange.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("want cancelled, got %v", err)
	}
}
