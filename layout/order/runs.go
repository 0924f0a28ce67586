package order

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout/tour"
)

// way is one way to go through a group: its stops in order, cut into runs.
type way struct {
	runs        [][]int // indices of stops
	entry, exit r3.Vector
	travel      float64 // mm within the group
}

// group is what is done in one go: a run, or the two runs of a pattern.
type group struct {
	key    key
	stops  []int
	ways   []way
	before []int // groups that come earlier
	stage  int
}

// key is what the stops of a run share.
type key struct {
	phase                            int
	step                             Step
	joint, flange, gun, tip, setting string
	pattern                          Pattern
	clamps                           string // of what is welded one clamp after the other
}

func keyOf(s Stop, opt Options) key {
	k := key{phase: s.Phase, step: s.Step, joint: s.Joint, flange: s.Flange, gun: s.Gun, tip: s.Tip, setting: s.Setting, pattern: s.Pattern}
	if opt.OneByOne && s.Step == Released {
		k.clamps = strings.Join(s.Clamps, ", ")
	}
	return k
}

// The stages that every phase goes through, one after the other.
const (
	stageTack    = iota
	stageRelease // what is welded one clamp after the other; empty where they open together
	stageFill    // fill, and released where clamps open together
	stageRoll    // the roller is a machine of its own
	stages
)

func stageOf(k key) int {
	switch k.step {
	case Tack:
		return k.phase*stages + stageTack
	case Released:
		if k.clamps != "" {
			return k.phase*stages + stageRelease
		}
	case Roll:
		return k.phase*stages + stageRoll
	}
	return k.phase*stages + stageFill
}

// group cuts the stops into groups: those of one phase, step and flange, by their place on the line, wherever the
// joint, gun, tip or setting changes.
func grouped(stops []Stop, opt Options) []group {
	var order []int
	for i, s := range stops {
		if s.Step != Hold {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := stops[a], stops[b]
		return cmp.Or(cmp.Compare(x.Phase, y.Phase), cmp.Compare(stepRank(x.Step), stepRank(y.Step)), cmp.Compare(x.Flange, y.Flange),
			cmp.Compare(math.Round(x.Along/tour.Alike), math.Round(y.Along/tour.Alike)), cmp.Compare(a, b))
	})
	var out []group
	for _, i := range order {
		k := keyOf(stops[i], opt)
		if n := len(out) - 1; n >= 0 && out[n].key == k && k.step != Roll {
			out[n].stops = append(out[n].stops, i)
			continue
		}
		out = append(out, group{key: k, stops: []int{i}, stage: stageOf(k)})
	}
	for i := range out {
		out[i].ways = waysThrough(out[i], stops, opt)
	}
	return out
}

func stepRank(s Step) int { return slices.Index([]Step{Hold, Tack, Fill, Released, Roll}, s) }

// waysThrough returns the ways that the pattern leaves open, the one from the line's start first. The
// second of two, if any, is the mirror of the first.
func waysThrough(g group, stops []Stop, opt Options) []way {
	first := g.stops
	if g.key.step == Roll {
		return rolled(first[0], stops[first[0]])
	}
	if len(first) == 1 {
		return []way{newWay([][]int{first}, stops)}
	}
	if g.key.step == Tack {
		if order := tacksBy(g.key.pattern, first, stops); order != nil {
			return order
		}
	}
	last := slices.Clone(first)
	slices.Reverse(last)
	if g.key.step != Fill || g.key.pattern == Through {
		return []way{newWay([][]int{first}, stops), newWay([][]int{last}, stops)}
	}
	if g.key.pattern == Skips {
		return []way{newWay(skipped(first), stops), newWay(skipped(last), stops)}
	}
	if stops[first[len(first)-1]].Along-stops[first[0]].Along < opt.MiddleFrom-tour.Alike || len(first) < 4 {
		return []way{newWay([][]int{first}, stops), newWay([][]int{last}, stops)}
	}
	return []way{newWay(outwards(first, stops), stops), newWay(outwards(last, stops), stops)}
}

// rolled is a roller seam, which can be rolled from either end unless it is closed.
func rolled(i int, s Stop) []way {
	run := [][]int{{i}}
	if s.Closed {
		return []way{{runs: run, entry: s.Position, exit: s.Position}}
	}
	length := s.Position.Distance(s.End)
	return []way{{run, s.Position, s.End, length}, {run, s.End, s.Position, length}}
}

func newWay(runs [][]int, stops []Stop) way {
	w := way{runs: runs}
	var last *r3.Vector
	for _, run := range runs {
		for _, i := range run {
			p := stops[i].Position
			if last == nil {
				w.entry = p
			} else {
				w.travel += p.Distance(*last)
			}
			last = &p
			w.exit = p
		}
	}
	return w
}

// outwards goes from the weld nearest to the middle to the far end, then from the one beside it to the near end. Of two as near
// it begins at the one farther on, which is the shorter way.
func outwards(line []int, stops []Stop) [][]int {
	middle := (stops[line[0]].Along + stops[line[len(line)-1]].Along) / 2
	k := 1
	for k+1 < len(line) && math.Abs(stops[line[k]].Along-middle) > math.Abs(stops[line[k+1]].Along-middle)-tour.Alike {
		k++
	}
	far, near := slices.Clone(line[k:]), slices.Clone(line[:k])
	slices.Reverse(near)
	return [][]int{far, near}
}

// skipped takes every second weld to the far end and the others on the way back.
func skipped(line []int) [][]int {
	var there, back []int
	for k, i := range line {
		if k%2 == 0 {
			there = append(there, i)
		} else {
			back = append(back, i)
		}
	}
	slices.Reverse(back)
	return [][]int{there, back}
}
