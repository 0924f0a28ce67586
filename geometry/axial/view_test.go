package axial

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// soup is triangles of mixed size about the origin.
func soup(rng *rand.Rand, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(s float64) r3.Vector {
		return vec(s*(rng.Float64()-.5), s*(rng.Float64()-.5), s*(rng.Float64()-.5))
	}
	for range n {
		c, size := at(400), math.Pow(10, 0.5+1.5*rng.Float64())
		k := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, c.Add(at(size)), c.Add(at(size)), c.Add(at(size)))
		m.Triangles = append(m.Triangles, [3]int32{k, k + 1, k + 2})
	}
	return m
}

func moved(m *mesh.Mesh, by r3.Vector) *mesh.Mesh {
	for i := range m.Vertices {
		m.Vertices[i] = m.Vertices[i].Add(by)
	}
	return m
}

// frames are drawn with any axis.
func frames(rng *rand.Rand) Frame {
	at := func() r3.Vector { return vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()) }
	return NewFrame(at().Mul(40), at(), at())
}

func bare(m *mesh.Mesh, grow float64) Panel { return Panel{Shape: near.NewShape(m), Grow: grow} }

// Whatever a walk's bounds let through is all that a look at every facet finds, of the panels that are there, and panels come in order.
func TestGatherIsALookAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		s := &Scene{Panels: []Panel{bare(soup(rng, 60), 0.45), bare(soup(rng, 60), 0), bare(&mesh.Mesh{}, 0), bare(soup(rng, 60), 2)}}
		for range rng.IntN(12) {
			by := vec(300*rng.NormFloat64(), 300*rng.NormFloat64(), 0)
			s.Panels = append(s.Panels, bare(moved(soup(rng, 1+rng.IntN(20)), by), 30*rng.Float64()))
		}
		var v View
		for range 2 { // the second time in the first one's memory
			f, radius, up := frames(rng), 150*rng.Float64(), 150*rng.Float64()
			absent := []int{rng.IntN(len(s.Panels)), rng.IntN(4)}
			v.Turn(s, f, absent)
			var want []Place
			for i, p := range s.Panels {
				if v.There(int32(i)) != (i != 2 && !slices.Contains(absent, i)) {
					t.Fatalf("panel %d, %v absent: there %v", i, absent, v.There(int32(i)))
				}
				for k := range p.Shape.Mesh.Triangles {
					if !v.There(int32(i)) {
						continue
					}
					g := v.Facet(Place{int32(i), int32(k)})
					if g.FromAxis() <= radius+p.Grow && g.Low <= up+p.Grow && g.High >= -up-p.Grow {
						want = append(want, g.Place)
					}
				}
			}
			var got []Place
			for _, g := range v.Gather(radius, up, nil) {
				if g.In > radius+g.Grow || g.Low > up+g.Grow || g.High < -up-g.Grow {
					t.Fatalf("%v is too far off", g)
				}
				if g.FromAxis() <= radius+g.Grow {
					got = append(got, g.Place)
				}
			}
			if !slices.IsSortedFunc(got, func(a, b Place) int { return int(a.Panel - b.Panel) }) {
				t.Fatalf("panels out of order: %v", got)
			}
			slices.SortFunc(got, func(a, b Place) int {
				return int(a.Panel-b.Panel)*1000 + int(a.Triangle-b.Triangle)
			})
			if !slices.Equal(got, want) {
				t.Fatalf("%d facets, want %d", len(got), len(want))
			}
		}
	})
}

// A panel with much metal beyond its mesh is come to past neighbours with none.
func TestGroupsHoldTheMetalBeyondTheMesh(t *testing.T) {
	s := &Scene{}
	for i, grow := range []float64{0, 0, 95, 0, 0} {
		at := vec(100+float64(i), 0, 0)
		m := &mesh.Mesh{Vertices: []r3.Vector{at, at.Add(vec(0, 1, 0)), at.Add(vec(0, 0, 1))}, Triangles: [][3]int32{{0, 1, 2}}}
		s.Panels = append(s.Panels, bare(m, grow))
	}
	var v View
	v.Turn(s, NewFrame(vec(0, 0, 0), vec(1, 0, 0), vec(0, 0, 1)), nil)
	if got := v.Gather(10, 5, nil); len(got) != 1 || got[0].Panel != 2 {
		t.Errorf("%v, want the facet of panel 2", got)
	}
}

// A facet's bounds hold it, and the directions of its span are all in which a ray comes near it.
func TestBoundsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		s := &Scene{Panels: []Panel{bare(soup(rng, 20), 0)}}
		fan := NewFan(rapid.IntRange(4, 100).Draw(t, "directions"))
		var v View
		v.Turn(s, frames(rng), nil)
		for k := range s.Panels[0].Shape.Mesh.Triangles {
			g := v.Facet(Place{0, int32(k)})
			if d := g.FromAxis(); d < g.In-Rounding {
				t.Fatalf("%v mm from the axis, not nearer than %v", d, g.In)
			}
			m := 20 * rng.Float64()
			first, last := fan.Span(&g.Circle, m)
			near := map[int]bool{}
			for i := first; i <= last; i++ {
				near[fan.At(i)] = true
			}
			for _, p := range []r3.Vector{g.A, g.B, g.C, g.A.Add(g.B).Mul(0.5)} {
				if out := math.Hypot(p.X, p.Y); out > g.Out+Rounding || p.Z < g.Low-Rounding || p.Z > g.High+Rounding {
					t.Fatalf("%v lies outside of %+v", p, g)
				}
				for i := range fan.Cos {
					if ahead, aside := fan.Seen(i, p.X, p.Y); ahead >= 0 && aside <= m && !near[i] {
						t.Fatalf("direction %d of %d comes within %v mm of %v, not from %d to %d", i, len(fan.Cos), m, p, first, last)
					}
				}
			}
		}
	})
}

// The distance of a facet from a segment is that of many pairs of their points.
func TestFromSegment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 6))
		at := func() r3.Vector { return vec(rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()).Mul(10) }
		f, a, b := Facet{A: at(), B: at(), C: at()}, at(), at()
		const steps = 40
		nearest := math.Inf(1)
		for i := 0; i <= steps; i++ {
			for k := 0; k <= steps-i; k++ {
				p := f.A.Add(f.B.Sub(f.A).Mul(float64(i) / steps)).Add(f.C.Sub(f.A).Mul(float64(k) / steps))
				q := b.Sub(a)
				q = a.Add(q.Mul(min(1, max(0, p.Sub(a).Dot(q)/q.Norm2()))))
				nearest = min(nearest, p.Distance(q))
			}
		}
		d := f.FromSegment(a, b, 0, math.Inf(1))
		if d > nearest+1e-9 || d < nearest-3 {
			t.Fatalf("%v mm, the nearest of many points is %v mm off", d, nearest)
		}
		if limited := f.FromSegment(a, b, 0, d/2); limited != d && !math.IsInf(limited, 1) {
			t.Fatalf("%v mm, or infinity as it is beyond %v, and not %v", d, d/2, limited)
		}
		if stopped := f.FromSegment(a, b, d+1, math.Inf(1)); stopped > d+1 {
			t.Fatalf("%v mm where %v would do: %v", d, d+1, stopped)
		}
	})
}

// plates are two sheets of 1 mm at mid-surface that lie on each other from -100 to 8 mm across.
func plates() *Scene {
	plate := func(z float64) Panel {
		return bare(&mesh.Mesh{Vertices: []r3.Vector{vec(-100, -100, z), vec(100, -100, z), vec(100, 8, z), vec(-100, 8, z)},
			Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}, 0.5)
	}
	return &Scene{Panels: []Panel{plate(0.5), plate(-0.5)}}
}

func TestSurfacesOfAStack(t *testing.T) {
	s := plates()
	at := func(y, z float64) Frame { return NewFrame(vec(0, y, z), vec(1, 0, 0), vec(0, 0, 1)) }
	for _, z := range []float64{0, -0.4, 0.5} { // wherever in the stack the place is
		if above, below := s.Surfaces(at(0, z), []int{0, 1}, 2); !(math.Abs(above-(1-z)) <= 1e-9) || !(math.Abs(below-(1+z)) <= 1e-9) {
			t.Errorf("at %g: %g above, %g below", z, above, below)
		}
	}
	if above, below := s.Surfaces(at(50, 0), []int{0, 1}, 2); above != 1 || below != 1 { // beyond the edge
		t.Errorf("off the sheets: %g above, %g below", above, below)
	}
}
