package view

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

func panel(id string, m *mesh.Mesh, thickness float64) Panel {
	return NewPanel(id, near.NewShape(m), thickness)
}

// grid is a flat or curved sheet of n x n squares over [0,side]², lifted by height.
func grid(name string, n int, side float64, at r3.Vector, height func(x, y float64) float64) *mesh.Mesh {
	m := &mesh.Mesh{Name: name}
	for j := 0; j <= n; j++ {
		for i := 0; i <= n; i++ {
			x, y := side*float64(i)/float64(n), side*float64(j)/float64(n)
			m.Vertices = append(m.Vertices, at.Add(r3.Vector{X: x, Y: y, Z: height(x, y)}))
		}
	}
	for j := range n {
		for i := range n {
			a := int32(j*(n+1) + i)
			b, c, d := a+1, a+int32(n)+2, a+int32(n)+1
			m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
		}
	}
	return m
}

func flat(float64, float64) float64 { return 0 }

// cube is a closed box with its lowest corner at p.
func cube(p r3.Vector, side float64) *mesh.Mesh {
	m := &mesh.Mesh{Name: "cube"}
	for k := range 8 {
		m.Vertices = append(m.Vertices, p.Add(r3.Vector{X: side * float64(k&1), Y: side * float64(k>>1&1), Z: side * float64(k>>2)}))
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

func lengths(p *Picture) map[LineKind]float64 {
	out := map[LineKind]float64{}
	for _, l := range p.Lines {
		out[l.Kind] += length(l.Points)
	}
	return out
}

func TestVisibleLengths(t *testing.T) {
	square := panel("square", grid("square", 5, 100, r3.Vector{}, flat), 1)
	third := 40 * math.Sqrt(2.0/3) // an edge of 40 mm seen along the body diagonal
	for _, c := range []struct {
		name    string
		panels  []Panel
		from    r3.Vector
		outline float64
		edge    float64
		crease  float64
	}{
		{"square", []Panel{square}, r3.Vector{Z: 1}, 400, 0, 0},
		{"square from below", []Panel{square}, r3.Vector{Z: -1}, 400, 0, 0},
		{"cube along the diagonal", []Panel{panel("cube", cube(r3.Vector{}, 40), 1)}, r3.Vector{X: 1, Y: 1, Z: 1}, 6 * third, 0, 3 * third},
		{"cube over the middle of the square", []Panel{square, panel("cube", cube(r3.Vector{X: 30, Y: 30, Z: 5}, 40), 1)}, r3.Vector{Z: 1},
			400, 160, 0},
		{"cube under the square", []Panel{square, panel("cube", cube(r3.Vector{X: 30, Y: 30, Z: -50}, 40), 1)}, r3.Vector{Z: 1}, 400, 0, 0},
		{"cube over a corner of the square", []Panel{square, panel("cube", cube(r3.Vector{X: 80, Y: 80, Z: 5}, 40), 1)}, r3.Vector{Z: 1},
			360 + 120, 40, 0},
		{"two sheets of a flange", []Panel{square, panel("under", grid("under", 7, 100, r3.Vector{Z: -1}, flat), 1)}, r3.Vector{Z: 1}, 400, 0,
			0},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Draw(context.Background(), c.panels, From(c.from), Options{Pixel: 0.2})
			if err != nil {
				t.Fatal(err)
			}
			got := lengths(p)
			for kind, want := range map[LineKind]float64{Outline: c.outline, Edge: c.edge, Crease: c.crease} {
				if !(math.Abs(got[kind]-want) <= 2) { // a pixel or two at each of up to ten ends
					t.Errorf("kind %d: %.2f mm, want %.2f", kind, got[kind], want)
				}
			}
		})
	}
}

func TestCylinderHasTwoSilhouettes(t *testing.T) {
	m := &mesh.Mesh{Name: "tube"}
	const n = 48
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		m.Vertices = append(m.Vertices, r3.Vector{X: 20 * c, Y: 20 * s}, r3.Vector{X: 20 * c, Y: 20 * s, Z: 100})
		a, b := int32(2*i), int32(2*((i+1)%n))
		m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
	}
	p, err := Draw(context.Background(), []Panel{panel("tube", m, 1)}, From(r3.Vector{X: 1, Y: 0.03}), Options{Pixel: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	got := lengths(p)
	if want := 2*100 + 2*40.0; !(math.Abs(got[Outline]-want) <= 2) {
		t.Errorf("outline %.2f mm, want %.2f", got[Outline], want)
	}
	if got[Edge]+got[Crease] > 1 {
		t.Errorf("%.2f mm of lines within a smooth tube", got[Edge]+got[Crease])
	}
}

func TestDirectionsInWords(t *testing.T) {
	for _, c := range []struct {
		from r3.Vector
		want string
	}{
		{r3.Vector{X: 1}, "from the front"}, {r3.Vector{X: -2}, "from the rear"}, {r3.Vector{Y: 1}, "from the left"},
		{r3.Vector{Y: -1}, "from the right"},
		{r3.Vector{Z: 1}, "from above"}, {r3.Vector{Z: -1}, "from below"}, {r3.Vector{X: 1, Y: -1}, "from the front and right"},
		{r3.Vector{X: -1, Y: 1, Z: 1}, "from the rear, left and above"}, {r3.Vector{Y: 1, Z: -1}, "from the left and below"},
	} {
		if got := From(c.from).Words; got != c.want {
			t.Errorf("%v: %q, want %q", c.from, got, c.want)
		}
	}
}

func TestBendIsDrawnByItsSides(t *testing.T) {
	// Two flats joined by a quarter round of 4 mm radius in six steps of 15 degrees.
	m := &mesh.Mesh{Name: "angle"}
	var profile []r2.Point
	profile = append(profile, r2.Point{X: -30, Y: 4})
	for k := range 7 {
		s, c := math.Sincos(float64(k) * math.Pi / 12)
		profile = append(profile, r2.Point{X: 4 * s, Y: 4 * c})
	}
	profile = append(profile, r2.Point{X: 4, Y: -30})
	for i, q := range profile {
		m.Vertices = append(m.Vertices, r3.Vector{X: q.X, Z: q.Y}, r3.Vector{X: q.X, Y: 100, Z: q.Y})
		if a := int32(2 * (i - 1)); i > 0 {
			m.Triangles = append(m.Triangles, [3]int32{a, a + 2, a + 3}, [3]int32{a, a + 3, a + 1})
		}
	}
	p, err := Draw(context.Background(), []Panel{panel("angle", m, 1)}, From(r3.Vector{X: 1, Z: 1}), Options{Pixel: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if got := lengths(p)[Crease]; !(math.Abs(got-200) <= 2) {
		t.Errorf("%.2f mm of bend lines, want two of 100", got)
	}
}

func TestRegionsCoverWhatIsSeen(t *testing.T) {
	panels := []Panel{
		panel("square", grid("square", 5, 100, r3.Vector{}, flat), 1),
		panel("cube", cube(r3.Vector{X: 30, Y: 30, Z: 5}, 40), 1),
	}
	p, err := Draw(context.Background(), panels, From(r3.Vector{Z: 1}), Options{Pixel: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Regions) != 2 || p.Regions[0].Tint == p.Regions[1].Tint {
		t.Fatalf("want two regions of different tint, got %+v", p.Regions)
	}
	if n := len(p.Regions[0].Loops); n != 2 {
		t.Fatalf("the square behind the cube has %d loops, want an outside and a hole", n)
	}
	for i, want := range []float64{100 * 100, 40 * 40} {
		if got := area(p.Regions[i].Loops[0]); !(math.Abs(got-want) <= 0.02*want) {
			t.Errorf("region %d: area %.0f, want %.0f", i, got, want)
		}
	}
}

func TestSees(t *testing.T) {
	under := panel("under", grid("under", 3, 100, r3.Vector{}, flat), 1)
	over := panel("over", grid("over", 3, 100, r3.Vector{Z: 1}, flat), 1)
	lid := panel("lid", grid("lid", 3, 40, r3.Vector{X: 30, Y: 30, Z: 30}, flat), 1)
	at := func(x, y float64) Target {
		return Target{At: r3.Vector{X: x, Y: y, Z: 0.5}, Axis: r3.Vector{Z: 1}, Own: []string{"under", "over"}, Stack: 2}
	}
	for _, c := range []struct {
		name   string
		panels []Panel
		from   r3.Vector
		target Target
		want   bool
	}{
		{"through its own sheet", []Panel{under, over}, r3.Vector{Z: 1}, at(50, 50), true},
		{"from the other side", []Panel{under, over}, r3.Vector{Z: -1}, at(50, 50), true},
		{"under a lid", []Panel{under, over, lid}, r3.Vector{Z: 1}, at(50, 50), false},
		{"beside the lid", []Panel{under, over, lid}, r3.Vector{Z: 1}, at(10, 50), true},
		{"under the lid, from the other side", []Panel{under, over, lid}, r3.Vector{Z: -1}, at(50, 50), true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Draw(context.Background(), c.panels, From(c.from), Options{Pixel: 0.5})
			if err != nil {
				t.Fatal(err)
			}
			if got := p.Sees(c.target); got != c.want {
				t.Errorf("seen: %v, want %v", got, c.want)
			}
		})
	}
}

func TestDrawRefusesWhatCannotBeDrawn(t *testing.T) {
	square := panel("square", grid("square", 5, 100, r3.Vector{}, flat), 1)
	for _, c := range []struct {
		name   string
		panels []Panel
		pixel  float64
	}{
		{"no panels", nil, 1}, {"no pixel", []Panel{square}, 0}, {"pixel is not a number", []Panel{square}, math.NaN()},
		{"too many pixels", []Panel{square}, 1e-3},
	} {
		if _, err := Draw(context.Background(), c.panels, From(r3.Vector{Z: 1}), Options{Pixel: c.pixel}); err == nil {
			t.Errorf("%s: no error", c.name)
		}
	}
}

// Simplify must stay within its tolerance of every point that it leaves out.
func TestSimplifyStaysNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 40).Draw(t, "n")
		var points []r2.Point
		for range n {
			points = append(points, r2.Point{X: rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y")})
		}
		tol := rapid.Float64Range(0.01, 5).Draw(t, "tolerance")
		got := Simplify(points, tol)
		for _, p := range points {
			least := math.Inf(1)
			for i := 1; i < len(got); i++ {
				least = math.Min(least, distance(p, got[i-1], got[i]))
			}
			if least > tol+1e-9 {
				t.Fatalf("point %v is %.3f mm from the line, tolerance %.3f", p, least, tol)
			}
		}
	})
}

// Visible lines never grow when something is put in front.
func TestNothingInFrontAddsLines(t *testing.T) {
	square := panel("square", grid("square", 5, 100, r3.Vector{}, func(x, y float64) float64 { return 3 * math.Sin(x/15) }), 1)
	alone, err := Draw(context.Background(), []Panel{square}, From(r3.Vector{Z: 1}), Options{Pixel: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		at := r3.Vector{X: rapid.Float64Range(-30, 90).Draw(t, "x"), Y: rapid.Float64Range(-30, 90).Draw(t, "y"), Z: 10}
		side := rapid.Float64Range(5, 60).Draw(t, "side")
		p, err := Draw(context.Background(), []Panel{square, panel("cube", cube(at, side), 1)}, From(r3.Vector{Z: 1}), Options{Pixel: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		got, before := lengths(p), lengths(alone)
		if total := got[Outline] + got[Edge] + got[Crease]; total > before[Outline]+before[Edge]+before[Crease]+4*side+4 {
			t.Fatalf("%.1f mm of lines, %.1f before a cube of %.1f came", total, before[Outline]+before[Edge]+before[Crease], side)
		}
	})
}

func BenchmarkDraw(b *testing.B) {
	panels := []Panel{
		panel("skin", grid("skin", 100, 1000, r3.Vector{}, func(x, y float64) float64 { return 80 * math.Sin(x/300) * math.Cos(y/400) }), 1),
		panel("box", cube(r3.Vector{X: 300, Y: 300, Z: 100}, 200), 1),
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Draw(context.Background(), panels, From(r3.Vector{X: 1, Y: 1, Z: 1}), Options{Pixel: 2}); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleDraw() {
	square := panel("square", grid("square", 4, 100, r3.Vector{}, flat), 1)
	p, err := Draw(context.Background(), []Panel{square}, From(r3.Vector{Z: 1}), Options{Pixel: 0.5})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range p.Lines {
		fmt.Printf("kind %d: %d points, %.0f mm\n", l.Kind, len(l.Points), length(l.Points))
	}
	// Output:
	// kind 0: 2 points, 100 mm
	// kind 0: 2 points, 100 mm
	// kind 0: 2 points, 100 mm
	// kind 0: 2 points, 100 mm
}
