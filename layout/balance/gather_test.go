package balance

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The books that an exchange keeps from move to move are those of the line as it stands: nothing is counted twice, and what is
// tried and not taken leaves no trace.
func TestExchangesKeepTheirBooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, stations := rapid.IntRange(2, 14).Draw(t, "tasks"), rapid.IntRange(2, 4).Draw(t, "stations")
		groups := rapid.IntRange(1, 4).Draw(t, "groups")
		g := &gatherer{takt: 40, most: stations, random: rand.New(rand.NewPCG(1, 1))}
		at := make([]int, n)
		for i := range n {
			task := Task{Time: int64(rapid.IntRange(1, 9).Draw(t, "time"))}
			at[i] = i * stations / n
			if i > 0 && rapid.Bool().Draw(t, "arc") {
				task.After = []int{rapid.IntRange(0, i-1).Draw(t, "after")}
			}
			g.tasks, g.group = append(g.tasks, task), append(g.group, rapid.IntRange(0, groups-1).Draw(t, "group"))
		}
		load := make([]int64, stations)
		for i, task := range g.tasks {
			load[at[i]] += task.Time
		}
		g.takt = max(g.takt, slices.Max(load)) // exchanges begin where the takt is kept
		g.prepare()
		s := newShuffle(g, at)
		for range rapid.IntRange(1, 40).Draw(t, "tries") {
			i, j := rapid.IntRange(0, n-1).Draw(t, "i"), rapid.IntRange(0, n-1).Draw(t, "j")
			heat := rapid.SampledFrom([]float64{1e-9, 0.5, 1e9}).Draw(t, "heat")
			if rapid.Bool().Draw(t, "swap") {
				s.swap(i, j, heat)
			} else {
				s.move(i, rapid.IntRange(0, stations-1).Draw(t, "to"), heat)
			}
			if anew := newShuffle(g, s.at); !reflect.DeepEqual(s, anew) {
				t.Fatalf("kept %+v, counted anew %+v", *s, *anew)
			}
			for k, load := range s.load {
				if load > g.takt {
					t.Fatalf("station %d holds %d of a takt of %d", k, load, g.takt)
				}
			}
			for i, task := range g.tasks {
				for _, b := range task.After {
					if s.at[b] > s.at[i] {
						t.Fatalf("task %d stands at station %d, before task %d at %d", i, s.at[i], b, s.at[b])
					}
				}
			}
		}
	})
}
