package planner

import (
	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/order"
	"seamwright/seams/rule"
)

// tackRule is how the tacks of a strip are gone through, and which of the line's ends the datum is at, the nearest dowel: as the joint
// says, else by quarters round a closed line and from the middle of an open one.
func (x *sequencing) tackRule(s *joining.Strip) (layout.TackRule, order.Pattern) {
	switch rule := layout.TackRule(x.Shell.Joints[s.Joint].Tacks); {
	case rule == layout.TackThrough:
		return rule, order.Through
	case rule == layout.TackDatum && !s.Flange.Closed && len(x.station.Dowels) > 0:
		if x.fromDowel(s.Flange.Line[0].Point) <= x.fromDowel(s.Flange.Line[len(s.Flange.Line)-1].Point) {
			return rule, order.DatumFirst
		}
		return rule, order.DatumLast
	case s.Flange.Closed && rule != layout.TackMiddle:
		return layout.TackQuarters, order.Quarters
	case s.Flange.Closed:
		return layout.TackThrough, order.Through
	}
	return layout.TackMiddle, order.MiddleFirst
}

func (x *sequencing) fromDowel(at r3.Vector) float64 {
	least := -1.0
	for _, d := range x.station.Dowels {
		if far := joining.Point(d.At).Distance(at); least < 0 || far < least {
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
func idleTackRules(b joining.Basis, at *joining.Placed, j *joining.Joined, p *layout.Plan) []layout.Finding {
	var out []layout.Finding
	for i, joint := range j.Joints {
		stated := layout.TackRule(b.Shell.Joints[i].Tacks)
		station := at.Index(joint.Station)
		if stated == "" || station < 0 {
			continue
		}
		closed, open := 0, 0
		for _, s := range j.Of(i) {
			if s.Flange.Closed {
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
		case stated == layout.TackDatum && len(at.Stations[station].Dowels) == 0:
			why = "station " + joint.Station + " has no dowel to be the datum: quarters or the middle come first"
		case stated == layout.TackDatum && closed > 0:
			why = "its closed lines have no end at a datum: they are tacked by quarters"
		case stated != layout.TackThrough && tooFewTacks(p, joint.ID):
			why = "none of its lines has tacks enough for it (4 for quarters, 3 for the middle, 2 from the datum): they are tacked from end to end"
		default:
			continue
		}
		out = append(out, b.Make.Of(rule.Problem{Rule: "joint.key", Remedy: "state another tack_order, or take it out"},
			finding.About{Joint: joint.ID}, "joint "+joint.ID+": tack_order: "+why))
	}
	return out
}
