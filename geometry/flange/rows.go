package flange

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// ErrNoRows is returned for a broad contact whose sides run aslant: rows along them would cross one another.
var ErrNoRows = errors.New("a curved broad contact without parallel sides")

const (
	parallel     = 0.5  // of a curved contact's mean width that its least is at least, for rows along its line. Chosen.
	flatWithin   = 0.5  // mm that a contact may leave a plane and still be laid in straight rows. Chosen.
	rowStep      = 2.0  // mm between points of a row, as of a line
	shortestRow  = 12.0 // mm, as the shortest strip
	equalEnough  = 1e-6 // of a length: below it two boxes are alike and the first counts
	sameSide     = 0.8  // cosine between two sides that are the same one. Chosen.
	startOfSteps = 1e-9 // mm
)

// Keep is how far in mm the outermost row stays from a side of a patch, by what ends the patch there and by the sheets
// whose free edges that are.
type Keep func(side Edge, sheets []int) float64

// Rows are weld lines side by side over a patch, mm apart at most by pitch and from its sides by what is to be kept: as
// many, evenly spaced, as that takes. Points as in Line, the row on the right first. On a flat patch they run straight
// along the longer side of the least box about it, each as far as the metal does, and a row that leaves the patch and
// comes back, as over an L, is two; on a curved one they follow the line, for as long as the sides do. Without room for
// two rows, or without a pitch, there is the one in the middle.
func (fl *Flange) Rows(pitch float64, keep Keep) ([][]LinePoint, error) {
	if !(pitch > 0) {
		return [][]LinePoint{slices.Clone(fl.Line)}, nil
	}
	if flat, ok := newFlatPatch(fl); ok {
		if rows := flat.rows(pitch, keep); len(rows) > 0 {
			return rows, nil
		}
	}
	if fl.Width.Least < parallel*fl.Width.Mean {
		return nil, fmt.Errorf("flange %s: %w", fl.ID, ErrNoRows)
	}
	return fl.rowsAlong(pitch, keep), nil
}

// rowsAlong are rows beside the line.
func (fl *Flange) rowsAlong(pitch float64, keep Keep) [][]LinePoint {
	left, right := fl.kept(fl.Line, keep)
	room := fl.Width.Mean - left - right
	if !(room > 0) {
		return [][]LinePoint{slices.Clone(fl.Line)}
	}
	n := max(1, int(math.Ceil(room/pitch-equalEnough)))
	rows := make([][]LinePoint, n+1)
	for k := range rows {
		shift := make([]float64, len(fl.Line))
		for i, s := range fl.Line {
			part := float64(k) / float64(n)
			shift[i] = (s.Left-left)*part - (s.Right-right)*(1-part)
		}
		rows[k] = fl.shifted(shift)
	}
	return rows
}

// kept is what is kept from the left side and the right one of a line over the flange: by what ends it at most points.
func (fl *Flange) kept(line []LinePoint, keep Keep) (left, right float64) {
	type end struct {
		edge  Edge
		sheet int
	}
	most := func(of func(s LinePoint) end) (best end) {
		counts := map[end]int{}
		for _, s := range line {
			if e := of(s); counts[e]+1 > counts[best] {
				best = e
			}
			counts[of(s)]++
		}
		return best
	}
	sheets := func(e end, up float64) []int {
		out := []int{e.sheet}
		if e.edge != FreeEdge {
			return nil
		}
		switch turn := line[0].Across.Dot(fl.Line[0].Across) * up; { // Beside is told of the flange's own sides
		case turn > sameSide:
			out = append(out, fl.Beside[0]...)
		case turn < -sameSide:
			out = append(out, fl.Beside[1]...)
		}
		return out
	}
	l := most(func(s LinePoint) end { return end{s.LeftEdge, s.LeftSheet} })
	r := most(func(s LinePoint) end { return end{s.RightEdge, s.RightSheet} })
	return keep(l.edge, sheets(l, 1)), keep(r.edge, sheets(r, -1))
}

// flatPatch is a flat contact in coordinates along and across its rows.
type flatPatch struct {
	of              *Flange
	origin          r3.Vector
	along, across   r3.Vector
	axis            r3.Vector
	border          []r3.Vector // x along, y across the rows, from the origin
	low, high       float64     // of the border across the rows
	length, breadth float64     // of the box around the border
}

// newFlatPatch lays the rows' direction along the longer side of the least box around the outline. A middle line does not
// give it where the contact is no rectangle: that of an L turns with it. False: the contact is not flat.
func newFlatPatch(f *Flange) (flatPatch, bool) {
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

// rows are the weld lines, at most pitch apart and the outermost kept off the sides; a row that leaves the contact and
// comes back is two.
func (p *flatPatch) rows(pitch float64, keep Keep) [][]LinePoint {
	middle := (p.low + p.high) / 2
	at := p.crossings(middle, true)
	if len(at) < 2 {
		return nil
	}
	above, below := p.of.kept(p.row(middle, at[0], at[1]), keep)
	room := p.breadth - below - above
	n := int(math.Ceil(room/pitch - equalEnough))
	var out [][]LinePoint
	for k := range max(n, 0) + 1 {
		y := middle
		free := p.spans(y)
		if n > 0 {
			y = p.low + below + room*float64(k)/float64(n)
			free = common(p.spans(y), p.spans(y+above*(1-equalEnough))) // a step in the border beside the row is a side too
			free = common(free, p.spans(y-below*(1-equalEnough)))
		}
		for _, s := range free {
			if s[1]-s[0] >= shortestRow {
				out = append(out, p.row(y, s[0], s[1]))
			}
		}
	}
	return out
}

// spans are the stretches of the line along the rows at y that lie on the contact, in order.
func (p *flatPatch) spans(y float64) [][2]float64 {
	at := p.crossings(y, true)
	var out [][2]float64
	for i := 0; i+1 < len(at); i += 2 {
		out = append(out, [2]float64{at[i], at[i+1]})
	}
	return out
}

// common are the stretches that lie in both.
func common(a, b [][2]float64) [][2]float64 {
	var out [][2]float64
	for _, p := range a {
		for _, q := range b {
			if from, to := max(p[0], q[0]), min(p[1], q[1]); from < to {
				out = append(out, [2]float64{from, to})
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

func (p *flatPatch) row(y, from, to float64) []LinePoint {
	steps := max(1, int(math.Ceil((to-from)/rowStep)))
	out := make([]LinePoint, steps+1)
	for i := range out {
		s := (to - from) * float64(i) / float64(steps)
		at := p.origin.Add(p.along.Mul(from + s)).Add(p.across.Mul(y))
		near := Nearest(p.of.Line, at)
		st := LinePoint{S: s, Point: at, Along: p.along, Across: p.across, Axis: p.axis, Gap: near.Gap, Offset: near.Offset}
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
func (p *flatPatch) side(at r3.Vector) (Edge, int) {
	edge, sheet, least := UnknownEnd, -1, math.Inf(1)
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

// Nearest is the point that is nearest to a place, the first of several.
func Nearest(line []LinePoint, p r3.Vector) LinePoint {
	best := 0
	for i := range line {
		if line[i].Point.Sub(p).Norm2() < line[best].Point.Sub(p).Norm2() {
			best = i
		}
	}
	return line[best]
}
