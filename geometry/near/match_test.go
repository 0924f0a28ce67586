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

// wavy is a piece of one wavy sheet, lifted, of n by n squares of a step (mm) from a corner; with slivers its squares
// are 40 times as long as wide.
func wavy(corner r3.Vector, n int, step float64, slivers bool) [][9]float32 {
	at := func(i, j int) [3]float32 {
		x, y := corner.X+float64(i)*step, corner.Y+float64(j)*step
		if slivers {
			y = corner.Y + float64(j)*step/40
		}
		return [3]float32{float32(x), float32(y), float32(corner.Z + 4*math.Sin(x/30)*math.Cos(y/40))}
	}
	var out [][9]float32
	add := func(a, b, c [3]float32) { out = append(out, [9]float32(slices.Concat(a[:], b[:], c[:]))) }
	for i := range n {
		for j := range n {
			add(at(i, j), at(i+1, j), at(i+1, j+1))
			add(at(i, j), at(i+1, j+1), at(i, j+1))
		}
	}
	return out
}

func randomTriangles(rng *rand.Rand, corner r3.Vector, n int) [][9]float32 {
	m := moved(soup(rng, n), corner)
	out := make([][9]float32, n)
	for i := range out {
		for k, v := range m.Triangles[i] {
			p := m.Vertices[v]
			out[i][3*k], out[i][3*k+1], out[i][3*k+2] = float32(p.X), float32(p.Y), float32(p.Z)
		}
	}
	return out
}

func corner(t [9]float32, k int) r3.Vector {
	return vec(float64(t[3*k]), float64(t[3*k+1]), float64(t[3*k+2]))
}

// matchInTurn is Match by looking at everything.
func matchInTurn(panels [][][9]float32, within, minCos float64) []near.PanelPair {
	var pairs []near.PanelPair
	for a := range panels {
		for b := a + 1; b < len(panels); b++ {
			p := near.PanelPair{A: a, B: b}
			for i, t := range panels[a] {
				if m, ok := nearestInTurn(t, panels[b], within, minCos); ok {
					m.A = int32(i)
					p.Matched = append(p.Matched, m)
				}
			}
			if len(p.Matched) > 0 {
				pairs = append(pairs, p)
			}
		}
	}
	return pairs
}

func nearestInTurn(t [9]float32, others [][9]float32, within, minCos float64) (near.Matched, bool) {
	const third = 1 / float32(3)
	middle := vec(float64((t[0]+t[3]+t[6])*third), float64((t[1]+t[4]+t[7])*third), float64((t[2]+t[5]+t[8])*third))
	best, least := -1, within*within
	for i, u := range others {
		q, _ := near.ClosestOnTriangle(middle, corner(u, 0), corner(u, 1), corner(u, 2))
		if d := q.Sub(middle).Norm2(); d < least || d == least && best < 0 {
			best, least = i, d
		}
	}
	if best < 0 {
		return near.Matched{}, false
	}
	normal := func(t [9]float32) r3.Vector {
		return corner(t, 1).Sub(corner(t, 0)).Cross(corner(t, 2).Sub(corner(t, 0)))
	}
	m, n := normal(t), normal(others[best])
	return near.Matched{B: int32(best), Distance: float32(math.Sqrt(least))}, math.Abs(m.Dot(n)) >= minCos*m.Norm()*n.Norm()
}

func mustSoup(t interface{ Fatal(...any) }, triangles [][9]float32) *mesh.Soup {
	s, err := mesh.NewSoup(triangles)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Match gives what looking at everything gives, triangle for triangle: sheets fine and coarse, slivers, large
// triangles among small ones, triangles in any order, panels that come near no other, far from the origin, on any number of workers.
func TestMatchAgreesWithEveryTriangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 11))
		off := anywhere(rng, rapid.SampledFrom([]float64{0, 1e3, 1e5, 1e7}).Draw(t, "offset"))
		var panels [][][9]float32
		for range rapid.IntRange(0, 5).Draw(t, "panels") {
			at := off.Add(anywhere(rng, 60))
			at.Z = off.Z + 2*rng.Float64()
			var p [][9]float32
			switch rng.IntN(5) {
			case 0:
				p = wavy(at, 3+rng.IntN(12), 1+4*rng.Float64(), true)
			case 1:
				p = randomTriangles(rng, at, rng.IntN(150))
			default:
				p = wavy(at, 3+rng.IntN(12), 1+4*rng.Float64(), false)
			}
			if rng.IntN(3) == 0 {
				p = append(p, wavy(at, 1, 400, rng.IntN(2) == 0)...)
			}
			if rng.IntN(3) == 0 {
				rng.Shuffle(len(p), func(i, j int) { p[i], p[j] = p[j], p[i] })
			}
			panels = append(panels, p)
		}
		within := 3 * rng.Float64()
		minCos := rapid.SampledFrom([]float64{0, .9}).Draw(t, "cosine")
		want := matchInTurn(panels, within, minCos)
		var soups []*mesh.Soup
		for _, p := range panels {
			soups = append(soups, mustSoup(t, p))
		}
		got, err := near.Match(soups, near.MatchOptions{Within: within, MinCos: minCos, Workers: rng.IntN(4)})
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(want) {
			t.Fatalf("%d pairs, want %d", len(got), len(want))
		}
		for i := range got {
			if !reflect.DeepEqual(got[i], want[i]) {
				t.Fatalf("panels %d and %d: %d matched, want %d of panels %d and %d; or others", got[i].A, got[i].B, len(got[i].Matched),
					len(want[i].Matched), want[i].A, want[i].B)
			}
		}
	})
}

// On sheets large enough for many tasks, tree parts and bricks, the number of workers and the order of the triangles must
// not matter.
func TestMatchOfLargeSheets(t *testing.T) {
	a, b := wavy(vec(0, 0, 0), 120, 1, false), wavy(vec(70.3, 10.4, .5), 110, 1.1, false)
	opt := near.MatchOptions{Within: 1.5, MinCos: .9, Workers: 1}
	one, err := near.Match([]*mesh.Soup{mustSoup(t, a), mustSoup(t, b)}, opt)
	if err != nil || len(one) != 1 || len(one[0].Matched) < 8000 || len(one[0].Matched) > 2*120*51 {
		t.Fatalf("%d pairs, error %v", len(one), err)
	}
	opt.Workers = 4
	many, _ := near.Match([]*mesh.Soup{mustSoup(t, a), mustSoup(t, b)}, opt)
	if !reflect.DeepEqual(one, many) {
		t.Error("four workers find something else than one")
	}
	order := rand.New(rand.NewPCG(3, 4)).Perm(len(a))
	shuffled := make([][9]float32, len(a))
	for i, from := range order {
		shuffled[i] = a[from]
	}
	other, _ := near.Match([]*mesh.Soup{mustSoup(t, shuffled), mustSoup(t, b)}, opt)
	back := slices.Clone(other[0].Matched)
	for i := range back {
		back[i].A = int32(order[back[i].A])
	}
	slices.SortFunc(back, func(a, b near.Matched) int { return int(a.A - b.A) })
	if !reflect.DeepEqual(back, one[0].Matched) {
		t.Error("shuffled triangles find something else")
	}
}

func TestMatchOfNothing(t *testing.T) {
	far := wavy(vec(5000, 0, 0), 4, 1, false)
	for _, soups := range [][]*mesh.Soup{nil, {mustSoup(t, nil)}, {mustSoup(t, nil), mustSoup(t, far)}, {mustSoup(t, far)},
		{mustSoup(t, far), mustSoup(t, wavy(vec(0, 0, 0), 4, 1, false))}} {
		if pairs, err := near.Match(soups, near.MatchOptions{Within: 1}); err != nil || len(pairs) != 0 {
			t.Errorf("%d panels: %v, %v", len(soups), pairs, err)
		}
	}
	for _, within := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := near.Match(nil, near.MatchOptions{Within: within}); err == nil {
			t.Errorf("a distance of %g is taken", within)
		}
	}
}

func BenchmarkMatch(b *testing.B) {
	soups := []*mesh.Soup{mustSoup(b, wavy(vec(0, 0, 0), 200, 1, false)), mustSoup(b, wavy(vec(170.3, 10.4, .5), 200, 1.1, false))}
	b.ReportAllocs()
	for b.Loop() {
		near.Match(soups, near.MatchOptions{Within: 1.5, MinCos: .9})
	}
}

// What no panel holds must neither take long nor be answered otherwise.
func TestMatchHostile(t *testing.T) {
	same := make([][9]float32, 300)
	for i := range same {
		same[i] = [9]float32{0, 0, 0, 1, 0, 0, 0, 1, 0}
	}
	points := make([][9]float32, 300) // without area, all in one place
	huge := [][9]float32{{-9e8, -9e8, 0, 9e8, -9e8, 0, 0, 9e8, 0}, {-9e8, -9e8, -9e8, 9e8, 9e8, 9e8, 9e8, 9e8, 8.9e8}}
	tiny := make([][9]float32, 100)
	for i := range tiny {
		x := float32(i) * 1e-30
		tiny[i] = [9]float32{x, 0, 0, x + 1e-30, 0, 0, x, 1e-30, 0}
	}
	sheet := wavy(vec(0, 0, 0), 15, 1, false)
	panels := [][][9]float32{same, points, huge, tiny, append(slices.Clone(sheet), huge...), sheet}
	want := matchInTurn(panels, 1.5, .9)
	var soups []*mesh.Soup
	for _, p := range panels {
		soups = append(soups, mustSoup(t, p))
	}
	got, err := near.Match(soups, near.MatchOptions{Within: 1.5, MinCos: .9, Workers: 2})
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%d pairs, want %d; error %v", len(got), len(want), err)
	}
}
