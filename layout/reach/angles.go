package reach

import "fmt"

// Angle is how a tool stands at a weld at one angle, square to the sheets.
type Angle struct {
	Turn  float64 // degrees about the axis
	Air   float64 // mm, up to Enough; 0 where it is blocked
	Panel string  // that blocks it; empty: none
	Off   bool    // it stands there, but cannot be drawn back: the panel is met on the way
}

// Angles is how one tool stands at a weld at every angle, and what blocks it where it does not: of several panels the first, the
// electrodes' before that of arms and back, and that before what is met when the gun is drawn back.
func Angles(scene *Scene, w Weld, t Tool, opt Options) ([]Angle, error) {
	opt = opt.completed()
	w.Tools = nil
	if err := sound(scene, []Weld{w}, []Tool{t}, opt); err != nil {
		return nil, fmt.Errorf("angles: %w", err)
	}
	s := newSearcher(scene, []Tool{t}, opt)
	l := s.lookAt(w, []int{0}, frameOf(w), 0)
	tips, atTips := tipAir(s.sides(l, t), s.fan, opt.Enough)
	arms, atArms := armAir(l.turned, barsOf(t.Gun), s.fan, opt.Enough, nil, nil)
	out := make([]Angle, opt.Angles)
	air := make([]float64, opt.Angles)
	for k := range out {
		out[k].Turn = s.fan.degrees(k)
		switch air[k] = min(tips[k], arms[k]); {
		case tips[k] <= 0:
			out[k].Panel = s.panelName(atTips[k])
		case arms[k] <= 0:
			out[k].Panel = s.panelName(atArms[k])
		default:
			out[k].Air = air[k]
		}
	}
	if opt.WayOff && t.Gun.Stroke > 0 {
		met := s.inTheWay(l, t, air)
		s.wayOff(l, t, air, s.every...)
		for k := range out {
			if out[k].Air > 0 && air[k] <= 0 {
				out[k].Air, out[k].Off, out[k].Panel = 0, true, s.panelName(met[k])
			}
		}
	}
	return out, nil
}
