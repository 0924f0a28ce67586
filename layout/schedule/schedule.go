// Package schedule shares the work of one station out among the persons at it: who does what, with which gun, when.
//
// # The model
//
// A task takes a stated time, one person or several, at most one gun, and a ball of room to work in. It begins when the
// tasks before it have ended, when enough persons are there, when a gun of its kind is free and set up for it, and when
// nobody works in a ball that meets its own. Going from one task to the next takes a person time (Change), and so does
// setting up a gun that was used for something else (Setup) and giving it to somebody else (HandOver). What is sought is the least time
// from the first start to the last end; of equal ones the one with the least time lost in changes.
//
// # How it is solved
//
// Every schedule worth having can be built by taking the tasks one after the other and letting each begin as early as the
// persons, the gun and the room that it is given allow: sorted by its starts, any schedule is rebuilt so, and nothing in it
// begins later than before. So a list of the tasks stands for a schedule. The search begins with several lists, moves
// single tasks within the best one as long as that helps, and then, where the tasks are few, goes through all lists and all
// persons by branch and bound. The bound is the greatest of three: the longest chain of tasks, the work of each kind of gun
// over its number, and all work over the persons, each with the least changes that it cannot do without.
//
// The result does not depend on the machine: searches end by counts, never by the clock.
package schedule

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// Task is one piece of work.
type Task struct {
	Seconds float64
	Persons int    // 0: one
	Gun     string // kind of gun in hand; empty: none
	After   []int  // indices of tasks that must have ended
	Room    Room
}

// Room is the ball in mm that a task needs for itself; a radius of 0 needs none.
type Room struct {
	At     r3.Vector
	Radius float64
}

// meets says whether two tasks get in each other's way.
func (r Room) meets(o Room) bool {
	return r.Radius > 0 && o.Radius > 0 && r.At.Distance(o.At) < r.Radius+o.Radius
}

// Gun is a kind of gun at the station, and how many there are.
type Gun struct {
	ID    string
	Count int
	With  []int // of each of them the person who has it at the start, -1 for nobody; nil: nobody has any
}

// Problem is the work of one station.
type Problem struct {
	Tasks   []Task
	Persons int
	Guns    []Gun
	// Change is the time in s that a person takes from one task to the next; before is -1 at the beginning. It must be the
	// same whenever asked. Nil: none.
	Change   func(before, after int) float64
	HandOver float64 // s that a gun takes from one person to another, be it at the start
	// Setup is the time in s that a gun takes from one task to the next; before is -1 at the beginning. Nil: none.
	Setup func(before, after int) float64
}

// Share is one task in the schedule.
type Share struct {
	Task       int
	Persons    []int // from 0, ascending
	Unit       int   // which of the guns of its kind, from 0
	Start, End float64
	Changes    float64 // s that its persons lost before it, together
}

// Schedule is who does what when.
type Schedule struct {
	Shares  []Share // by start, then task
	Seconds float64 // to the last end
	Changes float64 // s lost in changes, all persons together
	Bound   float64 // no schedule takes less
	Proven  bool    // no schedule takes less than Seconds
}

// Solve finds a schedule. It fails on work that cannot be done: a task without enough persons or without its gun, tasks that
// wait for each other; and when the context ends.
func Solve(ctx context.Context, p Problem) (Schedule, error) {
	if err := p.sound(); err != nil {
		return Schedule{}, fmt.Errorf("schedule: %w", err)
	}
	if len(p.Tasks) == 0 {
		return Schedule{Proven: true}, nil
	}
	s := newSearch(ctx, p)
	s.improve()
	s.exhaust()
	if err := ctx.Err(); err != nil {
		return Schedule{}, err
	}
	return s.result(), nil
}

func (p Problem) sound() error {
	if p.Persons < 1 {
		return fmt.Errorf("%d persons do no work", p.Persons)
	}
	for i, t := range p.Tasks {
		if !(t.Seconds >= 0) || math.IsInf(t.Seconds, 0) {
			return fmt.Errorf("task %d takes %g s, which is no time", i, t.Seconds)
		}
		if t.Persons > p.Persons {
			return fmt.Errorf("task %d needs %d persons, %d are there", i, t.Persons, p.Persons)
		}
		if t.Gun != "" && p.unitsOf(t.Gun) == 0 {
			return fmt.Errorf("task %d needs gun %s, which is not at the station", i, t.Gun)
		}
		for _, a := range t.After {
			if a < 0 || a >= len(p.Tasks) {
				return fmt.Errorf("task %d waits for task %d, of %d", i, a, len(p.Tasks))
			}
		}
	}
	for _, g := range p.Guns {
		if len(g.With) > 0 && len(g.With) != g.Count || slices.ContainsFunc(g.With, func(k int) bool { return k < -1 || k >= p.Persons }) {
			return fmt.Errorf("gun %s is with persons %v: %d guns, %d persons", g.ID, g.With, g.Count, p.Persons)
		}
	}
	if !(p.HandOver >= 0) || math.IsInf(p.HandOver, 0) {
		return fmt.Errorf("handing over a gun takes %g s, which is no time", p.HandOver)
	}
	return p.acyclic()
}

func (p Problem) unitsOf(gun string) int {
	for _, g := range p.Guns {
		if g.ID == gun {
			return g.Count
		}
	}
	return 0
}

func (p Problem) acyclic() error {
	done, open := make([]bool, len(p.Tasks)), len(p.Tasks)
	for found := true; found; {
		found = false
		for i, t := range p.Tasks {
			if done[i] {
				continue
			}
			free := true
			for _, a := range t.After {
				free = free && done[a]
			}
			if free {
				done[i], found = true, true
				open--
			}
		}
	}
	for i := range done {
		if !done[i] {
			return fmt.Errorf("%d tasks wait for each other, task %d among them", open, i)
		}
	}
	return nil
}
