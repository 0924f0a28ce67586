package along_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout/along"
)

// Two welds on both legs of a square bend, 8 mm from it: 11.3 mm apart straight, 16 mm along the sheet.
func Example() {
	bent := &mesh.Mesh{
		Vertices:  []r3.Vector{{X: -20}, {X: -20, Y: 50}, {}, {Y: 50}, {Z: 20}, {Y: 50, Z: 20}},
		Triangles: [][3]int32{{0, 2, 3}, {0, 3, 1}, {2, 4, 5}, {2, 5, 3}},
	}
	a, b := r3.Vector{X: -8, Y: 25}, r3.Vector{Y: 25, Z: 8}
	fmt.Printf("%.1f %.1f\n", a.Distance(b), along.New(near.NewShape(bent), 0).From(a, 20).To(b))
	// Output: 11.3 16.0
}
