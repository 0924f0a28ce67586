package drawing

import (
	"math"

	"github.com/golang/geo/r3"
)

// segmentKind tells the three kinds of curve apart that every entity is made of. Each kind stays what it is
// under any affine map, so that a block may be inserted with unequal scales: its circles become ellipses.
type segmentKind uint8

const (
	straight segmentKind = iota
	arc                  // of a circle or an ellipse
	bezier               // rational, of any degree
)

// segment is a piece of a curve.
type segment struct {
	kind     segmentKind
	from, to r3.Vector
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
func (s *segment) along(t float64) r3.Vector {
	half := math.Sin(t / 2)
	back := float64(-2 * float64(half*half)) // cos t - 1 without its loss of digits near 0
	return s.from.Add(scaled(s.u, back)).Add(scaled(s.v, math.Sin(t)))
}

// circleArc is the arc about center from the angle start, anticlockwise, in the plane of the unit vectors x and y.
func circleArc(center, x, y r3.Vector, radius, start, sweep float64) segment {
	sin, cos := math.Sincos(start)
	s := segment{kind: arc, bow: &bow{sweep: sweep}}
	s.u = scaled(x, float64(radius*cos)).Add(scaled(y, float64(radius*sin)))
	s.v = scaled(y, float64(radius*cos)).Sub(scaled(x, float64(radius*sin)))
	s.from = center.Add(s.u)
	s.to = s.along(sweep)
	return s
}

// ellipseArc is the arc of the ellipse with the half axes given from the parameter start.
func ellipseArc(center, major, minor r3.Vector, start, sweep float64) segment {
	sin, cos := math.Sincos(start)
	s := segment{kind: arc, bow: &bow{sweep: sweep}}
	s.u = scaled(major, cos).Add(scaled(minor, sin))
	s.v = scaled(minor, cos).Sub(scaled(major, sin))
	s.from = center.Add(s.u)
	s.to = s.along(sweep)
	return s
}

// leastBulge is the bulge below which an arc is taken as its chord: the rise, half the bulge times the
// chord, is then below 1e-12 of the chord and the length differs by less than 1e-24 of it.
const leastBulge = 1e-12

// bulged is the piece of a polyline in the xy plane from a to b. The bulge is the tangent of a quarter of
// the arc's angle, positive when the arc turns to the left (DXF reference, LWPOLYLINE group 42; from memory).
func bulged(a, b r3.Vector, bulge float64) segment {
	if math.Abs(bulge) < leastBulge {
		return segment{kind: straight, from: a, to: b}
	}
	chord := b.Sub(a)
	left := r3.Vector{X: -chord.Y, Y: chord.X}
	// From the middle of the chord the centre lies (1-bulge²)/(4 bulge) chords to the left.
	center := scaled(chord, 0.5).Add(scaled(left, (1/bulge-bulge)/4))
	s := segment{kind: arc, from: a, to: b, bow: &bow{sweep: 4 * math.Atan(math.Abs(bulge))}}
	s.u = scaled(center, -1)
	s.v = r3.Vector{X: -s.u.Y, Y: s.u.X}
	if bulge < 0 {
		s.v = scaled(s.v, -1)
	}
	return s
}

// affine maps points by p = x·px + y·py + z·pz + move.
type affine struct {
	x, y, z, move r3.Vector
}

// scaling maps lengths in a drawing's unit to millimetres.
func scaling(f float64) affine {
	return affine{x: r3.Vector{X: f}, y: r3.Vector{Y: f}, z: r3.Vector{Z: f}}
}

func moving(by r3.Vector) affine {
	m := scaling(1)
	m.move = by
	return m
}

// direction maps a difference of points.
func (m affine) direction(v r3.Vector) r3.Vector {
	return scaled(m.x, v.X).Add(scaled(m.y, v.Y)).Add(scaled(m.z, v.Z))
}

func (m affine) point(p r3.Vector) r3.Vector { return m.direction(p).Add(m.move) }

// after returns the map that does first and then m.
func (m affine) after(first affine) affine {
	return affine{m.direction(first.x), m.direction(first.y), m.direction(first.z), m.point(first.move)}
}

// mapped returns the segment under m.
func (s *segment) mapped(m affine) segment {
	out := *s
	out.from, out.to = m.point(s.from), m.point(s.to)
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

// objectFrame returns the map from the object coordinate system of an entity with the extrusion direction
// given to the world: the arbitrary axis algorithm (DXF reference, "Arbitrary axis algorithm"; from memory).
// A zero direction counts as (0,0,1).
func objectFrame(extrusion r3.Vector) affine {
	const shortest = 1e-9 // a direction that is not zero by intent has a length of about 1
	length := extrusion.Norm()
	if length < shortest || (extrusion.X == 0 && extrusion.Y == 0 && extrusion.Z > 0) {
		return scaling(1)
	}
	n := scaled(extrusion, 1/length)
	const nearPole = 1.0 / 64
	aside := r3.Vector{Z: 1}
	if math.Abs(n.X) < nearPole && math.Abs(n.Y) < nearPole {
		aside = r3.Vector{Y: 1}
	}
	x := unit(aside.Cross(n))
	return affine{x: x, y: unit(n.Cross(x)), z: n}
}

// unit returns v with length 1; v is not zero and not extreme.
func unit(v r3.Vector) r3.Vector { return scaled(v, 1/v.Norm()) }
