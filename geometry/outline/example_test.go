package outline_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/outline"
)

// Two sides of a plate drawn as loose lines are chained into its outline.
func ExampleChain() {
	line := func(points ...r3.Vector) drawing.Path {
		length := 0.0
		for i := 1; i < len(points); i++ {
			length += points[i].Distance(points[i-1])
		}
		return drawing.Path{Layer: "edge", Kind: "LINE", Points: points, Length: length}
	}
	a, b, c, d := r3.Vector{}, r3.Vector{X: 100}, r3.Vector{X: 100, Y: 60}, r3.Vector{Y: 60}
	chained, _ := outline.Chain([]drawing.Path{line(a, b, c), line(a, d, c)})
	for _, p := range chained {
		fmt.Printf("%s %s: %.2f mm, closed %v\n", p.Layer, p.Kind, p.Length, p.Closed)
	}
	// Output: edge CHAIN: 320.00 mm, closed true
}

func ExampleFill() {
	plate := []r3.Vector{{}, {X: 100}, {X: 100, Y: 60}, {Y: 60}}
	hole := []r3.Vector{{X: 20, Y: 20}, {X: 40, Y: 20}, {X: 30, Y: 40}}
	m, err := outline.Fill([][]r3.Vector{plate, hole})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(m.Triangles), m.Area())
	// Output: 7 5800
}
