package planner

import (
	"context"
	"fmt"
	"slices"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/finding"
	"seamwright/layout/reach"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// chooseGuns gives every weld a gun and tip that reach it among those at hand, and says what nothing reaches.
func (b *builder) chooseGuns(ctx context.Context) error {
	for station := range b.plan.Stations {
		if err := b.chooseGunsAt(ctx, station); err != nil {
			return fmt.Errorf("reach at station %s: %w", b.plan.Stations[station].ID, err)
		}
	}
	return nil
}

func (b *builder) chooseGunsAt(ctx context.Context, station int) error {
	var own []*weld
	for _, w := range b.welds {
		if w.station == station {
			own = append(own, w)
		}
	}
	tools := b.toolsAt(station)
	if len(own) == 0 {
		return nil
	}
	if len(tools) == 0 {
		id := b.plan.Stations[station].ID
		b.find(rule.Problem{Rule: "reach.none"}, finding.About{Station: id, At: vec(own[0].spot.Position)}, "station "+id)
		return nil
	}
	j := b.jigAt(station)
	asked := make([]reach.Weld, len(own))
	for i, w := range own {
		asked[i] = b.reachWeld(w, tools, j)
	}
	name := b.plan.Stations[station].ID
	tilt, err := b.rules.Book.Evaluate("reach.tilt", nil)
	if err != nil {
		return err
	}
	opt := reach.Options{Tilt: tilt.Value, WayOff: true, Workers: b.Workers, Cache: b.Cache,
		Progress: func(done, total int) { b.progress("reach "+name, done, total) }}
	results, err := reach.Find(ctx, j.scene, asked, tools, opt)
	if err != nil {
		return err
	}
	if err := b.hiddenTacks(ctx, own, asked, results, tools, j, opt); err != nil {
		return err
	}
	if err := b.beforeLateParts(ctx, own, asked, results, tools, j, opt); err != nil {
		return err
	}
	if err := b.beforeParts(ctx, own, asked, results, tools, j, opt); err != nil {
		return err
	}
	choices := reach.Choose(asked, results, tools)
	for i, c := range choices {
		if c.Tool >= 0 {
			own[i].gun, own[i].tip = b.gear(tools[c.Tool])
			own[i].turn, own[i].tilt, own[i].air = c.Turn, c.Tilt, c.Clearance
		}
	}
	b.tiltFindings(own)
	return b.reachFindings(own, choices, tools, func(of []int) (string, error) {
		var welds []reach.Weld
		for _, i := range of {
			welds = append(welds, asked[i])
		}
		return b.nearestRemedy(ctx, own[of[0]], welds, tools, j, opt)
	})
}

// gear returns the shell file's own gun and tip for a tool.
func (b *builder) gear(t reach.Tool) (*shell.Gun, *shell.Tip) {
	g, _ := b.Shell.Gun(t.Gun.ID)
	tip, _ := b.Shell.Tip(t.Tip.ID)
	return g, tip
}

// toolsAt is every gun at hand with each of its tips, in the order of the shell file.
func (b *builder) toolsAt(station int) []reach.Tool {
	named := b.plan.Stations[station].Guns
	return slices.DeleteFunc(b.everyTool(), func(t reach.Tool) bool { return len(named) > 0 && !slices.Contains(named, t.Gun.ID) })
}

// everyTool is every gun of the shell file with each of its tips.
func (b *builder) everyTool() []reach.Tool {
	var out []reach.Tool
	for _, g := range b.Shell.Guns {
		for _, id := range g.Tips {
			if t, ok := b.Shell.Tip(id); ok {
				out = append(out, reach.Tool{Gun: g, Tip: *t})
			}
		}
	}
	return out
}

// jigAt is the panels and clamps at a station.
func (b *builder) jigAt(station int) jig {
	place := make([]int, len(b.Parts))
	var panels []reach.Panel
	for i, p := range b.Parts {
		place[i] = -1
		if !slices.Contains(b.plan.Stations[station].Present, p.Panel.ID) {
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
	return b.closeClamps(station, panels, place)
}

func (b *builder) reachWeld(w *weld, tools []reach.Tool, j jig) reach.Weld {
	out := reach.Weld{
		Line: w.strip.id, S: w.spot.S, Position: w.spot.Position, Along: w.spot.Along, Axis: w.spot.Axis,
		Stack: w.strip.stack.Total() + max(0, w.spot.Gap), Tools: []int{}, Absent: j.absent(w),
	}
	for _, sheet := range w.strip.flange.Sheets {
		if j.place[sheet] >= 0 {
			out.Sheets = append(out.Sheets, j.place[sheet])
		}
	}
	set := b.settingOf(w.setting)
	for i, t := range tools {
		if t.Gun.Force == 0 || t.Gun.Force >= set.Force {
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

func (b *builder) settingOf(id string) layout.Setting {
	for _, s := range b.plan.Settings {
		if s.ID == id {
			return s
		}
	}
	return layout.Setting{}
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
func unreached(own []*weld, choices []reach.Choice) []outOfReach {
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
func (b *builder) reachFindings(own []*weld, choices []reach.Choice, tools []reach.Tool, nearest func(of []int) (string, error)) error {
	for _, g := range unreached(own, choices) {
		w, c := own[g.welds[0]], choices[g.welds[0]]
		where := fmt.Sprintf("flange %s: %d welds, the worst at %.0f mm", g.strip.id, len(g.welds), w.spot.S)
		if c.Tool >= 0 {
			where += fmt.Sprintf(" with gun %s, tip %s: %s", tools[c.Tool].Gun.ID, tools[c.Tool].Tip.ID, c.Reason)
		} else {
			where += ": no gun at hand has the electrode force"
		}
		remedy, err := nearest(g.welds)
		if err != nil {
			return err
		}
		kind := c.Reason.Kind
		if g.stuck {
			kind = reach.Retreat
		}
		p := rule.Problem{Rule: reachRules[kind], Remedy: remedy}
		if c.Reason.Limit > 0 { // else no measure of the gun would do
			p.Value, p.Limit = c.Reason.Value, c.Reason.Limit
		}
		b.find(p, g.strip.about(w.spot.Position), where)
	}
	return nil
}

// tiltFindings says once for each flange where the gun has to be tilted.
func (b *builder) tiltFindings(own []*weld) {
	worst, count := map[*strip]*weld{}, map[*strip]int{}
	var order []*strip
	for _, w := range own {
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
		b.find(rule.Problem{Rule: "reach.tilt", Value: w.tilt}, s.about(w.spot.Position), fmt.Sprintf(
			"flange %s: %d welds, the worst at %.0f mm with gun %s, tip %s", s.id, count[s], w.spot.S, gunID(w.gun), tipID(w.tip)))
	}
}
