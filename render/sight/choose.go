// Package sight chooses from where to look at panels, so that every weld is seen in as few views as can be.
//
//	choice := sight.Choose(panels, []view.Target{{At: weld, Axis: axis, Own: []string{"roof", "rail"}, Stack: 2.1}})
//	picture, err := view.Draw(ctx, panels, choice.Directions[0], view.Options{Pixel: 2})
//
// Lengths are mm of the shell.
package sight

import (
	"math"
	"math/bits"
	"seamwright/render/view"
)

// Choice says from where to look.
type Choice struct {
	Directions []view.Direction
	Home       []int  // for each target: the direction that shows it best
	Seen       []bool // false: no direction shows it unhidden, and Home is the one that looks best along its axis
}

// AxisLimit is how far, in degrees, a view may look from a weld's axis and still show it.
const AxisLimit = 60.0

// Choose finds the fewest of the candidate directions that together show every target that can be shown,
// within AxisLimit of its axis. Among equal numbers it takes those that look more straight at the welds
// and lie along the axes. Up to four directions are found by trying all sets, more by taking the most useful
// one again and again.
func Choose(panels []view.Panel, targets []view.Target) Choice {
	all := view.Candidates()
	gain := make([][]float64, len(all)) // by direction and target: cosine to the axis, 0 when not shown
	l := newLooker(panels, targets)
	for i, d := range all {
		gain[i] = l.gains(d, targets)
	}
	picked := pick(all, gain, len(targets))
	return describe(all, picked, gain, targets)
}

// set is a set of targets, one bit each.
type set []uint64

func setOf(gain []float64) set {
	s := make(set, (len(gain)+63)/64)
	for i, g := range gain {
		if g > 0 {
			s[i/64] |= 1 << (i % 64)
		}
	}
	return s
}

func (s set) with(o set) set {
	out := make(set, len(s))
	for i := range s {
		out[i] = s[i] | o[i]
	}
	return out
}

func (s set) count() int {
	n := 0
	for _, w := range s {
		n += bits.OnesCount64(w)
	}
	return n
}

// pick chooses the candidates.
func pick(all []view.Direction, gain [][]float64, n int) []int {
	sets := make([]set, len(all))
	every := make(set, (n+63)/64)
	for i := range all {
		sets[i] = setOf(gain[i])
		every = every.with(sets[i])
	}
	goal := every.count()
	if goal == 0 {
		return []int{len(all) - 8} // nothing can be shown: from +X +Y +Z
	}
	p := &picker{all: all, gain: gain, sets: sets, goal: goal, n: n, best: math.Inf(-1)}
	for size := 1; size <= 4; size++ {
		if p.try(nil, make(set, len(every)), 0, size); p.found != nil {
			return p.found
		}
	}
	return p.greedy(make(set, len(every)))
}

type picker struct {
	all   []view.Direction
	gain  [][]float64
	sets  []set
	goal  int
	n     int
	best  float64
	found []int
}

// try goes through all sets of size directions that begin with chosen.
func (p *picker) try(chosen []int, covered set, from, size int) {
	if size == 0 {
		if covered.count() == p.goal {
			if v := p.value(chosen); v > p.best+1e-9 {
				p.best, p.found = v, append([]int(nil), chosen...)
			}
		}
		return
	}
	for i := from; i < len(p.sets); i++ {
		p.try(append(chosen, i), covered.with(p.sets[i]), i+1, size-1)
	}
}

// axisWorth is what a view along an axis is worth against looking straight at welds: readers know where
// they stand. Common practice, no source.
const axisWorth = 0.06

// value adds, over all targets, the best cosine, and rewards views along the axes.
func (p *picker) value(chosen []int) float64 {
	sum := 0.0
	for t := range p.n {
		best := 0.0
		for _, i := range chosen {
			best = math.Max(best, p.gain[i][t])
		}
		sum += best
	}
	for _, i := range chosen {
		if p.all[i].Principal {
			sum += axisWorth * float64(p.n)
		}
	}
	return sum
}

// greedy takes the direction that shows most of what is still unseen, until all is seen.
func (p *picker) greedy(covered set) []int {
	var out []int
	for covered.count() < p.goal {
		best, most := -1, covered.count()
		for i := range p.sets {
			if c := covered.with(p.sets[i]).count(); c > most {
				best, most = i, c
			}
		}
		covered = covered.with(p.sets[best])
		out = append(out, best)
	}
	return out
}

// describe tells for every target where it is shown.
func describe(all []view.Direction, picked []int, gain [][]float64, targets []view.Target) Choice {
	out := Choice{Home: make([]int, len(targets)), Seen: make([]bool, len(targets))}
	for _, i := range picked {
		out.Directions = append(out.Directions, all[i])
	}
	for t := range targets {
		best, bestAxis := 0.0, -1.0
		for k, i := range picked {
			if g := gain[i][t]; g > best {
				best, out.Home[t], out.Seen[t] = g, k, true
			}
			if c := math.Abs(targets[t].Axis.Dot(all[i].Look)); !out.Seen[t] && c > bestAxis {
				bestAxis, out.Home[t] = c, k
			}
		}
	}
	return out
}
