package flange

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/dip"
)

// ErrNoEdge is returned for a weld line from an edge that does not run along the strip.
var ErrNoEdge = errors.New("the sheet has no free edge along the strip")

// LineFromEdge is the weld line at a distance in mm from the free edge of a sheet, one of Sheets, instead of the
// one in the middle: points at the same sections, with their frames, sides and lengths along it. It runs straight
// past notches in the edge, and where the strip's side is not that sheet's edge it goes on from where it is. The
// distance is measured across the line on the faying surface, to second order in its curvature.
func (fl *Flange) LineFromEdge(sheet int, distance float64) ([]LinePoint, error) {
	if !(distance >= 0) || distance > fl.Width.Greatest {
		return nil, fmt.Errorf("flange %s: a line %g mm from an edge of a strip that is %.1f mm wide at most", fl.ID, distance, fl.Width.Greatest)
	}
	n := len(fl.Line)
	shift := make([]float64, n)
	left, leftKnown := fl.toEdge(sheet, true)
	right, rightKnown := fl.toEdge(sheet, false)
	if max(leftKnown, rightKnown) < (n+1)/2 {
		return nil, fmt.Errorf("flange %s: sheet %d: %w", fl.ID, sheet, ErrNoEdge)
	}
	for i := range shift {
		if shift[i] = left[i] - distance; rightKnown > leftKnown {
			shift[i] = distance - right[i]
		}
	}
	return fl.shifted(shift), nil
}

// Along is the flange with another weld line over it: what is counted along the line is counted along that one.
func (fl *Flange) Along(line []LinePoint) Flange {
	out := *fl
	out.Line, out.Length = line, line[len(line)-1].S
	if fl.Closed {
		out.Length += line[len(line)-1].Point.Distance(line[0].Point)
	}
	was, is := curve.New(lineOf(fl.Line), fl.Closed), curve.New(lineOf(line), fl.Closed)
	if !(was.Length() > 0) || !(is.Length() > 0) {
		return out
	}
	at := func(s float64) float64 {
		now, _ := is.Nearest(was.At(s))
		return now
	}
	out.Notches, out.Open = slices.Clone(fl.Notches), slices.Clone(fl.Open)
	for i := range out.Notches {
		n := &out.Notches[i]
		n.From, n.To = at(n.From), at(n.To)
	}
	for i := range out.Open {
		o := &out.Open[i]
		o.From, o.To = at(o.From), at(o.To)
	}
	return out
}

// toEdge is how far it is from every point to a sheet's free edge on one side, and at how many it is known.
func (fl *Flange) toEdge(sheet int, onLeft bool) (to []float64, known int) {
	to = make([]float64, len(fl.Line))
	for i, s := range fl.Line {
		edge, whose, length, also := s.RightEdge, s.RightSheet, s.Right, fl.Beside[1]
		if onLeft {
			edge, whose, length, also = s.LeftEdge, s.LeftSheet, s.Left, fl.Beside[0]
		}
		if to[i] = math.NaN(); edge == FreeEdge && (whose == sheet || slices.Contains(also, sheet)) {
			to[i] = length
			known++
		}
	}
	if known == 0 {
		return to, 0
	}
	to = dip.Side{Closed: fl.Closed, Width: fl.Width.Mean, Step: fl.Length / float64(max(1, len(fl.Line)-1))}.Level(to, nil)
	for i := range to { // the nearest known one, where none is
		for d := 1; math.IsNaN(to[i]) && d < len(to); d++ {
			for _, k := range [2]int{i - d, i + d} {
				if k >= 0 && k < len(to) && !math.IsNaN(to[k]) && math.IsNaN(to[i]) {
					to[i] = to[k]
				}
			}
		}
	}
	return to, known
}

// shifted moves every point to the left along the strip's surface.
func (fl *Flange) shifted(shift []float64) []LinePoint {
	out := slices.Clone(fl.Line)
	var border []*curve.Line
	for _, loop := range fl.Outline {
		border = append(border, curve.New(loop, true))
	}
	for i := range out {
		s := &out[i]
		bow := s.bow(border, shift[i])
		s.Point = s.Point.Add(s.Across.Mul(shift[i])).Add(s.Axis.Mul(bow * shift[i] * shift[i] / 2))
		s.Axis = s.Axis.Sub(s.Across.Mul(bow * shift[i])).Normalize()
		s.Left, s.Right = s.Left-shift[i], s.Right+shift[i]
	}
	moved := Flange{Line: out, Closed: fl.Closed}
	moved.measureLine()
	for i := range out {
		a, b := max(i-1, 0), min(i+1, len(out)-1)
		if fl.Closed {
			a, b = (i+len(out)-1)%len(out), (i+1)%len(out)
		}
		along := out[b].Point.Sub(out[a].Point)
		s := &out[i]
		s.Along = along.Sub(s.Axis.Mul(along.Dot(s.Axis))).Normalize()
		s.Across = s.Axis.Cross(s.Along)
	}
	return out
}

// bow is the curvature of the strip across the line, to the side that is shifted to, 1/mm: from how high its border
// stands there.
func (s *LinePoint) bow(border []*curve.Line, shift float64) float64 {
	side := s.Left
	if shift < 0 {
		side = -s.Right
	}
	foot := s.Point.Sub(s.Axis.Mul(s.Offset))
	best, far := r3.Vector{}, math.Inf(1)
	for _, l := range border {
		if at, d := l.Nearest(foot.Add(s.Across.Mul(side))); d < far {
			best, far = l.At(at), d
		}
	}
	d := best.Sub(foot)
	x := d.Dot(s.Across)
	if far > math.Abs(side)/2 || x*side <= 0 {
		return 0
	}
	return 2 * d.Dot(s.Axis) / (x * x)
}

// Need is what a weld keeps from the sides of a strip, mm from its centre.
type Need struct {
	FreeEdge float64 // the edge distance
	Bend     float64 // half the electrode's face and the clearance from a bend
	Other    float64 // from where the sheets part or the stack changes
}

func (n Need) from(e Edge) float64 {
	switch e {
	case FreeEdge:
		return n.FreeEdge
	case Bend:
		return n.Bend
	}
	return n.Other
}

// Narrow is a stretch of a strip that is too narrow.
type Narrow struct {
	From, To float64 // mm along the weld line
	By       float64 // mm that lack at the narrowest place
	Place    r3.Vector
}

// TooNarrow lists the stretches where the strip is narrower than what a weld needs on both sides together, with the
// ends between points where the need is just met. On a closed line the last may go on in the first.
func (fl *Flange) TooNarrow(need Need) []Narrow {
	var out []Narrow
	lacks := func(s LinePoint) float64 { return need.from(s.LeftEdge) + need.from(s.RightEdge) - s.Left - s.Right }
	open := false
	for i, s := range fl.Line {
		lack := lacks(s)
		crossing := s.S
		if i > 0 {
			before := fl.Line[i-1]
			if was := lacks(before); (was > 0) != (lack > 0) {
				crossing = before.S + (s.S-before.S)*was/(was-lack)
			}
		}
		switch {
		case lack > 0 && !open:
			out = append(out, Narrow{From: crossing})
			open = true
		case lack <= 0 && open:
			out[len(out)-1].To, open = crossing, false
		}
		if n := len(out) - 1; lack > 0 && lack > out[n].By {
			out[n].By, out[n].Place = lack, s.Point
		}
	}
	if open {
		out[len(out)-1].To = fl.Length
	}
	return out
}
