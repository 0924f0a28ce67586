package flange

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
)

// Where a sheet goes over into a bend of a wide radius it leaves the other with no edge between: the angle and the gap
// at which the stack ends come some millimetres after the flange does. The air there grows with the square of the way
// beyond the place where the sheets part, so that its root, run back to nothing, says where that is. Bends of less than
// about 12 mm that turn both ways end the stack before there is air enough to tell: 0.8 mm after the flange at most.
const (
	partingAir   = 0.05 // mm of air more than within the strip, from which sheets are taken to part: above what noise makes
	partingStep  = 0.25 // mm between places that are asked
	partingShare = 0.12 // of the most air: below it noise and the facets of the bend say too much
	partingReach = 0.5  // of a side: sheets that part sooner lie on each other nowhere in particular
)

// part moves a settled line into the middle between the places where its sheets part, and ends its sections there.
func (c *centring) part(sections []section) []section {
	left, right := c.partings(sections)
	if left == nil {
		return sections
	}
	points := make([]r3.Vector, len(sections))
	for i, s := range sections {
		points[i] = s.at.point
		t, shift := s.left, (right[i]-left[i])/2
		if shift < 0 {
			t, shift = s.right, -shift
		}
		if t.ok && shift > 0 { // by as much from the place itself, for the ends' traces set off inside
			points[i] = points[i].Add(t.along(shift).point.Sub(t.path[0].point))
		}
	}
	moved := c.sections(curve.New(points, c.closed))
	c.shorten(moved)
	c.quieten(moved)
	left, right = c.partings(moved)
	if left == nil {
		return moved
	}
	wide, kept := 0.0, 0.0
	for i := range moved {
		s := &moved[i]
		wide += s.left.length + s.right.length
		s.left.length, s.right.length = max(0, s.left.length-left[i]), max(0, s.right.length-right[i])
		kept += s.left.length + s.right.length
	}
	c.kept = kept / wide
	return moved
}

// partings are how much of every section's sides lies beyond the place where the sheets part; nil where they do not.
func (c *centring) partings(sections []section) (left, right []float64) {
	left, right = make([]float64, len(sections)), make([]float64, len(sections))
	some := false
	for i, s := range sections {
		left[i], right[i] = c.parting(s.left, s.leftSide), c.parting(s.right, s.rightSide)
		some = some || left[i] > 0 || right[i] > 0
	}
	if !some {
		return nil, nil
	}
	some = false
	for _, side := range [2][]float64{left, right} {
		quiet := make([]float64, len(side))
		for i := range side {
			if about := c.about(side, i); len(about) > 0 {
				quiet[i] = median(about)
			}
			some = some || quiet[i] > 0
		}
		copy(side, quiet)
	}
	if !some {
		return nil, nil
	}
	return left, right
}

// parting is how much of a trace lies beyond the place where the sheets part; not a number where it ends at no side.
func (c *centring) parting(t trace, isSide bool) float64 {
	if !isSide {
		return math.NaN()
	}
	if c.f.edgeEnd(c.r, t.edge[0], t.edge[1]).why == FreeEdge {
		return 0
	}
	length := 0.0 // along the path, which quieten leaves as it was
	for i := 1; i < len(t.path); i++ {
		length += t.path[i].point.Sub(t.path[i-1].point).Norm()
	}
	at := length - onEdge
	near, amid, far := c.air(t, 0), c.air(t, length/2), c.air(t, at)
	more := func(x, air float64) float64 { return air - near - 2*(amid-near)*x/length }
	most := more(at, far)
	if !(most > partingAir) {
		return 0
	}
	slope := 0.0
	for x := at - partingStep; x > length/2; x -= partingStep {
		e := more(x, c.air(t, x))
		if !(e > float64(partingShare*most)) {
			break
		}
		slope = max(slope, (math.Sqrt(most)-math.Sqrt(e))/(at-x))
	}
	if beyond := math.Sqrt(most) / slope; beyond < partingReach*length {
		return beyond
	}
	return 0
}

// air is what lies between the sheets at a length along a trace; not a number where there is another stack.
func (c *centring) air(t trace, x float64) float64 {
	p := t.along(x)
	v := c.f.classify(c.r.host, p.point, c.r.normalAt(p))
	if v.stack != c.r.stack {
		return math.NaN()
	}
	return v.gap
}
