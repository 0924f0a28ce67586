// Package curve measures polylines in space: length along them, places at a length, nearest places, fewer
// points of them.
//
//	line := curve.New(points, false)
//	middle := line.At(line.Length() / 2)
//	s, off := line.Nearest(p)
//
// Lengths are millimetres.
package curve

import (
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/r3"
)

// Line is a polyline measured along its length. A closed line runs from its last point back to its first
// and does not repeat it.
type Line struct {
	Points []r3.Vector
	Closed bool
	sums   []float64 // length up to each point, and for a closed line up to the first again
	blocks blocks    // of its segments
}

// New measures the points. Equal neighbours are allowed; no point at all is not.
func New(points []r3.Vector, closed bool) *Line {
	l := &Line{Points: slices.Clone(points), Closed: closed}
	sum := 0.0
	for i, p := range l.Points {
		if i > 0 {
			sum += p.Sub(l.Points[i-1]).Norm()
		}
		l.sums = append(l.sums, sum)
	}
	if closed && len(points) > 0 {
		l.sums = append(l.sums, sum+l.Points[0].Sub(l.Points[len(points)-1]).Norm())
	}
	l.block()
	return l
}

func (l *Line) block() {
	if len(l.sums) > 1 {
		l.blocks = newBlocks(len(l.sums)-1, func(i int) [2]r3.Vector { return [2]r3.Vector{l.point(i), l.point(i + 1)} })
	}
}

// Measured is a line with lengths up to its points that were measured otherwise than by its chords, as along a curve that
// the points only sample. They never fall; length is that of the whole line.
func Measured(points []r3.Vector, along []float64, length float64, closed bool) *Line {
	l := &Line{Points: slices.Clone(points), Closed: closed, sums: slices.Clone(along)}
	if closed && len(points) > 0 {
		l.sums = append(l.sums, length)
	}
	l.block()
	return l
}

// Length of the whole line; a closed line's includes the way back to its start.
func (l *Line) Length() float64 {
	if len(l.sums) == 0 {
		return 0
	}
	return l.sums[len(l.sums)-1]
}

// Sum is the length from the start to point i.
func (l *Line) Sum(i int) float64 { return l.sums[i] }

// locate returns the segment that holds s and the fraction along it.
func (l *Line) locate(s float64) (segment int, fraction float64) {
	length := l.Length()
	if l.Closed && length > 0 {
		s = math.Mod(s, length)
		if s < 0 {
			s += length
		}
	}
	s = math.Min(length, math.Max(0, s))
	i := sort.SearchFloat64s(l.sums, s)
	i = min(max(i-1, 0), max(len(l.sums)-2, 0))
	if i+1 >= len(l.sums) {
		return 0, 0
	}
	if span := l.sums[i+1] - l.sums[i]; span > 0 {
		return i, (s - l.sums[i]) / span
	}
	return i, 0
}

func (l *Line) point(i int) r3.Vector { return l.Points[i%len(l.Points)] }

// At returns the point at length s; open lines are held to their ends, closed ones go round.
func (l *Line) At(s float64) r3.Vector {
	i, f := l.locate(s)
	a := l.point(i)
	if f == 0 {
		return a
	}
	return a.Add(l.point(i + 1).Sub(a).Mul(f))
}

// Tangent returns the unit direction of the segment at length s, or zero when the line has no length.
func (l *Line) Tangent(s float64) r3.Vector {
	i, _ := l.locate(s)
	d := l.point(min(i+1, len(l.sums)-1)).Sub(l.point(i))
	if n := d.Norm(); n > 0 {
		return d.Mul(1 / n)
	}
	return r3.Vector{}
}

// Nearest returns the length at which the line is nearest to p, and how far it is there. Of equally near
// places the first counts.
func (l *Line) Nearest(p r3.Vector) (s, distance float64) {
	if len(l.sums) == 1 {
		return 0, p.Sub(l.Points[0]).Norm()
	}
	i, least := l.blocks.nearest(p, func(i int) float64 {
		d, _ := l.segment(i, p)
		return d
	})
	if i < 0 {
		return 0, math.Inf(1)
	}
	_, f := l.segment(i, p)
	return l.sums[i] + float64(f*(l.sums[i+1]-l.sums[i])), math.Sqrt(least)
}

// segment is the square of the distance from p to a segment, and how far along it that is, from 0 to 1.
func (l *Line) segment(i int, p r3.Vector) (distance2, fraction float64) {
	a := l.point(i)
	ab := l.point(i + 1).Sub(a)
	if l2 := ab.Norm2(); l2 > 0 {
		fraction = min(1, max(0, p.Sub(a).Dot(ab)/l2))
	}
	return p.Sub(a.Add(ab.Mul(fraction))).Norm2(), fraction
}
