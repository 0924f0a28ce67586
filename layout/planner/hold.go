package planner

import (
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/seams/rule"
)

// onPanel is how far in mm from a panel's mesh, its thickness added, the end of a dimension may lie to be on it: it is read
// off a drawing or measured at an edge. Choice of this program.
const onPanel = 3.0

// guard says which joints wait for each hold point: those stated, or else those that would fix what it measures. The ends of a
// dimension lie on parts in the jig; it is fixed once welds join these parts, straight or by way of others, so every joint on
// any way from the one part to the other waits. Both ends on one part: whatever is welded to that part.
func guard(b joining.Basis, at *joining.Placed, j *joining.Joined) *joining.Placed {
	out := *at
	out.Stations = slices.Clone(at.Stations)
	out.Findings = slices.Clone(at.Findings)
	for i := range out.Stations {
		s := &out.Stations[i]
		s.HoldPoints = slices.Clone(s.HoldPoints)
		x := guarding{Basis: b, station: *s}
		for _, joint := range j.Joints {
			if joint.Station == s.ID {
				x.joints = append(x.joints, joint)
			}
		}
		for k := range s.HoldPoints {
			h := &s.HoldPoints[k]
			h.On = x.partNames(slices.Concat(x.partsAt(joining.Point(h.At)), x.partsAt(joining.Point(h.To))))
			if h.Before == "" {
				h.Joints = x.fixing(joining.Point(h.At), joining.Point(h.To))
				continue
			}
			h.Joints = x.named(h.Stated())
			if len(x.partsAt(joining.Point(h.At))) == 0 || len(x.partsAt(joining.Point(h.To))) == 0 {
				out.Findings = append(out.Findings, b.Make.Of(rule.Problem{Rule: "hold.open"}, finding.About{Station: s.ID, At: h.At},
					fmt.Sprintf("station %s: hold point %s waits before %s as stated", s.ID, h.ID, h.Before)))
			}
			if len(h.Joints) == 0 {
				out.Findings = append(out.Findings, b.Make.Of(rule.Problem{Rule: "hold.nothing"}, finding.About{Station: s.ID, At: h.At},
					fmt.Sprintf("station %s: hold point %s waits for %s, and no such joint is welded here", s.ID, h.ID, h.Before)))
			}
		}
	}
	return &out
}

// unresolved is what is stated of a hold point that no joint of the station waits for, so that nothing else does.
func unresolved(h layout.HoldPoint) string {
	if len(h.Joints) > 0 {
		return ""
	}
	return h.Before
}

// guarding is one station whose hold points are looked at.
type guarding struct {
	joining.Basis
	station layout.Station
	joints  []layout.Joint // welded at it
}

// named are the joints of the station that ids stand for: of joints themselves, of tacks all with spots, of parts those that
// join one of its panels to another part.
func (x *guarding) named(ids []string) []string {
	return x.those(func(j layout.Joint) bool {
		for _, id := range ids {
			panels := x.Shell.PanelsOf(id)
			outside := func(p string) bool { return !slices.Contains(panels, p) }
			switch {
			case id == j.ID, id == layout.Tacks && j.Kind != layout.RollerJoint:
				return true
			case joining.Common(j.Panels, panels) && slices.ContainsFunc(j.Panels, outside):
				return true
			}
		}
		return false
	})
}

func (x *guarding) those(wanted func(layout.Joint) bool) []string {
	var out []string
	for _, j := range x.joints {
		if wanted(j) {
			out = append(out, j.ID)
		}
	}
	return out
}

// fixing are the joints that would fix the dimension between two places; none where an end lies on no part in the jig.
func (x *guarding) fixing(from, to r3.Vector) []string {
	a, b := x.partsAt(from), x.partsAt(to)
	if len(a) == 0 || len(b) == 0 {
		return nil
	}
	return x.those(func(j layout.Joint) bool {
		own := x.partsOf(j)
		for _, u := range a {
			for _, v := range b {
				if u == v && slices.Contains(own, u) || u != v && x.between(u, v, own) {
					return true
				}
			}
		}
		return false
	})
}

// partsAt are the arriving parts on which a place lies, by their index.
func (x *guarding) partsAt(at r3.Vector) []int {
	var out []int
	for k, part := range x.station.Arrives {
		panels := x.Shell.PanelsOf(part)
		for _, p := range x.Parts {
			if slices.Contains(panels, p.Panel.ID) {
				if _, near := p.Shape.Tree().Closest(at, onPanel+p.Steel.Thickness); near {
					out = append(out, k)
					break
				}
			}
		}
	}
	return out
}

// partNames are the ids of arriving parts, each once, in loading order.
func (x *guarding) partNames(parts []int) []string {
	var out []string
	for k, id := range x.station.Arrives {
		if slices.Contains(parts, k) {
			out = append(out, id)
		}
	}
	return out
}

// partsOf are the arriving parts that a joint joins.
func (x *guarding) partsOf(j layout.Joint) []int {
	var out []int
	for k, part := range x.station.Arrives {
		if joining.Common(j.Panels, x.Shell.PanelsOf(part)) {
			out = append(out, k)
		}
	}
	return out
}

// between says whether some way of joints from part u to part v, that comes to no part twice, goes through a joint of the given
// parts: whether from two of them disjoint ways lead to u and to v.
func (x *guarding) between(u, v int, own []int) bool {
	for _, a := range own {
		for _, b := range own {
			if a != b && x.disjoint(u, a, b, v) {
				return true
			}
		}
	}
	return false
}

// disjoint looks for a way from u to a, and from there over b to v, going to no part twice. Parts in a jig are few; the search
// ends with the first way.
func (x *guarding) disjoint(u, a, b, v int) bool {
	next := x.neighbours()
	seen := make([]bool, len(x.station.Arrives))
	steps := 0
	var walk func(at, target int, then func() bool) bool
	walk = func(at, target int, then func() bool) bool {
		const most = 20000 // ways that are begun; beyond that the joint counts as on one, which is the safe side
		if steps++; steps > most {
			return true
		}
		if seen[at] {
			return false
		}
		seen[at] = true
		defer func() { seen[at] = false }()
		if at == target {
			return then()
		}
		for _, n := range next[at] {
			if walk(n, target, then) {
				return true
			}
		}
		return false
	}
	return walk(u, a, func() bool { return walk(b, v, func() bool { return true }) })
}

// neighbours are the parts that joints of the station lead to from each.
func (x *guarding) neighbours() [][]int {
	out := make([][]int, len(x.station.Arrives))
	for _, j := range x.joints {
		own := x.partsOf(j)
		for _, a := range own {
			for _, b := range own {
				if a != b && !slices.Contains(out[a], b) {
					out[a] = append(out[a], b)
				}
			}
		}
	}
	return out
}

// lateHolds are findings about hold points that come after half or more of the welds that fix what they measure, in the order
// of work.
func lateHolds(b joining.Basis, p *layout.Plan) []layout.Finding {
	var out []layout.Finding
	for _, s := range p.Stations {
		x := guarding{Basis: b, station: s}
		for _, joint := range p.Joints {
			if joint.Station == s.ID {
				x.joints = append(x.joints, joint)
			}
		}
		for _, h := range s.HoldPoints {
			if h.Before == "" {
				continue
			}
			fixing := x.fixing(joining.Point(h.At), joining.Point(h.To))
			before, all := weldsBefore(p, s.ID, h, fixing)
			if all > 0 && 2*before >= all {
				out = append(out, b.Make.Of(rule.Problem{Rule: "hold.late", Value: float64(before), Limit: float64(all) / 2,
					Remedy: "gauge before " + strings.Join(fixing, ", ") + ": leave before out, or name them"},
					finding.About{Station: s.ID, At: h.At}, fmt.Sprintf("station %s: hold point %s comes after %d of the %d welds that fix what it "+
						"measures", s.ID, h.ID, before, all)))
			}
		}
	}
	return out
}

// weldsBefore counts the welds of joints at a station, and those of them made before the first of what waits for the hold point.
func weldsBefore(p *layout.Plan, station string, h layout.HoldPoint, joints []string) (before, all int) {
	first := 0
	for _, w := range p.Welds {
		if w.Station == station && h.Holds(w.Joint) && (first == 0 || w.Number < first) {
			first = w.Number
		}
	}
	for _, w := range p.Welds {
		if w.Station == station && slices.Contains(joints, w.Joint) {
			if all++; first == 0 || w.Number < first {
				before++
			}
		}
	}
	return before, all
}
