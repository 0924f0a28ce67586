package near_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// soup is triangles of mixed size and shape, slivers and points among them.
func soup(rng *rand.Rand, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(scale float64) r3.Vector {
		return vec(scale*(rng.Float64()-.5), scale*(rng.Float64()-.5), scale*(rng.Float64()-.5))
	}
	for i := range n {
		c, size := at(100), math.Pow(10, 2*rng.Float64()-1)
		a, b, d := c.Add(at(size)), c.Add(at(size)), c.Add(at(size))
		switch i % 7 {
		case 0:
			d = a.Add(b.Sub(a).Mul(rng.Float64())) // no area
		case 1:
			b, d = a, a
		case 2:
			d = a.Add(b.Sub(a).Mul(.5)).Add(at(1e-7)) // a needle
		}
		k := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, a, b, d)
		m.Triangles = append(m.Triangles, [3]int32{k, k + 1, k + 2})
	}
	return m
}

// sampledDistance is an independent answer: the best of a fine grid of points on the triangle.
func sampledDistance(p, a, b, c r3.Vector) float64 {
	least := math.Inf(1)
	const n = 60
	for i := 0; i <= n; i++ {
		for j := 0; i+j <= n; j++ {
			q := a.Add(b.Sub(a).Mul(float64(i) / n)).Add(c.Sub(a).Mul(float64(j) / n))
			least = min(least, q.Sub(p).Norm())
		}
	}
	return least
}

func TestClosestAgreesWithEveryTriangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		m := soup(rng, rapid.IntRange(0, 300).Draw(t, "triangles"))
		tree := near.New(m)
		for range 20 {
			p := vec(120*rng.Float64()-60, 120*rng.Float64()-60, 120*rng.Float64()-60)
			within := 40 * rng.Float64()
			least, tri := within, int32(-1)
			for i := range m.Triangles {
				a, b, c := m.Corners(i)
				q, _ := near.ClosestOnTriangle(p, a, b, c)
				if d := q.Sub(p).Norm(); d < least {
					least, tri = d, int32(i)
				}
			}
			hit, ok := tree.Closest(p, within)
			if ok != (tri >= 0) || ok && !(math.Abs(hit.Distance-least) <= 1e-12) {
				t.Fatalf("tree says %v %v, every triangle in turn says %d at %g", hit, ok, tri, least)
			}
		}
	})
}

func TestClosestOnTriangleAgreesWithSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	m := soup(rng, 400)
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		p := a.Add(vec(rng.Float64()*8-4, rng.Float64()*8-4, rng.Float64()*8-4))
		q, f := near.ClosestOnTriangle(p, a, b, c)
		d, sampled := q.Sub(p).Norm(), sampledDistance(p, a, b, c)
		size := max(b.Sub(a).Norm(), c.Sub(a).Norm())
		if d > sampled+1e-9 || d < sampled-size/30 {
			t.Errorf("triangle %d: distance %g (feature %d), sampled %g", i, d, f, sampled)
		}
	}
}

func TestFeatures(t *testing.T) {
	a, b, c := vec(0, 0, 0), vec(4, 0, 0), vec(0, 4, 0)
	for _, test := range []struct {
		p    r3.Vector
		want near.Feature
	}{
		{vec(1, 1, 2), near.Face}, {vec(2, -1, 1), near.EdgeAB}, {vec(3, 3, 0), near.EdgeBC}, {vec(-1, 2, 0), near.EdgeCA},
		{vec(-1, -1, 0), near.CornerA}, {vec(9, -1, 0), near.CornerB}, {vec(-1, 9, 3), near.CornerC},
	} {
		if _, f := near.ClosestOnTriangle(test.p, a, b, c); f != test.want {
			t.Errorf("point %v: feature %d, want %d", test.p, f, test.want)
		}
	}
}

func TestTieGoesToTheLowestIndex(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vector{vec(0, 0, 0), vec(1, 0, 0), vec(0, 1, 0)}}
	for range 50 {
		m.Triangles = append(m.Triangles, [3]int32{0, 1, 2})
	}
	if hit, _ := near.New(m).Closest(vec(.2, .2, 1), 5); hit.Tri != 0 {
		t.Errorf("of fifty equal triangles, number %d was returned", hit.Tri)
	}
}

func TestRayAgreesWithEveryTriangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		m := soup(rng, 200)
		tree := near.New(m)
		for range 20 {
			o := vec(120*rng.Float64()-60, 120*rng.Float64()-60, 120*rng.Float64()-60)
			target, _, _ := m.Corners(rng.IntN(200))
			dir := target.Add(vec(rng.Float64(), rng.Float64(), rng.Float64())).Sub(o).Normalize()
			hit, ok := tree.Ray(o, dir, 300)
			single := -1.0
			for i := range m.Triangles {
				one := &mesh.Mesh{Vertices: m.Vertices, Triangles: m.Triangles[i : i+1]}
				if h, met := near.New(one).Ray(o, dir, 300); met && (single < 0 || h.Distance < single) {
					single = h.Distance
				}
			}
			if ok != (single >= 0) || ok && hit.Distance != single {
				t.Fatalf("tree says %v %v, one by one says %g", hit, ok, single)
			}
		}
	})
}

func TestRayAlongAnAxisAndThroughAnEdge(t *testing.T) {
	m := &mesh.Mesh{
		Vertices:  []r3.Vector{vec(0, 0, 0), vec(2, 0, 0), vec(2, 2, 0), vec(0, 2, 0)},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	hit, ok := near.New(m).Ray(vec(1, 1, 5), vec(0, 0, -1), 10)
	if !ok || hit.Distance != 5 || hit.Point != vec(1, 1, 0) {
		t.Errorf("ray through the shared edge: %v %v", hit, ok)
	}
	if _, ok := near.New(m).Ray(vec(1, 1, 5), vec(0, 0, -1), 4.9); ok {
		t.Error("a ray reaches farther than it was let")
	}
}

func TestCapsuleAgreesWithClosestAlongTheSegment(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	m := soup(rng, 150)
	tree := near.New(m)
	for range 200 {
		a := vec(120*rng.Float64()-60, 120*rng.Float64()-60, 120*rng.Float64()-60)
		b := a.Add(vec(rng.Float64()*30-15, rng.Float64()*30-15, rng.Float64()*30-15))
		hit, ok := tree.Capsule(a, b, 200)
		sampled := math.Inf(1)
		for i := 0; i <= 400; i++ {
			h, _ := tree.Closest(a.Add(b.Sub(a).Mul(float64(i)/400)), 500)
			sampled = min(sampled, h.Distance)
		}
		if step := b.Sub(a).Norm() / 400; !ok || hit.Distance > sampled+1e-9 || hit.Distance < sampled-step {
			t.Fatalf("capsule %v-%v: %v %v, sampled %g", a, b, hit, ok, sampled)
		}
	}
}

func TestOverlapping(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	m := soup(rng, 500)
	tree := near.New(m)
	box := space.EmptyBox().Add(vec(-10, -10, -10)).Add(vec(20, 5, 30))
	seen := map[int32]int{}
	tree.Overlapping(box, func(tri int32) bool { seen[tri]++; return true })
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		want := 0
		if space.EmptyBox().Add(a).Add(b).Add(c).Overlaps(box) {
			want = 1
		}
		if seen[int32(i)] != want {
			t.Errorf("triangle %d visited %d times, want %d", i, seen[int32(i)], want)
		}
	}
}

func TestEmptyMesh(t *testing.T) {
	tree := near.New(&mesh.Mesh{})
	if _, ok := tree.Closest(vec(0, 0, 0), 1e9); ok {
		t.Error("a point of nothing was found")
	}
	if _, ok := tree.Ray(vec(0, 0, 0), vec(1, 0, 0), 1e9); ok {
		t.Error("a ray met nothing")
	}
}

func ExampleTree_Closest() {
	m := &mesh.Mesh{Vertices: []r3.Vector{vec(0, 0, 0), vec(10, 0, 0), vec(0, 10, 0)}, Triangles: [][3]int32{{0, 1, 2}}}
	hit, ok := near.New(m).Closest(vec(2, 3, 1.25), 1.5)
	fmt.Println(ok, hit.Point, hit.Distance)
	// Output: true (2.000000000000000000000000, 3.000000000000000000000000, 0.000000000000000000000000) 1.25
}

func grid(n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := 0; i <= n; i++ {
		for j := 0; j <= n; j++ {
			x, y := float64(i)*1000/float64(n), float64(j)*1000/float64(n)
			m.Vertices = append(m.Vertices, vec(x, y, 30*math.Sin(x/150)*math.Cos(y/200)))
		}
	}
	for i := range n {
		for j := range n {
			a, b := int32(i*(n+1)+j), int32((i+1)*(n+1)+j)
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	return m
}

func BenchmarkNew(b *testing.B) {
	m := grid(200)
	b.ReportAllocs()
	for b.Loop() {
		near.New(m)
	}
}

// besideGrid is points up to 1 mm above grid's sheet.
func besideGrid(n int) []r3.Vector {
	rng := rand.New(rand.NewPCG(1, 1))
	points := make([]r3.Vector, n)
	for i := range points {
		x, y := 1000*rng.Float64(), 1000*rng.Float64()
		points[i] = vec(x, y, 30*math.Sin(x/150)*math.Cos(y/200)+rng.Float64())
	}
	return points
}

func BenchmarkClosest(b *testing.B) {
	tree, points := near.New(grid(300)), besideGrid(1000)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		tree.Closest(points[i%len(points)], 1.5)
	}
}

func BenchmarkClosestAmong(b *testing.B) {
	tree, points := near.New(grid(300)), besideGrid(1000)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		tree.ClosestAmong(points[i%len(points)], 5, func(tri int32) bool { return tri%2 == 0 })
	}
}

func BenchmarkClosestFrom(b *testing.B) {
	m := grid(300)
	tree := near.New(m)
	hint := near.NoHint
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		p := m.Vertices[i%len(m.Vertices)].Add(vec(.3, .3, .7))
		hit, _ := tree.ClosestFrom(hint, p, 1.5, nil)
		hint = hit.Tri
	}
}

func BenchmarkWithin(b *testing.B) {
	tree, points := near.New(grid(300)), besideGrid(1000)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		tree.Within(points[i%len(points)], 5, func(near.Hit) bool { return true })
	}
}

func BenchmarkOverlapping(b *testing.B) {
	tree, points := near.New(grid(300)), besideGrid(1000)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		tree.Overlapping(space.EmptyBox().Add(points[i%len(points)]).Grow(5), func(int32) bool { return true })
	}
}

func BenchmarkNearTo(b *testing.B) {
	sheet := grid(200)
	tree, other := near.New(sheet), near.New(moved(sheet, vec(985, 0, 1)))
	b.ReportAllocs()
	for b.Loop() {
		tree.NearTo(other, 3)
	}
}

func BenchmarkCapsule(b *testing.B) {
	tree := near.New(grid(300))
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		x := float64(i % 900)
		tree.Capsule(vec(x, 500, 20), vec(x+20, 530, 90), 8)
	}
}

func BenchmarkRay(b *testing.B) {
	tree := near.New(grid(300))
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		tree.Ray(vec(float64(i%1000), 400, 200), vec(.1, .2, -1).Normalize(), 400)
	}
}
