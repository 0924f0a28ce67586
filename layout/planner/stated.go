package planner

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout/finding"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// stated is what the shell file says of a strip's joint; of one that was found, and of none, nothing.
func (b basis) stated(j *joined, s *strip) *shell.Joint {
	if s.joint >= 0 {
		if out, ok := b.shell.Joint(j.joints[s.joint].ID); ok {
			return out
		}
	}
	return &shell.Joint{}
}

// fits says whether a tool is of the gun and tip that a joint states.
func fits(j *shell.Joint, t reach.Tool) bool {
	return (j.Gun == "" || j.Gun == t.Gun.ID) && (j.Tip == "" || j.Tip == t.Tip.ID)
}

// mayUse says whether a weld may be made with a tool at hand: one that its joint states, or any where none of those is at hand, which
// statedGear tells.
func (x *arming) mayUse(w *armedWeld, t reach.Tool) bool {
	stated := x.stated(x.joined, w.strip)
	return fits(stated, t) || !slices.ContainsFunc(x.tools, func(t reach.Tool) bool { return fits(stated, t) })
}

// statedGear says of which joints the stated gun and tip are not at hand, once for each.
func (x *arming) statedGear() {
	said := map[int]bool{}
	for _, w := range x.own {
		if said[w.strip.joint] {
			continue
		}
		said[w.strip.joint] = true
		stated := x.stated(x.joined, w.strip)
		if slices.ContainsFunc(x.tools, func(t reach.Tool) bool { return fits(stated, t) }) {
			continue
		}
		about := finding.About{Station: x.station.ID, Joint: stated.ID, At: vec(w.spot.Position)}
		x.find(rule.Problem{Rule: "reach.stated"}, about, fmt.Sprintf("joint %s: %s is not at station %s, so its welds are given what is there",
			stated.ID, gearText(stated), x.station.ID))
	}
}

// gearText names the gun and tip that a joint states.
func gearText(j *shell.Joint) string {
	both := []string{named("gun", j.Gun), named("tip", j.Tip)}
	return strings.Join(slices.DeleteFunc(both, func(s string) bool { return s == "" }), " with ")
}

func named(what, id string) string {
	if id == "" {
		return ""
	}
	return what + " " + id
}

// thatIsStated is what follows "no gun at hand" where the joint states one.
func (x *arming) thatIsStated(w *armedWeld) string {
	if stated := x.stated(x.joined, w.strip); stated.Gun != "" || stated.Tip != "" {
		return " that joint " + stated.ID + " may have (" + gearText(stated) + ")"
	}
	return ""
}
