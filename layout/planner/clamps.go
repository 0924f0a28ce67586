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

// Where clamps open one by one, they do so in the order of the shell file: each is opened, and what it hid is welded, before the
// next. A weld that several hide waits for the last of them.

// turn is the place of the last of a weld's clamps among the station's; -1 for a weld that waits for none.
func turn(s layout.Station, clamps []string) int {
	last := -1
	for k, c := range s.Clamps {
		if slices.Contains(clamps, clampName(c)) {
			last = k
		}
	}
	return last
}

// opened are the clamps, in the jig's scene, that are open when a weld is made that waits for clamps: all that may open, or where
// they open one by one its own and those before for which others wait.
func (x *arming) opened(w *armedWeld) []int {
	if !x.station.OneByOne {
		return x.jig.late
	}
	last := turn(x.station, w.spot.Clamps)
	var out []int
	for _, k := range x.jig.late {
		name := x.jig.scene.Name(k)
		at := slices.IndexFunc(x.station.Clamps, func(c layout.Fixture) bool { return clampName(c) == name })
		if at <= last && slices.ContainsFunc(x.own, func(o *armedWeld) bool { return slices.Contains(o.spot.Clamps, name) }) {
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
	byTurn := make([][]int, len(x.station.Clamps))
	for i, w := range work.welds {
		if w != nil && w.step == layout.Released {
			if k := turn(x.station, w.spot.Clamps); k >= 0 {
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
						out = append(out, order.Pair{First: first, Then: then, Why: "waits until what " + clampName(x.station.Clamps[before]) +
							" hid is welded"})
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
