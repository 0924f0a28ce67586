package pitch

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// The number of tacks between two is the least that any set of the welds allows.
func TestTacksBetweenEqualExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		tk := Tacks{Every: 60 + 60*rng.Float64(), Length: 1000}
		at := 0.0
		for range 3 + rng.IntN(9) {
			tk.At = append(tk.At, at)
			at += 10 + 45*rng.Float64()
		}
		last := len(tk.At) - 1
		best := math.MaxInt
		for set := 0; set < 1<<(last-1); set++ {
			var between []int
			for k := 1; k < last; k++ {
				if set>>(k-1)&1 == 1 {
					between = append(between, k)
				}
			}
			if tk.keeps(0, last, between) {
				best = min(best, len(between))
			}
		}
		got := tk.between(0, last)
		if !tk.keeps(0, last, got) {
			t.Fatalf("tacks %v of %v leave more than %g", got, tk.At, tk.Every)
		}
		if len(got) != best {
			t.Fatalf("%d tacks %v of %v, exhaustive %d", len(got), got, tk.At, best)
		}
	})
}
