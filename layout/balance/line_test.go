package balance

import (
	"slices"
	"testing"
)

// Long tasks come first, and of equally long ones those that more have to wait for, however far behind.
func TestTasksInTheOrderOfTheSearch(t *testing.T) {
	times := []int64{5, 5, 9, 5, 5}
	next := [][]int{{}, {3}, {}, {4}, {}} // 1, then 3, then 4
	before := [][]int{{}, {}, {}, {1}, {3}}
	l := build(times, next, before)
	if want := []int{2, 1, 3, 0, 4}; !slices.Equal(l.task, want) {
		t.Errorf("the order is %v, want %v", l.task, want)
	}
	if want := []int64{9, 15, 10, 5, 5}; !slices.Equal(l.weight, want) { // with all that waits
		t.Errorf("weights are %v, want %v", l.weight, want)
	}
}
