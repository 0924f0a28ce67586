package arming

import (
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/reach"
)

// Where clamps open one by one, each is opened, and what it hid is welded, before the next. They do so in the order of the shortest way
// past them, from the end that lets guns reach more welds while the later ones are shut; of equal ones from the clamp that the shell file
// names first. A weld that several hide waits for the last of them. Clamps that hide nothing open when all others are.

// clampTurns are the names of a station's clamps that hide welds, in the order in which they open one by one. Nil where all open together.
func clampTurns(s layout.Station, own []*ArmedWeld) []string {
	if !s.OneByOne {
		return nil
	}
	var hiding []layout.Fixture
	for _, c := range s.Clamps {
		hides := slices.ContainsFunc(own, func(w *ArmedWeld) bool { return slices.Contains(w.Spot.Clamps, clampName(c)) })
		if hides && c.Release != layout.AtEnd {
			hiding = append(hiding, c)
		}
	}
	var out []string
	for _, i := range shortestWay(hiding) {
		out = append(out, clampName(hiding[i]))
	}
	return out
}

// shortestWay is the order of clamps by the nearest next one, from every first one, each way turned round piecewise as long as that makes
// it shorter; the shortest of all.
func shortestWay(clamps []layout.Fixture) []int {
	far := func(a, b int) float64 { return joining.Point(clamps[a].At).Distance(joining.Point(clamps[b].At)) }
	length := func(way []int) float64 {
		sum := 0.0
		for k := 1; k < len(way); k++ {
			sum += far(way[k-1], way[k])
		}
		return sum
	}
	var best []int
	for first := range clamps {
		way := []int{first}
		for len(way) < len(clamps) {
			next := -1
			for k := range clamps {
				if !slices.Contains(way, k) && (next < 0 || far(way[len(way)-1], k) < far(way[len(way)-1], next)-1e-9) {
					next = k
				}
			}
			way = append(way, next)
		}
		for shorter := true; shorter; {
			shorter = false
			for from := range way {
				for to := from + 1; to < len(way); to++ {
					turned := slices.Clone(way)
					slices.Reverse(turned[from : to+1])
					if length(turned) < length(way)-1e-9 {
						way, shorter = turned, true
					}
				}
			}
		}
		if best == nil || length(way) < length(best)-1e-9 {
			best = way
		}
	}
	if n := len(best); n > 1 && best[n-1] < best[0] {
		slices.Reverse(best)
	}
	return best
}

// otherWayRound opens the clamps from the other end where guns then reach more of the welds that clamps hide.
func (x *arming) otherWayRound() error {
	missed := func(of []reach.Result) int {
		n := 0
		for i, r := range of {
			if x.own[i].Step == layout.Released && !r.Reached() {
				n++
			}
		}
		return n
	}
	was := missed(x.results)
	if len(x.turns) < 2 || was == 0 {
		return nil
	}
	turns := x.turns
	x.turns = slices.Clone(turns)
	slices.Reverse(x.turns)
	asked := slices.Clone(x.asked)
	for i, w := range x.own {
		if w.Step == layout.Released {
			asked[i].Absent = x.absent(w)
		}
	}
	found, err := x.look(asked, x.quietly())
	if err != nil {
		return err
	}
	if missed(found) >= was {
		x.turns = turns
		return nil
	}
	opt := x.opt
	opt.Progress = nil
	x.asked = asked
	x.results, err = x.look(asked, opt)
	return err
}

// Turn is the place of the last of a weld's clamps among those that open one by one, behind all of them for others; -1 for a weld that
// waits for none.
func Turn(turns []string, clamps ...string) int {
	last := -1
	for _, name := range clamps {
		k := slices.Index(turns, name)
		if k < 0 {
			k = len(turns)
		}
		last = max(last, k)
	}
	return last
}

// opened are the clamps, in the jig's scene, that are open when a weld is made that waits for clamps: all that may open, or where
// they open one by one its own and those before for which others wait.
func (x *arming) opened(w *ArmedWeld) []int {
	if !x.station.OneByOne {
		return x.jig.late
	}
	last := Turn(x.turns, w.Spot.Clamps...)
	var out []int
	for _, k := range x.jig.late {
		name := x.jig.scene.Name(k)
		if Turn(x.turns, name) <= last && slices.ContainsFunc(x.own, func(o *ArmedWeld) bool { return slices.Contains(o.Spot.Clamps, name) }) {
			out = append(out, k)
		}
	}
	return out
}

// lateClamps are the names of the clamps that open after tacks.
func (x *arming) lateClamps() []string {
	var out []string
	for _, c := range x.station.Clamps {
		if c.Release != layout.AtEnd {
			out = append(out, clampName(c))
		}
	}
	return out
}

// afterAllClamps lets welds wait for all clamps where they open one by one and those that are still shut keep every gun off.
func (x *arming) afterAllClamps() error {
	if !x.station.OneByOne {
		return nil
	}
	opt := x.quietly()
	for i, w := range x.own {
		if w.Step != layout.Released || x.results[i].Reached() {
			continue
		}
		again := x.asked[i]
		again.Absent = x.jig.late
		found, err := x.look([]reach.Weld{again}, opt)
		if err != nil {
			return err
		}
		if found[0].Reached() {
			w.Spot.Clamps = x.lateClamps()
			x.asked[i], x.results[i] = again, found[0]
		}
	}
	return nil
}

// ClampIDs are the ids of clamps by their names.
func ClampIDs(names []string) []string {
	var out []string
	for _, n := range names {
		out = append(out, strings.TrimPrefix(n, clampName(layout.Fixture{})))
	}
	return out
}
