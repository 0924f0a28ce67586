package arming

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// fits says whether a tool is of the gun and tip that a joint states.
func fits(j *shell.Joint, t reach.Tool) bool {
	return (j.Gun == "" || j.Gun == t.Gun.ID) && (j.Tip == "" || j.Tip == t.Tip.ID)
}

// mayUse says whether a weld may be made with a tool at hand: one that its joint, as stated, names, or any where none of those is at hand,
// which statedGear tells.
func (x *arming) mayUse(stated *shell.Joint, t reach.Tool) bool {
	return fits(stated, t) || !slices.ContainsFunc(x.tools, func(t reach.Tool) bool { return fits(stated, t) })
}

// statedGear says of which joints the stated gun and tip are not at hand, once for each.
func (x *arming) statedGear() {
	said := map[int]bool{}
	for _, w := range x.own {
		if said[w.Strip.Joint] {
			continue
		}
		said[w.Strip.Joint] = true
		stated := x.Stated(x.Joined, w.Strip)
		if slices.ContainsFunc(x.tools, func(t reach.Tool) bool { return fits(stated, t) }) {
			continue
		}
		about := finding.About{Station: x.station.ID, Joint: stated.ID, At: joining.Vec(w.Spot.Position)}
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
func (x *arming) thatIsStated(w *ArmedWeld) string {
	if stated := x.Stated(x.Joined, w.Strip); stated.Gun != "" || stated.Tip != "" {
		return " that joint " + stated.ID + " may have (" + gearText(stated) + ")"
	}
	return ""
}
