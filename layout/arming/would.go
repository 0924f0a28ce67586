package arming

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/geometry/axial"
	"seamwright/layout"
	"seamwright/layout/reach"
)

// size is one measure of a gun or tip that may be in the way of reaching, and how far it is looked at.
type size struct {
	name layout.MeasureKind
	of   func(t *reach.Tool) *float64
	far  func(t reach.Tool) float64 // the size farthest from the tool's own that is looked at
	step float64                    // mm between sizes that are tried
	to   float64                    // mm to which the size is sought between them
}

// sizes are all of them. How far they are looked at is a choice: no larger guns and no slimmer bars are known to be held by hand.
var sizes = []size{
	{layout.ThroatDepth, func(t *reach.Tool) *float64 { return &t.Gun.ThroatDepth },
		func(t reach.Tool) float64 { return t.Gun.ThroatDepth + 400 }, 25, 1},
	{layout.ThroatGap, func(t *reach.Tool) *float64 { return &t.Gun.ThroatGap },
		func(t reach.Tool) float64 { return t.Gun.ThroatGap + 300 }, 25, 1},
	{layout.ArmDiameter, func(t *reach.Tool) *float64 { return &t.Gun.Arm },
		func(t reach.Tool) float64 { return math.Min(20, t.Gun.Arm) }, 5, 1},
	{layout.TipLength, func(t *reach.Tool) *float64 { return &t.Tip.Length }, func(t reach.Tool) float64 { return t.Tip.Length + 120 }, 10, 1},
	{layout.TipWidth, func(t *reach.Tool) *float64 { return &t.Tip.Shank },
		func(t reach.Tool) float64 { return math.Min(t.Tip.Face, t.Tip.Shank) },
		2, 0.5},
}

// with is the tool with another size. A round tip stays round; of a long one only the width across the flange changes.
func (m size) with(t reach.Tool, value float64) reach.Tool {
	*m.of(&t) = value
	if m.name == layout.TipWidth && t.Tip.ShankLong > 0 {
		t.Tip.ShankLong = math.Max(t.Tip.ShankLong, value)
	}
	return t
}

// least looks for the size nearest to the tool's own with which it does: over growing steps, and between the last that does not and
// the first that does by halving. False where none up to far does.
func (m size) least(t reach.Tool, far float64, does func(reach.Tool) (bool, error)) (float64, bool, error) {
	own := *m.of(&t)
	sign := 1.0
	if far < own {
		sign = -1
	}
	for near := own; sign*(far-near) > 1e-9; {
		next := near + float64(sign*m.step)
		if sign*(far-next) < 0 {
			next = far
		}
		ok, err := does(m.with(t, next))
		if err != nil {
			return 0, false, err
		}
		if !ok {
			near = next
			continue
		}
		for math.Abs(next-near) > m.to {
			middle := (near + next) / 2
			if ok, err = does(m.with(t, middle)); err != nil {
				return 0, false, err
			} else if ok {
				next = middle
			} else {
				near = middle
			}
		}
		return next, true, nil
	}
	return 0, false, nil
}

// wouldDo says what guns and tips would reach all of some welds, the worst first: every measure that does by itself, of each gun at hand
// with the tip of all its tips that asks for the least change; and where none does, the least changes that do together. The gun stands
// square; one that would reach and was not seen to come off again counts, as it does among those at hand, and is said to be such a one.
func (x *arming) wouldDo(ctx context.Context, of []int) ([]layout.Measure, error) {
	var asked []reach.Weld
	for _, i := range of {
		w := x.asked[i]
		w.Tools = nil
		asked = append(asked, w)
	}
	opt := x.quietly()
	opt.Tilt, opt.Cache, opt.WayOff = 0, nil, false
	a := &asking{ctx: ctx, scene: x.jig.scene, asked: asked, hard: []int{0}}
	out, err := leastSizes(x.toolsFor(of), a, opt)
	if err != nil {
		return nil, err
	}
	opt.WayOff = true
	for i := range out { // whether it comes off again
		ok, err := a.all(x.toolOf(out, i), opt)
		if err != nil {
			return nil, err
		}
		out[i].Stuck = !ok
	}
	return out, nil
}

// asking is the welds that a size is looked for.
type asking struct {
	ctx   context.Context
	scene *axial.Scene
	asked []reach.Weld
	hard  []int // of them those that some size missed that did for the others: sizes are looked for by them, and held against all
}

func (a *asking) reaches(t reach.Tool, weld int, opt reach.Options) (bool, error) {
	found, err := reach.Find(a.ctx, a.scene, a.asked[weld:weld+1], []reach.Tool{t}, opt)
	return err == nil && found[0].Reached(), err
}

// few asks for the hard ones alone.
func (a *asking) few(t reach.Tool, opt reach.Options) (bool, error) {
	for _, weld := range a.hard {
		if ok, err := a.reaches(t, weld, opt); err != nil || !ok {
			return false, err
		}
	}
	return true, nil
}

// all asks for every weld. One that is missed is a hard one from then on.
func (a *asking) all(t reach.Tool, opt reach.Options) (bool, error) {
	if ok, err := a.few(t, opt); err != nil || !ok {
		return false, err
	}
	for weld := range a.asked {
		if slices.Contains(a.hard, weld) {
			continue
		}
		if ok, err := a.reaches(t, weld, opt); err != nil {
			return false, err
		} else if !ok {
			a.hard = append(a.hard, weld)
			return false, nil
		}
	}
	return true, nil
}

// least is size.least for all welds, rounded: found by the hard ones, again as long as others turn out to be hard.
func (a *asking) least(m size, t reach.Tool, far float64, opt reach.Options) (float64, bool, error) {
	for {
		known := len(a.hard)
		found, ok, err := m.least(t, far, func(t reach.Tool) (bool, error) { return a.few(t, opt) })
		if err != nil || !ok {
			return 0, false, err
		}
		found = m.rounded(found, *m.of(&t))
		if ok, err = a.all(m.with(t, found), opt); err != nil || ok || len(a.hard) == known {
			return found, ok, err
		}
	}
}

// toolOf is the tool with the size of a measure, or with those of all that do together.
func (x *arming) toolOf(all []layout.Measure, i int) reach.Tool {
	k := slices.IndexFunc(x.tools, func(t reach.Tool) bool { return t.Gun.ID == all[i].Gun && t.Tip.ID == all[i].Tip })
	t := x.tools[k]
	for n, o := range all {
		if n == i || o.Together {
			at := slices.IndexFunc(sizes, func(m size) bool { return m.name == o.Kind })
			t = sizes[at].with(t, o.Needed)
		}
	}
	return t
}

// leastSizes looks for the sizes that do by themselves, and where there are none for those that do together.
func leastSizes(tools []reach.Tool, a *asking, opt reach.Options) ([]layout.Measure, error) {
	var out []layout.Measure
	for _, m := range sizes {
		for _, t := range tools {
			k := slices.IndexFunc(out, func(o layout.Measure) bool { return o.Kind == m.name && o.Gun == t.Gun.ID })
			own, far := *m.of(&t), m.far(t)
			if k >= 0 { // no farther than another of the gun's tips asks for
				far = nearer(own, far, own+out[k].Needed-out[k].Has)
			}
			needed, ok, err := a.least(m, t, far, opt)
			if err != nil {
				return nil, err
			}
			at := layout.Measure{Gun: t.Gun.ID, Tip: t.Tip.ID, Kind: m.name, Has: own, Needed: needed}
			switch {
			case !ok:
			case k < 0:
				out = append(out, at)
			case off(at) < off(out[k])-1e-9:
				out[k] = at
			}
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	for _, t := range tools {
		together, err := togetherDo(t, func(t reach.Tool) (bool, error) { return a.all(t, opt) })
		if err != nil {
			return nil, err
		}
		if together != nil && (out == nil || len(together) < len(out)) {
			out = together
		}
	}
	return out, nil
}

// nearer is of two sizes the one that is nearer to a gun's own.
func nearer(own, a, b float64) float64 {
	if math.Abs(a-own) < math.Abs(b-own) {
		return a
	}
	return b
}

// rounded is a size in whole millimetres, or halves of a tip's width, to the side that surely does.
func (m size) rounded(value, own float64) float64 {
	if value > own {
		return math.Ceil(value/m.to-1e-9) * m.to
	}
	return math.Floor(value/m.to+1e-9) * m.to
}

// togetherDo begins with the farthest of all sizes and brings one after the other back to the tool's own, or as near to it as does; nil
// where not even the farthest do.
func togetherDo(t reach.Tool, does func(reach.Tool) (bool, error)) ([]layout.Measure, error) {
	at := t
	for _, m := range sizes {
		at = m.with(at, m.far(t))
	}
	if ok, err := does(at); err != nil || !ok {
		return nil, err
	}
	var out []layout.Measure
	for k := len(sizes) - 1; k >= 0; k-- {
		m := sizes[k]
		own, far := *m.of(&t), m.far(t)
		if ok, err := does(m.with(at, own)); err != nil {
			return nil, err
		} else if ok {
			at = m.with(at, own)
			continue
		}
		near := own
		for math.Abs(far-near) > m.to {
			middle := (near + far) / 2
			ok, err := does(m.with(at, middle))
			if err != nil {
				return nil, err
			}
			if ok {
				far = middle
			} else {
				near = middle
			}
		}
		at = m.with(at, far)
		out = append(out, layout.Measure{Gun: t.Gun.ID, Tip: t.Tip.ID, Kind: m.name, Has: own, Needed: m.rounded(far, own), Together: true})
	}
	slices.Reverse(out)
	return out, nil
}

// toolsFor is the guns at hand that have the force for welds, each with all its tips.
func (x *arming) toolsFor(of []int) []reach.Tool {
	var out []reach.Tool
	for i, t := range x.tools {
		if !slices.ContainsFunc(of, func(weld int) bool { return !slices.Contains(x.asked[weld].Tools, i) }) {
			out = append(out, t)
		}
	}
	return out
}

// measuresText says measures in words.
func measuresText(all []layout.Measure) string {
	if len(all) == 0 {
		return ""
	}
	var words []string
	for _, m := range nearestOf(all) {
		text := fmt.Sprintf("%s of %g mm instead of %g", m.Kind, m.Needed, m.Has)
		if !m.Together {
			text += fmt.Sprintf(" (gun %s, tip %s%s)", m.Gun, m.Tip, stuckText(m))
		}
		words = append(words, text)
	}
	if all[0].Together {
		return fmt.Sprintf("gun %s with tip %s would reach with a %s, all together%s", all[0].Gun, all[0].Tip, strings.Join(words, ", a "),
			stuckText(all[0]))
	}
	return "one of these would do: " + strings.Join(words, "; ")
}

func stuckText(m layout.Measure) string {
	if m.Stuck {
		return ", not seen to come straight off again"
	}
	return ""
}

// nearestOf is of each size the measure that is nearest to what its gun has.
func nearestOf(all []layout.Measure) []layout.Measure {
	var out []layout.Measure
	for _, m := range all {
		k := slices.IndexFunc(out, func(o layout.Measure) bool { return o.Kind == m.Kind })
		switch {
		case k < 0:
			out = append(out, m)
		case off(m) < off(out[k])-1e-9:
			out[k] = m
		}
	}
	return out
}

// off is how far from its gun's own a size is.
func off(m layout.Measure) float64 { return math.Abs(m.Needed - m.Has) }
