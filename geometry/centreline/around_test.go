package centreline

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// Passing sections over gives what looking at each gives.
func TestNearestSection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		sections := make([]Section, rapid.IntRange(1, 60).Draw(t, "sections"))
		at, longest := r3.Vector{}, 0.0
		for i := range sections {
			sections[i].At.Point = at
			step := r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Mul(float64(rng.IntN(3)))
			if at = at.Add(step); i+1 < len(sections) {
				longest = max(longest, step.Norm())
			}
		}
		p := r3.Vector{X: 20 * rng.NormFloat64(), Y: 20 * rng.NormFloat64(), Z: 5 * rng.NormFloat64()}
		want, least := 0, math.Inf(1)
		for i := range sections {
			if d := sections[i].At.Point.Sub(p).Norm(); d < least {
				want, least = i, d
			}
		}
		if _, got := nearestSection(sections, longest, p); got != want {
			t.Fatalf("section %d, not %d", got, want)
		}
	})
}
