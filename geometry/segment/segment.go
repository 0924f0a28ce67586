// Package segment holds the pieces that drawn curves are made of as what they are: straight lines, arcs of ellipses, and
// rational Bézier curves, which every spline falls into. A piece stays of its kind under any affine map, so that what is
// drawn once and inserted with unequal scales is exact, too: its circles become ellipses. Flatten turns a chain of pieces
// into a polyline that keeps within a tolerance of it, with the true length beside it.
//
//	circle := segment.Arc(center, r3.Vector{X: 40}, r3.Vector{Y: 40}, 0, 2*math.Pi)
//	points, length, ok := segment.Flatten([]segment.Segment{circle}, segment.Scaling(25.4), 0.02, 1000)
//
// Lengths are of one unit throughout: the drawing's, and that of the map's result. A line's and a circle's length has a
// closed form; an ellipse's and a Bézier curve's is integrated to about 1e-11 of it.
package segment

import (
	"math"

	"github.com/golang/geo/r3"
)

type kind uint8

const (
	straight kind = iota
	arc           // of a circle or an ellipse
	bezier        // rational, of any degree
)

// Segment is a piece of a curve.
type Segment struct {
	kind     kind
	From, To r3.Vector
	*bow            // of an arc
	poles    []pole // of a bezier, its ends included
}

// bow is what makes an arc of a segment. It stands apart, as most of a large drawing is straight.
type bow struct {
	// An arc runs through from + u(cos t - 1) + v sin t for t from 0 to sweep: u points from the centre to
	// the start, v is its conjugate. Measured from the start, arcs of huge radius keep their digits.
	u, v  r3.Vector
	sweep float64 // radians, above zero
}

// pole is a control point with its weight.
type pole struct {
	at     r3.Vector
	weight float64
}

// scaled is v times f, rounded after each product on every processor.
func scaled(v r3.Vector, f float64) r3.Vector {
	return r3.Vector{X: float64(v.X * f), Y: float64(v.Y * f), Z: float64(v.Z * f)}
}

// along returns from + u(cos t - 1) + v sin t.
func (s *Segment) along(t float64) r3.Vector {
	half := math.Sin(t / 2)
	back := float64(-2 * float64(half*half)) // cos t - 1 without its loss of digits near 0
	return s.From.Add(scaled(s.u, back)).Add(scaled(s.v, math.Sin(t)))
}

// Line is the straight segment from a to b.
func Line(a, b r3.Vector) Segment { return Segment{From: a, To: b} }

// Arc is the arc of the ellipse with the half axes given, as vectors from its centre, from the parameter start over sweep
// radians, above zero, from the first half axis towards the second. Axes that are equal in length and square to each other
// make an arc of a circle, on which the parameter is the angle; a full turn ends where it starts.
func Arc(center, first, second r3.Vector, start, sweep float64) Segment {
	sin, cos := math.Sincos(start)
	s := Segment{kind: arc, bow: &bow{sweep: sweep}}
	s.u = scaled(first, cos).Add(scaled(second, sin))
	s.v = scaled(second, cos).Sub(scaled(first, sin))
	s.From = center.Add(s.u)
	if s.To = s.along(sweep); sweep == 2*math.Pi {
		s.To = s.From
	}
	return s
}

// leastBulge is the bulge below which an arc is taken as its chord: the rise, half the bulge times the
// chord, is then below 1e-12 of the chord and the length differs by less than 1e-24 of it.
const leastBulge = 1e-12

// Bulge is the arc in a plane of one height from a to b. The bulge is the tangent of a quarter of the arc's angle,
// positive when the arc turns to the left (DXF reference, LWPOLYLINE group 42; from memory).
func Bulge(a, b r3.Vector, bulge float64) Segment {
	if math.Abs(bulge) < leastBulge {
		return Line(a, b)
	}
	chord := b.Sub(a)
	left := r3.Vector{X: -chord.Y, Y: chord.X}
	// From the middle of the chord the centre lies (1-bulge²)/(4 bulge) chords to the left.
	center := scaled(chord, 0.5).Add(scaled(left, (1/bulge-bulge)/4))
	s := Segment{kind: arc, From: a, To: b, bow: &bow{sweep: 4 * math.Atan(math.Abs(bulge))}}
	s.u = scaled(center, -1)
	s.v = r3.Vector{X: -s.u.Y, Y: s.u.X}
	if bulge < 0 {
		s.v = scaled(s.v, -1)
	}
	return s
}

// Affine maps points by p = X·px + Y·py + Z·pz + Move.
type Affine struct {
	X, Y, Z, Move r3.Vector
}

// Scaling maps lengths of one unit to another.
func Scaling(f float64) Affine {
	return Affine{X: r3.Vector{X: f}, Y: r3.Vector{Y: f}, Z: r3.Vector{Z: f}}
}

// Moving maps points by a move alone.
func Moving(by r3.Vector) Affine {
	m := Scaling(1)
	m.Move = by
	return m
}

// direction maps a difference of points.
func (m Affine) direction(v r3.Vector) r3.Vector {
	return scaled(m.X, v.X).Add(scaled(m.Y, v.Y)).Add(scaled(m.Z, v.Z))
}

func (m Affine) point(p r3.Vector) r3.Vector { return m.direction(p).Add(m.Move) }

// After returns the map that does first and then m.
func (m Affine) After(first Affine) Affine {
	return Affine{m.direction(first.X), m.direction(first.Y), m.direction(first.Z), m.point(first.Move)}
}

// Mapped returns the segment under m.
func (s *Segment) Mapped(m Affine) Segment {
	out := *s
	out.From, out.To = m.point(s.From), m.point(s.To)
	switch s.kind {
	case arc:
		out.bow = &bow{m.direction(s.u), m.direction(s.v), s.sweep}
	case bezier:
		out.poles = make([]pole, len(s.poles))
		for i, p := range s.poles {
			out.poles[i] = pole{m.point(p.at), p.weight}
		}
	}
	return out
}
