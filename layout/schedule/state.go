package schedule

import (
	"math"
	"slices"
)

// state is a schedule while it is built.
type state struct {
	p      *prepared
	shares []Share
	at     []int       // index into shares by task; -1: not yet
	ready  []float64   // by person
	last   []int       // last task by person; -1
	free   [][]float64 // by kind of gun and unit
	used   [][]int     // last task by kind and unit; -1
	end    float64
	lost   float64

	alone [][]int // groups of one person
	group [][]int // room for what crews returns
}

func newState(p *prepared) *state {
	s := &state{p: p, at: make([]int, len(p.Tasks)), ready: make([]float64, p.Persons), last: make([]int, p.Persons),
		free: make([][]float64, len(p.Guns)), used: make([][]int, len(p.Guns))}
	for g, gun := range p.Guns {
		s.free[g], s.used[g] = make([]float64, gun.Count), make([]int, gun.Count)
	}
	for person := range p.Persons {
		s.alone = append(s.alone, []int{person})
	}
	s.clear()
	return s
}

func (s *state) clear() {
	s.shares, s.end, s.lost = s.shares[:0], 0, 0
	for i := range s.at {
		s.at[i] = -1
	}
	for i := range s.ready {
		s.ready[i], s.last[i] = 0, -1
	}
	for g := range s.free {
		for u := range s.free[g] {
			s.free[g][u], s.used[g][u] = 0, -1
		}
	}
}

// eligible says whether all that must come before a task is in the schedule.
func (s *state) eligible(task int) bool {
	if s.at[task] >= 0 {
		return false
	}
	for _, a := range s.p.Tasks[task].After {
		if s.at[a] < 0 {
			return false
		}
	}
	return true
}

// fit is the earliest place of a task with certain persons and a certain gun.
func (s *state) fit(task int, persons []int, unit int) Share {
	t := &s.p.Tasks[task]
	out := Share{Task: task, Persons: persons, Unit: unit}
	for _, a := range t.After {
		out.Start = math.Max(out.Start, s.shares[s.at[a]].End)
	}
	for _, person := range persons {
		change := s.p.change(s.last[person], task)
		out.Changes += change
		out.Start = math.Max(out.Start, s.ready[person]+change)
	}
	if g := s.p.gun[task]; g >= 0 {
		before := s.used[g][unit]
		at := s.free[g][unit] + s.p.setup(before, task)
		switch with := s.p.with(g, unit); {
		case before < 0 && with >= 0 && with != persons[0], before >= 0 && !slices.Contains(s.shares[s.at[before]].Persons, persons[0]):
			at += s.p.HandOver
		}
		out.Start = math.Max(out.Start, at)
	}
	for moved := true; moved; { // until nobody is in the way
		moved = false
		for _, o := range s.p.near[task] {
			if k := s.at[o]; k >= 0 && s.shares[k].Start < out.Start+t.Seconds && out.Start < s.shares[k].End {
				out.Start, moved = s.shares[k].End, true
			}
		}
	}
	out.End = out.Start + t.Seconds
	return out
}

// add puts a share behind the others.
func (s *state) add(share Share) {
	for _, person := range share.Persons {
		s.ready[person], s.last[person] = share.End, share.Task
	}
	if g := s.p.gun[share.Task]; g >= 0 {
		s.free[g][share.Unit], s.used[g][share.Unit] = share.End, share.Task
	}
	s.at[share.Task] = len(s.shares)
	s.shares = append(s.shares, share)
	s.end, s.lost = math.Max(s.end, share.End), s.lost+share.Changes
}

// put adds a share; it returns what take needs to remove it again.
func (s *state) put(share Share) undo {
	u := undo{end: s.end, lost: s.lost}
	for _, person := range share.Persons {
		u.ready, u.last = append(u.ready, s.ready[person]), append(u.last, s.last[person])
	}
	if g := s.p.gun[share.Task]; g >= 0 {
		u.free, u.used = s.free[g][share.Unit], s.used[g][share.Unit]
	}
	s.add(share)
	return u
}

type undo struct {
	end, lost, free float64
	used            int
	ready           []float64
	last            []int
}

// take removes the share that was put last.
func (s *state) take(u undo) {
	share := s.shares[len(s.shares)-1]
	s.shares = s.shares[:len(s.shares)-1]
	s.at[share.Task] = -1
	for i, person := range share.Persons {
		s.ready[person], s.last[person] = u.ready[i], u.last[i]
	}
	if g := s.p.gun[share.Task]; g >= 0 {
		s.free[g][share.Unit], s.used[g][share.Unit] = u.free, u.used
	}
	s.end, s.lost = u.end, u.lost
}

// soonest is the place of a task with the persons and the gun that end it soonest; of equal ones with the least change.
func (s *state) soonest(task int) Share {
	var best Share
	found := false
	for unit := range s.p.units(task) {
		for _, persons := range s.crews(task) {
			f := s.fit(task, persons, unit)
			if !found || f.End < best.End || f.End == best.End && f.Changes < best.Changes {
				best, found = f, true
			}
		}
	}
	return best
}

// fresh says whether a person is as good as any other who has done nothing yet.
func (s *state) fresh(person int) bool { return s.last[person] < 0 && !s.p.holding[person] }

// crews lists the groups of persons that may take a task; of persons who have done nothing yet and have no gun the first alone. The list
// holds until the next call.
func (s *state) crews(task int) [][]int {
	n := max(1, s.p.Tasks[task].Persons)
	out := s.group[:0]
	defer func() { s.group = out }()
	if n == 1 {
		fresh := false
		for person := range s.last {
			if !s.fresh(person) || !fresh {
				out = append(out, s.alone[person])
			}
			fresh = fresh || s.fresh(person)
		}
		return out
	}
	var pick func(from int, chosen []int)
	pick = func(from int, chosen []int) {
		if len(chosen) == n {
			out = append(out, append([]int(nil), chosen...))
			return
		}
		fresh := false // a person who has done nothing stands for all who have not
		for person := from; person <= s.p.Persons-(n-len(chosen)); person++ {
			if s.fresh(person) {
				if fresh {
					continue
				}
				fresh = true
			}
			pick(person+1, append(chosen, person))
		}
	}
	pick(0, nil)
	return out
}

// build makes the schedule of a list: always the first task that may begin.
func (s *state) build(list []int) {
	s.clear()
	first := 0 // all before it are in the schedule
	for range list {
		for first < len(list) && s.at[list[first]] >= 0 {
			first++
		}
		for _, task := range list[first:] {
			if s.eligible(task) {
				s.add(s.soonest(task))
				break
			}
		}
	}
}
