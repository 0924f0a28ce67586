package rollers_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/layout/rollers"
)

// A gutter of 1.2 m, 14 mm between its two bends, rolled at 30 mm/s.
func ExampleLay() {
	var line []flange.LinePoint
	for s := 0.0; s <= 1200; s += 2 {
		line = append(line, flange.LinePoint{S: s, Point: r3.Vector{X: s}, Along: r3.Vector{X: 1}, Across: r3.Vector{Y: 1}, Axis: r3.Vector{Z: 1},
			Left: 7, Right: 7, LeftEdge: flange.Bend, RightEdge: flange.Bend})
	}
	path, err := rollers.Lay(rollers.Request{Line: rollers.Line{ID: "f1", Stations: line}, Wheel: 6, Diameter: 200, LeastRadius: 60, Edge: 5,
		Bend: 1, Speed: 30})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mm, %.0f s, %d problems\n", path.Length, path.Seconds, len(path.Problems))
	// Output: 1200 mm, 40 s, 0 problems
}
