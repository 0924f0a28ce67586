package tarn

import (
	"math"

	"github.com/golang/geo/r3"
)

// seam is where sheets lie on each other along a course. The course is the weld line: at each place a frame of
// three unit vectors stands on it, along the line, across it in the plane of the sheets, and along the
// sheets' normal.
type seam struct {
	*course
	normal func(p r3.Vector) r3.Vector // roughly the sheets' normal, from the first sheet of the stack to the last
	across func(p r3.Vector) r3.Vector // roughly the positive direction across
	half   float64                     // half the width of the overlap, mm
	spread func(s float64) float64     // mm between the facing skins of the first and the last sheet; nil: they touch
}

// frame is the place on a seam at arc length s.
type frame struct {
	s                     float64
	at                    r3.Vector
	along, across, normal r3.Vector
}

func (m *seam) frame(s float64) frame {
	f := frame{s: s, at: m.point(s), along: m.tangent(s)}
	hint := m.normal(f.at)
	f.normal = hint.Sub(f.along.Mul(hint.Dot(f.along))).Normalize()
	f.across = f.normal.Cross(f.along)
	if f.across.Dot(m.across(f.at)) < 0 {
		f.across = f.across.Mul(-1)
	}
	return f
}

// mirrored is the same seam on the other hand of the cab.
func (m *seam) mirrored() *seam {
	c := *m.course
	c.at = func(t float64) r3.Vector { return mirror(m.course.at(t)) }
	out := *m
	out.course = &c
	out.normal = func(p r3.Vector) r3.Vector { return mirror(m.normal(mirror(p))) }
	out.across = func(p r3.Vector) r3.Vector { return mirror(m.across(mirror(p))) }
	return &out
}

func mirror(p r3.Vector) r3.Vector { return r3.Vector{X: p.X, Y: -p.Y, Z: p.Z} }

func (m *seam) spreadAt(s float64) float64 {
	if m.spread == nil {
		return 0
	}
	return m.spread(s)
}

// layer is the place of a sheet in a stack.
type layer int

const (
	first  layer = -1
	middle layer = 0
	last   layer = 1
)

// offset is how far along the normal the mid-surface of a sheet lies from the weld line.
func (m *seam) offset(l layer, thickness, s float64) float64 {
	return float64(l) * (m.spreadAt(s) + thickness) / 2
}

// constant returns a function for a direction that is the same everywhere.
func constant(x, y, z float64) func(r3.Vector) r3.Vector {
	v := r3.Vector{X: x, Y: y, Z: z}
	return func(r3.Vector) r3.Vector { return v }
}

// towards returns a function for directions that point to a place.
func towards(x, y, z float64) func(r3.Vector) r3.Vector {
	return func(p r3.Vector) r3.Vector { return r3.Vector{X: x, Y: y, Z: z}.Sub(p) }
}

// breathing is an air gap that comes and goes along a seam: from 0 to most, in waves of about the given length,
// so that a closed seam meets itself.
func breathing(length, wave, most float64) func(s float64) float64 {
	k := 2 * math.Pi * math.Round(length/wave) / length
	return func(s float64) float64 { return most * (1 - math.Cos(k*s)) / 2 }
}
