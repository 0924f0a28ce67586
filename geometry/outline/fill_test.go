package outline

import (
	"math"
	"math/rand"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/delaunay"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

const pi = math.Pi

func square(x, y, size float64) []r3.Vector {
	return []r3.Vector{vec(x, y, 0), vec(x+size, y, 0), vec(x+size, y+size, 0), vec(x, y+size, 0)}
}

func mustFill(t testing.TB, loops ...[]r3.Vector) *mesh.Mesh {
	t.Helper()
	m, err := Fill(loops)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// fataler is what *testing.T and *rapid.T share.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

// checkCover checks that triangles cover an area once: each lies the right way round, each edge between two
// triangles is used once in each direction, and the areas add up. With a boundary that winds once round every
// covered place, areas that add up leave no room for overlaps.
func checkCover(t fataler, m *mesh.Mesh, up r3.Vector, area float64) {
	t.Helper()
	sum := 0.0
	sides := map[[2]int32]bool{}
	for i, tri := range m.Triangles {
		a, b, c := m.Corners(i)
		twice := b.Sub(a).Cross(c.Sub(a)).Dot(up)
		round := twice > 0
		if up == vec(0, 0, 1) { // of three points nearly in line the sign is told exactly alone
			round = delaunay.Orient(r2.Point{X: a.X, Y: a.Y}, r2.Point{X: b.X, Y: b.Y}, r2.Point{X: c.X, Y: c.Y}) > 0
		}
		if !round {
			t.Fatalf("triangle %d lies the wrong way round: %v %v %v", i, a, b, c)
		}
		sum += twice / 2
		for k := range 3 {
			side := [2]int32{tri[k], tri[(k+1)%3]}
			if sides[side] {
				t.Fatalf("triangles overlap at side %v", side)
			}
			sides[side] = true
		}
	}
	if !(math.Abs(sum-area) <= 1e-9*area) {
		t.Fatalf("area %.15g, want %.15g", sum, area)
	}
}

func TestFill(t *testing.T) {
	circleLoop := func(x, y, r float64, n int) []r3.Vector {
		var loop []r3.Vector
		for i := range n {
			loop = append(loop, vec(x+r*math.Cos(2*pi*float64(i)/float64(n)), y+r*math.Sin(2*pi*float64(i)/float64(n)), 0))
		}
		return loop
	}
	polygon := func(r float64, n int) float64 { return float64(n) / 2 * r * r * math.Sin(2*pi/float64(n)) }
	for _, c := range []struct {
		name      string
		loops     [][]r3.Vector
		area      float64
		triangles int
	}{
		{"triangle", [][]r3.Vector{{vec(0, 0, 0), vec(4, 0, 0), vec(0, 3, 0)}}, 6, 1},
		{"triangle, clockwise", [][]r3.Vector{{vec(0, 3, 0), vec(4, 0, 0), vec(0, 0, 0)}}, 6, 1},
		{"square that repeats its start", [][]r3.Vector{append(square(0, 0, 2), vec(0, 0, 0))}, 4, 2},
		{"points given twice", [][]r3.Vector{slices.Concat(square(0, 0, 2)[:2], square(0, 0, 2)[1:], square(0, 0, 2)[3:])}, 4, 2},
		{"points in line", [][]r3.Vector{{vec(0, 0, 0), vec(1, 0, 0), vec(2, 0, 0), vec(3, 0, 0), vec(3, 3, 0), vec(2, 2, 0), vec(1, 1, 0)}},
			4.5, 5},
		{"spike there and back", [][]r3.Vector{{vec(0, 0, 0), vec(2, 0, 0), vec(5, 0, 0), vec(2, 0, 0), vec(2, 2, 0), vec(0, 2, 0)}}, 4, 2},
		{"hole", [][]r3.Vector{square(0, 0, 10), square(2, 2, 3)}, 91, 8},
		{"hole first", [][]r3.Vector{square(2, 2, 3), square(0, 0, 10)}, 91, 8},
		{"island in a hole", [][]r3.Vector{square(0, 0, 10), square(1, 1, 8), square(2, 2, 3)}, 45, 10},
		{"side by side", [][]r3.Vector{square(0, 0, 2), square(5, 0, 2)}, 8, 4},
		{"hole that touches at a corner", [][]r3.Vector{square(0, 0, 10), square(0, 0, 3)}, 91, 4},
		{"hole that touches an edge with a corner", [][]r3.Vector{square(0, 0, 10), {vec(5, 0, 0), vec(7, 4, 0), vec(3, 4, 0)}}, 92, 6},
		{"hole along an edge", [][]r3.Vector{square(0, 0, 10), square(4, 0, 3)}, 91, 6},
		{"hole from edge to edge", [][]r3.Vector{square(0, 0, 10), {vec(4, 0, 0), vec(6, 0, 0), vec(6, 10, 0), vec(4, 10, 0)}}, 80, 4},
		{"hole that touches all four edges", [][]r3.Vector{square(0, 0, 10), {vec(5, 0, 0), vec(10, 5, 0), vec(5, 10, 0), vec(0, 5, 0)}}, 50, 4},
		{"holes that touch at a corner", [][]r3.Vector{square(0, 0, 10), square(2, 2, 2), square(4, 4, 2)}, 92, 12},
		{"holes with a common edge", [][]r3.Vector{square(0, 0, 10), square(2, 2, 2), square(4, 2, 2)}, 92, 10},
		{"outlines with a common edge", [][]r3.Vector{square(0, 0, 2), square(2, 0, 2)}, 8, 4},
		{"loop that touches itself", [][]r3.Vector{{vec(0, 0, 0), vec(5, 5, 0), vec(10, 0, 0), vec(10, 10, 0), vec(5, 5, 0), vec(0, 10, 0)}}, 50,
			2},
		{"ring drawn as one loop", [][]r3.Vector{{vec(0, 0, 0), vec(9, 0, 0), vec(9, 9, 0), vec(0, 9, 0), vec(0, 0, 0), vec(3, 3, 0),
			vec(3, 6, 0), vec(6, 6, 0), vec(6, 3, 0), vec(3, 3, 0)}}, 72, 8},
		{"corner off the edge by rounding", [][]r3.Vector{square(0, 0, 10), {vec(5, -1e-9, 0), vec(7, 4, 0), vec(3, 4, 0)}}, 92, 6},
		{"edge off the edge by rounding", [][]r3.Vector{square(0, 0, 10), {vec(4, -1e-9, 0), vec(6, -1e-9, 0), vec(5, 4, 0)}}, 96, 5},
		{"circles in a circle", [][]r3.Vector{circleLoop(0, 0, 500, 360), circleLoop(0, 0, 100, 90), circleLoop(300, 0, 100, 90),
			circleLoop(-300, 0, 50, 45)}, polygon(500, 360) - 2*polygon(100, 90) - polygon(50, 45), 589},
		{"far out", [][]r3.Vector{square(1e8, -1e8, 10), square(1e8+2, -1e8+2, 3)}, 91, 8},
		{"tiny", [][]r3.Vector{square(0, 0, 1e-3), square(2e-4, 2e-4, 3e-4)}, 91e-8, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := mustFill(t, c.loops...)
			checkCover(t, m, vec(0, 0, 1), c.area)
			if len(m.Triangles) != c.triangles {
				t.Errorf("%d triangles, want %d", len(m.Triangles), c.triangles)
			}
		})
	}
}

// TestFillErrors wants one line that says which loop, and where.
func TestFillErrors(t *testing.T) {
	for _, c := range []struct {
		name  string
		loops [][]r3.Vector
		want  string
	}{
		{"no loops", nil, "fill: no loop encloses an area: give at least one closed outline of three points or more that does not cross itself"},
		{"empty loop", [][]r3.Vector{square(0, 0, 2), {}}, "fill: loop 2 encloses no area: leave it out, or mend it where it runs back over " +
			"itself"},
		{"two points", [][]r3.Vector{{vec(0, 0, 0), vec(1, 0, 0)}},
			"fill: no loop encloses an area: give at least one closed outline of three points or more that does not cross itself"},
		{"points in line", [][]r3.Vector{square(0, 0, 2), {vec(0, 0, 0), vec(1, 0, 0), vec(2, 0, 0)}},
			"fill: loop 2 encloses no area: leave it out, or mend it where it runs back over itself"},
		{"not a number", [][]r3.Vector{{vec(0, 0, 0), vec(1, math.NaN(), 0), vec(2, 0, 0)}},
			"fill: loop 1 has a point that is not a number or beyond 1e+12 mm: mend the outline"},
		{"crosses itself", [][]r3.Vector{{vec(0, 0, 0), vec(10, 10, 0), vec(10, 0, 0), vec(0, 8, 0)}},
			"fill: loop 1 crosses itself at (4.444, 4.444, 0.000): mend the outline there"},
		{"loops cross", [][]r3.Vector{square(0, 0, 10), square(5, 5, 10)},
			"fill: loops 1 and 2 cross at (10.000, 5.000, 0.000): mend the outlines there"},
		{"corner just over the edge", [][]r3.Vector{square(0, 0, 10), {vec(5, -1e-3, 0), vec(7, 4, 0), vec(3, 4, 0)}},
			"fill: loops 1 and 2 cross at (5.000, 0.000, 0.000): mend the outlines there"},
		{"overlap between common edges", [][]r3.Vector{{vec(0, 0, 0), vec(2, 0, 0), vec(2, 2, 0), vec(0, 2, 0)},
			{vec(1, 0, 0), vec(3, 0, 0), vec(3, 2, 0), vec(1, 2, 0)}},
			"fill: loops overlap each other or themselves (4.000 mm² covered, 8.000 mm² enclosed): mend the outlines"},
		{"the same loop twice", [][]r3.Vector{square(0, 0, 2), square(0, 0, 2)}, "fill: loops 1 and 2 lie on each other: leave one out"},
		{"twice round", [][]r3.Vector{slices.Concat(square(0, 0, 2), square(0, 0, 2))},
			"fill: loops overlap each other or themselves (0.000 mm² covered, 8.000 mm² enclosed): mend the outlines"},
		{"crosses itself at a corner", [][]r3.Vector{{vec(0, 0, 0), vec(5, 5, 0), vec(10, 10, 0), vec(10, 0, 0), vec(5, 5, 0), vec(0, 8, 0)}},
			"fill: loops overlap each other or themselves (45.000 mm² covered, 5.000 mm² enclosed): mend the outlines"},
		{"not flat", [][]r3.Vector{{vec(0, 0, 0), vec(10, 0, 0), vec(10, 10, 1), vec(0, 10, 0)}},
			"fill: loop 1 is not flat: (10.000, 0.000, 0.000) lies 0.499 mm off the plane of the largest loop; split it into flat parts"},
		{"hole off the plane", [][]r3.Vector{square(0, 0, 10), {vec(1, 1, 2), vec(2, 1, 2), vec(2, 2, 2)}},
			"fill: loop 2 is not flat: (1.000, 1.000, 2.000) lies 2.000 mm off the plane of the largest loop; split it into flat parts"},
		{"crossing in an upright plane", [][]r3.Vector{{vec(7, 0, 0), vec(7, 10, 10), vec(7, 10, 0), vec(7, 0, 8)}},
			"fill: loop 1 crosses itself at (7.000, 4.444, 4.444): mend the outline there"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Fill(c.loops)
			if err == nil {
				t.Fatalf("fills %v mm²", m.Area())
			}
			if err.Error() != c.want {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}

// outlineWithHoles is a star with smaller stars in it.
func outlineWithHoles(rng *rand.Rand, corners, holes, holeCorners int) ([][]r3.Vector, float64) {
	loops := [][]r3.Vector{star(rng, corners, vec(40, -30, 0), 700, 1000)}
	area := flatArea(loops[0])
	for i := range holes {
		hole := star(rng, holeCorners, vec(40+100*float64(i%8-4), -30+100*float64(i/8-2), 0), 10, 49)
		area -= flatArea(hole)
		if rng.Intn(2) == 0 {
			slices.Reverse(hole)
		}
		loops = append(loops, hole)
	}
	rng.Shuffle(len(loops), func(i, j int) { loops[i], loops[j] = loops[j], loops[i] })
	return loops, area
}

// TestFillCoversTheShoelaceArea fills random outlines in random planes.
func TestFillCoversTheShoelaceArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))
		loops, area := outlineWithHoles(rng, rapid.IntRange(8, 300).Draw(t, "corners"), rapid.IntRange(0, 32).Draw(t, "holes"),
			rapid.IntRange(3, 30).Draw(t, "hole corners"))
		up := vec(0, 0, 1)
		if rapid.Bool().Draw(t, "tilted") {
			place := space.Place{Turn: vec(rapid.Float64Range(-80, 80).Draw(t, "x"), rapid.Float64Range(-80, 80).Draw(t, "y"), 0),
				Move: vec(1000, 2000, 3000)}
			for _, loop := range loops {
				for i := range loop {
					loop[i] = place.Apply(loop[i])
				}
			}
			if up = place.Rotate(up); up.Z < 0 {
				up = up.Mul(-1)
			}
		}
		m, err := Fill(loops)
		if err != nil {
			t.Fatal(err)
		}
		checkCover(t, m, up, area)
		points := 0
		for _, loop := range loops {
			points += len(loop)
		}
		if len(m.Vertices) != points {
			t.Fatalf("%d vertices of %d points", len(m.Vertices), points)
		}
	})
}

// TestFillOnAGrid takes random cells out of a plate: the holes touch at corners, share edges and lie along
// the rim in every way there is.
func TestFillOnAGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const n = 6
		cells := rapid.SliceOfN(rapid.Bool(), n*n, n*n).Draw(t, "cells")
		turned := rapid.Float64Range(0, 90).Draw(t, "turned") // so that nothing is exactly in line
		place := space.Place{Turn: vec(0, 0, turned), Move: vec(1.0/3, 2.0/7, 5)}
		loops := [][]r3.Vector{square(0, 0, n)}
		area := float64(n * n)
		for i, hole := range cells {
			if hole {
				loops = append(loops, square(float64(i%n), float64(i/n), 1))
				area--
			}
		}
		for _, loop := range loops {
			for i := range loop {
				loop[i] = place.Apply(loop[i])
			}
		}
		m, err := Fill(loops)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i := range m.Triangles {
			a, b, c := m.Corners(i)
			if d := b.Sub(a).Cross(c.Sub(a)).Z / 2; d > 0 {
				sum += d
			} else {
				t.Fatalf("triangle %d has the area %v", i, d)
			}
		}
		// Corners that lie on edges by rounding may shift the area by the touch times the edges' length.
		if !(math.Abs(sum-area) <= 1e-6*n*n) {
			t.Fatalf("area %v, want %v", sum, area)
		}
	})
}

// TestFillIsDelaunay checks the shape of the triangles: no corner lies in the circle of a neighbour across a
// free edge.
func TestFillIsDelaunay(t *testing.T) {
	loops, _ := outlineWithHoles(rand.New(rand.NewSource(3)), 200, 20, 12)
	m := mustFill(t, loops...)
	flat := func(v int32) r2.Point { return r2.Point{X: m.Vertices[v].X, Y: m.Vertices[v].Y} }
	edgeOf := func(a, b int32) [2]int32 { return [2]int32{min(a, b), max(a, b)} }
	drawn := map[[2]int32]bool{}
	number := map[r3.Vector]int32{}
	for i, v := range m.Vertices {
		number[v] = int32(i)
	}
	for _, loop := range loops {
		for i, v := range loop {
			drawn[edgeOf(number[v], number[loop[(i+1)%len(loop)]])] = true
		}
	}
	topology := m.Topology()
	for i, tri := range m.Triangles {
		for k := range 3 {
			other := topology.Across(int32(i), k)
			if other == mesh.None {
				if !drawn[edgeOf(tri[k], tri[(k+1)%3])] {
					t.Fatal("the rim leaves the outline")
				}
				continue
			}
			for _, v := range m.Triangles[other] {
				if !drawn[edgeOf(tri[k], tri[(k+1)%3])] && inCircle(flat(tri[0]), flat(tri[1]), flat(tri[2]), flat(v)) {
					t.Fatalf("triangle %d has vertex %d in its circle", i, v)
				}
			}
		}
	}
}

// inCircle reports whether d lies within the circle through a, b and c by more than rounding.
func inCircle(a, b, c, d r2.Point) bool {
	p, q := b.Sub(a), c.Sub(a)
	center := p.Mul(q.Dot(q)).Sub(q.Mul(p.Dot(p))).Ortho().Mul(1 / (2 * p.Cross(q))) // from a
	return d.Sub(a).Sub(center).Norm() < center.Norm()*(1-1e-9)
}

// TestFillKeepsPlaces fills at a height, upright and from below: vertices are the points given.
func TestFillKeepsPlaces(t *testing.T) {
	for _, c := range []struct {
		name string
		loop []r3.Vector
		up   r3.Vector
	}{
		{"at a height", []r3.Vector{vec(0.1, 0.2, 7.3), vec(0.4, 0.2, 7.3), vec(0.1, 0.9, 7.3)}, vec(0, 0, 1)},
		{"facing y", []r3.Vector{vec(0, 5, 0), vec(1, 5, 0), vec(0, 5, 1)}, vec(0, 1, 0)},
		{"facing x", []r3.Vector{vec(5, 0, 0), vec(5, 1, 0), vec(5, 0, 1)}, vec(1, 0, 0)},
	} {
		m := mustFill(t, c.loop)
		if !slices.Equal(m.Vertices, c.loop) {
			t.Errorf("%s: vertices %v", c.name, m.Vertices)
		}
		wantPoint(t, c.name, m.Normal(0), c.up, 1e-12)
	}
}

func TestFillTwiceTheSame(t *testing.T) {
	loops, _ := outlineWithHoles(rand.New(rand.NewSource(5)), 500, 30, 12)
	a, b := mustFill(t, loops...), mustFill(t, loops...)
	if !reflect.DeepEqual(a, b) {
		t.Error("two fills of one outline differ")
	}
}

// TestFillLargeOutline keeps large outlines within reach; no time is asserted, the benchmark tells it.
func TestFillLargeOutline(t *testing.T) {
	loops, area := outlineWithHoles(rand.New(rand.NewSource(1)), 20000, 32, 200)
	checkCover(t, mustFill(t, loops...), vec(0, 0, 1), area)
}

func FuzzFill(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 255, 255, 2, 2, 4, 2, 4, 4})
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 5, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		var loops [][]r3.Vector
		loop := []r3.Vector{}
		for i := 0; i+1 < len(data) && i < 400; i += 2 {
			if data[i] == 255 {
				loops, loop = append(loops, loop), nil
				continue
			}
			loop = append(loop, vec(float64(data[i])/3, float64(data[i+1])/7, 0))
		}
		m, err := Fill(append(loops, loop))
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("error of more than one line: %v", err)
			}
			return
		}
		checkCover(t, m, vec(0, 0, 1), m.Area())
	})
}

func BenchmarkFill2000(b *testing.B) {
	loops, _ := outlineWithHoles(rand.New(rand.NewSource(1)), 2000, 20, 40)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fill(loops); err != nil {
			b.Fatal(err)
		}
	}
}
