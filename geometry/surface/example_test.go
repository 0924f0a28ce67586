package surface_test

import (
	"fmt"

	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
	"seamwright/geometry/surface"

	"github.com/golang/geo/r3"
)

// bracket is two plates of 20 by 30 mm that meet at a right angle.
func bracket() *mesh.Mesh {
	return &mesh.Mesh{
		Vertices: []r3.Vector{{}, {X: 20}, {X: 20, Y: 30}, {Y: 30}, {Z: 20}, {Y: 30, Z: 20}},
		Triangles: [][3]int32{
			{0, 1, 2}, {0, 2, 3}, // level
			{0, 3, 5}, {0, 5, 4}, // upright
		},
	}
}

func ExamplePanel_Faces() {
	p := surface.NewPanel(surface.Sheet{Mesh: bracket(), Thickness: 0.8}, surface.Whole{}, 8, 1)
	fmt.Println(p.Faces())
	fmt.Println(p.Ends(0, 0) == region.FreeEdge, p.Ends(0, 2) == region.FreeEdge)
	fmt.Println(p.Sheet.Metal(false)) // behind the mesh and before it: it shows the middle of the sheet
	// Output:
	// [[0 1] [2 3]]
	// true false
	// 0.4 0.4
}
