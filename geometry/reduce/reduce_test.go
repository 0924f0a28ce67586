package reduce

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/internal/looks"
)

// sheet is a grid of n x n squares of two facets, 200 mm wide, with open squares where hole says.
func sheet(n int, height func(x, y float64) float64, hole func(x, y float64) bool) *mesh.Mesh {
	m := &mesh.Mesh{Name: "sheet"}
	place := func(i, j int) (x, y float64) { return 200 * float64(i) / float64(n), 200 * float64(j) / float64(n) }
	for i := range n + 1 {
		for j := range n + 1 {
			x, y := place(i, j)
			m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: y, Z: height(x, y)})
		}
	}
	for i := range n {
		for j := range n {
			if x, y := place(i, j); hole != nil && hole(x, y) {
				continue
			}
			a := int32(i*(n+1) + j)
			b, c, d := a+1, a+int32(n)+1, a+int32(n)+2
			m.Triangles = append(m.Triangles, [3]int32{a, c, b}, [3]int32{b, c, d})
		}
	}
	return m
}

func flat(x, y float64) float64   { return 0 }
func window(x, y float64) bool    { return x > 60 && x < 140 && y > 60 && y < 140 }
func saddle(x, y float64) float64 { return (x - 100) * (y - 100) / 400 }

func ExampleTo() {
	light, err := To(context.Background(), sheet(40, flat, nil), 0.05)
	fmt.Println(len(light[0].Mesh.Triangles), err)
	// Output: 2 <nil>
}

// farthest is how far the corners and the middles of one mesh's facets are off another.
func farthest(from, to *mesh.Mesh) float64 {
	tree := near.New(to)
	most := 0.0
	for t := range from.Triangles {
		a, b, c := from.Corners(t)
		for _, v := range []r3.Vector{a, b, c, a.Add(b).Add(c).Mul(1.0 / 3)} {
			h, ok := tree.Closest(v, math.Inf(1))
			if !ok {
				return math.Inf(1)
			}
			most = math.Max(most, h.Distance)
		}
	}
	return most
}

func freeEdges(m *mesh.Mesh) (length float64) {
	for _, e := range m.Topology().Edges {
		if e.Free() {
			length += m.Vertices[e.V[0]].Distance(m.Vertices[e.V[1]])
		}
	}
	return length
}

func TestWithinTheError(t *testing.T) {
	for _, c := range []struct {
		name   string
		m      *mesh.Mesh
		within float64
		most   int // facets left
	}{
		{"flat", sheet(50, flat, nil), 0.05, 2},
		{"flat, no error at all", sheet(20, flat, nil), 0, 800},
		{"window", sheet(50, flat, window), 0.05, 40},
		{"saddle", sheet(60, saddle, nil), 0.05, 1500},
		{"wave", sheet(80, func(x, y float64) float64 { return 5 * math.Sin(x/20) }, window), 0.05, 2500},
		{"nothing", &mesh.Mesh{}, 0.05, 0},
	} {
		light, err := To(context.Background(), c.m, c.within)
		if err != nil {
			t.Fatal(err)
		}
		got := light[0].Mesh
		if len(got.Triangles) > c.most {
			t.Errorf("%s: %d of %d facets left, %d at most", c.name, len(got.Triangles), len(c.m.Triangles), c.most)
		}
		if len(c.m.Triangles) == 0 {
			continue
		}
		if d := math.Max(farthest(c.m, got), farthest(got, c.m)); d > 1.2*c.within+1e-6 { // between the vertices a little more
			t.Errorf("%s: %g mm off, %g at most", c.name, d, c.within)
		}
		if a, b := freeEdges(c.m), freeEdges(got); !(math.Abs(a-b) <= 1) {
			t.Errorf("%s: free edges of %g mm, %g before", c.name, b, a)
		}
	}
}

func TestStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := To(ctx, sheet(10, flat, nil), 0.05); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := To(context.Background(), sheet(1, flat, nil), math.NaN()); err == nil {
		t.Error("an error that is no number is no error")
	}
}

// Rough meshes, holes anywhere: within the error, the same twice, no edge with more than two facets.
func TestRoughMeshes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 14).Draw(t, "n")
		rough := rapid.Float64Range(0, 0.2).Draw(t, "rough")
		seed := rapid.Uint32().Draw(t, "seed")
		draw := func(x, y float64) float64 {
			h := uint32(x*7+1)*2654435761 ^ uint32(y*13+1)*40503 ^ seed
			h ^= h >> 15
			h *= 2246822519
			return float64(h>>8) / (1 << 24)
		}
		m := sheet(n, func(x, y float64) float64 { return rough * draw(x, y) }, func(x, y float64) bool { return draw(y, x) < 0.15 })
		within := rapid.Float64Range(0.001, 0.3).Draw(t, "within")
		light, err := To(context.Background(), m, within)
		if err != nil {
			t.Fatal(err)
		}
		again, err := To(context.Background(), m, within)
		if err != nil || !reflect.DeepEqual(light, again) {
			t.Fatalf("not the same twice: %v", err)
		}
		a := light[0].Mesh
		if len(a.Triangles) == 0 {
			return
		}
		if d := farthest(a, m); d > 1.2*within+1e-6 {
			t.Fatalf("%g mm off, %g at most", d, within)
		}
		uses := map[[2]int32]int{}
		for _, f := range a.Triangles {
			for k := range 3 {
				uses[[2]int32{f[k], f[(k+1)%3]}]++
			}
		}
		for e, n := range uses {
			if n > 1 {
				t.Fatalf("edge %v is gone through %d times the same way", e, n)
			}
		}
	})
}

func BenchmarkTo(b *testing.B) {
	m := sheet(150, saddle, window)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := To(context.Background(), m, 0.05); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(m.Triangles)), "facets")
}

// Lines are those of the mesh as it was: a fold and its free edges stay, in one piece from corner to corner, and of a smooth round no
// line is drawn however coarse it becomes.
func TestLines(t *testing.T) {
	fold := func(x, y float64) float64 { return math.Max(0, x-100) }
	round := func(x, y float64) float64 { return math.Sqrt(180*180 - (x-100)*(x-100)) }
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want int // lines of the coarse mesh
	}{
		{"flat", sheet(40, flat, nil), 4},
		{"window", sheet(50, flat, window), 8},
		{"fold", sheet(40, fold, nil), 7},          // a fold parts two edges
		{"roughness", sheet(30, sawtooth, nil), 4}, // creased everywhere: only its free edges are lines
	} {
		light, err := To(context.Background(), c.m, 0.05, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(light[1].Lines); n != c.want && c.name != "roughness" || n < c.want {
			t.Errorf("%s: %d lines, want %d", c.name, n, c.want)
		}
	}
	light, err := To(context.Background(), sheet(60, round, nil), 0.05, 2)
	if err != nil {
		t.Fatal(err)
	}
	free := map[[2]int32]bool{}
	for _, e := range light[1].Mesh.Topology().Edges {
		if e.Free() {
			free[e.V] = true
		}
	}
	for _, l := range light[1].Lines {
		if !free[[2]int32{min(l[0], l[1]), max(l[0], l[1])}] {
			t.Errorf("a line is drawn across a smooth round: %v", l)
		}
	}
	if len(free) != len(light[1].Lines) {
		t.Errorf("%d free edges, %d lines", len(free), len(light[1].Lines))
	}
}

func sawtooth(x, y float64) float64 {
	return 8 * math.Abs(math.Mod(x/20+y/30, 1)-0.5) * math.Mod(x, 13) / 4
}

// Levels go on from each other: each within its own error, and lighter than the one before.
func TestLevels(t *testing.T) {
	m := sheet(80, func(x, y float64) float64 { return 5 * math.Sin(x/20) * math.Cos(y/30) }, window)
	light, err := To(context.Background(), m, 0.05, 0.2, 0.8)
	if err != nil {
		t.Fatal(err)
	}
	before := len(m.Triangles)
	for i, within := range []float64{0.05, 0.2, 0.8} {
		l := light[i]
		if n := len(l.Mesh.Triangles); 2*n > before {
			t.Errorf("within %g mm: %d facets, %d before", within, n, before)
		}
		if d := math.Max(farthest(m, l.Mesh), farthest(l.Mesh, m)); d > 1.2*within || l.Off > within || l.Off < d/2 {
			t.Errorf("within %g mm: %g mm off, said to be %g", within, d, l.Off)
		}
		before = len(l.Mesh.Triangles)
	}
	if _, err := To(context.Background(), m, 0.5, 0.1); err == nil {
		t.Error("errors that fall are no error")
	}
}

// It looks at its context at least every 256 vertices, from the first to the last.
func TestLooksWhetherToGoOn(t *testing.T) {
	m := sheet(60, saddle, nil)
	for _, most := range []int{1, 2, 5, 14, 15, 20} {
		if _, err := To(looks.CancelledAt(most+1), m, 0.05); !errors.Is(err, context.Canceled) {
			t.Errorf("after %d looks: %v", most, err)
		}
	}
}

// block is a closed block of 200 x 200 x 20 mm with its faces cut into squares of 20 mm, and a ball where it is bent round.
func block(bent bool) *mesh.Mesh {
	index := map[r3.Vector]int32{}
	m := &mesh.Mesh{Name: "block"}
	at := func(v r3.Vector) int32 {
		if bent { // onto a ball of 100 mm
			c := v.Sub(r3.Vector{X: 100, Y: 100, Z: 100})
			v = c.Normalize().Mul(100)
		}
		if _, ok := index[v]; !ok {
			index[v] = int32(len(m.Vertices))
			m.Vertices = append(m.Vertices, v)
		}
		return index[v]
	}
	square := func(corner, u, v r3.Vector, nu, nv int) {
		for i := range nu {
			for k := range nv {
				p := func(i, k int) int32 { return at(corner.Add(u.Mul(float64(i))).Add(v.Mul(float64(k)))) }
				a, b, c, d := p(i, k), p(i+1, k), p(i+1, k+1), p(i, k+1)
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			}
		}
	}
	x, y, z := r3.Vector{X: 20}, r3.Vector{Y: 20}, r3.Vector{Z: 20}
	high := 1
	if bent {
		high = 10
	}
	top := z.Mul(float64(high))
	square(r3.Vector{}, y, x, 10, 10)
	square(top, x, y, 10, 10)
	square(r3.Vector{}, x, z, 10, high)
	square(y.Mul(10), z, x, high, 10)
	square(r3.Vector{}, z, y, high, 10)
	square(x.Mul(10), y, z, 10, high)
	return m
}

// A closed block becomes the twelve facets and edges of a block; a ball stays closed, within the error, without a line.
func TestClosed(t *testing.T) {
	light, err := To(context.Background(), block(false), 0.05)
	if err != nil || len(light[0].Mesh.Triangles) != 12 || len(light[0].Lines) != 12 || len(light[0].Mesh.Vertices) != 8 {
		t.Errorf("a block: %d facets, %d lines, %v", len(light[0].Mesh.Triangles), len(light[0].Lines), err)
	}
	ball := block(true)
	if light, err = To(context.Background(), ball, 2, 200); err != nil {
		t.Fatal(err)
	}
	for i, l := range light {
		if !l.Mesh.Closed() || len(l.Lines) > 0 || len(l.Mesh.Triangles) < 4 {
			t.Errorf("level %d of a ball: %d facets, %d lines", i, len(l.Mesh.Triangles), len(l.Lines))
		}
	}
	if n := len(light[0].Mesh.Triangles); n >= len(ball.Triangles) || farthest(ball, light[0].Mesh) > 2.4 {
		t.Errorf("%d of %d facets, %g mm off", n, len(ball.Triangles), farthest(ball, light[0].Mesh))
	}
}
