package centreline

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dip"
	"seamwright/geometry/kit"
	"seamwright/geometry/region"
)

// side is what package dip is to know of the strip's sides.
func (c *Line) side() dip.Side { return dip.Side{Closed: c.Closed, Width: c.width, Step: c.step} }

// smoothSides takes the roughness of a noisy mesh off the sides that end at a bend: there the length of a trace is
// the median of those of the points about it, unless the line itself swerves. Free edges keep their notches.
func (c *Line) smoothSides(sections []Section) {
	left, right := c.lengths(sections)
	for _, side := range [2]struct {
		of      func(s *Section) *region.Trace
		is      []float64
		across  []float64
		lengths []float64
	}{
		{func(s *Section) *region.Trace { return &s.Left }, left, right, make([]float64, len(left))},
		{func(s *Section) *region.Trace { return &s.Right }, right, left, make([]float64, len(left))},
	} {
		for i := range sections {
			side.lengths[i] = math.NaN()
			if t := side.of(&sections[i]); !math.IsNaN(side.is[i]) && !sections[i].over && c.r.End(t.Edge[0], t.Edge[1]).Why == region.Bend {
				side.lengths[i] = t.Length
			}
		}
		for i, length := range side.lengths {
			if math.IsNaN(length) {
				continue
			}
			window := c.about(side.lengths, i)
			if len(window) < 3 {
				continue
			}
			usual := kit.Median(window)
			if math.Abs(length-usual) <= dip.Shallow || !dip.Swerves(length-usual, side.across[i]-c.usual(side.across, i)) {
				side.of(&sections[i]).Length = usual
			}
		}
	}
}

// usual is the median of the known lengths about point i.
func (c *Line) usual(lengths []float64, i int) float64 {
	if about := c.about(lengths, i); len(about) > 0 {
		return kit.Median(about)
	}
	return math.NaN()
}

// smoothReach is how many points to both sides say how wide a strip is at a bend.
const smoothReach = 6

// about is the known lengths of point i and of those near it.
func (c *Line) about(lengths []float64, i int) []float64 {
	out := make([]float64, 0, 2*smoothReach+1)
	for k := i - smoothReach; k <= i+smoothReach; k++ {
		at := k
		if c.Closed {
			at = (k + len(lengths)) % len(lengths)
		}
		if at >= 0 && at < len(lengths) && !math.IsNaN(lengths[at]) {
			out = append(out, lengths[at])
		}
	}
	return out
}

func (c *Line) isSide(t region.Trace, along r3.Vector) bool {
	if !t.Ok {
		return false
	}
	d := c.rim.Direction(t.Edge)
	return math.Abs(d.Dot(along)) >= endCosine*d.Norm()
}

// legWidths is how many times wider than the strip a section is that runs on into the other leg of a sharp corner.
const legWidths = 1.7

// usualWidth is the median width of the sections that reach both sides, or infinite when none does.
func usualWidth(sections []Section) float64 {
	var widths []float64
	for _, s := range sections {
		if s.leftSide && s.rightSide {
			widths = append(widths, s.Left.Length+s.Right.Length)
		}
	}
	if len(widths) == 0 {
		return math.Inf(1)
	}
	return kit.Median(widths)
}

// reaches are how far the strip reaches to the left and to the right of every point, as far as the line minds:
// notches and tabs that it runs straight past are levelled. Not a number where a section does not end at a side.
//
// A notch on one side with as large a tab across it is neither: there it is the line that swerves, and beside a bend
// nothing else would show it.
func (c *Line) reaches(sections []Section) (left, right []float64) {
	left, right = c.lengths(sections)
	l, r := c.side().Level(left, c.across(sections, right, false)), c.side().Level(right, c.across(sections, left, true))
	for i := range l {
		if l[i] != left[i] && dip.Swerves(left[i]-l[i], right[i]-r[i]) && c.isBeside(&sections[i], region.Bend) {
			l[i], r[i] = left[i], right[i]
		}
	}
	return l, r
}

// across is what a side's shallow notches are told by, the distances of the other one: only where the side is a free edge all along, for at
// a bend its border is ragged, and not round a ring, which has corners.
func (c *Line) across(sections []Section, other []float64, right bool) []float64 {
	if c.Closed || slices.ContainsFunc(sections, func(s Section) bool {
		t := s.side(right)
		return t.Ok && c.r.End(t.Edge[0], t.Edge[1]).Why != region.FreeEdge
	}) {
		return nil
	}
	return other
}

// isBeside says whether a section ends at something on one side.
func (c *Line) isBeside(s *Section, why region.Edge) bool {
	return c.r.End(s.Left.Edge[0], s.Left.Edge[1]).Why == why || c.r.End(s.Right.Edge[0], s.Right.Edge[1]).Why == why
}

// lengths are how far the strip reaches, as measured.
func (c *Line) lengths(sections []Section) (left, right []float64) {
	left, right = make([]float64, len(sections)), make([]float64, len(sections))
	for i, s := range sections {
		left[i], right[i] = math.NaN(), math.NaN()
		if s.leftSide {
			left[i] = s.Left.Length + s.metal
		}
		if s.rightSide {
			right[i] = s.Right.Length - s.metal
		}
	}
	return left, right
}

// trimLegs ends sections that run on into another leg where the strip's side would go on.
func (c *Line) trimLegs(sections []Section) {
	width := usualWidth(sections)
	left, right := c.reaches(sections)
	for i := range sections {
		if s := &sections[i]; s.Left.Length+s.Right.Length > legWidths*width {
			if left[i] < s.Left.Length {
				s.Left.Length = left[i]
			}
			if right[i] < s.Right.Length {
				s.Right.Length = right[i]
			}
		}
	}
}

const (
	besideStep = 1e-3 // mm before and after a section
	sideStep   = 0.1  // mm by which a side there must differ to be stepped
)

// shorten takes the shorter of the two lengths of a side where a section runs along a step in it, as at the flank of a
// notch: which of them is measured there, rounding would decide.
func (c *Line) shorten(sections []Section) {
	for i := range sections {
		s := &sections[i]
		for _, side := range [2]*region.Trace{&s.Left, &s.Right} {
			if isEven(c.r, side, s) {
				continue
			}
			dir := s.Across
			if side == &s.Right {
				dir = dir.Mul(-1)
			}
			from := s.At
			if len(side.Path) > 0 {
				from = side.Path[0]
			}
			for _, off := range [2]float64{-besideStep, besideStep} {
				hit, _ := c.tree.Closest(from.Point.Add(s.Along.Mul(off)), math.Inf(1))
				beside := c.r.Trace(region.Place{Point: hit.Point, Tri: hit.Tri}, s.Along, dir, WidestTrace)
				if beside.Ok && len(beside.Path) > 1 && beside.Length < side.Length-sideStep {
					*side = beside
				}
			}
		}
		s.leftSide, s.rightSide = c.isSide(s.Left, s.Along), c.isSide(s.Right, s.Along)
	}
}

// isEven says whether a trace just beside a section's is sure to have the same length but for less than sideStep: no
// corner lies between the two, so that they pass through the same triangles, and the edge at their end is not steep.
func isEven(r *region.Region, t *region.Trace, s *Section) bool {
	if !t.Ok || t.Clear < 2*besideStep {
		return false
	}
	edge := r.Mesh.Vertices[t.Edge[1]].Sub(r.Mesh.Vertices[t.Edge[0]])
	return besideStep*math.Abs(edge.Dot(s.Across)) < sideStep/2*math.Abs(edge.Dot(s.Along))
}
