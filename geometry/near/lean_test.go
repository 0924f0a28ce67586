package near_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

// Without the boxes that hold no triangle of a direction, or lie beyond a plane, the closest of those that do is the same, to the last
// bit, whatever is tried first.
func TestBoxesLeftOutChangeNothing(t *testing.T) {
	beyond, leaning, within, parts := 0, 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 6))
		m := soup(rng, rapid.IntRange(0, 300).Draw(t, "triangles"))
		normals, main, wild := make([]r3.Vector, len(m.Triangles)), anywhere(rng, 1).Normalize(), rng.Float64()
		for i := range normals {
			if wild < .5 {
				normals[i] = main.Add(anywhere(rng, .6*wild)).Normalize().Mul(math.Copysign(1, rng.Float64()-.5))
			} else {
				normals[i] = m.Normal(i)
			}
		}
		tree := near.New(m).Leaning(normals)
		for range 20 {
			p, far, plane := anywhere(rng, 120), 60*rng.Float64(), 60*(rng.Float64()-.5)
			dir, least := main.Add(anywhere(rng, 1)).Normalize(), .7+.3*rng.Float64()
			accept := func(tri int32) bool {
				a, b, c := m.Corners(int(tri))
				return min(a.X, b.X, c.X) <= plane && math.Abs(normals[tri].Dot(dir)) >= least
			}
			kind := func(tri int32) int {
				if !accept(tri) {
					return -1
				}
				return int(tri % 2)
			}
			hints := [2]int32{int32(rng.IntN(len(m.Triangles)+1)) - 1, int32(rng.IntN(len(m.Triangles)+1)) - 1}
			in, around := []near.Entry{0}, space.EmptyBox().Add(p).Grow(30*rng.Float64())
			if rng.IntN(2) == 0 {
				in = tree.Entries(around, far, 80*rng.Float64(), nil)
			}
			if len(in) > 1 {
				parts++
			}
			hits := tree.Closest(in, hints, p, far, func(low, high r3.Vector, c *near.Cone) [2]bool {
				if low.X > plane {
					beyond++
					return [2]bool{true, true}
				}
				if cos, _ := c.Farthest(dir); cos > least {
					within++
				}
				if c.Nearest(dir) < least {
					leaning++
					return [2]bool{true, true}
				}
				return [2]bool{}
			}, kind)
			for k, hit := range hits {
				if want := inTurn(m, p, far, func(tri int32) bool { return kind(tri) == k }); hit != want {
					t.Fatalf("kind %d: %+v, want %+v", k, hit, want)
				}
			}
		}
	})
	if beyond == 0 || leaning == 0 || within == 0 || parts == 0 {
		t.Errorf("%d boxes were left out by place, %d by direction; %d hold one direction; %d parts", beyond, leaning, within, parts)
	}
}

// All normals of a box lie between what its cone says.
func TestConeHoldsItsNormals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7))
		m := soup(rng, rapid.IntRange(1, 60).Draw(t, "triangles"))
		normals, main, spread := make([]r3.Vector, len(m.Triangles)), anywhere(rng, 1).Normalize(), rng.Float64()
		for i := range normals {
			if rng.IntN(5) > 0 {
				normals[i] = main.Add(anywhere(rng, spread)).Normalize().Mul(math.Copysign(1, rng.Float64()-.5))
			}
		}
		dir := main.Add(anywhere(rng, 2)).Normalize()
		holds := func(_, _ r3.Vector, c *near.Cone) [2]bool {
			least, most := 1.0, 0.0
			for _, n := range normals {
				if n != (r3.Vector{}) {
					least, most = min(least, math.Abs(n.Dot(dir))), max(most, math.Abs(n.Dot(dir)))
				}
			}
			if farthest, _ := c.Farthest(dir); farthest > least || c.Nearest(dir) < most {
				t.Fatalf("from %g to %g, said to be from %g to %g", least, most, farthest, c.Nearest(dir))
			}
			return [2]bool{true, true} // the root holds all of them
		}
		near.New(m).Leaning(normals).Closest([]near.Entry{0}, [2]int32{-1, -1}, r3.Vector{}, 1e3, holds, func(int32) int { return -1 })
	})
}
