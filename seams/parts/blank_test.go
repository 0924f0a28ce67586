package parts_test

import (
	"context"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/seams/parts"
)

const floorLayers = "layers: [{layer: outline, role: outline}, {layer: OPENING, role: hole}, {layer: seam, role: weld-line}, {layer: " +
	"bracket, role: keep-out}]"

func floor(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("testdata/floor.csv")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Outline less hole is sheet; weld lines and keep-outs are kept in their place; what has no role is said.
func TestLoadBlank(t *testing.T) {
	sh := read(t, folder(t, map[string]any{"floor.csv": floor(t)}),
		"  - {id: f, outline: floor.csv, steel: s, place: {mirror_y: true, move_mm: [0, 0, 10]}, "+floorLayers+"}\n")
	p := load(t, sh)[0]
	if want := 400.0*300 - 50*50; !(math.Abs(p.Area-want) <= 1e-6) || p.Sheet.Mesh.Name != "f" {
		t.Errorf("area %g, want %g", p.Area, want)
	}
	for i := range p.Sheet.Mesh.Triangles {
		if n := p.Sheet.Mesh.Normal(i); n.Distance(r3.Vector{Z: 1}) > 1e-12 {
			t.Errorf("normal %v: a mirrored blank keeps its upper side up", n)
		}
	}
	for _, v := range p.Sheet.Mesh.Vertices {
		if v.Z != 10 || v.Y > 0 || v.Y < -300 {
			t.Errorf("corner %v is not in its place", v)
		}
	}
	if len(p.WeldLines) != 1 || p.WeldLines[0].Closed || p.WeldLines[0].Length != 380 || !slices.Equal(p.WeldLines[0].Points,
		[]r3.Vector{{X: 10, Y: -10, Z: 10}, {X: 390, Y: -10, Z: 10}}) {
		t.Errorf("weld lines: %+v", p.WeldLines)
	}
	if len(p.KeepOuts) != 1 || !p.KeepOuts[0].Closed || p.KeepOuts[0].Points[0] != (r3.Vector{X: 200, Y: -200, Z: 10}) {
		t.Errorf("keep-outs: %+v", p.KeepOuts)
	}
	if p.Drawing == nil || len(p.Drawing.Paths) != 5 || p.Drawing.Paths[2].Points[0] != (r3.Vector{X: 10, Y: 10}) {
		t.Errorf("the drawing is not as the file draws it: %+v", p.Drawing)
	}
	if !slices.Contains(p.Notes, "layer dimension: has no role in the shell file; its 1 paths are left out") {
		t.Errorf("notes: %q", p.Notes)
	}
}

// Without stated layers every closed line bounds the sheet, and open lines are left out with a note.
func TestLoadBlankWithoutLayers(t *testing.T) {
	sh := read(t, folder(t, map[string]any{"floor.csv": floor(t)}), "  - {id: f, outline: floor.csv, steel: s}\n")
	p := load(t, sh)[0]
	if want := 400.0*300 - 50*50 - 20*20; !(math.Abs(p.Area-want) <= 1e-6) {
		t.Errorf("area %g, want %g", p.Area, want)
	}
	for _, layer := range []string{"dimension", "seam"} {
		want := "layer " + layer + ": 1 open lines are no outline and are left out; give the layer the role weld-line, keep-out or ignore"
		if !slices.Contains(p.Notes, want) {
			t.Errorf("no note %q in %q", want, p.Notes)
		}
	}
	if len(p.WeldLines)+len(p.KeepOuts) != 0 {
		t.Error("lines without a role were kept")
	}
}

// stadium is a DXF file of a 2 x 1 rectangle with round ends of radius 0.5, as two lines and two arcs in no order.
func stadium() string {
	pairs := []string{"0", "SECTION", "2", "ENTITIES",
		"0", "LINE", "8", "EDGE", "10", "0", "20", "0", "11", "2", "21", "0",
		"0", "ARC", "8", "EDGE", "10", "0", "20", "0.5", "40", "0.5", "50", "90", "51", "270",
		"0", "LINE", "8", "EDGE", "10", "2", "20", "1", "11", "0", "21", "1",
		"0", "ARC", "8", "EDGE", "10", "2", "20", "0.5", "40", "0.5", "50", "270", "51", "90",
		"0", "ENDSEC", "0", "EOF"}
	return strings.Join(pairs, "\n") + "\n"
}

// Loose lines and arcs are chained into one border, and the unit in the shell file scales them.
func TestLoadBlankFromDXF(t *testing.T) {
	sh := read(t, folder(t, map[string]any{"s.dxf": stadium()}),
		"  - {id: f, outline: s.dxf, unit: inch, steel: s, layers: [{layer: edge, role: outline}]}\n")
	p := load(t, sh)[0]
	// Closed form: (2 x 1 + π/4) square inches. Chords cut a little off the arcs: less than their length times the
	// greatest distance between chord and arc.
	want := (2 + math.Pi/4) * 25.4 * 25.4
	if p.Area > want || p.Area < want-math.Pi*25.4*drawing.DefaultChord {
		t.Errorf("area %g mm², want %g", p.Area, want)
	}
}

func TestLoadBlankErrors(t *testing.T) {
	for name, c := range map[string]struct{ file, layers, want string }{
		"nothing on a layer": {floor(t), "layers: [{layer: outline, role: outline}, {layer: holes, role: hole}]",
			`panel f: floor.csv draws nothing on layer "holes"; its layers are bracket, dimension, opening, outline, seam`},
		"no closed outline": {"0,0\n10,0\n10,10\n", "",
			"panel f: floor.csv: there is no closed outline; close the blank's border, or give its layer the role outline"},
		"outline under another role": {floor(t), "layers: [{layer: outline, role: ignore}, {layer: seam, role: outline}]",
			"panel f: floor.csv: there is no closed outline; close the blank's border, or give its layer the role outline"},
		"nearly closed": {"0,0\n100,0\n100,100\n0,100\n0,2\n", "",
			"panel f: floor.csv: layer 0: a line of 398.0 mm is open between (0.000, 0.000) and (0.000, 2.000), its ends are 2 mm apart; close " +
				"it in the drawing"},
		"crossing": {"0,0\n100,100\n100,0\n0,100\n0,0\n", "", "panel f: floor.csv: fill: "},
	} {
		t.Run(name, func(t *testing.T) {
			panel := "  - {id: f, outline: floor.csv, steel: s"
			if c.layers != "" {
				panel += ", " + c.layers
			}
			sh := read(t, folder(t, map[string]any{"floor.csv": c.file}), panel+"}\n")
			_, err := parts.Load(context.Background(), sh, 1, nil)
			if err == nil || !strings.HasPrefix(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
				t.Errorf("\n got %v\nwant %s", err, c.want)
			}
		})
	}
}
