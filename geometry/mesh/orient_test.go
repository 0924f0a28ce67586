package mesh

import (
	"math"
	"math/rand/v2"
	"seamwright/internal/facets"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
)

// facesAlike reports whether neighbours pass every edge of two triangles in opposite directions.
func facesAlike(m *Mesh) bool {
	type directed [2]int32
	seen := map[directed]int{}
	for _, t := range m.Triangles {
		for k := range 3 {
			seen[directed{t[k], t[(k+1)%3]}]++
		}
	}
	for e, n := range seen {
		if back := seen[directed{e[1], e[0]}]; n+back == 2 && n != 1 {
			return false
		}
	}
	return true
}

func flip(s soup, which func(i int) bool) (soup, int) {
	out, n := slices.Clone(s), 0
	for i := range out {
		if which(i) {
			out[i][1], out[i][2] = out[i][2], out[i][1]
			n++
		}
	}
	return out, n
}

func TestOrient(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	some := func(int) bool { return rng.IntN(10) < 3 }
	all := func(int) bool { return true }
	hills := facets.Sheet(vec(-200, 0, 0), 20, 20, 20, func(x, y float64) float64 { return 8 * math.Sin(x/50) * math.Cos(y/70) })
	tests := []struct {
		name   string
		s      soup
		which  func(int) bool
		turned func(flipped int) int
		volume float64
	}{
		{"a sheet", hills, some, func(n int) int { return n }, 0},
		{"a sheet whose first triangles are turned", hills, func(i int) bool { return i < 30 }, func(n int) int { return n }, 0},
		{"a sheet turned over stays", hills, all, func(int) int { return 0 }, 0},
		{"a block", facets.Block(100, 50, 25), some, func(n int) int { return n }, 125000},
		{"a block turned inside out", facets.Block(100, 50, 25), all, func(n int) int { return n }, 125000},
		{"a block with one good triangle", facets.Block(100, 50, 25), func(i int) bool { return i != 3 }, func(n int) int { return n }, 125000},
		{"a far block", facets.Block(100, 50, 25).Moved(vec(50000, -80000, 30000)), all, func(n int) int { return n }, 125000},
		{"two blocks", slices.Concat(facets.Block(100, 50, 25), facets.Block(10, 10, 10).Moved(vec(200, 0, 0))), some,
			func(n int) int { return n }, 126000},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, n := flip(test.s, test.which)
			m, notes := mustRead(t, s)
			if !facesAlike(m) {
				t.Error("neighbours face to different sides")
			}
			if test.volume != 0 && !(math.Abs(m.Volume()-test.volume) <= 1e-6) {
				t.Errorf("volume %g mm³, want %g", m.Volume(), test.volume)
			}
			if want := test.turned(n); want > 0 {
				wantNote(t, notes, plural(want, "triangle")+" turned to face as the neighbours do")
			} else if len(notes) > 0 {
				t.Errorf("notes %q", notes)
			}
			if turned, twisted := m.Orient(); turned != 0 || twisted != 0 {
				t.Errorf("a second time turns %d triangles, twisted %d", turned, twisted)
			}
		})
	}
}

// A band with a half turn has one side: some edge must stay, and the walk must end.
func TestOrientBandWithAHalfTurn(t *testing.T) {
	const n = 40
	at := func(i int, w float64) r3.Vector {
		a := 2 * math.Pi * float64(i%n) / n
		half := a / 2
		if i == n {
			w = -w
		}
		r := 100 + 20*w*math.Cos(half)
		return vec(r*math.Cos(a), r*math.Sin(a), 20*w*math.Sin(half))
	}
	var s soup
	for i := range n {
		s = append(s, facets.Quad(at(i, -1), at(i+1, -1), at(i+1, 1), at(i, 1))...)
	}
	m, notes := mustRead(t, s)
	if len(m.Triangles) != 2*n || len(m.Vertices) != 2*n {
		t.Fatalf("%d triangles, %d vertices", len(m.Triangles), len(m.Vertices))
	}
	wantNote(t, notes, "1 edge where no turning makes the two triangles face alike")
}

// Orient takes any mesh, not only what Read gives.
func TestOrientOddMeshes(t *testing.T) {
	var none Mesh
	if turned, twisted := none.Orient(); turned != 0 || twisted != 0 || none.Volume() != 0 || none.Area() != 0 || !none.Box().IsEmpty() {
		t.Error("the zero mesh is not empty")
	}
	if none.Closed() || len(none.Topology().Components()) != 0 {
		t.Error("the zero mesh is closed or has pieces")
	}
	folded := Mesh{Vertices: []r3.Vector{vec(0, 0, 0), vec(1, 0, 0), vec(0, 1, 0)}, Triangles: [][3]int32{{0, 0, 1}, {0, 1, 0}, {0, 1, 2},
		{0, 1, 2}, {0, 2, 1}, {2, 2, 2}}}
	folded.Orient()
	alone := Mesh{Vertices: folded.Vertices, Triangles: [][3]int32{{0, 1, 1}}}
	if turned, twisted := alone.Orient(); turned != 0 || twisted != 0 {
		t.Errorf("a triangle folded on itself: %d turned, %d twisted", turned, twisted)
	}
	if n := folded.Normal(0); n != (r3.Vector{}) {
		t.Errorf("a triangle without area faces %v", n)
	}
}

func TestPlacedMirrorKeepsTheSide(t *testing.T) {
	m, _ := mustRead(t, facets.Block(100, 50, 25))
	p := m.Placed(placeForTest)
	if !(math.Abs(p.Volume()-125000) <= 1e-6) || p.Name != m.Name || !p.Closed() {
		t.Errorf("volume %g mm³ after mirroring, want 125000", p.Volume())
	}
	if !(math.Abs(p.Area()-m.Area()) <= 1e-6) {
		t.Errorf("area %g mm² after mirroring, was %g", p.Area(), m.Area())
	}
	for i := range m.Triangles {
		if d := p.Normal(i).Sub(placeForTest.Rotate(m.Normal(i))).Norm(); d > 1e-12 {
			t.Errorf("triangle %d faces %v", i, p.Normal(i))
		}
	}
	if m.Vertices[1] == p.Vertices[1] || m.Volume() != 125000 {
		t.Error("the mesh itself was changed")
	}
}

// A closed piece that faces inward all over is found beside an open one whose corner it shares.
func TestOrientInsideOutBesideASheet(t *testing.T) {
	inward, n := flip(facets.Block(100, 50, 25), func(int) bool { return true })
	leaf := [3]r3.Vector{vec(0, 0, 0), vec(-10, 0, 0), vec(0, -10, 0)}
	m, notes := mustRead(t, append(soup{leaf}, inward...))
	wantNote(t, notes, "12 triangles turned to face as the neighbours do")
	if v := m.Volume(); n != 12 || !(math.Abs(v-125000) <= 1e-6) {
		t.Errorf("%d triangles, volume %g mm³, want 12 and 125000", n, v)
	}
}
