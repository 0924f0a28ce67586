package model

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/reduce"
	"seamwright/layout"
)

// A plate folded square along its middle, away from the origin.
func TestLight(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vector{{X: 1000}, {X: 1000, Y: 500}, {X: 1300}, {X: 1300, Y: 500}, {X: 1300, Z: 200},
		{X: 1300, Y: 500, Z: 200}},
		Triangles: [][3]int32{{0, 2, 1}, {1, 2, 3}, {2, 4, 3}, {3, 4, 5}}}
	var b bytes.Buffer
	plan := &layout.Plan{Shell: layout.Shell{Name: "fold"}}
	light := reduce.Light{Mesh: m, Lines: [][2]int32{{0, 1}, {1, 3}, {3, 5}, {4, 5}, {2, 4}, {0, 2}, {2, 3}}, Off: 0.25}
	if err := Light(&b, plan, []LightPanel{{"a", light}, {ID: "none"}}); err != nil {
		t.Fatal(err)
	}
	raw := b.Bytes()
	n := int(binary.LittleEndian.Uint32(raw[12:]))
	var doc gltf
	if err := json.Unmarshal(raw[20:20+n], &doc); err != nil {
		t.Fatal(err)
	}
	bin := raw[20+n+8:]
	if len(doc.Nodes) != 1 || doc.Nodes[0].Name != "a" || len(doc.Meshes[0].Primitives) != 2 {
		t.Fatalf("%+v", doc)
	}
	if off, ok := doc.Scenes[0].Extras.(map[string]any)["off_mm"]; !ok || off != 0.25 {
		t.Errorf("the scene says %v", doc.Scenes[0].Extras)
	}
	edges := doc.Accessors[*doc.Meshes[0].Primitives[1].Indices]
	if edges.Count != 2*7 { // six free edges and the fold
		t.Errorf("%d ends of lines, want 14", edges.Count)
	}
	view := doc.BufferViews[doc.Accessors[doc.Meshes[0].Primitives[0].Attributes["POSITION"]].BufferView]
	for i, want := range m.Vertices {
		var got [3]float64
		for k := range 3 {
			v := binary.LittleEndian.Uint16(bin[view.ByteOffset+view.Stride*i+2*k:])
			got[k] = float64(v)*float64(doc.Nodes[0].Scale[k]) + float64(doc.Nodes[0].Translation[k])
		}
		if d := (r3.Vector{X: got[0], Y: got[1], Z: got[2]}).Distance(want); d > 500.0/60000 {
			t.Errorf("vertex %d is %g mm off", i, d)
		}
	}
	m.Vertices[0].X = math.NaN()
	if err := Light(&b, plan, []LightPanel{{"a", light}}); err == nil {
		t.Error("a panel without a size was written")
	}
}
