package schedule

import (
	"context"
	"slices"
	"testing"
)

// Two tasks with one gun and one without: whoever has the gun keeps it, as giving it away would take longer; and where that takes
// nothing it does not matter.
func TestHandingOverAGunTakesTime(t *testing.T) {
	p := Problem{Persons: 2, Guns: []Gun{{ID: "g", Count: 1}}, HandOver: 5, Tasks: []Task{
		{Seconds: 10, Gun: "g"}, {Seconds: 10, After: []int{0}}, {Seconds: 10, Gun: "g", After: []int{0}}}}
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
	// At the start the gun is with person 1, who would rather be fetched for it than wait.
	p.Guns[0].With = []int{1}
	if s, err = Solve(context.Background(), p); err != nil || s.Seconds != 20 || !s.Proven {
		t.Errorf("%+v, %v", s, err)
	}
	for _, share := range s.Shares {
		if p.Tasks[share.Task].Gun != "" && !slices.Equal(share.Persons, []int{1}) {
			t.Errorf("%+v: the gun is with person 1", share)
		}
	}
	alone := newState(prepare(p))
	if own, other := alone.fit(0, []int{1}, 0), alone.fit(0, []int{0}, 0); own.Start != 0 || other.Start != 5 {
		t.Errorf("from %g s by who has it, from %g s by another", own.Start, other.Start)
	}
	for _, with := range [][]int{{2}, {-2}, {0, 0}} {
		p.Guns[0].With = with
		if _, err := Solve(context.Background(), p); err == nil {
			t.Errorf("a gun with %v is taken", with)
		}
	}
	p.Guns[0].With, p.HandOver = nil, -1
	if _, err := Solve(context.Background(), p); err == nil {
		t.Error("a time below nothing is taken")
	}
}
