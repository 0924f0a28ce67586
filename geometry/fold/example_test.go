package fold_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/fold"
	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
	"seamwright/geometry/surface"
)

// Two angles lie in each other, so that they are in contact on both legs and round the corner: each leg is a strip of its own.
func ExampleFlats() {
	angle := &mesh.Mesh{
		Vertices:  []r3.Vector{{}, {X: 20}, {X: 20, Y: 30}, {Y: 30}, {Z: 20}, {Y: 30, Z: 20}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 3, 5}, {0, 5, 4}},
	}
	host := surface.NewPanel(surface.Sheet{Mesh: angle, Thickness: 0.8}, surface.Whole{}, 8, 1)
	contact := &region.Region{Mesh: angle, Topo: angle.Topology()}
	fmt.Println(fold.Flats(contact, host, nil, nil))
	// Output: [[0 1] [2 3]]
}
