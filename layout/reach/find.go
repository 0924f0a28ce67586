package reach

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"seamwright/geometry/axial"
	"seamwright/internal/work"
	"seamwright/layout/retreat"
)

// Find looks at every weld with every tool that may be used on it. It fails on a tool or weld that is no
// shape or place, and when the context ends.
func Find(ctx context.Context, scene *axial.Scene, welds []Weld, tools []Tool, opt Options) ([]Result, error) {
	opt = opt.completed()
	if err := sound(scene, welds, tools, opt); err != nil {
		return nil, err
	}
	if opt.Cache != nil {
		return looksKept(ctx, scene, welds, tools, opt)
	}
	return look(ctx, scene, welds, tools, opt)
}

// look is Find without a cache.
func look(ctx context.Context, scene *axial.Scene, welds []Weld, tools []Tool, opt Options) ([]Result, error) {
	out := make([]Result, len(welds))
	var free sync.Pool // searchers
	var mu sync.Mutex
	done := 0
	err := work.Each(ctx, opt.Workers, len(welds), func(i int) error {
		s, ok := free.Get().(*searcher)
		if !ok {
			s = newSearcher(scene, tools, opt)
		}
		out[i] = s.weld(welds[i])
		free.Put(s)
		mu.Lock()
		defer mu.Unlock()
		if done++; opt.Progress != nil {
			opt.Progress(done, len(welds))
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("reach: stopped: %w", err)
	}
	return out, nil
}

func (o Options) completed() Options {
	if o.Angles == 0 {
		o.Angles = 72
	}
	if o.Rise == 0 {
		o.Rise = 1
	}
	if o.Enough == 0 {
		o.Enough = 10
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return o
}

func sound(scene *axial.Scene, welds []Weld, tools []Tool, opt Options) error {
	if !(opt.Tilt >= 0) || opt.Tilt > 30 {
		return errors.New("reach: a tilt from 0 to 30 degrees is needed")
	}
	if opt.Angles < 4 || opt.Angles > 3600 || !(opt.Rise > 0) || !(opt.Enough > 0) || math.IsInf(opt.Rise+opt.Enough, 1) {
		return errors.New("reach: angles from 4 to 3600 and lengths above zero are needed")
	}
	for _, t := range tools {
		for _, v := range []float64{t.Gun.ThroatDepth, t.Gun.ThroatGap, t.Gun.Arm, t.Tip.Shank, t.Tip.Length} {
			if !(v > 0) || v > 1e5 {
				return fmt.Errorf("gun %s, tip %s: throat depth, throat gap, arm, shank and length must be above zero and below 100 m", t.Gun.ID,
					t.Tip.ID)
			}
		}
		if math.IsNaN(t.Gun.Stroke) || t.Gun.Stroke < 0 || t.Gun.Stroke > 1e5 {
			return fmt.Errorf("gun %s: the stroke is no length", t.Gun.ID)
		}
		if t.Tip.Face < 0 || t.Tip.ShankLong < 0 || math.IsNaN(t.Tip.Face+t.Tip.ShankLong) || math.IsInf(t.Tip.Face+t.Tip.ShankLong, 0) {
			return fmt.Errorf("tip %s: face and long side of the shank are no lengths", t.Tip.ID)
		}
	}
	for i, w := range welds {
		sum := w.Position.Norm() + w.Along.Norm() + w.Axis.Norm() + w.Stack
		if math.IsNaN(sum) || math.IsInf(sum, 0) || w.Axis.Norm() == 0 || w.Along.Cross(w.Axis).Norm() < 1e-6 || w.Stack < 0 {
			return fmt.Errorf("weld %d on %s: place, axis and direction of the line make no frame", i, w.Line)
		}
		for _, k := range slices.Concat(w.Sheets, w.Absent) {
			if k < 0 || k >= len(scene.Panels) {
				return fmt.Errorf("weld %d on %s: there is no panel %d", i, w.Line, k)
			}
		}
		for _, k := range w.Tools {
			if k < 0 || k >= len(tools) {
				return fmt.Errorf("weld %d on %s: there is no tool %d", i, w.Line, k)
			}
		}
	}
	return nil
}

// searcher looks at one weld after another and keeps its memory between them.
type searcher struct {
	scene  *axial.Scene
	tools  []Tool
	opt    Options
	fan    *axial.Fan
	facets []axial.Facet // for reasons
	close  []axial.Facet // near the axis
	girths girths
	view   axial.View // of the weld that is looked at
	swing  swing      // of one angle
	drawn  *retreat.Trial
	every  []int // all angles

	touched map[bars][]axial.Place        // what arms and back touched at each angle at welds before
	met     map[retreat.Gun][]axial.Place // what a gun drawn back met there
	last    map[retreat.Gun][]axial.Place // what was left last between its jaws
}

func newSearcher(scene *axial.Scene, tools []Tool, opt Options) *searcher {
	s := &searcher{
		scene: scene, tools: tools, opt: opt, fan: axial.NewFan(opt.Angles),
		touched: map[bars][]axial.Place{}, met: map[retreat.Gun][]axial.Place{},
		last: map[retreat.Gun][]axial.Place{},
	}
	for k := range opt.Angles {
		s.every = append(s.every, k)
	}
	return s
}

// seen is what is known about one weld.
type seen struct {
	weld  Weld
	tools []int
	*axial.View
	above, below float64
	rise         float64
	out, up      float64            // how far the tools reach from the axis and along it
	close        []axial.Facet      // what of the panels stands higher than the sections begin, near the axis, where a tip turns with the gun
	tips         [][]float64        // by tool, once it is asked for
	bars, others map[bars][]float64 // air of arms, see armsAir
	barsAt       map[barsAt]float64
	ways         map[retreat.Gun]known
	met          []*axial.Facet // for each angle what a gun drawn back met there last
	round        map[roundPart]roundAir

	facets   []axial.Facet // for reasons, once they are asked for
	gathered bool
	metalOut float64 // how far they were gathered from the axis
}

func (s *searcher) weld(w Weld) Result {
	allowed := w.Tools
	if allowed == nil {
		for i := range s.tools {
			allowed = append(allowed, i)
		}
	}
	if len(allowed) == 0 {
		return Result{}
	}
	l := s.lookAt(w, allowed, frameOf(w), 0)
	var out Result
	for _, i := range allowed {
		if pose, ok := s.pose(l, i, s.opt.WayOff); ok {
			out.Poses = append(out.Poses, pose)
		}
	}
	if len(out.Poses) > 0 && s.opt.WhyNot {
		out.Reasons = s.reasons(l, out.Poses)
	}
	if len(out.Poses) > 0 {
		return out
	}
	if !s.opt.Quiet {
		out.Reasons, out.Stuck = s.unreached(l)
	}
	if s.opt.Tilt > 0 {
		out.Poses = s.tilted(w, allowed)
	}
	if len(out.Poses) > 0 {
		out.Stuck = nil
	}
	return out
}

// unreached says why no tool reaches a weld, and which ones stand there but do not come off. Where there are such, why the
// others do not stand there is only said on demand.
func (s *searcher) unreached(l *seen) (reasons []Reason, stuck []Pose) {
	if s.opt.WayOff {
		for _, i := range l.tools {
			if pose, ok := s.pose(l, i, false); ok {
				r, _ := s.retreatReason(l, i, true)
				reasons, stuck = append(reasons, r), append(stuck, pose)
			}
		}
	}
	if len(stuck) == 0 || s.opt.WhyNot {
		reasons = s.reasons(l, nil)
	}
	return reasons, stuck
}

// reasons says of each tool without a pose why it does not reach.
func (s *searcher) reasons(l *seen, poses []Pose) []Reason {
	var out []Reason
	for _, i := range l.tools {
		if slices.ContainsFunc(poses, func(p Pose) bool { return p.Tool == i }) {
			continue
		}
		r, ok := s.tipReason(l, i)
		if !ok && s.opt.WayOff {
			r, ok = s.retreatReason(l, i, len(poses) == 0)
		}
		if !ok {
			r = s.armReason(l, i, len(poses) == 0)
		}
		out = append(out, r)
	}
	return out
}

// lookAt gathers what the tools' tips can touch, seen from a frame at the weld that leans by tilt, in radians.
func (s *searcher) lookAt(w Weld, tools []int, f axial.Frame, tilt float64) *seen {
	l := &seen{weld: w, tools: tools, tips: make([][]float64, len(s.tools)), bars: map[bars][]float64{}, others: map[bars][]float64{},
		barsAt: map[barsAt]float64{}, ways: map[retreat.Gun]known{}, round: map[roundPart]roundAir{}, View: &s.view}
	l.Turn(s.scene, f, w.Absent)
	l.above, l.below = s.scene.Surfaces(f, w.Sheets, w.Stack)
	thick, shank := 0.0, 0.0
	for _, i := range tools {
		t := s.tools[i]
		o, u := barsOf(t.Gun).reach()
		l.out, l.up = max(l.out, o), max(l.up, u)
		thick = max(thick, max(t.Gun.Arm/2, math.Hypot(t.Tip.Shank, t.Tip.ShankLong)/2))
		shank = max(shank, max(t.Tip.Shank, t.Tip.ShankLong)/2)
	}
	l.rise = s.opt.Rise + shank*math.Tan(tilt)
	if turns := func(i int) bool { return turns(s.tools[i].Tip) }; slices.ContainsFunc(tools, turns) {
		s.close = l.Beside(thick+s.opt.Enough, l.up, -l.below-l.rise, l.above+l.rise, s.close[:0])
		l.close = s.close
	}
	s.measureRound(l)
	return l
}

// measureRound finds the air of all round sections of the tools' electrodes in one walk.
func (s *searcher) measureRound(l *seen) {
	s.girths.all, s.girths.tools = s.girths.all[:0], s.girths.tools[:0]
	for _, i := range l.tools {
		upper, lower := s.sections(l, s.tools[i])
		s.girths.add(upper, lower, l.above, l.below, s.opt.Enough)
	}
	s.girths.measure(l.View, -l.below-l.rise, l.above+l.rise)
	for _, g := range s.girths.all {
		l.round[g.roundPart] = g.roundAir
	}
}

// armsAir is the air of a gun's arms, the same for all its tips, as far as one of them has as much.
func (s *searcher) armsAir(l *seen, b bars) []float64 { return s.airOf(l, b, l.bars, s.mostAir) }

// airOfOthers is the air of arms that no gun at hand need have.
func (s *searcher) airOfOthers(l *seen, b bars) []float64 {
	return s.airOf(l, b, l.others, func(*seen, bars) []float64 { return nil })
}

func (s *searcher) airOf(l *seen, b bars, known map[bars][]float64, most func(*seen, bars) []float64) []float64 {
	if air, ok := known[b]; ok {
		return air
	}
	air, _ := armAir(l.View, b, s.fan, s.opt.Enough, most(l, b), s.touchedAt(b))
	known[b] = air
	return air
}

// mostAir is the air that any tip of a gun at hand with such arms has at each angle: what the arms have beyond does not count.
func (s *searcher) mostAir(l *seen, b bars) []float64 {
	var out []float64
	for _, i := range l.tools {
		if barsOf(s.tools[i].Gun) != b {
			continue
		}
		tips := s.tipsAir(l, i)
		if out == nil {
			out = slices.Clone(tips)
			continue
		}
		for k, a := range tips {
			out[k] = max(out[k], a)
		}
	}
	return out
}

// tipsAir is the air of a tool's electrodes at each angle.
func (s *searcher) tipsAir(l *seen, tool int) []float64 {
	if l.tips[tool] == nil {
		l.tips[tool], _ = tipAir(s.sides(l, s.tools[tool]), s.fan, s.opt.Enough)
	}
	return l.tips[tool]
}

// sides are a tool's two electrodes at the weld.
func (s *searcher) sides(l *seen, t Tool) [2]side {
	upper, lower := s.sections(l, t)
	return [2]side{sideOf(upper, l.close, l.above, s.opt.Enough, false, l.round), sideOf(lower, l.close, l.below, s.opt.Enough, true, l.round)}
}

func (s *searcher) sections(l *seen, t Tool) (upper, lower []section) {
	high := barsOf(t.Gun).high
	return sectionsOf(t, l.rise, high-l.above), sectionsOf(t, l.rise, high-l.below)
}

// airStep is the step in mm in which poses are compared: less air more or less does not make one the better.
const airStep = 0.5

// standing is the air of the gun closed on the weld at each angle, touch where there is none, and whether there is any.
func (s *searcher) standing(l *seen, tool int) (air []float64, stands bool) {
	air = slices.Clone(s.tipsAir(l, tool))
	if slices.Max(air) <= 0 {
		return air, false
	}
	arms := s.armsAir(l, barsOf(s.tools[tool].Gun))
	for k := range air {
		if air[k] = min(air[k], arms[k]); air[k] <= 0 {
			air[k] = touch
			continue
		}
		stands = true
	}
	return air, stands
}

// pose looks for the tool's best angle, off for one from which it comes off. Arms and way off are looked at where the tips have
// most air first; where that holds, what is at the other angles is only asked once the tool is chosen (Turns).
func (s *searcher) pose(l *seen, tool int, off bool) (Pose, bool) {
	o := outlook{tool: tool, air: slices.Clone(s.tipsAir(l, tool)), drawn: !off || s.tools[tool].Gun.Stroke <= 0}
	if slices.Max(o.air) > 0 && (!off || !s.opt.WayOff) {
		s.arm(l, &o)
	}
	best := s.best(o.air)
	for best >= 0 && !s.settle(l, &o, best) {
		best = s.best(o.air)
	}
	if best < 0 {
		return Pose{}, false
	}
	return Pose{Tool: tool, Turn: s.fan.Degrees(best), Clearance: o.air[best], Air: o.rounded(), Open: o.open()}, true
}

// best is the angle with the most air, and of those the nearest to square to the line; -1 where there is none.
func (s *searcher) best(air []float64) int {
	best := -1
	steps, square := 0.0, 0.0
	for k, a := range air {
		if a <= 0 {
			continue
		}
		if n, q := math.Floor(a/airStep), math.Abs(s.fan.Sin[k]); best < 0 || n > steps || n == steps && q > square+1e-9 {
			best, steps, square = k, n, q
		}
	}
	return best
}

// panelName is the name of a panel by its place in the scene; empty for none.
func (s *searcher) panelName(i int32) string {
	if i < 0 {
		return ""
	}
	return s.scene.Panels[i].Name
}

// frameOf is a weld's own frame: x along the line, y across, z up its axis.
func frameOf(w Weld) axial.Frame { return axial.NewFrame(w.Position, w.Along, w.Axis) }
