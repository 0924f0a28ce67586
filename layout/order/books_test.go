package order

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// After any moves, what the search keeps beside the order is as if counted anew, and so is what it believes to have saved.
func TestSearchKeepsItsBooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
		stops, opt := drawStops(rng, rapid.IntRange(2, 200).Draw(t, "stops"), true)
		p, err := build(stops, opt)
		if err != nil {
			t.Fatal(err)
		}
		c := newCosts(p.groups, stops, opt)
		s := p.begin(context.Background(), c)
		before := c.total(s.seq)
		s.saved = 0
		for range 20 {
			s.disturb(rng, 3, 60)
			if i := rng.IntN(len(s.seq)); rng.IntN(2) == 0 {
				s.reverse(i)
			} else {
				s.better(i)
			}
			if now := c.total(s.seq); !(math.Abs(before-now-s.saved) <= 1e-6) {
				t.Fatalf("%g s became %g s, saved %g s", before, now, s.saved)
			}
			again := p.begin(context.Background(), c)
			copy(again.seq, s.seq)
			again.changed(0, len(s.seq)-1)
			for i := range s.seq {
				for _, sum := range [][2]float64{{s.ahead.to(i), again.ahead.to(i)}, {s.back.to(i), again.back.to(i)}, {s.gap[i], again.gap[i]}} {
					if !(math.Abs(sum[0]-sum[1]) <= 1e-6) {
						t.Fatalf("cost up to place %d: %v, the second counted anew", i, sum)
					}
				}
			}
			if !slices.Equal(s.place, again.place) {
				t.Fatalf("places %v, counted anew %v", s.place, again.place)
			}
			for k := range s.last {
				if !slices.Equal(s.last[k], again.last[k]) || !slices.Equal(s.next[k], again.next[k]) {
					t.Fatalf("uses of kit %d: %v and %v, counted anew %v and %v", k, s.last[k], s.next[k], again.last[k], again.next[k])
				}
			}
		}
	})
}
