package segment_test

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/segment"
)

// A hole of 1 inch drawn in inches, stretched to twice its height: an ellipse with half axes of 12.7 and 25.4 mm.
func ExampleFlatten() {
	hole := segment.Arc(r3.Vector{}, r3.Vector{X: .5}, r3.Vector{Y: .5}, 0, 2*math.Pi)
	stretch := segment.Scaling(25.4)
	stretch.Y.Y *= 2
	points, length, ok := segment.Flatten([]segment.Segment{hole}, stretch, 0.02, 1000)
	fmt.Printf("%d points, %.4f mm round, %v\n", len(points), length, ok)
	// Output: 81 points, 123.0433 mm round, true
}

// A circle as an exact spline of degree 2: nine control points in a square, the corners with less weight.
func ExampleSpline() {
	const c = math.Sqrt2 / 2
	circle := segment.Spline{
		Degree:  2,
		Knots:   []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4},
		Weights: []float64{1, c, 1, c, 1, c, 1, c, 1},
		Controls: []r3.Vector{
			{X: 10}, {X: 10, Y: 10}, {Y: 10}, {X: -10, Y: 10}, {X: -10}, {X: -10, Y: -10}, {Y: -10}, {X: 10, Y: -10}, {X: 10},
		},
	}
	pieces, err := circle.Pieces()
	_, length, _ := segment.Flatten(pieces, segment.Scaling(1), 0.02, 1000)
	fmt.Printf("%d pieces, %.9f of two pi, closed %v, %v\n", len(pieces), length/10, segment.Meets(pieces), err)
	// Output: 4 pieces, 6.283185307 of two pi, closed true, <nil>
}
