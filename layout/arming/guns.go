// Package arming gives each weld of a station a gun and a tip that get there, past clamps and before parts that would be in the way,
// and says what would do where none does.
//
//	armed, err := arming.Arm(ctx, basis, means, placed, joints, welds, settings)
package arming

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"seamwright/geometry/axial"
	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/laying"
	"seamwright/layout/reach"
	"seamwright/layout/supply"
	"seamwright/layout/tooling"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// ArmedWeld is a weld with what it is made with, and when.
type ArmedWeld struct {
	laying.Weld
	Setting string
	Gun     *shell.Gun
	Tip     *shell.Tip
	Turn    float64
	Tilt    float64
	Air     float64   // between the gun and the panels
	Apart   bool      // no gun at hand reaches it
	Early   *latePart // it is made before this part is loaded
	before  []string  // or before these parts are, which no hold point keeps out
}

// Armed is the welds of one station.
type Armed struct {
	Welds    []*ArmedWeld
	Blocked  []Blocked
	Turns    []string // names of clamps that open one by one, in that order
	Findings []layout.Finding
}

// Blocked is neighbouring welds of one flange that no gun at hand reaches, and what would do.
type Blocked struct {
	Welds []int // by their place among the station's
	Why   string
	remedies
}

// Arm gives every weld a gun and tip that reach it among those at hand, and says what nothing reaches.
func Arm(ctx context.Context, b joining.Basis, m joining.Means, at *joining.Placed, j *joining.Joined, l *laying.Laid,
	s *laying.Set) ([]Armed, error) {
	out := make([]Armed, len(at.Stations))
	for i := range l.Welds {
		w := &ArmedWeld{Weld: l.Welds[i], Setting: s.Welded[l.Welds[i].Strip]}
		out[w.Station].Welds = append(out[w.Station].Welds, w)
	}
	for i, station := range at.Stations {
		if len(out[i].Welds) == 0 {
			continue
		}
		x := arming{Basis: b, Means: m, station: station, Joined: j, set: s, own: out[i].Welds}
		if err := x.outfitted(func() error { return x.arm(ctx) }); err != nil {
			return nil, fmt.Errorf("reach at station %s: %w", station.ID, err)
		}
		out[i].Findings, out[i].Blocked, out[i].Turns = x.findings, x.blocked, x.turns
	}
	return out, nil
}

// NotSought is the remedy of findings for which none was looked for.
const NotSought = "what would let a gun in was not looked for yet"

// arming is one station whose welds are given guns.
type arming struct {
	joining.Basis
	joining.Means
	*joining.Joined
	station layout.Station
	set     *laying.Set
	tools   []reach.Tool
	jig     jig
	opt     reach.Options
	look    func(asked []reach.Weld, opt reach.Options) ([]reach.Result, error)

	own      []*ArmedWeld
	asked    []reach.Weld   // of each weld what is asked
	results  []reach.Result // and what was found
	findings []layout.Finding
	circles  []circle
	blocked  []Blocked
	turns    []string // names of clamps that open one by one, in that order; nil: all open together
}

func (x *arming) find(p rule.Problem, about finding.About, where string) {
	x.findings = append(x.findings, x.Make.Of(p, about, where))
}

func (x *arming) jointOf(w *ArmedWeld) layout.Joint { return x.Joints[w.Strip.Joint] }

func (x *arming) arm(ctx context.Context) error {
	id := x.station.ID
	if x.tools = x.ToolsAt(x.station); len(x.tools) == 0 {
		x.find(rule.Problem{Rule: "reach.none"}, finding.About{Station: id, At: joining.Vec(x.own[0].Spot.Position)}, "station "+id)
		return nil
	}
	tilt, err := x.Rules.Book.Evaluate("reach.tilt", nil)
	if err != nil {
		return err
	}
	x.jig = x.jigAt()
	x.opt = reach.Options{Tilt: tilt.Value, WayOff: true, Workers: x.Workers, Cache: x.Cache,
		Progress: func(done, total int) { x.Progress("reach "+id, done, total) }}
	x.look = func(asked []reach.Weld, opt reach.Options) ([]reach.Result, error) {
		return reach.Find(ctx, x.jig.scene, asked, x.tools, opt)
	}
	x.turns = clampTurns(x.station, x.own)
	x.statedGear()
	x.asked = make([]reach.Weld, len(x.own))
	for i, w := range x.own {
		x.asked[i] = x.reachWeld(w)
	}
	if x.results, err = x.look(x.asked, x.opt); err != nil {
		return err
	}
	for _, again := range []func() error{x.otherWayRound, x.hiddenTacks, x.afterAllClamps, x.beforeLateParts, x.beforeParts} {
		if err := again(); err != nil {
			return err
		}
	}
	choices, err := tooling.Choose(ctx, x.jig.scene, x.asked, x.results, x.tools, x.opt)
	if err != nil {
		return err
	}
	for i, c := range choices {
		if c.Tool >= 0 {
			w := x.own[i]
			w.Gun, w.Tip = x.Gear(x.tools[c.Tool])
			w.Turn, w.Tilt, w.Air = c.Turn, c.Tilt, c.Clearance
		}
	}
	x.tiltFindings()
	return x.reachFindings(ctx, choices)
}

// jigAt is the panels and clamps at the station.
func (x *arming) jigAt() jig {
	place := make([]int, len(x.Parts))
	var panels []axial.Panel
	for i, p := range x.Parts {
		place[i] = -1
		if !slices.Contains(x.station.Present, p.Panel.ID) {
			continue
		}
		place[i] = len(panels)
		grow := 0.0
		switch p.Sheet.Surface {
		case flange.Skin:
			grow = p.Sheet.Thickness
		case flange.Solid:
		default:
			grow = p.Sheet.Thickness / 2
		}
		panels = append(panels, axial.Panel{Name: p.Panel.ID, Shape: p.Shape, Grow: grow})
	}
	return x.closeClamps(panels, place)
}

func (x *arming) reachWeld(w *ArmedWeld) reach.Weld {
	out := reach.Weld{
		Line: w.Strip.ID, S: w.Spot.S, Position: w.Spot.Position, Along: w.Spot.Along, Axis: w.Spot.Axis,
		Stack: w.Strip.Stack.Total() + max(0, w.Spot.Gap), Tools: []int{}, Absent: x.absent(w),
	}
	for _, sheet := range w.Strip.Flange.Sheets {
		if x.jig.place[sheet] >= 0 {
			out.Sheets = append(out.Sheets, x.jig.place[sheet])
		}
	}
	set, stated, tools := x.set.Of(w.Setting), x.Stated(x.Joined, w.Strip), x.tools
	for i, t := range tools {
		if x.mayUse(stated, t) && (t.Gun.Force == 0 || t.Gun.Force >= set.Force) {
			out.Tools = append(out.Tools, i)
		}
	}
	// Where none has the current or the face, the weld keeps what reaches it and the check calls it broken.
	for _, wrong := range []func(i int) bool{
		func(i int) bool {
			return tools[i].Gun.Current > 0 && supply.Of(&tools[i].Gun).Deliverable() < set.Current
		},
		func(i int) bool { return tools[i].Tip.Face < set.Nugget },
	} {
		if fit := slices.DeleteFunc(slices.Clone(out.Tools), wrong); len(fit) > 0 {
			out.Tools = fit
		}
	}
	return out
}

// reachRules are the rules by what keeps the gun from the weld; no kind: no gun has the force.
var reachRules = map[reach.Kind]string{
	"":             "reach.force",
	reach.Channel:  "reach.channel",
	reach.Wall:     "reach.wall",
	reach.TipShort: "reach.tip-length",
	reach.Throat:   "reach.throat",
	reach.Gap:      "reach.throat-gap",
	reach.Blocked:  "reach.blocked",
	reach.Retreat:  "reach.way-off",
}

// outOfReach is welds of one flange that no gun reaches for one reason, the worst first.
type outOfReach struct {
	strip *joining.Strip
	kind  reach.Kind
	stuck bool
	welds []int
}

// unreached gathers the welds that nothing reaches.
func unreached(own []*ArmedWeld, choices []tooling.Choice) []outOfReach {
	var out []outOfReach
	for i, c := range choices {
		if c.Reached {
			continue
		}
		k := slices.IndexFunc(out, func(g outOfReach) bool {
			return g.strip == own[i].Strip && g.kind == c.Reason.Kind && g.stuck == c.Stuck
		})
		if k < 0 {
			k = len(out)
			out = append(out, outOfReach{strip: own[i].Strip, kind: c.Reason.Kind, stuck: c.Stuck})
		}
		g := &out[k]
		g.welds = append(g.welds, i)
		if last := len(g.welds) - 1; c.Reason.Missing() > choices[g.welds[0]].Reason.Missing() {
			g.welds[0], g.welds[last] = g.welds[last], g.welds[0]
		}
	}
	return out
}

// reachFindings says once for each flange and reason what no gun reaches, with the nearest remedy for the worst weld. That
// no straight way off was seen is a rule of its own: the operator may find another.
func (x *arming) reachFindings(ctx context.Context, choices []tooling.Choice) error {
	for _, g := range unreached(x.own, choices) {
		w, c := x.own[g.welds[0]], choices[g.welds[0]]
		r, err := x.remediesFor(ctx, g, g.welds)
		if err != nil {
			return err
		}
		if !g.stuck {
			if err := x.setApart(ctx, g, choices, r); err != nil {
				return err
			}
		}
		kind := c.Reason.Kind
		if g.stuck {
			kind = reach.Retreat
		}
		p := rule.Problem{Rule: reachRules[kind], Remedy: r.Would}
		if c.Reason.Limit > 0 { // else no measure of the gun would do
			p.Value, p.Limit = c.Reason.Value, c.Reason.Limit
		}
		x.find(p, g.strip.About(w.Spot.Position), fmt.Sprintf("flange %s: %d welds, %s", g.strip.ID, len(g.welds), x.whyNot(w, c)))
	}
	return nil
}

// whyNot says what keeps the best gun at hand off a weld, the worst of some.
func (x *arming) whyNot(w *ArmedWeld, c tooling.Choice) string {
	why := fmt.Sprintf("the worst at %.0f mm", w.Spot.S)
	if c.Tool < 0 {
		return why + ": no gun at hand" + x.thatIsStated(w) + " has the electrode force"
	}
	return why + fmt.Sprintf(" with gun %s, tip %s: %s", x.tools[c.Tool].Gun.ID, x.tools[c.Tool].Tip.ID, c.Reason)
}

// setApart takes welds that no gun at hand reaches out of the order of work, stretch by stretch, each with what would do for it; r is
// what would do for all of them.
func (x *arming) setApart(ctx context.Context, g outOfReach, choices []tooling.Choice, r remedies) error {
	stretches := x.stretches(g, choices)
	for _, welds := range stretches {
		if len(stretches) > 1 {
			var err error
			if r, err = x.remediesFor(ctx, g, welds); err != nil {
				return err
			}
		}
		x.blocked = append(x.blocked, Blocked{Welds: slices.Sorted(slices.Values(welds)), Why: x.whyNot(x.own[welds[0]], choices[welds[0]]),
			remedies: r})
	}
	for _, i := range g.welds {
		x.own[i].Apart = true
	}
	return nil
}

// stretches parts welds of a flange where others of it stand between them, those by the line's start first; of each the worst first.
func (x *arming) stretches(g outOfReach, choices []tooling.Choice) [][]int {
	var line []int // all of the flange's, along it
	for i, w := range x.own {
		if w.Strip == g.strip {
			line = append(line, i)
		}
	}
	slices.SortStableFunc(line, func(a, b int) int { return cmp.Compare(x.own[a].Spot.S, x.own[b].Spot.S) })
	var out [][]int
	open := false
	for _, i := range line {
		if !slices.Contains(g.welds, i) {
			open = false
			continue
		}
		if !open {
			out, open = append(out, nil), true
		}
		out[len(out)-1] = append(out[len(out)-1], i)
	}
	if last := len(out) - 1; last > 0 && g.strip.Flange.Closed && out[0][0] == line[0] && open { // over the closing point
		out[0], out = append(out[last], out[0]...), out[:last]
	}
	for _, welds := range out {
		for k, i := range welds {
			if choices[i].Reason.Missing() > choices[welds[0]].Reason.Missing() {
				welds[0], welds[k] = welds[k], welds[0]
			}
		}
	}
	return out
}

// remedies is what would let a gun in to welds that none at hand reaches, in words and as figures.
type remedies struct {
	Would    string
	Measures []layout.Measure
	Helps    []layout.Help
	Force    float64 // N, where no gun at hand has it
}

// remediesFor looks for what would do for welds of one flange that are not reached for one reason, the worst first. Sizes of a gun are
// looked for where no gun gets in, not where none was seen to come off again.
func (x *arming) remediesFor(ctx context.Context, g outOfReach, welds []int) (remedies, error) {
	var r remedies
	var err error
	if x.NoRemedies {
		return remedies{Would: NotSought}, nil
	}
	if r.Would, r.Helps, err = x.nearestRemedy(ctx, welds); err != nil || g.stuck {
		return r, err
	}
	if g.kind == "" {
		r.Force = x.set.Of(x.own[welds[0]].Setting).Force
		r.Would = cmp.Or(r.Would, fmt.Sprintf("a gun with an electrode force of %.0f N", r.Force))
		return r, nil
	}
	if r.Measures, err = x.wouldDo(ctx, welds); err != nil {
		return r, err
	}
	r.Would = strings.Join(slices.DeleteFunc([]string{r.Would, measuresText(r.Measures)}, func(s string) bool { return s == "" }), "; or ")
	r.Would = cmp.Or(r.Would, "none of the guns at hand would do, with any of its tips, with a throat 400 mm deeper and 300 mm wider, slim "+
		"arms and a tip longer and narrower, nor an earlier moment: change the joint or the panels")
	return r, nil
}

// tiltFindings says once for each flange where the gun has to be tilted.
func (x *arming) tiltFindings() {
	worst, count := map[*joining.Strip]*ArmedWeld{}, map[*joining.Strip]int{}
	var order []*joining.Strip
	for _, w := range x.own {
		if w.Tilt == 0 {
			continue
		}
		if count[w.Strip] == 0 {
			order = append(order, w.Strip)
		}
		count[w.Strip]++
		if worst[w.Strip] == nil || w.Tilt > worst[w.Strip].Tilt {
			worst[w.Strip] = w
		}
	}
	for _, s := range order {
		w := worst[s]
		x.find(rule.Problem{Rule: "reach.tilt", Value: w.Tilt}, s.About(w.Spot.Position), fmt.Sprintf(
			"flange %s: %d welds, the worst at %.0f mm with gun %s, tip %s", s.ID, count[s], w.Spot.S, GunID(w.Gun), TipID(w.Tip)))
	}
}
