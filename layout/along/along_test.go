package along

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// bentSheet is a flat piece from -30 to 30 both ways, in cells of about the given size with their corners moved about and their
// diagonals either way, rolled up by form.
func bentSheet(rng *rand.Rand, size float64, hole func(u, v float64) bool, form func(u, v float64) r3.Vector) *mesh.Mesh {
	const half = 30.0
	n := max(1, int(half/size)) * 2 // so that a line of corners lies on u = 0
	m := &mesh.Mesh{}
	at := make([][2]float64, 0, (n+1)*(n+1))
	for i := range n + 1 {
		for k := range n + 1 {
			u, v := -half+2*half*float64(i)/float64(n), -half+2*half*float64(k)/float64(n)
			if i > 0 && i < n && !(math.Abs(u) <= 1e-9) {
				u += 0.5 * (rng.Float64() - 0.5) * 2 * half / float64(n)
			}
			if k > 0 && k < n {
				v += 0.5 * (rng.Float64() - 0.5) * 2 * half / float64(n)
			}
			at = append(at, [2]float64{u, v})
			m.Vertices = append(m.Vertices, form(u, v))
		}
	}
	for i := range n {
		for k := range n {
			a, b := int32(i*(n+1)+k), int32((i+1)*(n+1)+k)
			c, d := b+1, a+1
			if hole((at[a][0]+at[c][0])/2, (at[a][1]+at[c][1])/2) {
				continue
			}
			if rng.IntN(2) == 0 {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			}
		}
	}
	return m
}

func whole(_, _ float64) bool { return false }

func flatForm(u, v float64) r3.Vector { return r3.Vector{X: u, Y: v} }

// fold is a square bend along u = 0.
func fold(u, v float64) r3.Vector {
	if u > 0 {
		return r3.Vector{Y: v, Z: u}
	}
	return r3.Vector{X: u, Y: v}
}

func TestAlongSheetsThatUnroll(t *testing.T) {
	const radius = 12.0
	for name, form := range map[string]func(u, v float64) r3.Vector{
		"flat": flatForm, "fold": fold,
		"cylinder": func(u, v float64) r3.Vector {
			sin, cos := math.Sincos(u / radius)
			return r3.Vector{X: radius * sin, Y: v, Z: radius * (1 - cos)}
		},
	} {
		for _, size := range []float64{60, 15, 6, 2} {
			if name == "cylinder" && size > 2 { // chords, not arcs
				continue
			}
			rng := rand.New(rand.NewPCG(3, uint64(size)))
			s := New(near.NewShape(bentSheet(rng, size, whole, form)), 0)
			for range 60 {
				a, b := r2.Point{X: 18 * (rng.Float64() - 0.5), Y: 18 * (rng.Float64() - 0.5)}, r2.Point{X: 18 * (rng.Float64() - 0.5),
					Y: 18 * (rng.Float64() - 0.5)}
				got, want := s.From(form(a.X, a.Y), 25).To(form(b.X, b.Y)), a.Sub(b).Norm()
				short, long := 1e-6, 1e-4*want+1e-6
				if name == "cylinder" { // the places lie on the round, the triangles on its chords
					short, long = 0.004*want, 0.002*want
				}
				if got < want-short || got > want+long {
					t.Errorf("%s of %g mm: %.4f from %v to %v, want %.4f", name, size, got, a, b, want)
				}
			}
		}
	}
}

// Places on edges and vertices of the mesh are in several triangles.
func TestFromEdgesAndVertices(t *testing.T) {
	m := bentSheet(rand.New(rand.NewPCG(4, 4)), 10, whole, fold)
	s := New(near.NewShape(m), 0)
	unrolled := func(p r3.Vector) r2.Point {
		if p.Z > 0 {
			return r2.Point{X: p.Z, Y: p.Y}
		}
		return r2.Point{X: p.X, Y: p.Y}
	}
	for i, e := range s.topo.Edges {
		a, b := m.Vertices[e.V[0]].Add(m.Vertices[e.V[1]]).Mul(0.5), m.Vertices[(7*i)%len(m.Vertices)]
		want := unrolled(a).Sub(unrolled(b)).Norm()
		if want > 40 {
			continue
		}
		for _, got := range []float64{s.From(a, 41).To(b), s.From(b, 41).To(a)} {
			if !(math.Abs(got-want) <= 1e-4*want+1e-6) {
				t.Errorf("%v to %v: %g, want %g", a, b, got, want)
			}
		}
	}
}

// Round a slot that comes in from one side the way goes by its end.
func TestRoundASlot(t *testing.T) {
	m := bentSheet(rand.New(rand.NewPCG(1, 1)), 2, func(u, v float64) bool { return math.Abs(u) < 1 && v > 0 },
		func(u, v float64) r3.Vector { return r3.Vector{X: u, Y: v} })
	least, most := math.Inf(1), math.Inf(-1)
	for _, v := range m.Vertices { // where the slot truly ends, its corners being moved about
		if math.Abs(v.X) < 2.5 && v.Y > -2 && v.Y < 3 {
			least, most = math.Min(least, v.Y), math.Max(most, v.Y)
		}
	}
	got := New(near.NewShape(m), 0).From(r3.Vector{X: -8, Y: 8}, 40).To(r3.Vector{X: 8, Y: 8})
	if low, high := 2*math.Hypot(8, 8-most)-3, 2*math.Hypot(8, 8-least)+2; got < low || got > high || got < 18 {
		t.Errorf("%g mm round the slot, %g to %g expected", got, low, high)
	}
}

func TestWhatCannotBeTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	s := New(near.NewShape(bentSheet(rng, 10, func(u, _ float64) bool { return math.Abs(u) < 6 }, flatForm)), 0)
	if got := s.From(r3.Vector{X: -12}, 30).To(r3.Vector{X: 12}); got != 24 {
		t.Errorf("over a gap: %g", got)
	}
	if got := s.From(r3.Vector{X: -12, Z: 9}, 30).To(r3.Vector{X: -15, Z: 9}); got != 3 {
		t.Errorf("off the sheet: %g", got)
	}
	u := New(near.NewShape(bentSheet(rng, 6, whole, fold)), 0) // round the bend the way is longer than straight
	for away, straight := range map[float64]bool{5.9: false, 6.1: true} {
		got := u.From(r3.Vector{X: -12, Z: -away}, 30).To(r3.Vector{Z: 12})
		if (got == math.Hypot(12, 12+away)) != straight || got > 24+away {
			t.Errorf("%g off a bent sheet: %g", away, got)
		}
	}
}

// Through a solid's thickness the way is no longer than on one skin.
func TestSolid(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	m := bentSheet(rng, 6, whole, flatForm)
	other := bentSheet(rng, 6, whole, func(u, v float64) r3.Vector { return r3.Vector{X: u, Y: v, Z: 1.2} })
	n := int32(len(m.Vertices))
	m.Vertices = append(m.Vertices, other.Vertices...)
	for _, t := range other.Triangles {
		m.Triangles = append(m.Triangles, [3]int32{t[0] + n, t[2] + n, t[1] + n})
	}
	got := New(near.NewShape(m), 1.2).From(r3.Vector{X: -5, Z: -0.3}, 20).To(r3.Vector{X: 7, Z: 1.5})
	if !(math.Abs(got-math.Hypot(12, 1.8)) <= 0.2) {
		t.Errorf("%g", got)
	}
}

// On any rough sheet: the same both ways to half a per cent, no shorter than straight, and never longer than by way of a third
// place.
func TestDistanceIsADistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		s := New(near.NewShape(bentSheet(rng, 3+10*rng.Float64(), whole, func(u, v float64) r3.Vector {
			return r3.Vector{X: u, Y: v, Z: 4 * math.Sin(u/6) * math.Cos(v/7)}
		})), 0)
		var at [3]r3.Vector
		for i := range at {
			hit, _ := s.tree.Closest(r3.Vector{X: 16 * (rng.Float64() - 0.5), Y: 16 * (rng.Float64() - 0.5)}, 20)
			at[i] = hit.Point
		}
		d := func(i, k int) float64 { return s.From(at[i], 40).To(at[k]) }
		ab, ba, bc, ac := d(0, 1), d(1, 0), d(1, 2), d(0, 2)
		if !(math.Abs(ab-ba) <= 0.005*ab+1e-6) || ab < at[0].Distance(at[1])-1e-9 || ac > (ab+bc)*1.005+1e-6 {
			t.Fatalf("%g and %g back; %g by a third place of %g", ab, ba, ab+bc, ac)
		}
	})
}

func BenchmarkFrom(b *testing.B) {
	for _, size := range []float64{30, 3, 1} {
		s := New(near.NewShape(bentSheet(rand.New(rand.NewPCG(1, 1)), size, whole, fold)), 0)
		b.Run(fmt.Sprintf("triangles of %g mm", size), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.From(fold(-6, 1), 20).To(fold(6, 3))
			}
		})
	}
}

// About the inner corner of a sheet's triangles there are two ways round: from the first triangle at the corner to the last.
func TestTheOtherWayRoundAVertex(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vector{{}}}
	for k := range 6 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 3)
		m.Vertices = append(m.Vertices, r3.Vector{X: cos, Y: sin})
		m.Triangles = append(m.Triangles, [3]int32{0, int32(k + 1), int32((k+1)%6 + 1)})
	}
	m.Vertices = append(m.Vertices, r3.Vector{X: 1.5, Y: 1.5}) // a triangle beyond, that does not touch the middle
	m.Triangles = append(m.Triangles, [3]int32{2, 1, 7})
	s := New(near.NewShape(m), 0)
	for _, c := range []struct{ way, want []int32 }{
		{[]int32{0, 1}, []int32{0, 5, 4, 3, 2, 1}},
		{[]int32{0, 1, 2}, []int32{0, 5, 4, 3, 2}},
		{[]int32{0, 1, 2, 3}, []int32{0, 5, 4, 3}},
		{[]int32{6, 0, 1, 2, 3}, []int32{6, 0, 5, 4, 3}},
		{[]int32{0, 1, 6, 1, 2}, []int32{0, 5, 4, 3, 2}}, // what goes there and back again is left out, again and again
		{[]int32{0}, nil}, // ends at the vertex
	} {
		if got := s.otherSide(c.way, 0); !slices.Equal(got, c.want) {
			t.Errorf("%v goes the other way by %v, want %v", c.way, got, c.want)
		}
	}
}
