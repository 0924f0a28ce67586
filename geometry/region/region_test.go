package region

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
)

// A sliver of a cut border that a moved cut point has turned over does not turn the normals at its corners: the width
// of a strip, moved out along them to the faying surface, would come out millimetres too wide there.
func TestOverturnedSliver(t *testing.T) {
	up, down := r3.Vector{Z: 1}, r3.Vector{Z: -1}
	at := []r3.Vector{{}, {X: 4}, {X: 4, Y: 3}, {Y: 3}, {X: 2, Y: 2.99}}
	for name, normals := range map[string][]r3.Vector{ // of the corners before
		"as the facets":      {up, up, up, up, up},
		"one facet's turned": {up, down, up, up, up},
		"the sliver's too":   {up, up, up, up, down},
	} {
		whole := &Region{
			Mesh:    &mesh.Mesh{Vertices: at, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {3, 2, 4}}},
			Normals: normals, Borders: make([]Border, len(at)),
		}
		r := whole.Sub([]int32{0, 1, 2})
		for v, n := range r.Normals {
			if n != up {
				t.Errorf("%s: the normal at %v is %v", name, r.Mesh.Vertices[v], n)
			}
		}
	}
}

// Facets that are turned at random, as panels may come, are all turned alike in a part of their own, and normals with them.
func TestSubIsTurnedAlike(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for range 50 {
		const n = 5
		whole := &Region{Mesh: &mesh.Mesh{}}
		for i := range (n + 1) * (n + 1) {
			whole.Mesh.Vertices = append(whole.Mesh.Vertices, r3.Vector{X: float64(i % (n + 1)), Y: float64(i / (n + 1))})
			whole.Normals = append(whole.Normals, r3.Vector{Z: float64(1 - 2*rng.IntN(2))})
		}
		var all []int32
		for i := range int32(n * n) {
			v := i/n*(n+1) + i%n
			for _, tri := range [2][3]int32{{v, v + 1, v + n + 2}, {v, v + n + 2, v + n + 1}} {
				if len(all) > 0 && rng.IntN(2) == 0 { // the first says which way
					tri[0], tri[2] = tri[2], tri[0]
				}
				all, whole.Mesh.Triangles = append(all, int32(len(all))), append(whole.Mesh.Triangles, tri)
			}
		}
		whole.Borders = make([]Border, len(whole.Mesh.Vertices))
		r := whole.Sub(all)
		for i := range r.Mesh.Triangles {
			a, b, c := r.Mesh.Corners(i)
			if z := b.Sub(a).Cross(c.Sub(a)).Z; z <= 0 {
				t.Fatalf("facet %d of %v is turned over", i, whole.Mesh.Triangles)
			}
			for k := range 3 {
				e := r.Topo.Edges[r.Topo.TriEdge[i][k]]
				if one, other := r.Mesh.Triangles[i][k], r.Mesh.Triangles[i][(k+1)%3]; e.V != [2]int32{min(one, other), max(one, other)} {
					t.Fatalf("side %d of facet %d is said to be the edge %v, its corners are %d and %d", k, i, e.V, one, other)
				}
			}
		}
		for v, normal := range r.Normals {
			if normal.Z != 1 {
				t.Fatalf("the normal at %v is %v", r.Mesh.Vertices[v], normal)
			}
		}
	}
}

// A trace beyond its end is the trace to just beyond where it ends otherwise.
func TestTraceBeyond(t *testing.T) {
	m := &mesh.Mesh{}
	for i := range int32(12) {
		m.Vertices = append(m.Vertices, r3.Vector{X: float64(i), Y: -1}, r3.Vector{X: float64(i) + 0.3, Y: 2})
		if a := 2 * i; i > 0 {
			m.Triangles = append(m.Triangles, [3]int32{a - 2, a, a - 1}, [3]int32{a - 1, a, a + 1})
		}
	}
	r := &Region{Mesh: m, Topo: m.Topology()}
	from, plane, dir := Place{r3.Vector{X: 1.1}, 2}, r3.Vector{Y: 1}, r3.Vector{X: 1}
	for _, most := range []float64{0.2, 3, 7.5, 9.6, 40} {
		first := r.Trace(from, plane, dir, most)
		want, got := r.Trace(from, plane, dir, first.Length*(1+kit.AlikeTo)), r.TraceBeyond(from, plane, dir, most)
		if !slices.Equal(got.Path, want.Path) || got.Length != want.Length || got.Ok != want.Ok || got.Edge != want.Edge {
			t.Errorf("beyond %g mm: %+v, want %+v", most, got, want)
		}
		if !first.Ok && len(got.Path) == len(first.Path) {
			t.Errorf("beyond %g mm: no step on", most)
		}
	}
}

func TestHeapGivesTheNearestFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var h reachedHeap
		var held []reached
		for i := range rapid.IntRange(1, 60).Draw(t, "steps") {
			if len(held) > 0 && rapid.IntRange(0, 2).Draw(t, "take") == 0 {
				slices.SortFunc(held, func(a, b reached) int {
					return cmp.Or(cmp.Compare(a.distance, b.distance), cmp.Compare(a.vertex, b.vertex))
				})
				if got := h.pop(); got != held[0] {
					t.Fatalf("%v before %v", got, held[0])
				}
				held = held[1:]
				continue
			}
			x := reached{int32(i), float64(rapid.IntRange(0, 9).Draw(t, "distance"))}
			h.push(x)
			held = append(held, x)
		}
	})
}

// Lengths over a flat region do not depend on which diagonals its squares are cut along, and are too long by 8 % at most, where those along
// edges alone are by up to 41.
func TestDistancesMindNoDiagonals(t *testing.T) {
	const n = 12
	for _, turned := range []func(x, y int) bool{
		func(x, y int) bool { return false },
		func(x, y int) bool { return true },
		func(x, y int) bool { return (x+y)%2 == 0 },
	} {
		m := &mesh.Mesh{}
		for i := range (n + 1) * (n + 1) {
			m.Vertices = append(m.Vertices, r3.Vector{X: float64(i % (n + 1)), Y: float64(i / (n + 1))})
		}
		for i := range n * n {
			a := int32(i/n*(n+1) + i%n)
			b, c, d := a+1, a+n+2, a+n+1
			if turned(i%n, i/n) {
				m.Triangles = append(m.Triangles, [3]int32{a, b, d}, [3]int32{b, c, d})
			} else {
				m.Triangles = append(m.Triangles, [3]int32{a, b, c}, [3]int32{a, c, d})
			}
		}
		r := &Region{Mesh: m, Topo: m.Topology()}
		for v, d := range r.Distances(0, r.Ways()) {
			if want := m.Vertices[v].Norm(); d < want-1e-9 || d > 1.083*want {
				t.Fatalf("%.3f to %v, want %.3f", d, m.Vertices[v], want)
			}
		}
	}
}
