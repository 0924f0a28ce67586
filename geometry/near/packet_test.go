package near

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// someTriangles are of all kinds: fair ones, slivers, segments, points, tiny and huge ones, near a corner (mm).
func someTriangles(rng *rand.Rand, corner, size float64, n int) [][9]float32 {
	out := make([][9]float32, n)
	for i := range out {
		s := size * math.Pow(10, 4*rng.Float64()-2)
		for k := range 9 {
			out[i][k] = float32(corner + s*(rng.Float64()-.5))
		}
		flat := [...]float64{1, 1, 1, 1e-2, 1e-4, 1e-7, 0}[rng.IntN(7)] // of the third corner from the first side
		at := rng.Float64()*3 - 1
		for k := range 3 {
			on := float64(out[i][k]) + at*float64(out[i][k+3]-out[i][k])
			out[i][k+6] = float32(on + flat*(float64(out[i][k+6])-on))
		}
		if rng.IntN(12) == 0 {
			copy(out[i][3*rng.IntN(3):], out[i][:3])
		}
	}
	return out
}

func somePacket(t *rapid.T) (p *packet, of *mesh.Soup, rng *rand.Rand, size float64) {
	rng = rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 8))
	size = math.Pow(10, rapid.Float64Range(-13, 6).Draw(t, "size"))
	corner := rapid.SampledFrom([]float64{0, 0, 1, 300, 4e8}).Draw(t, "corner") * min(1, size)
	n := rapid.IntRange(1, lanes).Draw(t, "places")
	of, err := mesh.NewSoup(append(someTriangles(rng, corner, size, 40), someTriangles(rng, corner, size/50, n)...))
	if err != nil {
		t.Fatal(err)
	}
	low, high := of.Box(0, of.Len())
	f := newFrame(space.Box{Min: wide(low), Max: wide(high)})
	p = newPacket(&f, size*math.Pow(10, rapid.Float64Range(-4, 1).Draw(t, "within")))
	p.take(of, []int32{40, 41, 42, 43, 44, 45, 46, 47}[:n])
	for i := range p.limit {
		p.limit[i] = p.start
	}
	return p, of, rng, size
}

// The least that is said of a triangle is never above its true distance, and the greatest never below: the nearest triangle is not
// lost, be it a sliver, far off or without any area. And what is said is of use: fair triangles are told apart.
func TestWeighBoundsTheDistance(t *testing.T) {
	told, fair := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p, of, rng, _ := somePacket(t)
		triangles := rng.Perm(40)[:rapid.IntRange(1, lanes).Draw(t, "triangles")]
		order := make([]int32, len(triangles))
		for i, tri := range triangles {
			order[i] = int32(tri)
		}
		rows := make([][lanes]float32, len(order))
		weigher := weigh
		if rapid.Bool().Draw(t, "plain") {
			weigher = weighPlain
		}
		near := weigher(p, of, order, rows)
		for i := range p.places {
			nearest := float64(p.start)
			for k, tri := range order {
				a, b, c := of.Corners(int(tri))
				place := p.exactly(i)
				on, _ := ClosestOnTriangle(place, a, b, c)
				d := on.Sub(place).Norm2()
				if float64(rows[k][i]) > d*(1+1e-12) {
					t.Fatalf("triangle %v is %g from %v, not at least %g", of.Triangle(int(tri)), d, place, rows[k][i])
				}
				if said := near>>(lanes*k+i)&1 == 1; said == (rows[k][i] > p.limit[i]) {
					t.Fatalf("lane %d of triangle %d: said to be near: %t, at %g of %g", i, k, said, rows[k][i], p.limit[i])
				}
				nearest = min(nearest, d)
				if float64(rows[k][i]) > d*.999 {
					told++
				}
				fair++
			}
			if float64(p.limit[i]) < nearest*(1-1e-12) {
				t.Fatalf("%v: no farther than %g, but the nearest is at %g", p.exactly(i), p.limit[i], nearest)
			}
		}
	})
	if told < fair/8 {
		t.Errorf("only for %d of %d places and triangles the least is the distance", told, fair)
	}
}

// Boxes that hold something near are never left out, and those well beyond are.
func TestPairNearIsTheGapBetweenBoxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, of, rng, _ := somePacket(t)
		f := frame{r3.Vector{X: p.corner[0], Y: p.corner[1], Z: p.corner[2]}, p.grain}
		var boxes [2]node
		for k := range boxes {
			tri := rng.IntN(40)
			low, high := of.Box(tri, tri+1)
			boxes[k].lo, boxes[k].hi = f.grown(wide(low), wide(high))
		}
		for i := range p.limit {
			p.limit[i] *= rng.Float32()
		}
		var said [2]uint32
		var rightFirst uint32
		if rapid.Bool().Draw(t, "plain") {
			said[0], said[1], rightFirst = pairNearPlain(p, &boxes[0], &boxes[1])
		} else {
			said[0], said[1], rightFirst = pairNear(p, &boxes[0], &boxes[1])
		}
		for i := range lanes {
			var gaps [2]float64
			fits := p.limit[i] > 1e-30 && p.scale < 1e30 // else float32 cannot tell, and all is near
			limit := float64(p.limit[i])*p.grain*p.grain + 1
			for k := range boxes {
				gaps[k] = float64(boxes[k].gapAt(p.at[0][i], p.at[1][i], p.at[2][i]))
				is := said[k]>>i&1 == 1
				if gaps[k] <= limit && !is || gaps[k] > limit*(1+1e-5)+1 && is && fits {
					t.Fatalf("a box %g squared grains away, asked for up to %g: near: %t", gaps[k], limit, is)
				}
			}
			if is := rightFirst>>i&1 == 1; is != (gaps[1] < gaps[0]) && math.Abs(gaps[1]-gaps[0]) > 1e-5*gaps[0] {
				t.Fatalf("gaps %g: right first: %t", gaps, is)
			}
		}
	})
}

// The middles, their grains and their box are the same to the last bit whoever reckons them.
func TestMiddlesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, of, _, _ := somePacket(t)
		q := *p
		middlesPlain(&q, of)
		if p.middle != q.middle || p.place != q.place || p.at != q.at || p.low != q.low || p.high != q.high || p.origin != q.origin {
			t.Fatalf("%+v, plainly %+v", p, q)
		}
		if math.Abs(float64(p.radius-q.radius)) > 1e-6*float64(q.radius) {
			t.Fatalf("radius %g, plainly %g", p.radius, q.radius)
		}
	})
}

// More triangles equally near than there is room for candidates: the lowest is found.
func TestManyEquallyNear(t *testing.T) {
	one := [9]float32{0, 0, 1, 9, 0, 1, 0, 9, 1}
	below, err := mesh.NewSoup(slices.Repeat([][9]float32{{0, 0, 0, 3, 0, 0, 0, 3, 0}}, 5))
	if err != nil {
		t.Fatal(err)
	}
	above, err := mesh.NewSoup(slices.Repeat([][9]float32{one}, 1000))
	if err != nil {
		t.Fatal(err)
	}
	pairs, err := Match([]*mesh.Soup{below, above}, MatchOptions{Within: 1.5, MinCos: .9})
	if err != nil {
		t.Fatal(err)
	}
	want := []PanelPair{{0, 1, []Matched{{0, 0, 1}, {1, 0, 1}, {2, 0, 1}, {3, 0, 1}, {4, 0, 1}}}}
	if len(pairs) != 1 || !slices.Equal(pairs[0].Matched, want[0].Matched) {
		t.Errorf("%v, not %v", pairs, want)
	}
}
