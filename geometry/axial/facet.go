package axial

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Facet is a triangle in a frame with what rules it out quickly.
type Facet struct {
	A, B, C   r3.Vector
	Low, High float64 // bounds of z
	Circle            // about its middle
	Grow      float64 // mm of metal beyond it, as of its panel
	Place
}

// bound sets what rules the facet out quickly.
func (t *Facet) bound() {
	t.Low = min(t.A.Z, min(t.B.Z, t.C.Z))
	t.High = max(t.A.Z, max(t.B.Z, t.C.Z))
	mx, my := (t.A.X+t.B.X+t.C.X)/3, (t.A.Y+t.B.Y+t.C.Y)/3
	size2 := 0.0
	for _, v := range [3]r3.Vector{t.A, t.B, t.C} {
		x, y := v.X-mx, v.Y-my
		size2 = max(size2, float64(x*x)+float64(y*y))
	}
	t.set(mx, my, math.Sqrt(size2))
}

// Ahead is how far a facet reaches along a direction.
func (t *Facet) Ahead(cos, sin float64) float64 {
	return max(float64(t.A.X*cos)+float64(t.A.Y*sin), float64(t.B.X*cos)+float64(t.B.Y*sin), float64(t.C.X*cos)+float64(t.C.Y*sin))
}

// Between reports whether part of a facet may lie between two heights; mirrored as in ShadowOf.
func (t *Facet) Between(low, high float64, mirrored bool) bool {
	if mirrored {
		return -t.High <= high && -t.Low >= low
	}
	return t.Low <= high && t.High >= low
}

// FromAxis is the distance of the facet from the axis.
func (t *Facet) FromAxis() float64 {
	s := Shadow{n: 3}
	for k, v := range [3]r3.Vector{t.A, t.B, t.C} {
		s.corner[k] = r2.Point{X: v.X, Y: v.Y}
	}
	return s.FromAxis()
}
