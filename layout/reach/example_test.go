package reach_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout/reach"
	"seamwright/seams/shell"
)

// Two plates overlap up to a common edge 10 mm from the weld: the gun reaches round it.
func ExampleFind() {
	plate := func(z float64) *near.Shape {
		return near.NewShape(&mesh.Mesh{
			Vertices:  []r3.Vector{{X: -300, Y: -300, Z: z}, {X: 300, Y: -300, Z: z}, {X: 300, Y: 10, Z: z}, {X: -300, Y: 10, Z: z}},
			Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
		})
	}
	scene := &axial.Scene{Panels: []axial.Panel{{Name: "roof", Shape: plate(0.5), Grow: 0.5}, {Name: "rail", Shape: plate(-0.5), Grow: 0.5}}}
	tools := []reach.Tool{{
		Gun: shell.Gun{ID: "light", ThroatDepth: 100, ThroatGap: 200, Arm: 30},
		Tip: shell.Tip{ID: "domed", Face: 6, Shank: 16, Length: 60},
	}}
	welds := []reach.Weld{
		{Line: "f1", Along: r3.Vector{X: 1}, Axis: r3.Vector{Z: 1}, Stack: 2, Sheets: []int{0, 1}},
		{Line: "f2", Position: r3.Vector{Y: -110}, Along: r3.Vector{X: 1}, Axis: r3.Vector{Z: 1}, Stack: 2, Sheets: []int{0, 1}},
	}
	results, err := reach.Find(context.Background(), scene, welds, tools, reach.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, r := range results {
		for _, p := range r.Poses {
			fmt.Printf("weld %d: %s at %.0f degrees, %.0f mm of air\n", i+1, tools[p.Tool].Gun.ID, p.Turn, p.Clearance)
		}
		for _, why := range r.Reasons {
			fmt.Printf("weld %d: %s %s\n", i+1, tools[why.Tool].Gun.ID, why)
		}
	}
	// Output:
	// weld 1: light at 90 degrees, 10 mm of air
	// weld 2: light throat too shallow by 20 mm (roof)
}
