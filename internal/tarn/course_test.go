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

func TestRoundedPolygon(t *testing.T) {
	at, length := rounded([]corner{{100, 0, 20}, {100, 60, 20}, {0, 60, 20}, {0, 0, 20}})
	if want := 2*(100+60) - (8-2*math.Pi)*20; !(math.Abs(length-want) <= 1e-9) {
		t.Errorf("length %g, want %g", length, want)
	}
	// Round corners: at no place further out than the rectangle, and 20 mm round its corners' centres.
	for s := 0.0; s < length; s += 0.7 {
		x, y := at(s)
		if x < -1e-9 || x > 100+1e-9 || y < -1e-9 || y > 60+1e-9 {
			t.Fatalf("%g: (%g, %g)", s, x, y)
		}
		if x > 80 && y > 40 && !(math.Abs(math.Hypot(x-80, y-40)-20) <= 1e-9) {
			t.Fatalf("%g: (%g, %g) is not on the corner", s, x, y)
		}
	}
	x0, y0 := at(0)
	if x, y := at(length); math.Hypot(x-x0, y-y0) > 1e-9 {
		t.Errorf("does not close: (%g, %g)", x, y)
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
