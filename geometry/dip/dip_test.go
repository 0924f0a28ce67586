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

// A dip that falls off by 0.34, too gently for a notch by itself, is one where the other side stays as far away, or comes nearer as where
// the line swerves past it; not where that is as much farther away, as at a corner, nor where it is not known.
func TestShallowNotches(t *testing.T) {
	side := Side{Width: 13, Step: 2}
	const n, at = 31, 15
	depth := func(i int) float64 { return max(0, 2.2-0.34*2*math.Abs(float64(i-at))) }
	is, same, nearer, farther := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range is {
		d := depth(i)
		is[i], same[i], nearer[i], farther[i] = 6.5-d, 6.5, 6.5-d/2, 6.5+d
	}
	for _, test := range []struct {
		name   string
		across []float64
		want   float64
	}{{"as far", same, 6.5}, {"nearer", nearer, 6.5}, {"farther", farther, 4.3}, {"not known", nil, 4.3}} {
		if have := side.Bridge(is, test.across)[at]; math.Abs(have-test.want) > 1e-9 {
			t.Errorf("the other side %s: %g from the line at the deepest, want %g", test.name, have, test.want)
		}
	}
	for i := range is {
		is[i] = 6.5 - depth(i)*0.28/0.34
	}
	if have := side.Bridge(is, same)[at]; have > 5 {
		t.Errorf("%g at the deepest of a dip that falls off by 0.28: a change of width", have)
	}
}
