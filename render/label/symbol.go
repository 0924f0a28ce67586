package label

import (
	"math"

	"seamwright/render/paper"
)

// offsets at which places for a symbol are tried, mm from where it belongs.
var offsets = []float64{3.2, 3.8, 4.5, 5.5, 6.5, 8, 10, 13}

// Beside finds a place for a symbol that covers no mark: where it belongs, else off it square to the line that it lies on, else
// anywhere about it.
func (q *Placer) Beside(at paper.Point, r float64, across paper.Point) paper.Point {
	free := q.freeFor(r)
	if free(at) {
		return at
	}
	return q.offThat(at, across, free)
}

// freeFor tells whether a symbol of a radius covers no mark at a place.
func (q *Placer) freeFor(r float64) func(c paper.Point) bool {
	return func(c paper.Point) bool {
		at := paper.Box{X0: c.X, Y0: c.Y, X1: c.X, Y1: c.Y}
		return q.cell.Grow(-r).Holds(at) && !q.near(at.Grow(r+q.widest), func(m Mark) bool { return m.At.Sub(c).Norm() < m.R+r-0.1 })
	}
}

// Off finds a place for a symbol beside where it belongs, never on it.
func (q *Placer) Off(at paper.Point, r float64, across paper.Point) paper.Point {
	return q.offThat(at, across, q.freeFor(r))
}

// offThat finds a place that is free off at, square to a line, else anywhere about it.
func (q *Placer) offThat(at, across paper.Point, free func(paper.Point) bool) paper.Point {
	for _, d := range offsets {
		for _, side := range []float64{1, -1} {
			if c := at.Add(across.Mul(side * d)); free(c) {
				return c
			}
		}
	}
	for _, d := range offsets {
		for a := range directions {
			sin, cos := math.Sincos(2 * math.Pi * float64(a) / directions)
			if c := at.Add(paper.Point{X: float64(d * cos), Y: float64(d * sin)}); free(c) {
				return c
			}
		}
	}
	return at
}
