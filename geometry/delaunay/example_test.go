package delaunay_test

import (
	"errors"
	"fmt"

	"github.com/golang/geo/r2"

	"seamwright/geometry/delaunay"
)

// A square with a corner of its hole on its rim is covered but for the hole; turned round itself, the square crosses.
func ExampleTriangulate() {
	points := []r2.Point{{}, {X: 100}, {X: 100, Y: 100}, {Y: 100}, {X: 50}, {X: 70, Y: 40}, {X: 30, Y: 40}}
	square, hole := []int32{0, 1, 2, 3}, []int32{4, 5, 6}
	faces, err := delaunay.Triangulate(points, [][]int32{square, hole}, 1e-5)
	area := 0.0
	for _, f := range faces {
		a, b, c := points[f[0]], points[f[1]], points[f[2]]
		area += b.Sub(a).Cross(c.Sub(a)) / 2
	}
	fmt.Println(len(faces), area, err)

	_, err = delaunay.Triangulate(points, [][]int32{{0, 1, 3, 2}}, 1e-5)
	var cross *delaunay.Crossing
	fmt.Println(errors.As(err, &cross), cross.Place)
	// Output:
	// 6 9200 <nil>
	// true (50.000000000000, 50.000000000000)
}
