package balance

import (
	"fmt"
	"math/bits"
	"slices"
)

// words is the length of a set, in 64 tasks.
const words = 16

// set is a set of tasks.
type set [words]uint64

func (s *set) add(i int)      { s[i>>6] |= 1 << (i & 63) }
func (s *set) remove(i int)   { s[i>>6] &^= 1 << (i & 63) }
func (s *set) has(i int) bool { return s[i>>6]&(1<<(i&63)) != 0 }

// within says whether every task of s is in a or b.
func (s *set) within(a, b *set) bool {
	for k := range s {
		if s[k]&^(a[k]|b[k]) != 0 {
			return false
		}
	}
	return true
}

func (s *set) size() int {
	n := 0
	for _, w := range s {
		n += bits.OnesCount64(w)
	}
	return n
}

// line is the tasks renumbered so that longer ones and those with more followers come first, whatever they come after.
type line struct {
	task    []int   // index in the caller's list
	time    []int64 //
	before  []set   // direct predecessors
	next    [][]int // direct successors
	after   []set   // all successors
	weight  []int64 // time of the task and all its successors
	beats   []set   // tasks for which this one may be exchanged without loss
	total   int64
	reverse *line // the same line from its other end
}

func newLine(tasks []Task) (*line, error) {
	if len(tasks) > MostTasks {
		return nil, fmt.Errorf("%d tasks: at most %d can be balanced: join some", len(tasks), MostTasks)
	}
	next := make([][]int, len(tasks))
	for i, t := range tasks {
		if t.Time < 0 || t.Time > mostTime {
			return nil, fmt.Errorf("task %s takes %d: it must be from 0 to 2^40", name(tasks, i), t.Time)
		}
		for _, b := range t.After {
			if b < 0 || b >= len(tasks) {
				return nil, fmt.Errorf("task %s comes after task number %d, which there is not", name(tasks, i), b)
			}
			if !slices.Contains(next[b], i) {
				next[b] = append(next[b], i)
			}
		}
	}
	before := make([][]int, len(tasks))
	for i, to := range next {
		for _, j := range to {
			before[j] = append(before[j], i)
		}
	}
	times := make([]int64, len(tasks))
	for i, t := range tasks {
		times[i] = t.Time
	}
	if circle := unordered(next, before); len(circle) > 0 {
		return nil, fmt.Errorf("task %s comes after itself, by way of others: take one of its predecessors out", name(tasks, circle[0]))
	}
	l := build(times, next, before)
	l.reverse = build(times, before, next)
	l.reverse.reverse = l
	return l, nil
}

// unordered are the tasks that lie on circles or after one.
func unordered(next, before [][]int) []int {
	left := make([]int, len(next))
	var ready, rest []int
	for i := range before {
		left[i] = len(before[i])
		if left[i] == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		i := ready[len(ready)-1]
		ready = ready[:len(ready)-1]
		for _, j := range next[i] {
			if left[j]--; left[j] == 0 {
				ready = append(ready, j)
			}
		}
	}
	for i, n := range left {
		if n > 0 {
			rest = append(rest, i)
		}
	}
	return rest
}

// build renumbers the tasks and works out what the search needs of them.
func build(times []int64, next, before [][]int) *line {
	n := len(times)
	all := closure(next)
	l := &line{task: make([]int, n), time: make([]int64, n), before: make([]set, n), next: make([][]int, n), after: make([]set, n),
		weight: make([]int64, n), beats: make([]set, n)}
	for i := range n {
		l.task[i] = i
	}
	slices.SortStableFunc(l.task, func(a, b int) int {
		if times[a] != times[b] {
			return int(max(-1, min(1, times[b]-times[a])))
		}
		return all[b].size() - all[a].size()
	})
	number := make([]int, n)
	for k, i := range l.task {
		number[i] = k
	}
	for k, i := range l.task {
		l.time[k] = times[i]
		l.total += times[i]
		for _, j := range before[i] {
			l.before[k].add(number[j])
		}
		for _, j := range next[i] {
			l.next[k] = append(l.next[k], number[j])
		}
		slices.Sort(l.next[k])
		l.weight[k] = times[i]
		for j := range n {
			if all[i].has(j) {
				l.after[k].add(number[j])
				l.weight[k] += times[j]
			}
		}
	}
	l.findBeats()
	return l
}

// closure finds all successors of each task.
func closure(next [][]int) []set {
	all := make([]set, len(next))
	done := make([]bool, len(next))
	var visit func(int)
	visit = func(i int) {
		if done[i] {
			return
		}
		done[i] = true
		for _, j := range next[i] {
			visit(j)
			all[i].add(j)
			for k := range all[i] {
				all[i][k] |= all[j][k]
			}
		}
	}
	for i := range next {
		visit(i)
	}
	return all
}

// findBeats: j beats i when it takes at least as long and all that follow i follow j too; of equals the first does.
func (l *line) findBeats() {
	var none set
	for j := range l.time {
		for i := range l.time {
			if i == j || l.time[j] < l.time[i] || l.after[i].has(j) || l.after[j].has(i) || !l.after[i].within(&l.after[j], &none) {
				continue
			}
			if l.time[j] == l.time[i] && l.after[i] == l.after[j] && j > i {
				continue
			}
			l.beats[j].add(i)
		}
	}
}

// longest is the caller's index of the longest task, -1 without tasks.
func (l *line) longest() int {
	if len(l.task) == 0 {
		return -1
	}
	return l.task[0]
}

// order lists the caller's tasks in an order in which they can be done.
func (l *line) order() []int {
	var all set
	for i := range l.time {
		all.add(i)
	}
	return l.sorted(&all)
}

// sorted lists the caller's indices of a set so that none comes before its predecessors.
func (l *line) sorted(load *set) []int {
	var out []int
	var done set
	for {
		took := false
		for i := range l.time {
			if !load.has(i) || done.has(i) {
				continue
			}
			waits := l.before[i]
			for k := range waits {
				waits[k] &= load[k] &^ done[k]
			}
			if waits == (set{}) {
				done.add(i)
				out = append(out, l.task[i])
				took = true
			}
		}
		if !took {
			return out
		}
	}
}

// greatest is the load of the fullest station.
func (l *line) greatest(stations [][]int) int64 {
	time := map[int]int64{}
	for k, i := range l.task {
		time[i] = l.time[k]
	}
	most := int64(0)
	for _, s := range stations {
		sum := int64(0)
		for _, i := range s {
			sum += time[i]
		}
		most = max(most, sum)
	}
	return most
}
