package reach

import (
	"slices"

	"seamwright/geometry/axial"
)

// outlook is what is known of a tool at a weld: of each angle the air that it has at most. Most tools are not chosen, and those that
// are stand at one angle, so only that is looked at which decides.
type outlook struct {
	tool   int
	air    []float64
	armed  bool  // the air of arms and back is counted in at every angle
	drawn  bool  // and angles at which the gun does not come off are lost, or that does not matter
	sure   []int // at these angles the air is as it says
	missed int
}

// singly is at how many angles arms may be found to have less air than was thought until all angles are looked at.
const singly = 2

// settle looks whether the air at an angle is as the outlook says. If not, it is less there, and maybe at other angles too.
func (s *searcher) settle(l *seen, o *outlook, k int) bool {
	if o.armed && o.drawn || slices.Contains(o.sure, k) {
		return true
	}
	t := s.tools[o.tool]
	if !o.armed {
		if a := s.armsAirAt(l, barsOf(t.Gun), k); a < o.air[k] {
			o.air[k] = a
			if o.missed++; o.missed > singly {
				s.arm(l, o)
			}
			return false
		}
	}
	if !o.drawn {
		if s.wayOff(l, t, o.air, k); o.air[k] <= 0 {
			s.arm(l, o)
			s.wayOff(l, t, o.air, s.every...)
			o.drawn = true
			return false
		}
	}
	o.sure = append(o.sure, k)
	return true
}

// arm counts in the air of arms and back at every angle.
func (s *searcher) arm(l *seen, o *outlook) {
	if o.armed {
		return
	}
	for k, a := range s.armsAir(l, barsOf(s.tools[o.tool].Gun)) {
		if o.air[k] = min(o.air[k], a); o.air[k] <= 0 {
			o.air[k] = touch
		}
	}
	o.armed = true
}

// barsAt is arms and back at one angle.
type barsAt struct {
	bars
	angle int
}

// armsAirAt is armsAir at one angle.
func (s *searcher) armsAirAt(l *seen, b bars, k int) float64 {
	if air, ok := l.bars[b]; ok {
		return air[k]
	}
	at := barsAt{b, k}
	air, ok := l.barsAt[at]
	if !ok {
		air = armAirAt(&s.swing, l.View, b, s.fan, k, s.mostAir(l, b)[k], s.touchedAt(b))
		l.barsAt[at] = air
	}
	return air
}

// touchedAt is what arms and back touched at each angle at welds before.
func (s *searcher) touchedAt(b bars) []axial.Place {
	if s.touched[b] == nil {
		s.touched[b] = axial.Nowhere(s.opt.Angles)
	}
	return s.touched[b]
}

// open is what is not known of a pose's angles.
func (o *outlook) open() Open {
	switch {
	case !o.armed:
		return ArmsOpen
	case !o.drawn:
		return OffOpen
	}
	return Known
}

func (o *outlook) rounded() []float32 {
	out := make([]float32, len(o.air))
	for k, a := range o.air {
		out[k] = float32(a)
	}
	return out
}

// outlookOf is the outlook that a pose was found in.
func (s *searcher) outlookOf(p Pose) outlook {
	o := outlook{tool: p.Tool, air: make([]float64, len(p.Air)), armed: p.Open != ArmsOpen, sure: []int{nearest(p.Turn, len(p.Air))}}
	o.drawn = p.Open == Known || s.tools[p.Tool].Gun.Stroke <= 0 || !s.opt.WayOff
	for k, a := range p.Air {
		o.air[k] = float64(a)
	}
	return o
}
