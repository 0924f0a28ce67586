package planner

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

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
// the first that does by halving. False where none does.
func (m size) least(t reach.Tool, does func(reach.Tool) (bool, error)) (float64, bool, error) {
	own, far := *m.of(&t), m.far(t)
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

// wouldDo says what guns and tips would reach all of some welds, the worst first: every measure of a gun at hand that does by itself,
// of all guns the one that is nearest to its own, and where none does, the least changes that do together. Of each gun only the tip
// that misses least at the worst weld is looked at (nearestTools), and the gun stands square; a gun that would reach and was not seen
// to come off again counts, as it does among those at hand.
func (x *arming) wouldDo(ctx context.Context, of []int) ([]layout.Measure, error) {
	var asked []reach.Weld
	for _, i := range of {
		w := x.asked[i]
		w.Tools = nil
		asked = append(asked, w)
	}
	opt := x.quietly()
	opt.Tilt, opt.Cache = 0, nil
	does := func(t reach.Tool) (bool, error) {
		for k := range asked {
			found, err := reach.Find(ctx, x.jig.scene, asked[k:k+1], []reach.Tool{t}, opt)
			if err != nil || !found[0].Reached() && len(found[0].Stuck) == 0 {
				return false, err
			}
		}
		return true, nil
	}
	tools := x.nearestTools(of[0])
	var out []layout.Measure
	for _, m := range sizes {
		var best *layout.Measure
		for _, t := range tools {
			needed, ok, err := m.least(t, does)
			if err != nil {
				return nil, err
			}
			own := *m.of(&t)
			if ok && (best == nil || math.Abs(needed-own) < math.Abs(best.Needed-best.Has)-1e-9) {
				best = &layout.Measure{Gun: t.Gun.ID, Tip: t.Tip.ID, Kind: m.name, Has: own, Needed: m.rounded(needed, own)}
			}
		}
		if best != nil {
			out = append(out, *best)
		}
	}
	if len(out) > 0 {
		return out, nil
	}
	for _, t := range tools {
		together, err := togetherDo(t, does)
		if err != nil {
			return nil, err
		}
		if together != nil && (out == nil || len(together) < len(out)) {
			out = together
		}
	}
	return out, nil
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

// nearestTools is each gun at hand with the tip that misses least at a weld.
func (x *arming) nearestTools(weld int) []reach.Tool {
	best := map[string]float64{}
	var out []reach.Tool
	for _, r := range x.results[weld].Reasons {
		t := x.tools[r.Tool]
		k := slices.IndexFunc(out, func(o reach.Tool) bool { return o.Gun.ID == t.Gun.ID })
		switch {
		case k < 0:
			out = append(out, t)
		case r.Missing() < best[t.Gun.ID]-1e-9:
			out[k] = t
		default:
			continue
		}
		best[t.Gun.ID] = r.Missing()
	}
	return out
}

// measuresText says measures in words.
func measuresText(all []layout.Measure) string {
	if len(all) == 0 {
		return ""
	}
	var words []string
	for _, m := range all {
		text := fmt.Sprintf("%s of %g mm instead of %g", m.Kind, m.Needed, m.Has)
		if !m.Together {
			text += fmt.Sprintf(" (gun %s, tip %s)", m.Gun, m.Tip)
		}
		words = append(words, text)
	}
	if all[0].Together {
		return fmt.Sprintf("gun %s with tip %s would reach with a %s, all together", all[0].Gun, all[0].Tip, strings.Join(words, ", a "))
	}
	return "one of these would do: " + strings.Join(words, "; ")
}
