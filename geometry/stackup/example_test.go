package stackup_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// plate is 40 by 20 mm, level, with its mesh at a height.
func plate(x, z float64) *mesh.Mesh {
	return &mesh.Mesh{
		Vertices:  []r3.Vector{{X: x, Z: z}, {X: x + 40, Z: z}, {X: x + 40, Y: 20, Z: z}, {X: x, Y: 20, Z: z}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
}

var limits = stackup.Limits{SearchGap: 1, AngleLimit: 8, ClampGap: 3, ClampAngle: 10, UnknownReach: 3}

func ExampleHost_Classify() {
	sheets := []surface.Sheet{{Mesh: plate(0, 0), Thickness: 0.8}, {Mesh: plate(25, 1.2), Thickness: 1}}
	wholes := []surface.Whole{surface.WholeOf(sheets[0].Mesh), surface.WholeOf(sheets[1].Mesh)}
	all, err := stackup.NewAssembly(context.Background(), sheets, wholes, limits, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	host := all.On(0, false, &stackup.Workspace{})
	up := r3.Vector{Z: 1}
	on := host.Classify(r3.Vector{X: 30, Y: 10}, up)
	fmt.Printf("sheets %d with %.1f mm of air\n", on.Stack.Sheets(), on.Gap)
	beside := host.Classify(r3.Vector{X: 24, Y: 10}, up)
	fmt.Printf("sheets %d: sheet %d ends at a %s\n", beside.Stack.Sheets(), beside.Whose, beside.Why)
	// Output:
	// sheets [0 1] with 0.3 mm of air
	// sheets []: sheet 1 ends at a free edge
}
