package balance_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/layout/balance"
)

// Lines, bounds and the steps that the search takes to them are as they were, on problems of many kinds: what is left out too soon
// gives another line, what is left out too late, or looked at in another order, takes other steps.
func TestEffortAsBefore(t *testing.T) {
	var b strings.Builder
	for i := range 60 {
		rng := rand.New(rand.NewPCG(11, uint64(i)))
		tasks := make([]balance.Task, 4+rng.IntN(40))
		least, most, arcs := int64(1+rng.IntN(60)), int64(60+rng.IntN(140)), rng.Float64()/3
		for k := range tasks {
			tasks[k].Time = least + rng.Int64N(most)
			for j := max(0, k-8); j < k; j++ {
				if rng.Float64() < arcs {
					tasks[k].After = append(tasks[k].After, j)
				}
			}
		}
		longest := slices.MaxFunc(tasks, func(a, b balance.Task) int { return int(a.Time - b.Time) }).Time
		takt := longest + rng.Int64N(2*longest)
		for _, effort := range []int64{300, 40_000} {
			r, err := balance.FewestStations(context.Background(), tasks, takt, balance.Options{Effort: effort})
			fmt.Fprintf(&b, "%d: %d tasks, takt %d: %s, %v\n", i, len(tasks), takt, told(r), err)
			r, err = balance.LeastTakt(context.Background(), tasks, 1+rng.IntN(6), balance.Options{Effort: effort})
			fmt.Fprintf(&b, "  least takt: %s, %v\n", told(r), err)
			group := make([]int, len(tasks))
			for k := range group {
				group[k] = k * 3 / len(tasks)
			}
			fmt.Fprintf(&b, "  gathered: %s\n", told(balance.Gather(tasks, group, r)))
		}
	}
	record.Hold(t, "testdata/effort.txt", b.String())
}

func told(r balance.Result) string {
	return fmt.Sprintf("%v takt %d bound %d proven %t effort %d", r.Stations, r.Takt, r.Bound, r.Proven, r.Effort)
}
