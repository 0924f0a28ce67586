package tooling

import (
	"context"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout/reach"
	"seamwright/seams/shell"
)

// A clamp stands on one weld and beside the shank of another: of the panels it is what has to be out of the way of both.
func TestWithoutAClamp(t *testing.T) {
	plate := func(z float64) axial.Panel {
		return axial.Panel{Shape: near.NewShape(&mesh.Mesh{
			Vertices:  []r3.Vector{{X: -300, Y: -300, Z: z}, {X: 300, Y: -300, Z: z}, {X: 300, Y: 15, Z: z}, {X: -300, Y: 15, Z: z}},
			Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
		}), Grow: 0.5}
	}
	clamp := reach.Clamp("clamp C4", r3.Vector{X: 30}, r3.Vector{Z: 1}, 20, reach.ClampHeight)
	s := &axial.Scene{Panels: []axial.Panel{plate(0.5), plate(-0.5), clamp}}
	tool := reach.Tool{Gun: shell.Gun{ID: "g", ThroatDepth: 200, ThroatGap: 200, Arm: 30},
		Tip: shell.Tip{ID: "round", Face: 6, Shank: 16, Length: 60}}
	at := func(x float64) reach.Weld {
		return reach.Weld{Line: "f", Position: r3.Vector{X: x}, Along: r3.Vector{X: 1}, Axis: r3.Vector{Z: 1}, Stack: 2, Sheets: []int{0, 1}}
	}
	for _, welds := range [][]reach.Weld{{at(5)}, {at(5), at(40)}} {
		h, err := Without(context.Background(), s, welds, []reach.Tool{tool}, [][]int{{0}, {1}, {2}}, reach.Options{WayOff: true})
		if err != nil || h.Group != 2 || h.Welds != len(welds) || h.Pose.Clearance != 10 {
			t.Errorf("without the clamp: %+v, %v", h, err)
		}
	}
	h, err := Without(context.Background(), s, []reach.Weld{at(5)}, []reach.Tool{tool}, [][]int{{0}, {1}}, reach.Options{WayOff: true})
	if err != nil || h.Group != -1 {
		t.Errorf("no sheet of the stack is taken away: %+v, %v", h, err)
	}
}
