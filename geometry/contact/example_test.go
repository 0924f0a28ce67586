package contact_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/contact"
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

func assembly(sheets ...surface.Sheet) *stackup.Assembly {
	var wholes []surface.Whole
	for _, s := range sheets {
		wholes = append(wholes, surface.WholeOf(s.Mesh))
	}
	limits := stackup.Limits{SearchGap: 1, AngleLimit: 8, ClampGap: 3, ClampAngle: 10, UnknownReach: 3}
	all, err := stackup.NewAssembly(context.Background(), sheets, wholes, limits, 1)
	if err != nil {
		panic(err)
	}
	return all
}

func ExampleWorkspace_Laps() {
	all := assembly(surface.Sheet{Mesh: plate(0, 0), Thickness: 0.8}, surface.Sheet{Mesh: plate(25.3, 0.9), Thickness: 1})
	var in contact.Workspace
	_, laps, err := in.Laps(context.Background(), in.Host(all, 0))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, lap := range laps {
		fmt.Printf("sheets %d over %.3f mm²\n", lap.Stack.Sheets(), lap.Area()) // 14.7 by 20 mm
		loop := lap.Loops()[0]
		fmt.Println(lap.End(loop[0], loop[1]).Why, "all round:", lap.ReachesFreeEdge(lap.Loops()))
	}
	// Output:
	// sheets [0 1] over 294.000 mm²
	// free edge all round: true
}
