package strips

import "seamwright/layout"

// Gap is the way along the weld line between two neighbouring welds.
type Gap struct {
	A, B     *layout.Weld
	From, To float64 // mm along the line; over the closing point of a closed one to is beyond its length
}

// Length is in mm.
func (g Gap) Length() float64 { return g.To - g.From }

// Gaps lists the gaps of a strip, row by row.
func (s *Strip) Gaps(welds []*layout.Weld) []Gap {
	var out []Gap
	for _, lane := range lanes(welds) {
		for i := 1; i < len(lane.welds); i++ {
			a, b := lane.welds[i-1], lane.welds[i]
			out = append(out, Gap{a, b, a.Along, b.Along})
		}
		if n := len(lane.welds); s.Flange.Closed && n > 1 && lane.whole {
			a, b := lane.welds[n-1], lane.welds[0]
			out = append(out, Gap{a, b, a.Along, b.Along + s.Flange.Length})
		}
	}
	return out
}

// TackGaps lists the gaps between tacks along a strip, whichever row they stand in: a tack holds all of the flange's width. A broad
// contact is held row by row.
func (s *Strip) TackGaps(tacks []*layout.Weld) []Gap {
	if s.Flange.Patch {
		return s.Gaps(tacks)
	}
	var out []Gap
	for i := 1; i < len(tacks); i++ {
		out = append(out, Gap{tacks[i-1], tacks[i], tacks[i-1].Along, tacks[i].Along})
	}
	if n := len(tacks); s.Flange.Closed && n > 1 {
		out = append(out, Gap{tacks[n-1], tacks[0], tacks[n-1].Along, tacks[0].Along + s.Flange.Length})
	}
	return out
}
