package fill_test

import (
	"fmt"

	"github.com/golang/geo/r2"

	"seamwright/internal/tarn/fill"
)

func Example() {
	square := []r2.Point{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 60, Y: 60}, {X: 0, Y: 60}}
	inside, triangles, err := fill.Region([][]r2.Point{square}, nil, 15, 27)
	fmt.Println(len(inside), "points inside,", len(triangles), "triangles", err)
	// Output: 7 points inside, 16 triangles <nil>
}
