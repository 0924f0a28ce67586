package reach

import (
	"fmt"
	"math"

	"seamwright/geometry/axial"
)

// Lean is how a tool stands off square: by how much, and where the end of its electrode above the weld leans to, both in degrees, the
// latter about the axis as Turn. The zero value stands square.
type Lean struct {
	Tilt    float64
	Towards float64
}

// Leans are those that Find tries with a limit in degrees, little first.
func Leans(limit float64) []Lean {
	var out []Lean
	for _, tilt := range []float64{limit / 2, limit} {
		for quarter := range 4 {
			out = append(out, Lean{tilt, 90 * float64(quarter)})
		}
	}
	return out
}

// Angle is how a tool stands at a weld at one angle.
type Angle struct {
	Turn  float64 // degrees about the axis
	Air   float64 // mm, up to Enough; 0 where it is blocked
	Panel string  // that blocks it; empty: none
	Off   bool    // it stands there, but cannot be drawn back: the panel is met on the way
}

// Angles is how one tool stands at a weld at every angle with a lean, and what blocks it where it does not: of several panels the
// first, the electrodes' before that of arms and back, and that before what is met when the gun is drawn back.
func Angles(scene *axial.Scene, w Weld, t Tool, lean Lean, opt Options) ([]Angle, error) {
	opt = opt.completed()
	w.Tools = nil
	if err := sound(scene, []Weld{w}, []Tool{t}, opt); err != nil {
		return nil, fmt.Errorf("angles: %w", err)
	}
	s := newSearcher(scene, []Tool{t}, opt)
	f, tilt := frameOf(w), lean.Tilt*math.Pi/180
	if tilt != 0 {
		f = f.Lean(tilt, lean.Towards*math.Pi/180)
	}
	l := s.lookAt(w, []int{0}, f, tilt)
	tips, atTips := tipAir(s.sides(l, t), s.fan, opt.Enough)
	arms, atArms := armAir(l.View, barsOf(t.Gun), s.fan, opt.Enough, nil, nil)
	out := make([]Angle, opt.Angles)
	air := make([]float64, opt.Angles)
	for k := range out {
		out[k].Turn = s.fan.Degrees(k)
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
