// Package balance shares tasks out over the stations of a line: the fewest stations for a takt, or the least takt for
// a number of stations (simple assembly line balancing, types 1 and 2).
//
//	r, err := balance.FewestStations(ctx, tasks, 480, balance.Options{})
//	fmt.Println(len(r.Stations), r.Proven)
//	r, err = balance.LeastTakt(ctx, tasks, 6, balance.Options{})
//
// Times are whole numbers of any unit, so that sums are exact. A task comes at the same station as, or a later one
// than, every task that it comes after.
//
// # How
//
// Good lines are built station by station from the best of many loads (after Hoffmann 1963), with several weights and
// from both ends. Then stations are filled in every way worth while: partial lines are kept by the set of tasks that
// they hold, the best of each length is lengthened in turn, and one is dropped when its set was reached with as few
// stations before, when one of its tasks could be changed for a longer one with at least the same followers
// (Jackson 1956), or when a bound says that the rest cannot fit. Publications are named from memory. What ends before
// the effort is used up is proven.
package balance

import (
	"context"
	"errors"
	"fmt"
)

// Task is one piece of work that cannot be split over stations.
type Task struct {
	ID    string
	Time  int64 // 0 or more
	After []int // indices of the tasks that come before it
}

// MostTasks is how many tasks a line may have.
const MostTasks = 64 * words

// mostTime keeps sums of times and their multiples within 63 bits.
const mostTime = int64(1) << 40

// DefaultEffort is one to four seconds of search on one core of 2020.
const DefaultEffort = 60_000_000

// Options bound the search.
type Options struct {
	Effort int64 // steps of search; 0: DefaultEffort. Steps, not seconds: the result depends on the input alone
}

// Result is a line.
type Result struct {
	Stations [][]int // indices of the tasks of each, in an order in which they can be done
	Takt     int64   // the given one, or for LeastTakt the greatest load of a station
	Bound    int64   // no line has fewer stations (FewestStations) or a smaller takt (LeastTakt)
	Proven   bool    // nothing better exists
	Effort   int64   // steps used
}

// ErrTooLong says that a task is longer than the takt.
var ErrTooLong = errors.New("a task is longer than the takt")

// FewestStations shares the tasks out over as few stations as the search finds for the takt.
//
// Errors: tasks that come after each other in a circle or after none that exists, times that are negative or beyond
// 2^40, more than MostTasks, a takt below 1 or shorter than a task (ErrTooLong); the context's.
func FewestStations(ctx context.Context, tasks []Task, takt int64, opt Options) (Result, error) {
	l, err := newLine(tasks)
	if err != nil {
		return Result{}, fmt.Errorf("balance: %w", err)
	}
	if takt < 1 || takt > mostTime {
		return Result{}, fmt.Errorf("balance: the takt is %d: it must be from 1 to 2^40", takt)
	}
	if i := l.longest(); i >= 0 && tasks[i].Time > takt {
		return Result{}, fmt.Errorf("balance: task %s takes %d, the takt is %d: %w", name(tasks, i), tasks[i].Time, takt, ErrTooLong)
	}
	if len(tasks) == 0 {
		return Result{Takt: takt, Proven: true}, nil
	}
	s := search{ctx: ctx, line: l, takt: takt, most: orDefault(opt.Effort)}
	if err := s.run(s.bound()); err != nil {
		return Result{}, fmt.Errorf("balance: %w", err)
	}
	return Result{Stations: s.best, Takt: takt, Bound: int64(s.floor), Proven: len(s.best) <= s.floor, Effort: s.steps}, nil
}

// LeastTakt shares the tasks out over at most so many stations so that the longest station is as short as the search
// finds. Errors are those of FewestStations, and a number of stations below 1.
func LeastTakt(ctx context.Context, tasks []Task, stations int, opt Options) (Result, error) {
	l, err := newLine(tasks)
	if err != nil {
		return Result{}, fmt.Errorf("balance: %w", err)
	}
	if stations < 1 {
		return Result{}, fmt.Errorf("balance: %d stations: at least one is needed", stations)
	}
	if len(tasks) == 0 {
		return Result{Proven: true}, nil
	}
	r, err := leastTakt(ctx, l, stations, orDefault(opt.Effort))
	if err != nil {
		return Result{}, fmt.Errorf("balance: %w", err)
	}
	return r, nil
}

// leastTakt halves the gap between a takt that cannot be and one that can.
func leastTakt(ctx context.Context, l *line, stations int, effort int64) (Result, error) {
	low, high := l.leastTakt(stations), l.total // low is a bound; high can be done at one station
	if high < 1 {
		low, high = 0, 0
	}
	r := Result{Stations: [][]int{l.order()}, Takt: l.total, Bound: low, Proven: true}
	if stations == 1 || high == 0 {
		r.Takt, r.Bound = l.total, l.total
		return r, nil
	}
	settled := true
	try := low
	for low < high {
		s := search{ctx: ctx, line: l, takt: max(try, 1), most: (effort - r.Effort) / 2, target: stations}
		if err := s.run(stations); err != nil {
			return Result{}, err
		}
		r.Effort += s.steps
		if len(s.best) <= stations {
			r.Stations, high = s.best, l.greatest(s.best)
		} else {
			low = try + 1
			if !s.exhausted {
				settled = false
			}
			if settled {
				r.Bound = low
			}
		}
		try = low + (high-low)/2
	}
	r.Takt, r.Proven = high, settled
	return r, nil
}

func orDefault(effort int64) int64 {
	if effort <= 0 {
		return DefaultEffort
	}
	return effort
}

func name(tasks []Task, i int) string {
	if tasks[i].ID != "" {
		return tasks[i].ID
	}
	return fmt.Sprint(i)
}
