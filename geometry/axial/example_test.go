package axial_test

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// A wall stands 12 mm beside an axis, from 5 mm above the place on.
func ExampleView() {
	wall := &mesh.Mesh{Vertices: []r3.Vector{{X: -40, Y: 12, Z: 5}, {X: 40, Y: 12, Z: 5}, {X: 40, Y: 12, Z: 60}},
		Triangles: [][3]int32{{0, 1, 2}}}
	scene := &axial.Scene{Panels: []axial.Panel{{Name: "wall", Shape: near.NewShape(wall), Grow: 0.5}}}
	var v axial.View
	v.Turn(scene, axial.NewFrame(r3.Vector{}, r3.Vector{X: 1}, r3.Vector{Z: 1}), nil)
	v.Walk(func(b *axial.Block, grow float64) bool { return b.In <= 30+grow }, func(t *axial.Facet) {
		fmt.Printf("%s: %.1f mm of air beside the axis, from %.0f to %.0f mm high\n", scene.Name(int(t.Panel)), t.FromAxis()-t.Grow,
			t.Low, t.High)
		if s, ok := axial.ShadowOf(t, 0, 20, false); ok {
			from, to, _ := s.Lengthwise(0, 1, 8)
			fmt.Printf("up to 20 mm high, within 8 mm of the direction along y: from %.0f to %.0f mm\n", from, to)
		}
	})
	// Output:
	// wall: 11.5 mm of air beside the axis, from 5 to 60 mm high
	// up to 20 mm high, within 8 mm of the direction along y: from 12 to 12 mm
}
