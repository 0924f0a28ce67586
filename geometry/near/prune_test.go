package near_test

import (
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"seamwright/geometry/near"
	"seamwright/geometry/space"
)

// Without the boxes beyond a plane the closest of the triangles that do not lie beyond it is the same, to the last bit.
func TestPrunedBoxesChangeNothing(t *testing.T) {
	pruned := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 6))
		m := soup(rng, rapid.IntRange(0, 300).Draw(t, "triangles"))
		tree := near.New(m)
		for range 20 {
			p, within, plane := anywhere(rng, 120), 60*rng.Float64(), 60*(rng.Float64()-.5)
			accept := func(tri int32) bool {
				a, b, c := m.Corners(int(tri))
				return min(a.X, b.X, c.X) <= plane
			}
			hit, ok := tree.ClosestPruned(p, within, func(b space.Box) bool {
				if b.Min.X > plane {
					pruned++
					return true
				}
				return false
			}, accept)
			want := inTurn(m, p, within, accept)
			if ok != (want.Tri >= 0) || hit != want {
				t.Fatalf("%+v, want %+v", hit, want)
			}
		}
	})
	if pruned == 0 {
		t.Error("no box was left out")
	}
}
