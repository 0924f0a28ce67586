// Package tooling decides with which guns and tips a station works: for every weld a gun, a tip and an angle, of those that reach it, with
// as few guns, as few changes and as much air as can be; and what would have to be out of the way where nothing reaches.
//
//	results, err := reach.Find(ctx, scene, welds, tools, opt)
//	choices, err := tooling.Choose(ctx, scene, welds, results, tools, opt)
//	for i, c := range choices {
//		fmt.Println(i, tools[c.Tool].Gun.ID, c.Turn, c.Clearance, c.Reason)
//	}
//
// In goes what reach found of every weld, out come choices; how a gun is measured against panels is no matter here. Millimetres, degrees.
package tooling

import (
	"cmp"
	"context"
	"math"
	"math/bits"
	"slices"

	"seamwright/geometry/axial"
	"seamwright/layout/reach"
)

// Choice is the tool and angle chosen for one weld.
type Choice struct {
	Tool      int // the best guess where nothing reaches; -1 where no tool may be used
	Turn      float64
	Clearance float64 // mm; 0 where nothing reaches
	Tilt      float64 // degrees off square, as in reach.Pose
	Towards   float64
	Reached   bool
	Stuck     bool         // it stands there, but no way off was seen
	Reason    reach.Reason // why the guess does not reach, or what keeps a stuck gun
}

// Choose gives every weld a tool and an angle. First the fewest guns and then the fewest tools with which
// all welds that can be reached are, so that the station changes least; among equally few those with the
// most air in all. Then along each line the fewest changes of gun, then of tip, then the most air. Then along
// each stretch of one tool angles with much air that turn little from weld to weld and stand square to the
// line.
//
// Where no tool comes off again, those that stand there are chosen among, and the weld is marked as stuck. A weld that
// nothing reaches gets the tool that misses least, so that it can be planned and be reported.
//
// Results are those of reach.Find with the same scene, welds and tools. Where they are of a gun that must come off, the angles along
// a stretch are settled here: the way off is asked for where an angle is about to be taken.
func Choose(ctx context.Context, scene *axial.Scene, welds []reach.Weld, results []reach.Result, tools []reach.Tool,
	opt reach.Options) ([]Choice, error) {
	out := make([]Choice, len(welds))
	stuck := make([]bool, len(results))
	results = slices.Clone(results)
	for i, r := range results {
		if stuck[i] = len(r.Poses) == 0 && len(r.Stuck) > 0; stuck[i] {
			results[i].Poses = r.Stuck
		}
	}
	set := toolSet(results, tools)
	var all []reach.Stretch
	var at [][]int // the welds of each
	for _, line := range lines(welds) {
		chooseAlong(line, results, tools, set, out)
		for from := 0; from < len(line); {
			to := from + 1
			for to < len(line) && out[line[to]].Tool == out[line[from]].Tool && out[line[to]].Reached == out[line[from]].Reached {
				to++
			}
			if first := out[line[from]]; first.Reached {
				all, at = append(all, stretchOf(line[from:to], first.Tool, welds, results)), append(at, line[from:to])
			}
			from = to
		}
	}
	angles, err := reach.Turns(ctx, scene, all, tools, opt)
	if err != nil {
		return nil, err
	}
	for i, along := range at {
		for k, w := range along {
			out[w].Turn, out[w].Clearance = angles[i][k].Turn, angles[i][k].Clearance
		}
	}
	for i := range out {
		if stuck[i] {
			out[i].mark(results[i])
		}
	}
	return out, nil
}

// mark says that the gun is stuck, or would be, and why.
func (c *Choice) mark(r reach.Result) {
	c.Reached, c.Stuck = false, true
	for _, reason := range r.Reasons {
		if reason.Tool == c.Tool {
			c.Reason = reason
		}
	}
}

// lines groups the welds by line, each along it; lines are in the order of their first weld.
func lines(welds []reach.Weld) [][]int {
	var out [][]int
	known := map[string]int{}
	for i, w := range welds {
		k, ok := known[w.Line]
		if !ok {
			k = len(out)
			known[w.Line] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	for _, l := range out {
		slices.SortStableFunc(l, func(a, b int) int { return cmp.Compare(welds[a].S, welds[b].S) })
	}
	return out
}

// subsetLimit is the greatest number of tools of which every set is tried; beyond, tools are added one by one,
// each time the one that reaches the most welds not yet reached.
const subsetLimit = 14

// toolSet is the set of tools, as bits, that a station works with.
func toolSet(results []reach.Result, tools []reach.Tool) uint64 {
	needs := map[uint64]int{} // sets of tools that reach a weld, and how many such welds there are
	var order []uint64
	all := uint64(0)
	for _, r := range results {
		mask := uint64(0)
		for _, p := range r.Poses {
			if p.Tool < 64 {
				mask |= 1 << p.Tool
			}
		}
		if mask != 0 {
			if needs[mask] == 0 {
				order = append(order, mask)
			}
			needs[mask]++
			all |= mask
		}
	}
	if bits.OnesCount64(all) > subsetLimit {
		return greedySet(order, needs, tools)
	}
	best, found := uint64(0), false
	for set := all; ; set = (set - 1) & all { // every subset of all
		covers := !slices.ContainsFunc(order, func(m uint64) bool { return m&set == 0 })
		if covers && (!found || fewer(set, best, results, tools)) {
			best, found = set, true
		}
		if set == 0 {
			return best
		}
	}
}

// fewer reports whether set a is to be worked with rather than b.
func fewer(a, b uint64, results []reach.Result, tools []reach.Tool) bool {
	if c := cmp.Or(cmp.Compare(guns(a, tools), guns(b, tools)), cmp.Compare(bits.OnesCount64(a), bits.OnesCount64(b))); c != 0 {
		return c < 0
	}
	x, y := airOf(a, results), airOf(b, results)
	if math.Abs(x-y) > 1e-6 {
		return x > y
	}
	return a < b
}

func guns(set uint64, tools []reach.Tool) int {
	seen := map[string]bool{}
	for i, t := range tools {
		if i < 64 && set>>i&1 == 1 {
			seen[t.Gun.ID] = true
		}
	}
	return len(seen)
}

// airOf adds up the best air of each weld with the tools of a set.
func airOf(set uint64, results []reach.Result) float64 {
	sum := 0.0
	for _, r := range results {
		best := 0.0
		for _, p := range r.Poses {
			if p.Tool < 64 && set>>p.Tool&1 == 1 {
				best = max(best, p.Clearance)
			}
		}
		sum += best
	}
	return sum
}

func greedySet(order []uint64, needs map[uint64]int, tools []reach.Tool) uint64 {
	set := uint64(0)
	for {
		best, most := -1, 0
		for i := range min(64, len(tools)) {
			n := 0
			for _, m := range order {
				if m&set == 0 && m>>i&1 == 1 {
					n += needs[m]
				}
			}
			if n > most {
				best, most = i, n
			}
		}
		if best < 0 {
			return set
		}
		set |= 1 << best
	}
}

// The weights that put a change of gun before a change of tip before any amount of air along a line.
const (
	gunWeight = 1e9
	tipWeight = 1e5
)

// state is a pose of one weld on the cheapest way to it along the line.
type state struct {
	pose int
	cost float64
	from int // index into the states of the weld before
}

// chooseAlong gives the welds of one line their tools: a shortest path with the tools as states.
func chooseAlong(line []int, results []reach.Result, tools []reach.Tool, set uint64, out []Choice) {
	var layers [][]state
	var reached []int
	for _, w := range line {
		var layer []state
		for i, p := range results[w].Poses {
			if p.Tool < 64 && set>>p.Tool&1 == 1 {
				layer = append(layer, state{pose: i, cost: -p.Clearance, from: -1})
			}
		}
		if len(layer) == 0 {
			out[w] = guess(results[w], set)
			continue
		}
		if k := len(reached) - 1; k >= 0 {
			link(layers[k], results[reached[k]].Poses, layer, results[w].Poses, tools)
		}
		layers, reached = append(layers, layer), append(reached, w)
	}
	if len(layers) == 0 {
		return
	}
	at := 0
	last := layers[len(layers)-1]
	for k := range last {
		if last[k].cost < last[at].cost-1e-9 {
			at = k
		}
	}
	for k := len(layers) - 1; k >= 0; k-- {
		p := results[reached[k]].Poses[layers[k][at].pose]
		out[reached[k]] = Choice{Tool: p.Tool, Turn: p.Turn, Clearance: p.Clearance, Tilt: p.Tilt, Towards: p.Towards, Reached: true}
		at = layers[k][at].from
	}
}

// link finds for each state of a weld the cheapest state of the weld before.
func link(before []state, posesBefore []reach.Pose, layer []state, poses []reach.Pose, tools []reach.Tool) {
	for i := range layer {
		best, from := math.Inf(1), -1
		for k, s := range before {
			if c := s.cost + changeWeight(tools, posesBefore[s.pose].Tool, poses[layer[i].pose].Tool); c < best-1e-9 {
				best, from = c, k
			}
		}
		layer[i].cost, layer[i].from = layer[i].cost+best, from
	}
}

func changeWeight(tools []reach.Tool, a, b int) float64 {
	switch {
	case a == b:
		return 0
	case tools[a].Gun.ID != tools[b].Gun.ID:
		return gunWeight
	}
	return tipWeight
}

// guess is the tool that misses least, one of the set rather than another that misses as much.
func guess(r reach.Result, set uint64) Choice {
	out := Choice{Tool: -1}
	best, inSet := math.Inf(1), false
	for _, reason := range r.Reasons {
		in := reason.Tool < 64 && set>>reason.Tool&1 == 1
		if m := reason.Missing(); m < best-1e-6 || m < best+1e-6 && in && !inSet {
			best, inSet = m, in
			out = Choice{Tool: reason.Tool, Turn: reason.Turn, Reason: reason}
		}
	}
	return out
}

// stretchOf is welds one after another that have the same tool.
func stretchOf(at []int, tool int, welds []reach.Weld, results []reach.Result) reach.Stretch {
	var s reach.Stretch
	for _, i := range at {
		s.Welds, s.Poses = append(s.Welds, welds[i]), append(s.Poses, results[i].Pose(tool))
	}
	return s
}
