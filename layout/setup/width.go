package setup

import (
	"seamwright/layout"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

// WidthNeeded is the width that a weld with the given face needs between what ends the strip on either side.
func (c Judge) WidthNeeded(s *strips.Strip, left, right layout.Edge, face float64) float64 {
	return c.keepFrom(s, left, face) + c.keepFrom(s, right, face)
}

// keepFrom is how far the weld centre stays from what ends the strip: the edge distance from a free edge, half the face
// and the clearance from a bend, half the face from where the stack ends or gapes.
func (c Judge) keepFrom(s *strips.Strip, side layout.Edge, face float64) float64 {
	switch side {
	case layout.Bend:
		return face/2 + s.Limits.BendClearance.Value
	case layout.FreeEdge, layout.UnknownEdge:
		return s.Limits.EdgeDistance.Value
	}
	return c.Limit("tip.seat.least", s.Stack, rule.Given{}).Value * face
}
