package segment

import (
	"math"
)

// length is the segment's true length.
func (s *Segment) length() float64 {
	switch s.kind {
	case arc:
		return s.arcLength()
	case bezier:
		return bezierLength(s.poles)
	}
	return s.To.Sub(s.From).Norm()
}

// roundness is the relative difference of the two half axes below which an arc counts as circular; the
// length by the closed form is then right to the same order.
const roundness = 1e-12

func (s *Segment) arcLength() float64 {
	a, b := s.u.Norm2(), s.v.Norm2()
	if math.Abs(a-b) <= roundness*(a+b) && math.Abs(s.u.Dot(s.v)) <= roundness*(a+b) {
		return math.Sqrt((a+b)/2) * s.sweep
	}
	speed := func(t float64) float64 {
		sin, cos := math.Sincos(t)
		return scaled(s.v, cos).Sub(scaled(s.u, sin)).Norm()
	}
	// Quarter turns, or less, are smooth enough for the rule to settle at once unless the ellipse is thin.
	parts := math.Ceil(s.sweep / (math.Pi / 2))
	sum := 0.0
	for i := 0.0; i < parts; i++ {
		sum += integral(speed, s.sweep*(i/parts), s.sweep*((i+1)/parts))
	}
	return sum
}

func bezierLength(poles []pole) float64 {
	if len(poles) == 2 {
		return poles[1].at.Sub(poles[0].at).Norm()
	}
	row := make([]pole, len(poles))
	return integral(func(t float64) float64 { return bezierSpeed(poles, row, t) }, 0, 1)
}

// bezierSpeed is the length of the derivative at t. Before the last step of de Casteljau two weighted points
// a and b are left, and the derivative is degree · wa·wb/w² · (b - a). row is scratch as long as poles.
func bezierSpeed(poles, row []pole, t float64) float64 {
	copy(row, poles)
	for n := len(row) - 1; n > 1; n-- {
		for i := range n {
			row[i] = blended(row[i], row[i+1], t)
		}
	}
	a, b := row[0], row[1]
	w := float64((1-t)*a.weight) + float64(t*b.weight)
	return float64(len(poles)-1) * (a.weight / w) * (b.weight / w) * b.at.Sub(a.at).Norm()
}

// gauss holds the positive nodes and the weights of the ten-point Gauss-Legendre rule on -1..1 (calculated
// by Newton's iteration to 24 digits; a test compares them with gonum's).
var gauss = [5][2]float64{
	{0.14887433898163122, 0.295524224714752870},
	{0.43339539412924719, 0.269266719309996355},
	{0.67940956829902441, 0.219086362515982044},
	{0.86506336668898451, 0.149451349150580593},
	{0.97390652851717172, 0.066671344308688138},
}

func tenPoint(f func(float64) float64, a, b float64) float64 {
	mid, half := (a+b)/2, (b-a)/2
	sum := 0.0
	for _, g := range gauss {
		d := float64(half * g[0])
		sum += float64(g[1] * (f(mid-d) + f(mid+d)))
	}
	return sum * half
}

// integralTolerance is the relative difference between a rule and the same rule on two halves below which
// the halves are taken; their own error is then smaller still.
const integralTolerance = 1e-12

// integral integrates a function that is never below zero, halving the range where the rule has not settled.
// Next to a cusp, or where the curve is smaller than the rounding of its coordinates, it settles for what
// mostHalvings give.
func integral(f func(float64) float64, a, b float64) float64 {
	const mostHalvings = 1000
	whole := tenPoint(f, a, b)
	q := quadrature{f: f, tolerance: integralTolerance * whole, halvings: mostHalvings}
	return q.settle(a, b, whole)
}

type quadrature struct {
	f         func(float64) float64
	tolerance float64
	halvings  int // left
}

func (q *quadrature) settle(a, b, whole float64) float64 {
	mid := (a + b) / 2
	left, right := tenPoint(q.f, a, mid), tenPoint(q.f, mid, b)
	if q.halvings == 0 || math.Abs(left+right-whole) <= q.tolerance {
		return left + right
	}
	q.halvings--
	return q.settle(a, mid, left) + q.settle(mid, b, right)
}
