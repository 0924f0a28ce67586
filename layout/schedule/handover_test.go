package schedule

import (
	"context"
	"slices"
	"testing"
)

// Two tasks with one gun and one without: whoever has the gun keeps it, as giving it away would take longer; and where that takes
// nothing it does not matter.
func TestHandingOverAGunTakesTime(t *testing.T) {
	p := Problem{Persons: 2, Guns: []Gun{{"g", 1}}, HandOver: 5, Tasks: []Task{{Seconds: 10, Gun: "g"}, {Seconds: 10, After: []int{0}},
		{Seconds: 10, Gun: "g", After: []int{0}}}}
	s, err := Solve(context.Background(), p)
	if err != nil || s.Seconds != 20 || !s.Proven {
		t.Fatalf("%+v, %v", s, err)
	}
	who := map[int][]int{}
	for _, share := range s.Shares {
		who[share.Task] = share.Persons
	}
	if !slices.Equal(who[0], who[2]) {
		t.Errorf("the gun goes from %v to %v", who[0], who[2])
	}
	state := newState(prepare(p))
	state.add(state.fit(0, []int{0}, 0))
	if own, other := state.fit(2, []int{0}, 0), state.fit(2, []int{1}, 0); own.Start != 10 || other.Start != 15 {
		t.Errorf("from %g s by the same person, from %g s by another", own.Start, other.Start)
	}
	p.HandOver = -1
	if _, err := Solve(context.Background(), p); err == nil {
		t.Error("a time below nothing is taken")
	}
}
