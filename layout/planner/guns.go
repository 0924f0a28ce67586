package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/finding"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// armedWeld is a weld with what it is made with, and when.
type armedWeld struct {
	weld
	setting string
	gun     *shell.Gun
	tip     *shell.Tip
	turn    float64
	tilt    float64
	air     float64   // between the gun and the panels
	apart   bool      // no gun at hand reaches it
	early   *latePart // it is made before this part is loaded
	before  []string  // or before these parts are, which no hold point keeps out
}

// armed is the welds of one station.
type armed struct {
	welds    []*armedWeld
	blocked  []blocked
	turns    []string // names of clamps that open one by one, in that order
	findings []layout.Finding
}

// blocked is neighbouring welds of one flange that no gun at hand reaches, and what would do.
type blocked struct {
	welds []int // by their place among the station's
	why   string
	remedies
}

// arm gives every weld a gun and tip that reach it among those at hand, and says what nothing reaches.
func arm(ctx context.Context, b basis, m means, at *placed, j *joined, l *laid, s *set) ([]armed, error) {
	out := make([]armed, len(at.stations))
	for i := range l.welds {
		w := &armedWeld{weld: l.welds[i], setting: s.welded[l.welds[i].strip]}
		out[w.station].welds = append(out[w.station].welds, w)
	}
	for i, station := range at.stations {
		if len(out[i].welds) == 0 {
			continue
		}
		x := arming{basis: b, means: m, station: station, joined: j, set: s, own: out[i].welds}
		if err := x.outfitted(func() error { return x.arm(ctx) }); err != nil {
			return nil, fmt.Errorf("reach at station %s: %w", station.ID, err)
		}
		out[i].findings, out[i].blocked, out[i].turns = x.findings, x.blocked, x.turns
	}
	return out, nil
}

// arming is one station whose welds are given guns.
type arming struct {
	basis
	means
	*joined
	station layout.Station
	set     *set
	tools   []reach.Tool
	jig     jig
	opt     reach.Options
	look    func(asked []reach.Weld, opt reach.Options) ([]reach.Result, error)

	own      []*armedWeld
	asked    []reach.Weld   // of each weld what is asked
	results  []reach.Result // and what was found
	findings []layout.Finding
	circles  []circle
	blocked  []blocked
	turns    []string // names of clamps that open one by one, in that order; nil: all open together
}

func (x *arming) find(p rule.Problem, about finding.About, where string) {
	x.findings = append(x.findings, x.make.Of(p, about, where))
}

func (x *arming) jointOf(w *armedWeld) layout.Joint { return x.joints[w.strip.joint] }

func (x *arming) arm(ctx context.Context) error {
	id := x.station.ID
	if x.tools = x.toolsAt(x.station); len(x.tools) == 0 {
		x.find(rule.Problem{Rule: "reach.none"}, finding.About{Station: id, At: vec(x.own[0].spot.Position)}, "station "+id)
		return nil
	}
	tilt, err := x.rules.Book.Evaluate("reach.tilt", nil)
	if err != nil {
		return err
	}
	x.jig = x.jigAt()
	x.opt = reach.Options{Tilt: tilt.Value, WayOff: true, Workers: x.workers, Cache: x.cache,
		Progress: func(done, total int) { x.progress("reach "+id, done, total) }}
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
	choices, err := reach.Choose(ctx, x.jig.scene, x.asked, x.results, x.tools, x.opt)
	if err != nil {
		return err
	}
	for i, c := range choices {
		if c.Tool >= 0 {
			w := x.own[i]
			w.gun, w.tip = x.gear(x.tools[c.Tool])
			w.turn, w.tilt, w.air = c.Turn, c.Tilt, c.Clearance
		}
	}
	x.tiltFindings()
	return x.reachFindings(ctx, choices)
}

// gear returns the shell file's own gun and tip for a tool.
func (b basis) gear(t reach.Tool) (*shell.Gun, *shell.Tip) {
	g, _ := b.shell.Gun(t.Gun.ID)
	tip, _ := b.shell.Tip(t.Tip.ID)
	return g, tip
}

// toolsAt is every gun at hand with each of its tips, in the order of the shell file.
func (b basis) toolsAt(station layout.Station) []reach.Tool {
	return slices.DeleteFunc(b.everyTool(), func(t reach.Tool) bool {
		return len(station.Guns) > 0 && !slices.Contains(station.Guns, t.Gun.ID)
	})
}

// everyTool is every gun of the shell file with each of its tips.
func (b basis) everyTool() []reach.Tool {
	var out []reach.Tool
	for _, g := range b.shell.Guns {
		for _, id := range g.Tips {
			if t, ok := b.shell.Tip(id); ok {
				out = append(out, reach.Tool{Gun: g, Tip: *t})
			}
		}
	}
	return out
}

// jigAt is the panels and clamps at the station.
func (x *arming) jigAt() jig {
	place := make([]int, len(x.parts))
	var panels []reach.Panel
	for i, p := range x.parts {
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
		panels = append(panels, reach.Panel{Name: p.Panel.ID, Shape: p.Shape, Grow: grow})
	}
	return x.closeClamps(panels, place)
}

func (x *arming) reachWeld(w *armedWeld) reach.Weld {
	out := reach.Weld{
		Line: w.strip.id, S: w.spot.S, Position: w.spot.Position, Along: w.spot.Along, Axis: w.spot.Axis,
		Stack: w.strip.stack.Total() + max(0, w.spot.Gap), Tools: []int{}, Absent: x.absent(w),
	}
	for _, sheet := range w.strip.flange.Sheets {
		if x.jig.place[sheet] >= 0 {
			out.Sheets = append(out.Sheets, x.jig.place[sheet])
		}
	}
	set, tools := x.set.of(w.setting), x.tools
	for i, t := range tools {
		if x.mayUse(w, t) && (t.Gun.Force == 0 || t.Gun.Force >= set.Force) {
			out.Tools = append(out.Tools, i)
		}
	}
	// Where none has the current or the face, the weld keeps what reaches it and the check calls it broken.
	for _, wrong := range []func(i int) bool{
		func(i int) bool { return tools[i].Gun.Current > 0 && check.Deliverable(&tools[i].Gun) < set.Current },
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
	strip *strip
	kind  reach.Kind
	stuck bool
	welds []int
}

// unreached gathers the welds that nothing reaches.
func unreached(own []*armedWeld, choices []reach.Choice) []outOfReach {
	var out []outOfReach
	for i, c := range choices {
		if c.Reached {
			continue
		}
		k := slices.IndexFunc(out, func(g outOfReach) bool {
			return g.strip == own[i].strip && g.kind == c.Reason.Kind && g.stuck == c.Stuck
		})
		if k < 0 {
			k = len(out)
			out = append(out, outOfReach{strip: own[i].strip, kind: c.Reason.Kind, stuck: c.Stuck})
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
func (x *arming) reachFindings(ctx context.Context, choices []reach.Choice) error {
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
		p := rule.Problem{Rule: reachRules[kind], Remedy: r.would}
		if c.Reason.Limit > 0 { // else no measure of the gun would do
			p.Value, p.Limit = c.Reason.Value, c.Reason.Limit
		}
		x.find(p, g.strip.about(w.spot.Position), fmt.Sprintf("flange %s: %d welds, %s", g.strip.id, len(g.welds), x.whyNot(w, c)))
	}
	return nil
}

// whyNot says what keeps the best gun at hand off a weld, the worst of some.
func (x *arming) whyNot(w *armedWeld, c reach.Choice) string {
	why := fmt.Sprintf("the worst at %.0f mm", w.spot.S)
	if c.Tool < 0 {
		return why + ": no gun at hand" + x.thatIsStated(w) + " has the electrode force"
	}
	return why + fmt.Sprintf(" with gun %s, tip %s: %s", x.tools[c.Tool].Gun.ID, x.tools[c.Tool].Tip.ID, c.Reason)
}

// setApart takes welds that no gun at hand reaches out of the order of work, stretch by stretch, each with what would do for it; r is
// what would do for all of them.
func (x *arming) setApart(ctx context.Context, g outOfReach, choices []reach.Choice, r remedies) error {
	stretches := x.stretches(g, choices)
	for _, welds := range stretches {
		if len(stretches) > 1 {
			var err error
			if r, err = x.remediesFor(ctx, g, welds); err != nil {
				return err
			}
		}
		x.blocked = append(x.blocked, blocked{welds: slices.Sorted(slices.Values(welds)), why: x.whyNot(x.own[welds[0]], choices[welds[0]]),
			remedies: r})
	}
	for _, i := range g.welds {
		x.own[i].apart = true
	}
	return nil
}

// stretches parts welds of a flange where others of it stand between them, those by the line's start first; of each the worst first.
func (x *arming) stretches(g outOfReach, choices []reach.Choice) [][]int {
	var line []int // all of the flange's, along it
	for i, w := range x.own {
		if w.strip == g.strip {
			line = append(line, i)
		}
	}
	slices.SortStableFunc(line, func(a, b int) int { return cmp.Compare(x.own[a].spot.S, x.own[b].spot.S) })
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
	if last := len(out) - 1; last > 0 && g.strip.flange.Closed && out[0][0] == line[0] && open { // over the closing point
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
	would    string
	measures []layout.Measure
	helps    []layout.Help
	force    float64 // N, where no gun at hand has it
}

// remediesFor looks for what would do for welds of one flange that are not reached for one reason, the worst first. Sizes of a gun are
// looked for where no gun gets in, not where none was seen to come off again.
func (x *arming) remediesFor(ctx context.Context, g outOfReach, welds []int) (remedies, error) {
	var r remedies
	var err error
	if x.noRemedies {
		return remedies{would: NotSought}, nil
	}
	if r.would, r.helps, err = x.nearestRemedy(ctx, welds); err != nil || g.stuck {
		return r, err
	}
	if g.kind == "" {
		r.force = x.set.of(x.own[welds[0]].setting).Force
		r.would = cmp.Or(r.would, fmt.Sprintf("a gun with an electrode force of %.0f N", r.force))
		return r, nil
	}
	if r.measures, err = x.wouldDo(ctx, welds); err != nil {
		return r, err
	}
	r.would = strings.Join(slices.DeleteFunc([]string{r.would, measuresText(r.measures)}, func(s string) bool { return s == "" }), "; or ")
	r.would = cmp.Or(r.would, "none of the guns at hand would do, with any of its tips, with a throat 400 mm deeper and 300 mm wider, slim "+
		"arms and a tip longer and narrower, nor an earlier moment: change the joint or the panels")
	return r, nil
}

// tiltFindings says once for each flange where the gun has to be tilted.
func (x *arming) tiltFindings() {
	worst, count := map[*strip]*armedWeld{}, map[*strip]int{}
	var order []*strip
	for _, w := range x.own {
		if w.tilt == 0 {
			continue
		}
		if count[w.strip] == 0 {
			order = append(order, w.strip)
		}
		count[w.strip]++
		if worst[w.strip] == nil || w.tilt > worst[w.strip].tilt {
			worst[w.strip] = w
		}
	}
	for _, s := range order {
		w := worst[s]
		x.find(rule.Problem{Rule: "reach.tilt", Value: w.tilt}, s.about(w.spot.Position), fmt.Sprintf(
			"flange %s: %d welds, the worst at %.0f mm with gun %s, tip %s", s.id, count[s], w.spot.S, gunID(w.gun), tipID(w.tip)))
	}
}
