package segment

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"
)

// Spline is a rational B-spline (NURBS): n control points, as many weights above zero, and n + Degree + 1 knots that never
// fall, the one at n above the one at Degree.
type Spline struct {
	Degree   int // 1 or more
	Knots    []float64
	Weights  []float64
	Controls []r3.Vector
}

// EvenKnots are evenly spaced knots for n control points, the first and the last repeated, so that the curve runs from the
// first control point to the last.
func EvenKnots(n, degree int) []float64 {
	knots := make([]float64, n+degree+1)
	for i := range knots {
		knots[i] = float64(min(max(0, i-degree), n-degree))
	}
	return knots
}

// Pieces cuts the spline at its knots into Bézier curves; those that stay in one place are left out. It is an error when the
// curve jumps at a knot.
func (d *Spline) Pieces() ([]Segment, error) {
	n, p := len(d.Controls), d.Degree
	var pieces []Segment
	for i := p; i < n; i++ {
		if !(d.Knots[i] < d.Knots[i+1]) {
			continue
		}
		poles := make([]pole, p+1)
		for j := range poles {
			poles[j] = d.blossom(i, j)
		}
		s := bezierOf(poles)
		if k := len(pieces); k > 0 && !near(pieces[k-1].To, s.From) {
			return nil, fmt.Errorf("broken at its knot %v", d.Knots[i])
		}
		pieces = append(pieces, s)
	}
	return withoutPoints(pieces), nil
}

func bezierOf(poles []pole) Segment {
	return Segment{kind: bezier, From: poles[0].at, To: poles[len(poles)-1].at, poles: poles}
}

// blossom is the j-th control point of the bezier between knots i and i+1: the polar form of the spline with
// the first knot taken p-j times and the second j times (Ramshaw's blossoming; from memory).
func (d *Spline) blossom(i, j int) pole {
	p := d.Degree
	row := make([]pole, p+1)
	for k := range row {
		row[k] = pole{d.Controls[i-p+k], d.Weights[i-p+k]}
	}
	for level := 1; level <= p; level++ {
		u := d.Knots[i]
		if level <= j {
			u = d.Knots[i+1]
		}
		for k := p; k >= level; k-- {
			low, high := d.Knots[i-p+k], d.Knots[i+1+k-level]
			row[k] = blended(row[k-1], row[k], (u-low)/(high-low))
		}
	}
	return row[p]
}

// near reports whether two points are one but for rounding.
func near(a, b r3.Vector) bool {
	size := math.Max(a.Norm(), b.Norm())
	return a.Sub(b).Norm() <= 1e-9*math.Max(size, 1)
}

// withoutPoints drops the segments that stay in one place.
func withoutPoints(segments []Segment) []Segment {
	var kept []Segment
	for _, s := range segments {
		moves := false
		for _, p := range s.poles[1:] {
			moves = moves || p.at != s.poles[0].at
		}
		if moves {
			kept = append(kept, s)
		}
	}
	return kept
}

// Meets reports whether a spline's pieces end where they start, but for what the rounding of knots in a file does.
func Meets(pieces []Segment) bool {
	if len(pieces) == 0 {
		return false
	}
	const rounding = 1e-5 // of the control polygon
	run := 0.0
	for _, s := range pieces {
		for i := 1; i < len(s.poles); i++ {
			run += s.poles[i].at.Sub(s.poles[i-1].at).Norm()
		}
	}
	return pieces[len(pieces)-1].To.Sub(pieces[0].From).Norm() <= rounding*run
}
