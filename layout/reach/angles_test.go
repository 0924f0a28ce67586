package reach_test

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout/reach"
	"seamwright/seams/shell"
)

func rectangle(x0, y0, x1, y1, z float64) *near.Shape {
	return near.NewShape(&mesh.Mesh{Vertices: []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z},
		{X: x0, Y: y1, Z: z}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}})
}

// Two plates with a common edge 10 mm beyond the weld, a low bench under them on one side of it, and one that is not there: the gun
// is free where its back stands beyond the edge, but for where the bench is.
func TestAngles(t *testing.T) {
	scene := &axial.Scene{Panels: []axial.Panel{{Name: "roof", Shape: rectangle(-300, -300, 300, 10, 0.5), Grow: 0.5},
		{Name: "rail", Shape: rectangle(-300, -300, 300, 10, -0.5), Grow: 0.5},
		{Name: "bench", Shape: rectangle(20, 20, 300, 300, -90), Grow: 0.5},
		{Name: "later", Shape: rectangle(-300, -300, 300, 300, 60), Grow: 0.5}}}
	tool := reach.Tool{Gun: shell.Gun{ID: "light", ThroatDepth: 100, ThroatGap: 200, Arm: 30},
		Tip: shell.Tip{ID: "domed", Face: 6, Shank: 16, Length: 60}}
	weld := reach.Weld{Line: "f1", Along: r3.Vector{X: 1}, Axis: r3.Vector{Z: 1}, Stack: 2, Sheets: []int{0, 1}, Absent: []int{3}}
	angles, err := reach.Angles(scene, weld, tool, reach.Lean{}, reach.Options{})
	if err != nil || len(angles) != 72 {
		t.Fatal(len(angles), err)
	}
	for turn, want := range map[int]string{90: "", 120: "", 145: "", 45: "bench", 60: "bench", 270: "roof", 200: "roof", 180: "roof"} {
		if a := angles[turn/5]; a.Turn != float64(turn) || a.Panel != want || (a.Air > 0) != (want == "") || a.Off {
			t.Errorf("at %d degrees: %+v, want blocked by %q", turn, a, want)
		}
	}
	// It is what Find goes by.
	found, err := reach.Find(t.Context(), scene, []reach.Weld{weld}, []reach.Tool{tool}, reach.Options{})
	if err != nil || len(found[0].Poses) != 1 || angles[int(found[0].Poses[0].Turn)/5].Air != found[0].Poses[0].Clearance {
		t.Errorf("%v: %+v", err, found)
	}
	weld.Along = r3.Vector{}
	if _, err := reach.Angles(scene, weld, tool, reach.Lean{}, reach.Options{}); err == nil {
		t.Error("a weld without a frame was looked at")
	}
}

// Between two walls that a gun can stand between but whose rims it cannot pass opened, it stands and does not come off.
func TestAnglesOff(t *testing.T) {
	scene := &axial.Scene{Panels: []axial.Panel{{Name: "roof", Shape: rectangle(-40, -40, 40, 10, 0.5), Grow: 0.5},
		{Name: "rail", Shape: rectangle(-40, -40, 40, 10, -0.5), Grow: 0.5},
		{Name: "lip", Shape: near.NewShape(&mesh.Mesh{Vertices: []r3.Vector{{X: -40, Y: 30, Z: -12}, {X: 40, Y: 30, Z: -12},
			{X: 0, Y: 30, Z: 12}}, Triangles: [][3]int32{{0, 1, 2}}}), Grow: 0.5}}}
	tool := reach.Tool{Gun: shell.Gun{ID: "light", ThroatDepth: 100, ThroatGap: 200, Arm: 30, Stroke: 8},
		Tip: shell.Tip{ID: "domed", Face: 6, Shank: 16, Length: 60}}
	weld := reach.Weld{Line: "f1", Along: r3.Vector{X: 1}, Axis: r3.Vector{Z: 1}, Stack: 2, Sheets: []int{0, 1}}
	angles, err := reach.Angles(scene, weld, tool, reach.Lean{}, reach.Options{WayOff: true})
	if err != nil {
		t.Fatal(err)
	}
	if a := angles[90/5]; !a.Off || a.Panel != "lip" || a.Air != 0 {
		t.Errorf("towards the lip: %+v", a)
	}
	if a := angles[0]; a.Off || a.Panel != "" || a.Air <= 0 {
		t.Errorf("beside it: %+v", a)
	}
}
