package dip

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The greatest and the least about each point are those of looking at every point about it.
func TestWidestIsTheGreatest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Just(math.NaN()), rapid.Float64Range(-3, 3), rapid.SampledFrom([]float64{0, 1, math.Inf(1)}))
		x := rapid.SliceOfN(value, 1, 30).Draw(t, "values")
		half, sign := rapid.IntRange(0, 40).Draw(t, "half"), rapid.SampledFrom([]float64{1, -1}).Draw(t, "sign")
		c := Side{Closed: rapid.Bool().Draw(t, "closed")}
		for i, have := range c.widest(x, half, sign) {
			want := math.Inf(-1)
			for k := i - half; k <= i+half; k++ {
				at := k
				if c.Closed {
					at = ((k % len(x)) + len(x)) % len(x)
				}
				if at >= 0 && at < len(x) && !math.IsNaN(x[at]) {
					want = max(want, sign*x[at])
				}
			}
			if have != sign*want {
				t.Fatalf("point %d: %g, want %g", i, have, sign*want)
			}
		}
	})
}
