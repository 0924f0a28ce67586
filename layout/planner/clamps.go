package planner

import (
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/order"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
)

// Where clamps open one by one, each is opened, and what it hid is welded, before the next. They do so in the order of the shortest way
// past them, from the end that lets guns reach more welds while the later ones are shut; of equal ones from the clamp that the shell file
// names first. A weld that several hide waits for the last of them. Clamps that hide nothing open when all others are.

// clampTurns are the names of a station's clamps that hide welds, in the order in which they open one by one. Nil where all open together.
func clampTurns(s layout.Station, own []*armedWeld) []string {
	if !s.OneByOne {
		return nil
	}
	var hiding []layout.Fixture
	for _, c := range s.Clamps {
		hides := slices.ContainsFunc(own, func(w *armedWeld) bool { return slices.Contains(w.spot.Clamps, clampName(c)) })
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
	far := func(a, b int) float64 { return point(clamps[a].At).Distance(point(clamps[b].At)) }
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
			if x.own[i].step == layout.Released && !r.Reached() {
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
		if w.step == layout.Released {
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

// turn is the place of the last of a weld's clamps among those that open one by one, behind all of them for others; -1 for a weld that
// waits for none.
func turn(turns []string, clamps ...string) int {
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
func (x *arming) opened(w *armedWeld) []int {
	if !x.station.OneByOne {
		return x.jig.late
	}
	last := turn(x.turns, w.spot.Clamps...)
	var out []int
	for _, k := range x.jig.late {
		name := x.jig.scene.Name(k)
		if turn(x.turns, name) <= last && slices.ContainsFunc(x.own, func(o *armedWeld) bool { return slices.Contains(o.spot.Clamps, name) }) {
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
		if w.step != layout.Released || x.results[i].Reached() {
			continue
		}
		again := x.asked[i]
		again.Absent = x.jig.late
		found, err := x.look([]reach.Weld{again}, opt)
		if err != nil {
			return err
		}
		if found[0].Reached() {
			w.spot.Clamps = x.lateClamps()
			x.asked[i], x.results[i] = again, found[0]
		}
	}
	return nil
}

// clampPairs puts what one clamp hides before what the next one does, where they open one by one.
func (x *sequencing) clampPairs(work stationWork) []order.Pair {
	if !x.station.OneByOne {
		return nil
	}
	byTurn := make([][]int, len(x.turns)+1)
	for i, w := range work.welds {
		if w != nil && w.step == layout.Released {
			if k := turn(x.turns, w.spot.Clamps...); k >= 0 {
				byTurn[k] = append(byTurn[k], i)
			}
		}
	}
	var out []order.Pair
	before := -1
	for k, stops := range byTurn {
		if len(stops) == 0 {
			continue
		}
		if before >= 0 {
			for _, first := range byTurn[before] {
				for _, then := range stops {
					if work.stops[first].Phase == work.stops[then].Phase {
						out = append(out, order.Pair{First: first, Then: then, Why: "waits until what " + x.turns[before] + " hid is welded"})
					}
				}
			}
		}
		before = k
	}
	return out
}

// clampIDs are the ids of clamps by their names.
func clampIDs(names []string) []string {
	var out []string
	for _, n := range names {
		out = append(out, strings.TrimPrefix(n, clampName(layout.Fixture{})))
	}
	return out
}

// tackRule is how the tacks of a strip are gone through, and which of the line's ends the datum is at, the nearest dowel: as the joint
// says, else by quarters round a closed line and from the middle of an open one.
func (x *sequencing) tackRule(s *strip) (layout.TackRule, order.Pattern) {
	switch rule := layout.TackRule(x.shell.Joints[s.joint].Tacks); {
	case rule == layout.TackThrough:
		return rule, order.Through
	case rule == layout.TackDatum && !s.flange.Closed && len(x.station.Dowels) > 0:
		if x.fromDowel(s.flange.Line[0].Point) <= x.fromDowel(s.flange.Line[len(s.flange.Line)-1].Point) {
			return rule, order.DatumFirst
		}
		return rule, order.DatumLast
	case s.flange.Closed && rule != layout.TackMiddle:
		return layout.TackQuarters, order.Quarters
	case s.flange.Closed:
		return layout.TackThrough, order.Through
	}
	return layout.TackMiddle, order.MiddleFirst
}

func (x *sequencing) fromDowel(at r3.Vector) float64 {
	least := -1.0
	for _, d := range x.station.Dowels {
		if far := point(d.At).Distance(at); least < 0 || far < least {
			least = far
		}
	}
	return least
}

// tooFewTacks reports whether a joint has tacks, and none of its lines so many that another order than from end to end is one.
func tooFewTacks(p *layout.Plan, joint string) bool {
	some := false
	for _, r := range p.Runs {
		if r.Joint != joint || r.Step != layout.Tack || r.Blocked {
			continue
		}
		if r.Tacks.Said(r.Count) != "" {
			return false
		}
		some = true
	}
	return some
}

// idleTackRules says where the stated rule of a joint's tacks does not suit its lines, or the tacks of the plan's runs.
func idleTackRules(b basis, at *placed, j *joined, p *layout.Plan) []layout.Finding {
	var out []layout.Finding
	for i, joint := range j.joints {
		stated := layout.TackRule(b.shell.Joints[i].Tacks)
		station := at.index(joint.Station)
		if stated == "" || station < 0 {
			continue
		}
		closed, open := 0, 0
		for _, s := range j.of(i) {
			if s.flange.Closed {
				closed++
			} else {
				open++
			}
		}
		why := ""
		switch {
		case stated == layout.TackQuarters && open > 0:
			why = "its open lines have no quarters: they are tacked from the middle outwards"
		case stated == layout.TackMiddle && closed > 0:
			why = "its closed lines have no middle: they are tacked from end to end"
		case stated == layout.TackDatum && len(at.stations[station].Dowels) == 0:
			why = "station " + joint.Station + " has no dowel to be the datum: quarters or the middle come first"
		case stated == layout.TackDatum && closed > 0:
			why = "its closed lines have no end at a datum: they are tacked by quarters"
		case stated != layout.TackThrough && tooFewTacks(p, joint.ID):
			why = "none of its lines has tacks enough for it (4 for quarters, 3 for the middle, 2 from the datum): they are tacked from end to end"
		default:
			continue
		}
		out = append(out, b.make.Of(rule.Problem{Rule: "joint.key", Remedy: "state another tack_order, or take it out"},
			finding.About{Joint: joint.ID}, "joint "+joint.ID+": tack_order: "+why))
	}
	return out
}
