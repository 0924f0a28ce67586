package retreat_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout/retreat"
)

// The edge of a flange is turned up by 20 mm, 15 mm beside the weld: how far must the tips open for the gun to come off over it?
func ExampleTrial() {
	lip := &mesh.Mesh{Vertices: []r3.Vector{{X: -300, Y: 15}, {X: 300, Y: 15}, {X: 300, Y: 15, Z: 20}, {X: -300, Y: 15, Z: 20}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	var v axial.View
	v.Turn(&axial.Scene{Panels: []axial.Panel{{Name: "rail", Shape: near.NewShape(lip), Grow: 0.5}}},
		axial.NewFrame(r3.Vector{}, r3.Vector{X: 1}, r3.Vector{Z: 1}), nil)
	fan := axial.NewFan(72)
	trial, square := retreat.New(fan), 18 // of 72 angles: at 90 degrees to the line, out over the edge
	for _, stroke := range []float64{20, 30} {
		trial.Begin(retreat.Gun{Radius: 15, High: 115, Depth: 215, Stroke: stroke, Shank: 16, TipLong: 60}, 1, 1)
		trial.Ask(square, true)
		trial.Run(&v)
		fmt.Printf("%.0f mm, at %.0f degrees: shut %v\n", stroke, fan.Degrees(square), trial.Shut[square])
	}
	// Output:
	// 20 mm, at 90 degrees: shut true
	// 30 mm, at 90 degrees: shut false
}
