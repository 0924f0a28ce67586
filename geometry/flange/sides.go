package flange

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// quieten takes the roughness of a noisy mesh off the sides that end at a bend: there the length of a trace is
// the median of those of the stations about it. Free edges keep their notches.
func (c *centring) quieten(sections []section) {
	for _, side := range [2]func(s *section) *trace{
		func(s *section) *trace { return &s.left }, func(s *section) *trace { return &s.right },
	} {
		lengths := make([]float64, len(sections))
		for i := range sections {
			lengths[i] = math.NaN()
			t := side(&sections[i])
			if t.ok && c.isSide(*t, sections[i].along) && c.endAt(t.edge).why == Bend {
				lengths[i] = t.length
			}
		}
		for i := range sections {
			if window := c.about(lengths, i); !math.IsNaN(lengths[i]) && len(window) >= 3 {
				side(&sections[i]).length = median(window)
			}
		}
	}
}

// endAt is what ends the strip at an edge of its border.
func (c *centring) endAt(edge [2]int32) border {
	end, known := c.ends[edge]
	if !known {
		end = c.f.edgeEnd(c.r, edge[0], edge[1])
		c.ends[edge] = end
	}
	return end
}

// quietReach is how many stations to both sides say how wide a strip is at a bend.
const quietReach = 6

// about is the known lengths of station i and of those near it.
func (c *centring) about(lengths []float64, i int) []float64 {
	var out []float64
	for k := i - quietReach; k <= i+quietReach; k++ {
		at := k
		if c.closed {
			at = (k + len(lengths)) % len(lengths)
		}
		if at >= 0 && at < len(lengths) && !math.IsNaN(lengths[at]) {
			out = append(out, lengths[at])
		}
	}
	return out
}

// median of an even number is the mean of the two in the middle.
func median(x []float64) float64 {
	slices.Sort(x)
	return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
}

func (c *centring) isSide(t trace, along r3.Vector) bool {
	if !t.ok {
		return false
	}
	d := c.rim.direction(t.edge)
	return math.Abs(d.Dot(along)) >= endCosine*d.Norm()
}

// legWidths is how many times wider than the strip a section is that runs on into the other leg of a sharp corner.
const legWidths = 1.7

// runsIntoLeg says whether station i, which is not the first or the last, lies so near to a sharp corner that its
// section says nothing about the strip's middle: it then goes half way between its neighbours.
func runsIntoLeg(sections []section, i int, width float64) bool {
	s := &sections[i]
	return i > 0 && i+1 < len(sections) && s.left.length+s.right.length > legWidths*width
}

// usualWidth is the median width of the sections that reach both sides, or infinite when none does.
func usualWidth(sections []section) float64 {
	var widths []float64
	for _, s := range sections {
		if s.leftSide && s.rightSide {
			widths = append(widths, s.left.length+s.right.length)
		}
	}
	if len(widths) == 0 {
		return math.Inf(1)
	}
	return median(widths)
}
