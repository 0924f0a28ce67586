package order

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/layout/tour"
)

// trial is an order of groups in the making, with a cost of its own: what each gun wears is kept in a map.
type trial struct {
	stops  []Stop
	groups [][]int
	opt    Options
	used   []bool
	at     []int // order so far
	best   float64
	found  float64
}

// exhaustive tries every order of the groups and both ways through each that costs less than below; infinity when there
// is none.
func exhaustive(stops []Stop, groups [][]int, opt Options, below float64) float64 {
	t := &trial{stops: stops, groups: groups, opt: opt, used: make([]bool, len(groups)), best: below, found: math.Inf(1)}
	t.try(opt.Start, 0)
	return t.found
}

func (t *trial) ends(g []int, round bool) (a, b r3.Vector, inner float64) {
	a, b = t.stops[g[0]].Position, t.stops[g[len(g)-1]].Position
	if t.stops[g[0]].Step == Roll {
		b = t.stops[g[0]].End
		inner = a.Distance(b)
	}
	for k := 1; k < len(g); k++ {
		inner += t.stops[g[k]].Position.Distance(t.stops[g[k-1]].Position)
	}
	if round {
		a, b = b, a
	}
	return a, b, inner
}

func (t *trial) allowed(g int) bool {
	rank := map[Step]int{Tack: 0, Fill: 1, Released: 1, Roll: 2}
	for h := range t.groups {
		if t.used[h] || h == g {
			continue
		}
		if rank[t.stops[t.groups[h][0]].Step] < rank[t.stops[t.groups[g][0]].Step] {
			return false
		}
		for _, p := range t.opt.Pairs {
			if slices.Contains(t.groups[h], p.First) && slices.Contains(t.groups[g], p.Then) {
				return false
			}
		}
	}
	return true
}

// tools is what the order so far costs in guns, tips and settings; at its end the guns are made ready for the next shell.
func (t *trial) tools() float64 {
	cost := 0.0
	wears, begins := make(map[string]Stop, 3), make(map[string]Stop, 3)
	for k, g := range t.at {
		s := t.stops[t.groups[g][0]]
		if k > 0 && t.stops[t.groups[t.at[k-1]][0]].Gun != s.Gun {
			cost += t.opt.GunChange
		}
		if was, ok := wears[s.Gun]; ok {
			cost += t.opt.dressCost(was.Tip, was.Setting, s.Tip, s.Setting)
		} else {
			begins[s.Gun] = s
		}
		wears[s.Gun] = s
	}
	if len(t.at) == len(t.groups) {
		for gun, was := range wears {
			cost += t.opt.dressCost(was.Tip, was.Setting, begins[gun].Tip, begins[gun].Setting)
		}
	}
	return cost
}

// try goes on from a place after so much walking.
func (t *trial) try(last *r3.Vector, walked float64) {
	total := walked + t.tools()
	if total >= t.best {
		return
	}
	if len(t.at) == len(t.groups) {
		t.best, t.found = total, total
		return
	}
	for g := range t.groups {
		if t.used[g] || !t.allowed(g) {
			continue
		}
		for _, round := range []bool{false, true} {
			if round && len(t.groups[g]) == 1 && t.stops[t.groups[g][0]].Step != Roll {
				continue // the same again
			}
			a, b, inner := t.ends(t.groups[g], round)
			more := inner / t.opt.WalkSpeed
			if last != nil {
				more += last.Distance(a) / t.opt.WalkSpeed
			}
			t.used[g], t.at = true, append(t.at, g)
			t.try(&b, walked+more)
			t.used[g], t.at = false, t.at[:len(t.at)-1]
		}
	}
}

func groupsByFlange(stops []Stop) [][]int {
	var out [][]int
	seen := map[string]int{}
	for i, s := range stops {
		g, ok := seen[s.Flange]
		if !ok {
			g = len(out)
			seen[s.Flange] = g
			out = append(out, nil)
		}
		out[g] = append(out[g], i)
	}
	return out
}

// alike is how much orders of so many groups may differ and still count as as good as each other.
func alike(groups int, opt Options) float64 { return 1e-6 + float64(groups)*tour.Alike/opt.WalkSpeed }

// By proof and by search.
func TestOrderEqualsExhaustiveSearch(t *testing.T) {
	for _, kind := range []struct {
		most int
		runs bool
	}{{10, false}, {7, true}} {
		rapid.Check(t, func(t *rapid.T) {
			rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
			stops, opt := drawStops(rng, rapid.IntRange(1, kind.most).Draw(t, "stops"), kind.runs)
			groups := groupsByFlange(stops)
			var plans []Plan
			for _, exact := range []int{0, -1} {
				opt.ExactUpTo = exact
				plan, err := Sequence(context.Background(), stops, opt)
				if err != nil {
					t.Fatal(err)
				}
				if len(plan.Runs) != len(groups) {
					t.Fatalf("%d runs, want %d", len(plan.Runs), len(groups))
				}
				plans = append(plans, plan)
			}
			best := exhaustive(stops, groups, opt, min(plans[0].Seconds, plans[1].Seconds)+1e-6)
			for _, plan := range plans {
				if plan.Seconds < best-1e-6 || plan.Seconds > best+alike(len(groups), opt) {
					t.Fatalf("exact %v: %g s, exhaustive %g s: %v", plan.Proven, plan.Seconds, best, names(stops, plan))
				}
			}
		})
	}
}

func TestSearchIsNearTheProvenOptimum(t *testing.T) {
	worst := 1.0
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 2))
		stops, opt := drawStops(rng, 13+int(seed%3), false)
		opt.ExactUpTo = 31
		best := sequence(t, stops, opt)
		opt.ExactUpTo = -1
		found := sequence(t, stops, opt)
		if !best.Proven || found.Proven {
			t.Fatal("the two ways are mixed up")
		}
		if found.Seconds < best.Seconds-alike(len(stops), opt) {
			t.Fatalf("seed %d: the search finds %g s, below the proven %g s", seed, found.Seconds, best.Seconds)
		}
		worst = math.Max(worst, found.Seconds/best.Seconds)
		if found.Seconds > 1.03*best.Seconds {
			t.Errorf("seed %d: %g s, proven %g s", seed, found.Seconds, best.Seconds)
		}
	}
	t.Logf("the search was at most %.2f %% above the proven optimum", 100*(worst-1))
}

// dressCost is the seconds from one tip and setting on a gun to the next on the same gun.
func (opt Options) dressCost(tip, setting, nextTip, nextSetting string) float64 {
	cost := 0.0
	if tip != nextTip {
		cost += opt.TipChange
	}
	if setting != nextSetting {
		cost += opt.SetChange
	}
	return cost
}
