package tarn

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
)

func TestCourseMeasuresACircle(t *testing.T) {
	const r = 270.0
	c := newCourse(func(a float64) r3.Vector {
		sin, cos := math.Sincos(a)
		return r3.Vector{X: r * cos, Y: r * sin}
	}, 0, 2*math.Pi, true)
	if d := math.Abs(c.length() - 2*math.Pi*r); d > 1e-3 {
		t.Errorf("length off by %g", d)
	}
	if p := c.point(c.length() / 4); !(p.Sub(r3.Vector{Y: r}).Norm() <= 1e-3) {
		t.Errorf("a quarter of the way: %v", p)
	}
	if p, q := c.point(10), c.point(10+c.length()); !(p.Sub(q).Norm() <= 1e-9) {
		t.Errorf("%v and %v a whole turn apart", p, q)
	}
	at := c.steps(0, c.length(), 50, 0.03)
	for i := range at[:len(at)-1] {
		a, b := c.point(at[i]), c.point(at[i+1])
		if sag := r - a.Add(b).Norm()/2; sag > 0.0301 {
			t.Fatalf("sag %.4f mm", sag)
		}
	}
}

func TestTurnLeavesTheFlangeAtOnce(t *testing.T) {
	ahead, side := r3.Vector{X: 1}, r3.Vector{Z: 1}
	points, end := turn(head{r3.Vector{}, ahead}, side, 4, 90, 4)
	if a := points[0].Angle(ahead).Degrees(); a < 9 {
		t.Errorf("the first facet turns by %.1f degrees only", a)
	}
	if !(end.at.Sub(r3.Vector{X: 4, Z: 4}).Norm() <= 1e-12) || !(end.ahead.Sub(side).Norm() <= 1e-12) {
		t.Errorf("ends at %v towards %v", end.at, end.ahead)
	}
}
