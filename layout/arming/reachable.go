package arming

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/layout/reach"
	"seamwright/layout/tooling"
	"seamwright/seams/rule"
)

// jig is what guns may meet at a station: its panels and clamps as one scene.
type jig struct {
	scene  *axial.Scene
	place  []int // of each part in the scene; -1 for parts that are not there
	clamps []int // of each of the station's clamps in the scene
	late   []int // clamps that are open once the tacks are made
}

// closeClamps adds the station's clamps to its panels.
func (x *arming) closeClamps(panels []axial.Panel, place []int) jig {
	out := jig{place: place}
	for _, c := range x.station.Clamps {
		if c.Radius <= 0 {
			continue
		}
		k := len(panels)
		out.clamps = append(out.clamps, k)
		if c.Release != layout.AtEnd {
			out.late = append(out.late, k)
		}
		panels = append(panels, reach.Clamp(clampName(c), joining.Point(c.At), clampAxis(x.Strips, joining.Point(c.At)), c.Radius,
			reach.ClampHeight))
	}
	out.scene = &axial.Scene{Panels: panels}
	return out
}

// clampAxis is the sheets' normal at the place of a weld line nearest to the clamp.
func clampAxis(strips []*joining.Strip, at r3.Vector) r3.Vector {
	axis, least := r3.Vector{Z: 1}, math.Inf(1)
	for _, s := range strips {
		line := s.Flange.Line
		if len(line) == 0 || line[0].Point.Distance(at)-s.Flange.Length > math.Sqrt(least)+1 {
			continue // none of its places is farther from the first than the line is long
		}
		for _, st := range line {
			if d := st.Point.Sub(at).Norm2(); d < least {
				axis, least = st.Axis, d
			}
		}
	}
	return axis
}

// absent is what is not there any more when the weld is made: clamps open after the tacks.
func (x *arming) absent(w *ArmedWeld) []int {
	switch w.Step {
	case layout.Tack:
		return nil
	case layout.Released:
		return x.opened(w)
	}
	return x.jig.late
}

// hiddenTacks makes welds that a closed clamp hides from every gun wait until it is off: a tack that cannot be made is
// none. It changes what was asked and found for them.
func (x *arming) hiddenTacks() error {
	var hidden []int
	var again []reach.Weld
	for i, w := range x.own {
		if w.Step == layout.Tack && !x.results[i].Reached() && len(x.jig.late) > 0 {
			hidden, again = append(hidden, i), append(again, x.asked[i])
			again[len(again)-1].Absent = x.jig.late
		}
	}
	found, err := x.look(again, x.quietly())
	if err != nil {
		return err
	}
	for k, i := range hidden {
		if !found[k].Reached() {
			continue
		}
		w := x.own[i]
		clamp := x.hidingClamp(w, x.results[i])
		w.Spot.Clamps = append(slices.Clip(w.Spot.Clamps), clamp)
		if x.station.OneByOne {
			w.Spot.Clamps = x.lateClamps() // it was looked at with all of them open
		}
		w.Step, x.asked[i], x.results[i] = layout.Released, again[k], found[k]
		x.find(rule.Problem{Rule: "reach.tack",
			Remedy: clamp + " keeps every gun off this tack: it is welded once that is open; move the clamp if the tack is needed"},
			w.Strip.About(w.Spot.Position), fmt.Sprintf("flange %s: the weld at %.0f mm", w.Strip.ID, w.Spot.S))
	}
	return nil
}

// quietly is how welds are looked at again: without reasons, and without saying how far it is.
func (x *arming) quietly() reach.Options {
	opt := x.opt
	opt.Progress, opt.Quiet = nil, true
	return opt
}

// clampName is a clamp's name among what stands in a jig.
func clampName(c layout.Fixture) string { return "clamp " + c.ID }

// hidingClamp is the clamp that a tool was seen to meet, or else the one nearest to the weld.
func (x *arming) hidingClamp(w *ArmedWeld, r reach.Result) string {
	for _, reason := range r.Reasons {
		if slices.ContainsFunc(x.station.Clamps, func(c layout.Fixture) bool { return clampName(c) == reason.Panel }) {
			return reason.Panel
		}
	}
	name, least := "", math.Inf(1)
	for _, c := range x.station.Clamps {
		if d := joining.Point(c.At).Sub(w.Spot.Position).Norm2(); c.Release != layout.AtEnd && d < least {
			name, least = clampName(c), d
		}
	}
	return name
}

// nearestRemedy says what would let a gun in to welds that nothing at hand reaches, the worst first: other guns of the
// shell file; an earlier turn before a part is loaded that the joint does not need, or a clamp that is moved; empty where none of
// these helps the worst.
func (x *arming) nearestRemedy(ctx context.Context, of []int) (string, []layout.Help, error) {
	var asked []reach.Weld
	for _, i := range of {
		asked = append(asked, x.asked[i])
	}
	opt := x.opt
	opt.Tilt = 0
	helps, err := x.otherGuns(ctx, x.own[of[0]], asked, opt)
	if err != nil {
		return "", nil, err
	}
	text := otherGunsText(helps, len(asked))
	var names []string
	var groups [][]int
	var which []layout.Help
	arrives := x.station.Arrives
	for i := len(arrives) - 1; i >= 0; i-- {
		panels := x.Shell.PanelsOf(arrives[i])
		if group := x.inScene(panels); len(group) > 0 && !joining.Common(panels, x.jointOf(x.own[of[0]]).Panels) {
			names, groups = append(names, "it could be welded before "+arrives[i]+" arrives"), append(groups, group)
			which = append(which, layout.Help{Before: arrives[i]})
		}
	}
	for _, k := range x.jig.clamps {
		if !slices.Contains(asked[0].Absent, k) {
			name := x.jig.scene.Name(k)
			names, groups = append(names, "a gun reaches it without "+name+": move that"), append(groups, []int{k})
			which = append(which, layout.Help{Clamp: ClampIDs([]string{name})[0]})
		}
	}
	help, err := tooling.Without(ctx, x.jig.scene, asked, x.tools, groups, opt)
	if err != nil || help.Group < 0 {
		return text, helps, err
	}
	t := x.tools[help.Pose.Tool]
	h := which[help.Group]
	h.Gun, h.Tip, h.Welds, h.AtHand = t.Gun.ID, t.Tip.ID, help.Welds, true
	words := fmt.Sprintf("%s (gun %s, tip %s)%s", names[help.Group], t.Gun.ID, t.Tip.ID, helped(help.Welds, len(asked)))
	if text != "" {
		words = text + "; or " + words
	}
	return words, append(helps, h), nil
}

// helped says how many of the welds a remedy helps, where it is not all.
func helped(welds, of int) string {
	if welds == of {
		return ""
	}
	return fmt.Sprintf("; that helps %d of the %d", welds, of)
}

// otherGuns are the guns of the shell file that are not at hand, or that the joint may not have, and reach the worst weld, those first
// that reach most of the others; each with the tip that does.
func (x *arming) otherGuns(ctx context.Context, w *ArmedWeld, asked []reach.Weld, opt reach.Options) ([]layout.Help, error) {
	asked = slices.Clone(asked)
	for i := range asked {
		asked[i].Tools = nil
	}
	var out []layout.Help
	for _, t := range x.EveryTool() {
		at := slices.ContainsFunc(x.tools, func(have reach.Tool) bool { return have.Gun.ID == t.Gun.ID })
		if at && x.mayUse(x.Stated(x.Joined, w.Strip), t) || t.Gun.Force != 0 && t.Gun.Force < x.set.Of(w.Setting).Force {
			continue
		}
		help, err := tooling.Helps(ctx, x.jig.scene, asked, []reach.Tool{t}, opt)
		if err != nil {
			return nil, err
		}
		k := slices.IndexFunc(out, func(h layout.Help) bool { return h.Gun == t.Gun.ID })
		switch h := (layout.Help{Gun: t.Gun.ID, Tip: t.Tip.ID, Welds: help.Welds, AtHand: at}); {
		case help.Welds == 0:
		case k < 0:
			out = append(out, h)
		case h.Welds > out[k].Welds:
			out[k] = h
		}
	}
	slices.SortStableFunc(out, func(a, b layout.Help) int { return cmp.Compare(b.Welds, a.Welds) })
	return out, nil
}

// otherGunsText names the guns that reach most: those of the station that the joint may not have, and those that are elsewhere.
func otherGunsText(all []layout.Help, of int) string {
	var out []string
	for _, atHand := range []bool{true, false} {
		var names []string
		for _, h := range all {
			if h.Welds == all[0].Welds && h.AtHand == atHand {
				names = append(names, h.Gun+" with tip "+h.Tip)
			}
		}
		where := "not at this station"
		if atHand {
			where = "not what the joint states"
		}
		switch len(names) {
		case 0:
		case 1:
			out = append(out, "gun "+names[0]+", which is "+where+", reaches it"+helped(all[0].Welds, of))
		default:
			out = append(out, "guns "+strings.Join(names, ", ")+", which are "+where+", reach it"+helped(all[0].Welds, of))
		}
	}
	return strings.Join(out, "; or ")
}
