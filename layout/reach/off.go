package reach

import (
	"slices"

	"seamwright/geometry/axial"
	"seamwright/layout/retreat"
)

// known is what was found out about a gun at a weld.
type known struct {
	done, shut []bool
}

// wayOff takes the air from those of the given angles at which the gun cannot be drawn back.
func (s *searcher) wayOff(l *seen, t Tool, air []float64, angles ...int) {
	n := len(air)
	key := shapeOf(t)
	k, ok := l.ways[key]
	if !ok {
		k = known{make([]bool, n), make([]bool, n)}
		l.ways[key] = k
	}
	if l.met == nil {
		l.met = make([]*axial.Facet, n)
	}
	if s.drawn == nil {
		s.drawn = retreat.New(s.fan)
	}
	d := s.drawn
	d.Begin(key, l.above, l.below)
	for _, i := range angles {
		d.Ask(i, air[i] > 0 && !k.done[i])
	}
	if d.Any() {
		s.metBefore(l, key, angles)
		d.Known, d.Last = l.met, s.last[key]
		d.Run(l.View)
		for _, i := range angles {
			if t := d.Known[i]; t != nil {
				s.met[key][i] = t.Place
			}
			if d.Asked[i] {
				k.done[i], k.shut[i] = true, d.Shut[i]
			}
		}
	}
	for _, i := range angles {
		if air[i] > 0 && k.shut[i] {
			air[i] = touch
		}
	}
}

// metBefore puts what the gun met at welds before at the angles at which nothing was met at this one yet.
func (s *searcher) metBefore(l *seen, key retreat.Gun, angles []int) {
	if s.met[key] == nil {
		s.met[key], s.last[key] = axial.Nowhere(len(l.met)), axial.Nowhere(len(l.met))
	}
	var last *axial.Facet
	for _, i := range angles {
		at := s.met[key][i]
		if l.met[i] != nil || at.Panel < 0 || !l.There(at.Panel) {
			continue
		}
		if last == nil || last.Place != at {
			t := l.Facet(at)
			last = &t
		}
		l.met[i] = last
	}
}

// inTheWay says for each angle at which there is air, but no way off, which panel is met first on the last way: of several
// the first.
func (s *searcher) inTheWay(l *seen, t Tool, air []float64) []int32 {
	d := retreat.New(s.fan)
	d.Begin(shapeOf(t), l.above, l.below)
	d.Afresh = true
	for i, a := range air {
		d.Ask(i, a > 0)
	}
	d.Run(l.View)
	return d.Panel
}

// How much more stroke is looked for, mm, where the gun cannot be drawn back: first by so much, then twice that and on.
const (
	farStroke  = 160.0
	strokeStep = 10.0
)

// retreatReason is what keeps a gun that can stand at the weld from being drawn back; false when it cannot stand there.
// The stroke that would do is looked for only where wanted.
func (s *searcher) retreatReason(l *seen, tool int, wanted bool) (Reason, bool) {
	t := s.tools[tool]
	air, stands := s.standing(l, tool)
	if !stands || t.Gun.Stroke <= 0 {
		return Reason{}, false
	}
	free := slices.Clone(air)
	panel := s.inTheWay(l, t, free)
	best := 0
	for k := range air {
		if air[k] > air[best] {
			best = k
		}
	}
	out := Reason{Tool: tool, Kind: Retreat, Value: t.Gun.Stroke, Turn: s.fan.Degrees(best), Panel: s.panelName(panel[best])}
	for more := strokeStep; wanted && more <= farStroke; more *= 2 {
		u := t
		u.Gun.Stroke += more
		free = append(free[:0], air...)
		s.wayOff(l, u, free, s.every...)
		for k := range free {
			if free[k] > 0 {
				out.Limit, out.Turn, out.Panel = u.Gun.Stroke, s.fan.Degrees(k), s.panelName(panel[k])
				return out, true
			}
		}
	}
	return out, true
}

// shapeOf is what of a tool decides how it comes off.
func shapeOf(t Tool) retreat.Gun {
	b := barsOf(t.Gun)
	return retreat.Gun{Radius: b.radius, High: b.high, Depth: b.depth, Stroke: t.Gun.Stroke,
		Shank: t.Tip.Shank, ShankLong: t.Tip.ShankLong, TipLong: t.Tip.Length}
}
