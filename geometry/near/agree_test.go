package near_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

func moved(m *mesh.Mesh, by r3.Vector) *mesh.Mesh {
	out := &mesh.Mesh{Triangles: m.Triangles}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, v.Add(by))
	}
	return out
}

func anywhere(rng *rand.Rand, size float64) r3.Vector {
	return vec(size*(rng.Float64()-.5), size*(rng.Float64()-.5), size*(rng.Float64()-.5))
}

// inTurn is the closest place by looking at every triangle, with the rule for ties.
func inTurn(m *mesh.Mesh, p r3.Vector, within float64, accept func(int32) bool) near.Hit {
	best, least := near.Hit{Tri: -1}, within*within
	for i := range m.Triangles {
		if accept != nil && !accept(int32(i)) {
			continue
		}
		a, b, c := m.Corners(i)
		q, f := near.ClosestOnTriangle(p, a, b, c)
		if d := q.Sub(p).Norm2(); d < least || d == least && best.Tri < 0 {
			best, least = near.Hit{Tri: int32(i), Point: q, Feature: f, Distance: q.Sub(p).Norm()}, d
		}
	}
	return best
}

// The tree gives what looking at every triangle gives, to the last bit and the triangle's number, whatever the hint, the
// number of workers, the triangles that are let through and the place in space.
func TestClosestIsExactWhateverTheHint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		off := anywhere(rng, rapid.SampledFrom([]float64{0, 1e3, 1e6, 2e9}).Draw(t, "offset"))
		m := moved(soup(rng, rapid.IntRange(1, 300).Draw(t, "triangles")), off)
		m.Triangles = append(m.Triangles, m.Triangles...) // each is there twice: a tie
		tree := near.New(m)
		for range 20 {
			p, within := off.Add(anywhere(rng, 120)), 60*rng.Float64()
			var accept func(int32) bool
			if rng.IntN(2) == 0 {
				odd := int32(rng.IntN(3))
				accept = func(tri int32) bool { return tri%3 != odd }
			}
			want := inTurn(m, p, within, accept)
			hint := int32(rng.IntN(len(m.Triangles)+2)) - 1
			got, ok := tree.ClosestFrom(hint, p, within, accept)
			if ok != (want.Tri >= 0) || got != want {
				t.Fatalf("hint %d: tree says %v %v, every triangle in turn says %v", hint, ok, got, want)
			}
		}
	})
}

func TestWithinAgreesWithEveryTriangle(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	m := soup(rng, 400)
	tree := near.New(m)
	for range 100 {
		p, within := anywhere(rng, 100), 30*rng.Float64()
		var want, got []near.Hit
		for i := range m.Triangles {
			if h := inTurn(m, p, within, func(tri int32) bool { return tri == int32(i) }); h.Tri >= 0 && h.Distance <= within {
				want = append(want, h)
			}
		}
		tree.Within(p, within, func(h near.Hit) bool { got = append(got, h); return true })
		slices.SortFunc(got, func(a, b near.Hit) int { return int(a.Tri - b.Tri) })
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%d within %g of %v, want %d", len(got), within, p, len(want))
		}
		n := 0
		tree.Within(p, within, func(near.Hit) bool { n++; return false })
		if n != min(1, len(want)) {
			t.Fatalf("visited %d after it was told to stop", n)
		}
	}
}

// Large enough for the tree to be made in parts.
func TestWorkersDoNotMatter(t *testing.T) {
	m := grid(150)
	one, many := near.NewOn(m, 1), near.NewOn(m, 5)
	rng := rand.New(rand.NewPCG(7, 7))
	for range 2000 {
		p := vec(1000*rng.Float64(), 1000*rng.Float64(), 60*rng.Float64()-30)
		a, foundA := one.Closest(p, 10)
		b, foundB := many.Closest(p, 10)
		if want := inTurnNear(m, p); a != b || foundA != foundB || !(math.Abs(a.Distance-want) <= 1e-12) && want <= 10 {
			t.Fatalf("at %v: one worker %v, five %v, in turn %g", p, a, b, want)
		}
	}
}

// inTurnNear looks at the triangles of grid's squares about p only, and so is quick.
func inTurnNear(m *mesh.Mesh, p r3.Vector) float64 {
	const n, step, about = 150, 1000. / 150, 12
	least := math.Inf(1)
	i, j := int(p.X/step), int(p.Y/step)
	for x := max(0, i-about); x < min(n, i+about); x++ {
		for y := max(0, j-about); y < min(n, j+about); y++ {
			for k := range 2 {
				a, b, c := m.Corners(2*(x*n+y) + k)
				q, _ := near.ClosestOnTriangle(p, a, b, c)
				least = min(least, q.Sub(p).Norm())
			}
		}
	}
	return least
}

// No triangle that is truly near may be missing from what the broad phase gives, and what is far must not be in it.
func TestNearToHoldsEveryNearTriangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 8))
		var trees []*near.Tree
		for range 4 {
			trees = append(trees, near.New(moved(soup(rng, rng.IntN(120)), anywhere(rng, 150))))
		}
		within := 10 * rng.Float64()
		for b := range trees {
			for a := range b {
				checkNearTo(t, trees[a], trees[b], within)
			}
		}
	})
}

func checkNearTo(t *rapid.T, a, b *near.Tree, within float64) {
	ofA, ofB := a.NearTo(b, within), b.NearTo(a, within)
	if !slices.IsSorted(ofA) || !slices.IsSorted(ofB) {
		t.Fatalf("%v and %v are not rising", ofA, ofB)
	}
	for i := range a.Mesh().Triangles {
		for _, corner := range a.Mesh().Triangles[i] {
			hit, ok := b.Closest(a.Mesh().Vertices[corner], within)
			if !ok {
				continue
			}
			if _, listed := slices.BinarySearch(ofA, int32(i)); !listed {
				t.Fatalf("triangle %d of the first panel is %g away and not listed", i, hit.Distance)
			}
			if _, listed := slices.BinarySearch(ofB, hit.Tri); !listed {
				t.Fatalf("triangle %d of the second panel is %g away and not listed", hit.Tri, hit.Distance)
			}
		}
	}
	if len(ofB) == 0 { // nothing of b is near a: what is listed of a is near no more than a box about a few triangles of b
		return
	}
	for _, i := range ofA {
		p, q, r := a.Mesh().Corners(int(i))
		middle := p.Add(q).Add(r).Mul(1. / 3)
		size := max(p.Sub(q).Norm(), q.Sub(r).Norm(), r.Sub(p).Norm())
		if _, ok := b.Closest(middle, within+size+200); !ok {
			t.Fatalf("triangle %d is listed and nowhere near", i)
		}
	}
}

func TestNearToOfSheetsApart(t *testing.T) {
	sheet := grid(40)
	first, lapping, above := near.New(sheet), near.New(moved(sheet, vec(980, 0, 1))), near.New(moved(sheet, vec(0, 0, 200)))
	for _, apart := range [][2]*near.Tree{{first, above}, {above, first}, {lapping, above}, {above, lapping}} {
		if of := apart[0].NearTo(apart[1], 3); len(of) > 0 {
			t.Errorf("%d triangles of sheets 200 mm apart", len(of))
		}
	}
	// One column of squares, 25 mm wide, laps; a leaf's neighbours may be listed too.
	for _, pair := range [][2]*near.Tree{{first, lapping}, {lapping, first}} {
		if n := len(pair[0].NearTo(pair[1], 3)); n < 2*40 || n > 4*2*40 {
			t.Errorf("%d triangles of %d listed on a lap one square wide", n, len(sheet.Triangles))
		}
	}
}

func TestHostileCoordinates(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, v := range []float64{nan, inf, -inf, 1e300, 1e-300, math.MaxFloat64} {
		m := soup(rand.New(rand.NewPCG(1, 2)), 40)
		m.Vertices[7].X, m.Vertices[20] = v, vec(v, v, v)
		tree := near.New(m)
		hit, ok := tree.Closest(m.Vertices[60], 1)
		if !ok || hit.Distance != 0 {
			t.Errorf("a vertex at %g: another vertex of the mesh is not found: %v %v", v, hit, ok)
		}
		for _, p := range []r3.Vector{vec(v, 0, 0), vec(v, v, v)} {
			tree.Closest(p, 5)
			tree.Capsule(p, vec(0, 0, 0), 5)
			tree.Ray(p, vec(0, 0, 1), 5)
			tree.Ray(vec(0, 0, 0), p, 5)
			tree.NearTo(near.New(soup(rand.New(rand.NewPCG(1, 3)), 40)), 1)
		}
	}
}
