package roller

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/seams/rule"
)

// Wheel is a pair of roller electrodes.
type Wheel struct {
	Width       float64 // mm of the face
	LeastRadius float64 // mm of the path, stated by the works; 0: by the rule book
}

// Radius is the least radius, mm, that a path may turn with in the plane of the sheets: the works' own figure, or
// the rule book's multiple of the wheel's width.
func (w Wheel) Radius(book rule.Rules) (rule.Limit, error) {
	const id = "roller.radius.least"
	if w.LeastRadius > 0 {
		return rule.Limit{Rule: id, Value: w.LeastRadius, Unit: "mm", Source: "stated by the shell file", Certainty: rule.Stated,
			From: rule.FromShell}, nil
	}
	if book == nil {
		book = rule.Book()
	}
	l, err := book.Evaluate(id, nil)
	if err != nil {
		return rule.Limit{}, err
	}
	if !(w.Width > 0) {
		return rule.Limit{}, fmt.Errorf("rule %s: the wheel's width is not known; state it", id)
	}
	l.Value, l.Unit = float64(l.Value*w.Width), "mm"
	return l, nil
}

// Bend is how a path curves at one of its points.
type Bend struct {
	Along float64 // mm from the start
	Side  float64 // 1/mm in the plane of the sheets, never below zero
	Up    float64 // 1/mm out of it; above zero where the path's hollow side faces along the normals
}

// Bends measures the curvature of a path at every point, in the plane of the sheets and out of it. Normals are those of the
// sheets at the points, of any length. The curvature is that of the circle through the points span mm before and behind (0
// means 10 mm), so that the facets of a mesh do not count as corners; an open path's first and last span mm are not
// measured, and on a closed path shorter than four spans a quarter of its length takes the place of span. On a circle
// drawn with a point every 1 to 2 mm the radius comes out at most half a percent too small.
func Bends(path, normals []r3.Vector, closed bool, span float64) ([]Bend, error) {
	if len(path) != len(normals) {
		return nil, fmt.Errorf("roller path: %d points but %d normals", len(path), len(normals))
	}
	if span == 0 {
		span = 10
	}
	if !(span > 0) || math.IsInf(span, 0) {
		return nil, fmt.Errorf("roller path: span of %g mm: give a length above zero", span)
	}
	p := measure(path, closed)
	if closed {
		span = math.Min(span, p.length/4)
	}
	out := make([]Bend, len(path))
	for i := range path {
		out[i].Along = p.s[i]
		before, ok1 := p.at(p.s[i] - span)
		after, ok2 := p.at(p.s[i] + span)
		if !ok1 || !ok2 {
			continue
		}
		bend := curvature(before, path[i], after)
		n := normals[i].Normalize()
		out[i].Up = bend.Dot(n)
		out[i].Side = bend.Sub(n.Mul(out[i].Up)).Norm()
	}
	return out, nil
}

// curvature of the circle through three points, pointing from b to its centre, in 1/mm.
func curvature(a, b, c r3.Vector) r3.Vector {
	u, v := a.Sub(b), c.Sub(b)
	cross := u.Cross(v)
	area2 := cross.Norm2()
	// Straight to a part in 10^12 of the lengths: no circle.
	if area2 <= 1e-24*u.Norm2()*v.Norm2() {
		if u.Dot(v) <= 0 {
			return r3.Vector{}
		}
		// The path turns back on itself: the least circle through b and its way back.
		return u.Mul(2 / u.Norm2())
	}
	center := v.Mul(u.Norm2()).Sub(u.Mul(v.Norm2())).Cross(cross).Mul(1 / (2 * area2))
	return center.Mul(1 / center.Norm2())
}

// measured is a path with its arc length at each point.
type measured struct {
	path   []r3.Vector
	s      []float64
	length float64
	closed bool
}

func measure(path []r3.Vector, closed bool) measured {
	m := measured{path: path, s: make([]float64, len(path)), closed: closed}
	for i := 1; i < len(path); i++ {
		m.s[i] = m.s[i-1] + path[i].Sub(path[i-1]).Norm()
	}
	if len(path) > 0 {
		m.length = m.s[len(path)-1]
		if closed {
			m.length += path[0].Sub(path[len(path)-1]).Norm()
		}
	}
	return m
}

// at is the point at an arc length; outside an open path there is none.
func (m measured) at(s float64) (r3.Vector, bool) {
	if m.length == 0 {
		return r3.Vector{}, false
	}
	if m.closed {
		s = math.Mod(s, m.length)
		if s < 0 {
			s += m.length
		}
	} else if s < 0 || s > m.length {
		return r3.Vector{}, false
	}
	lo, hi := 0, len(m.s)
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; m.s[mid] <= s {
			lo = mid
		} else {
			hi = mid
		}
	}
	next, end := (lo+1)%len(m.path), m.length
	if lo+1 < len(m.s) {
		end = m.s[lo+1]
	}
	if end <= m.s[lo] {
		return m.path[lo], true
	}
	f := (s - m.s[lo]) / (end - m.s[lo])
	return m.path[lo].Add(m.path[next].Sub(m.path[lo]).Mul(f)), true
}
