package cull_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/cull"
	"seamwright/geometry/mesh"
)

// strip is a row of squares of 10 mm along x.
func strip(from, y float64, squares int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range squares + 1 {
		x := from + 10*float64(i)
		m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: y}, r3.Vector{X: x, Y: y + 10})
	}
	for i := range int32(squares) {
		a := 2 * i
		m.Triangles = append(m.Triangles, [3]int32{a, a + 2, a + 1}, [3]int32{a + 1, a + 2, a + 3})
	}
	return m
}

func ExampleNearParts() {
	long, short := strip(0, 0, 200), strip(900, 12, 10)
	parts, err := cull.NearParts(context.Background(), []*mesh.Mesh{long, short}, 5, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(parts[0].Triangles) < len(long.Triangles)/5, len(parts[1].Triangles) == len(short.Triangles))
	// Output: true true
}
