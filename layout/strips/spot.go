package strips

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// Spot is a weld with its strip.
type Spot struct {
	Weld  *layout.Weld
	Strip *Strip
	Index int // among the strip's
}

// Spot is one of the strip's welds, by its place among them.
func (s *Strip) Spot(i int) Spot { return Spot{s.Welds[i], s, i} }

// End is the distance along the line from the first or the last weld of an open strip to its end, where that is the end
// of a sheet; +Inf for every other weld.
func (w Spot) End() float64 {
	e := math.Inf(1)
	if w.Strip.Flange.Closed {
		return e
	}
	if w.Strip.Onto[0] == nil && w.outermost(1) {
		e = w.Weld.Along
	}
	if w.Strip.Onto[1] == nil && w.outermost(-1) {
		e = math.Min(e, w.Strip.Flange.Length-w.Weld.Along)
	}
	return e
}

// outermost reports whether the weld is the first of its row, or with a step of -1 the last: in a second row, one that begins
// no later than a pitch after the first.
func (w Spot) outermost(step int) bool {
	all := w.Strip.Welds
	first := 0
	if step < 0 {
		first = len(all) - 1
	}
	for k := w.Index - step; k >= 0 && k < len(all); k -= step {
		if inRow(all[k], w.Weld) {
			return false
		}
	}
	return w.Index == first || w.Strip.Apart(all[first].Along, w.Weld.Along) <= w.Strip.Limits.LeastPitch.Value
}

// Across is the distance across the line to the nearer free edge; +Inf without one.
func (w Spot) Across() float64 {
	if !w.Strip.Measured {
		return math.Inf(1)
	}
	left, right := w.Strip.Sides(w.Weld.Along)
	e := math.Inf(1)
	if left == layout.FreeEdge {
		e = w.Weld.Left
	}
	if right == layout.FreeEdge {
		e = math.Min(e, w.Weld.Right)
	}
	return e
}

// Toward is the distance to the sheet's end in a direction of the weld's plane, either way along it.
func (w Spot) Toward(direction r3.Vector) float64 {
	t := w.Strip.Line.Tangent(w.Weld.Along)
	lengthwise := math.Abs(direction.Dot(t))
	crosswise := math.Sqrt(math.Max(0, 1-lengthwise*lengthwise))
	e := math.Inf(1)
	if lengthwise > 1e-6 {
		e = w.End() / lengthwise
	}
	if crosswise > 1e-6 {
		e = math.Min(e, w.Across()/crosswise)
	}
	return e
}

// Next is the distance along the line to the nearer neighbour in its row; +Inf without one.
func (w Spot) Next() float64 {
	least := math.Inf(1)
	for k, o := range w.Strip.Welds {
		if k != w.Index && inRow(o, w.Weld) {
			least = math.Min(least, w.Strip.Apart(o.Along, w.Weld.Along))
		}
	}
	return least
}
