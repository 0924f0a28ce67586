package planner

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

const (
	flatWithin   = 0.5  // mm that a contact may leave a plane and still be laid in straight rows. Chosen.
	rowStep      = 2.0  // mm between stations of a row, as the finder's
	shortestRow  = 12.0 // mm, as the finder's shortest strip
	equalEnough  = 1e-6 // of a length: below it two boxes are alike and the first counts
	startOfSteps = 1e-9 // mm
)

// flatPatch is a flat contact in coordinates along and across its rows.
type flatPatch struct {
	of              flange.Flange
	origin          r3.Vector
	along, across   r3.Vector
	axis            r3.Vector
	border          []r3.Vector // x along, y across the rows, from the origin
	low, high       float64     // of the border across the rows
	length, breadth float64     // of the box around the border
}

// newFlatPatch lays the rows' direction along the longer side of the least box around the outline. A middle line does not
// give it where the contact is no rectangle: that of an L turns with it. False: the contact is not flat.
func newFlatPatch(f flange.Flange) (flatPatch, bool) {
	p := flatPatch{of: f, axis: f.Line[0].Axis, origin: f.Line[0].Point}
	if len(f.Outline) == 0 || len(f.Outline[0]) < 3 {
		return p, false
	}
	for _, s := range f.Line {
		if math.Abs(s.Point.Sub(p.origin).Dot(p.axis)) > flatWithin {
			return p, false
		}
	}
	foot := p.origin.Sub(p.axis.Mul(f.Line[0].Offset))
	loop := f.Outline[0]
	for _, v := range loop {
		if math.Abs(v.Sub(foot).Dot(p.axis)) > flatWithin {
			return p, false
		}
	}
	least := math.Inf(1)
	for i, v := range loop {
		side := loop[(i+1)%len(loop)].Sub(v)
		side = side.Sub(p.axis.Mul(side.Dot(p.axis)))
		if side.Norm() < startOfSteps {
			continue
		}
		q := p
		q.turn(side.Normalize(), loop)
		if area := q.length * q.breadth; area < least*(1-equalEnough) {
			least, p = area, q
		}
	}
	return p, !math.IsInf(least, 1)
}

// turn measures the border along a direction, or square to it where that is longer.
func (p *flatPatch) turn(along r3.Vector, loop []r3.Vector) {
	p.along, p.across = along, p.axis.Cross(along)
	size := func(d r3.Vector) (low, high float64) {
		low, high = math.Inf(1), math.Inf(-1)
		for _, v := range loop {
			x := v.Sub(p.origin).Dot(d)
			low, high = min(low, x), max(high, x)
		}
		return low, high
	}
	a, b := size(p.along)
	c, d := size(p.across)
	if (d-c)*(1-equalEnough) > b-a {
		p.along, p.across = p.across, p.along.Mul(-1)
		a, b, c, d = c, d, -b, -a
	}
	p.length, p.breadth, p.low, p.high = b-a, d-c, c, d
	p.border = p.border[:0:0]
	for _, v := range loop {
		p.border = append(p.border, r3.Vector{X: v.Sub(p.origin).Dot(p.along), Y: v.Sub(p.origin).Dot(p.across)})
	}
}

// rows are the weld lines, at most pitch apart and the outermost at edge from the sides; a row that leaves the contact
// and comes back is two.
func (p *flatPatch) rows(pitch, edge float64) [][]flange.Station {
	room := p.breadth - 2*edge
	n := int(math.Ceil(room/pitch - equalEnough))
	var out [][]flange.Station
	for k := range max(n, 0) + 1 {
		y := (p.low + p.high) / 2
		if n > 0 {
			y = p.low + edge + room*float64(k)/float64(n)
		}
		at := p.crossings(y, true)
		for i := 0; i+1 < len(at); i += 2 {
			if at[i+1]-at[i] >= shortestRow {
				out = append(out, p.row(y, at[i], at[i+1]))
			}
		}
	}
	return out
}

// crossings are the places where the border crosses a line along the rows at y, or square to them at x, in order.
func (p *flatPatch) crossings(at float64, alongRows bool) []float64 {
	var out []float64
	for i, a := range p.border {
		b := p.border[(i+1)%len(p.border)]
		if !alongRows {
			a.X, a.Y, b.X, b.Y = a.Y, a.X, b.Y, b.X
		}
		if (a.Y > at) != (b.Y > at) {
			out = append(out, a.X+(b.X-a.X)*(at-a.Y)/(b.Y-a.Y))
		}
	}
	slices.Sort(out)
	return out
}

func (p *flatPatch) row(y, from, to float64) []flange.Station {
	steps := max(1, int(math.Ceil((to-from)/rowStep)))
	out := make([]flange.Station, steps+1)
	for i := range out {
		s := (to - from) * float64(i) / float64(steps)
		at := p.origin.Add(p.along.Mul(from + s)).Add(p.across.Mul(y))
		near := nearest(p.of.Line, at)
		st := flange.Station{S: s, Point: at, Along: p.along, Across: p.across, Axis: p.axis, Gap: near.Gap, Offset: near.Offset}
		// At the very ends the line square to the row runs along the border: a little further in it tells the sides.
		x := min(max(from+s, from+(to-from)*1e-3), to-(to-from)*1e-3)
		for _, c := range p.crossings(x, false) {
			if c > y {
				st.Left = c - y
				break
			}
			st.Right = y - c
		}
		st.LeftEdge, st.LeftSheet = p.side(at.Add(p.across.Mul(st.Left)))
		st.RightEdge, st.RightSheet = p.side(at.Sub(p.across.Mul(st.Right)))
		out[i] = st
	}
	return out
}

// side is what the contact ends at near a place of its border: what the nearest side of the found line is.
func (p *flatPatch) side(at r3.Vector) (flange.Edge, int) {
	edge, sheet, least := flange.UnknownEnd, -1, math.Inf(1)
	for _, s := range p.of.Line {
		if d := s.Point.Add(s.Across.Mul(s.Left)).Sub(at).Norm2(); d < least {
			edge, sheet, least = s.LeftEdge, s.LeftSheet, d
		}
		if d := s.Point.Sub(s.Across.Mul(s.Right)).Sub(at).Norm2(); d < least {
			edge, sheet, least = s.RightEdge, s.RightSheet, d
		}
	}
	return edge, sheet
}
