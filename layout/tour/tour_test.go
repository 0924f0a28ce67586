package tour

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// After any moves, what the search keeps beside the order is as if counted anew, and so is what it believes to have saved.
func TestSearchKeepsItsBooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
		p := newProblem(drawGroups(rng, rapid.IntRange(1, 150).Draw(t, "groups")))
		c := newCosts(p.groups, drawPrices(rng))
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

// drawGroups draws groups in up to three stages, with a few that must come before others.
func drawGroups(rng *rand.Rand, n int) []Group {
	end := func() End {
		e := End{At: r3.Vector{X: 2000 * rng.Float64(), Y: 1000 * rng.Float64(), Z: 1200 * rng.Float64()}}
		if rng.IntN(4) > 0 {
			e.Axis = r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		}
		return e
	}
	guns, tips, settings := 1+rng.IntN(3), 1+rng.IntN(3), 1+rng.IntN(3)
	out := make([]Group, n)
	for g := range out {
		a, b := end(), end()
		out[g] = Group{Stage: rng.IntN(3), Ways: []Way{{a, b, 5 * rng.Float64()}}, Gun: string(rune('A' + rng.IntN(guns))),
			Tip: string(rune('a' + rng.IntN(tips))), Setting: string(rune('1' + rng.IntN(settings)))}
		if rng.IntN(3) > 0 {
			out[g].Ways = append(out[g].Ways, Way{b, a, out[g].Ways[0].Seconds})
		}
		for range rng.IntN(2) * rng.IntN(3) {
			if b := rng.IntN(n); b < g && out[b].Stage <= out[g].Stage && !slices.Contains(out[g].Before, b) {
				out[g].Before = append(out[g].Before, b)
			}
		}
		slices.Sort(out[g].Before)
	}
	return out
}

func drawPrices(rng *rand.Rand) Prices {
	p := Prices{Speed: 100 + 900*rng.Float64(), Gun: 20 * rng.Float64(), Tip: 30 * rng.Float64(), Setting: 10 * rng.Float64(),
		Posture: 5 * rng.Float64()}
	switch rng.IntN(4) {
	case 0:
		p.Tip = 0
	case 1:
		p.Setting = 0
	case 2:
		p.Start = &r3.Vector{X: 100, Y: 200}
	}
	return p
}

// Of few groups the order is the cheapest of all that keep what must come first, tried one by one.
func TestFindsTheCheapest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 10))
		groups, prices := drawGroups(rng, rapid.IntRange(1, 6).Draw(t, "groups")), drawPrices(rng)
		turns, proven := Find(context.Background(), groups, prices, 14)
		if !proven || len(turns) != len(groups) {
			t.Fatalf("%v, proven %t", turns, proven)
		}
		c := newCosts(groups, prices)
		var seq []step
		for _, turn := range turns {
			seq = append(seq, step{int32(turn.Group), uint8(turn.Way)})
		}
		if !keeps(groups, seq) {
			t.Fatalf("%v does not keep what must come first", turns)
		}
		if least := cheapest(groups, c, nil); c.total(seq) > least+c.gain*float64(len(groups)) {
			t.Fatalf("%v costs %g s, the cheapest %g", turns, c.total(seq), least)
		}
	})
}

// cheapest is what the cheapest order costs that begins so.
func cheapest(groups []Group, c *costs, seq []step) float64 {
	if len(seq) == len(groups) {
		return c.total(seq)
	}
	least := math.Inf(1)
	for g := range groups {
		for w := range groups[g].Ways {
			next := append(slices.Clone(seq), step{int32(g), uint8(w)})
			if !slices.ContainsFunc(seq, func(s step) bool { return int(s.group) == g }) && keeps(groups, next) {
				least = min(least, cheapest(groups, c, next))
			}
		}
	}
	return least
}

// keeps reports whether all that must come before a group of an order, or of its beginning, does.
func keeps(groups []Group, seq []step) bool {
	done := map[int]bool{}
	for _, s := range seq {
		for b := range groups {
			first := groups[b].Stage < groups[s.group].Stage || slices.Contains(groups[s.group].Before, b)
			if first && !done[b] {
				return false
			}
		}
		done[int(s.group)] = true
	}
	return true
}
