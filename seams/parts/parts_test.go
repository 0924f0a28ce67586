package parts_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// sheet is a flat 100 x 50 rectangle with its corner at the origin, normals up, in the file's own unit.
func sheet() *mesh.Mesh {
	return &mesh.Mesh{
		Vertices:  []r3.Vector{{}, {X: 100}, {X: 100, Y: 50}, {Y: 50}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
}

// box is a closed box of the given size.
func box(x, y, z float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.Vertices = append(m.Vertices, r3.Vector{X: float64(i&1) * x, Y: float64(i>>1&1) * y, Z: float64(i>>2) * z})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// folder writes meshes as STL and texts as they are.
func folder(t testing.TB, files map[string]any) string {
	t.Helper()
	dir := t.TempDir()
	for name, content := range files {
		var data []byte
		switch c := content.(type) {
		case *mesh.Mesh:
			var b bytes.Buffer
			if err := mesh.WriteSTL(&b, c); err != nil {
				t.Fatal(err)
			}
			data = b.Bytes()
		case string:
			data = []byte(c)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// read reads a shell file with the given panels and two steels, in a folder that folder has made.
func read(t testing.TB, dir, panels string) *shell.Shell {
	t.Helper()
	path := filepath.Join(dir, "shell.yaml")
	content := "name: test\nunit: mm\nsteels:\n  - {id: s, grade: DC04, thickness_mm: 1.2}\n  - {id: thin, grade: DC04, thickness_mm: " +
		"0.5}\npanels:\n" + panels
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	sh, _, err := shellfile.Read(path, nil)
	if err != nil {
		t.Fatal(err)
	}
	return sh
}

func load(t testing.TB, sh *shell.Shell) []parts.Part {
	t.Helper()
	loaded, err := parts.Load(context.Background(), sh, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	return loaded
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

func TestLoadMesh(t *testing.T) {
	dir := folder(t, map[string]any{"a.stl": sheet()})
	p := load(t, read(t, dir, "  - {id: a, mesh: a.stl, steel: s, surface: skin}\n"))[0]
	if p.Sheet.Name != "a" || p.Sheet.Mesh.Name != "a" || p.Sheet.Thickness != 1.2 || p.Sheet.Surface != flange.Skin ||
		p.Steel.Grade != "DC04" || p.Drawing != nil {
		t.Errorf("%+v", p)
	}
	// 5000 mm² x 1.2 mm x 7850 kg/m³ by hand: 6000 mm³ = 6e-6 m³, 0.0471 kg.
	if p.Area != 5000 || !near(p.Mass, 0.0471, 1e-12) {
		t.Errorf("area %g mm², mass %g kg", p.Area, p.Mass)
	}
	if len(p.Notes) != 0 {
		t.Errorf("notes: %q", p.Notes)
	}
}

// The panel's unit counts before the shell's; where neither is stated, the reader says what it took.
func TestLoadUnits(t *testing.T) {
	dir := folder(t, map[string]any{"a.stl": sheet()})
	sh := read(t, dir, "  - {id: mm, mesh: a.stl, steel: s}\n  - {id: inch, mesh: a.stl, steel: s, unit: inch}\n  - {id: cm, mesh: a.stl, "+
		"steel: s, unit: cm}\n")
	for i, want := range []float64{5000, 5000 * 25.4 * 25.4, 5000 * 100} {
		if p := load(t, sh)[i]; !near(p.Area, want, want*1e-6) {
			t.Errorf("%s: area %g mm², want %g", p.Panel.ID, p.Area, want)
		}
	}
	sh.Unit = ""
	if p := load(t, sh)[0]; p.Area != 5000 || !slices.ContainsFunc(p.Notes,
		func(n string) bool { return strings.Contains(n, "unit not stated") }) {
		t.Errorf("no unit: area %g, notes %q", p.Area, p.Notes)
	}
	sh.Unit = "m"
	if p := load(t, sh)[0]; !near(p.Area, 5000e6, 1) {
		t.Errorf("metres: area %g", p.Area)
	}
}

// Mirror, then turn about x, y and z, then move: by hand for the corner (100, 50, 0).
func TestLoadPlaces(t *testing.T) {
	dir := folder(t, map[string]any{"a.stl": sheet()})
	for _, c := range []struct {
		place        string
		corner, side r3.Vector // where (100, 50, 0) and the normal (0, 0, 1) go
	}{
		{"{}", r3.Vector{X: 100, Y: 50}, r3.Vector{Z: 1}},
		{"{move_mm: [1, 2, 3]}", r3.Vector{X: 101, Y: 52, Z: 3}, r3.Vector{Z: 1}},
		{"{mirror_y: true}", r3.Vector{X: 100, Y: -50}, r3.Vector{Z: 1}},
		{"{turn_deg: [90, 0, 0]}", r3.Vector{X: 100, Z: 50}, r3.Vector{Y: -1}},
		{"{turn_deg: [0, 90, 0]}", r3.Vector{Y: 50, Z: -100}, r3.Vector{X: 1}},
		{"{turn_deg: [0, 0, 90]}", r3.Vector{X: -50, Y: 100}, r3.Vector{Z: 1}},
		{"{turn_deg: [90, 0, 90]}", r3.Vector{Y: 100, Z: 50}, r3.Vector{X: 1}},
		{"{mirror_y: true, turn_deg: [0, 0, 90], move_mm: [0, 0, 7]}", r3.Vector{X: 50, Y: 100, Z: 7}, r3.Vector{Z: 1}},
	} {
		m := load(t, read(t, dir, "  - {id: a, mesh: a.stl, steel: s, place: "+c.place+"}\n"))[0].Sheet.Mesh
		if !slices.ContainsFunc(m.Vertices, func(v r3.Vector) bool { return v.Distance(c.corner) < 1e-9 }) {
			t.Errorf("%s: %v holds no %v", c.place, m.Vertices, c.corner)
		}
		for i := range m.Triangles {
			if m.Normal(i).Distance(c.side) > 1e-9 {
				t.Errorf("%s: normal %v, want %v", c.place, m.Normal(i), c.side)
			}
		}
	}
}

// Nothing that a place does changes area or mass, mirrored or not, mesh or solid. STL rounds 1.2 mm to 32 bits:
// 4e-8 of it.
func TestPlaceKeepsAreaAndMass(t *testing.T) {
	sh := read(t, folder(t, map[string]any{"a.stl": sheet(), "b.stl": box(100, 50, 1.2)}),
		"  - {id: a, mesh: a.stl, steel: s}\n  - {id: b, mesh: b.stl, steel: s, surface: solid}\n")
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string, most float64) [3]float64 {
			g := rapid.Float64Range(-most, most)
			return [3]float64{g.Draw(t, name), g.Draw(t, name), g.Draw(t, name)}
		}
		place := shell.Place{Mirror: rapid.Bool().Draw(t, "mirror"), Turn: at("turn", 360), Move: at("move", 5000)}
		sh.Panels[0].Place, sh.Panels[1].Place = place, place
		loaded, err := parts.Load(context.Background(), sh, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range loaded {
			if !near(p.Area, 5000, 1e-3) || !near(p.Mass, 0.0471, 1e-8) || len(p.Notes) > 0 {
				t.Fatalf("%s: area %g, mass %g, notes %q", p.Panel.ID, p.Area, p.Mass, p.Notes)
			}
		}
	})
}

// A solid counts one side: its volume over its thickness, which leaves the cut edges out. Where the mesh cannot be
// what the shell file says, a note says so.
func TestLoadSolid(t *testing.T) {
	open := box(100, 50, 1.2)
	open.Triangles = open.Triangles[2:]
	inside := box(100, 50, 1.2)
	for i, tri := range inside.Triangles {
		inside.Triangles[i] = [3]int32{tri[0], tri[2], tri[1]}
	}
	dir := folder(t, map[string]any{"box.stl": box(100, 50, 1.2), "open.stl": open, "inside.stl": inside})
	all := load(t, read(t, dir, `  - {id: good, mesh: box.stl, steel: s, surface: solid}
  - {id: thin, mesh: box.stl, steel: thin, surface: solid}
  - {id: open, mesh: open.stl, steel: s, surface: solid}
  - {id: inside-out, mesh: inside.stl, steel: s, surface: solid}
  - {id: weighed, mesh: box.stl, steel: s, surface: solid, mass_kg: 0.05}
`))
	surface := 2 * (100*50 + 100*1.2 + 50*1.2) // 10360 mm²
	for i, want := range []struct {
		area, mass float64
		note       string
	}{
		{5000, 0.0471, ""},
		// Seen as a sheet, 6000 mm³ on 5180 mm² are 1.158 mm: more than a fifth from 0.5 mm.
		{surface / 2, surface / 2 * 0.5 * 7850e-9, "the solid mesh is about 1.20 mm thick, the steel 0.5 mm"},
		{(surface - 5000) / 2, (surface - 5000) / 2 * 1.2 * 7850e-9, "is called solid, but is not closed"},
		{5000, 0.0471, ""},
		{5000, 0.05, ""},
	} {
		p := all[i]
		if !near(p.Area, want.area, 1e-3) || !near(p.Mass, want.mass, 1e-7) {
			t.Errorf("%s: area %g, mass %g; want %g and %g", p.Panel.ID, p.Area, p.Mass, want.area, want.mass)
		}
		found := slices.ContainsFunc(p.Notes, func(n string) bool { return strings.Contains(n, want.note) })
		if want.note != "" && !found {
			t.Errorf("%s: notes %q, want %q", p.Panel.ID, p.Notes, want.note)
		}
		for _, word := range []string{"solid mesh is about", "called solid"} {
			if want.note == "" && strings.Contains(strings.Join(p.Notes, "\n"), word) {
				t.Errorf("%s: notes %q", p.Panel.ID, p.Notes)
			}
		}
	}
}

// All errors are told, one line each, in the order of the shell file, whatever the number of workers.
func TestLoadErrors(t *testing.T) {
	dir := folder(t, map[string]any{"good.stl": sheet(), "empty.stl": "", "text.stl": "not a mesh\n", "open.csv": "0,0\n10,0\n10,10\n",
		"bad.dxf": "0\nSECTION\n"})
	var panels strings.Builder
	for i, f := range []string{"mesh: good.stl", "mesh: empty.stl", "outline: open.csv", "mesh: text.stl", "outline: bad.dxf"} {
		fmt.Fprintf(&panels, "  - {id: p%d, %s, steel: s}\n", i, f)
	}
	sh := read(t, dir, panels.String())
	sh.Panels[0].Steel = "gone"
	var first string
	for _, workers := range []int{1, 2, 8} {
		loaded, err := parts.Load(context.Background(), sh, workers, nil)
		if err == nil || loaded != nil {
			t.Fatal("broken panels were loaded")
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != 5 {
			t.Fatalf("%d lines:\n%v", len(lines), err)
		}
		for i, line := range lines {
			if !strings.HasPrefix(line, fmt.Sprintf("panel p%d: ", i)) {
				t.Errorf("line %d: %s", i, line)
			}
		}
		if first == "" {
			first = err.Error()
		}
		if err.Error() != first {
			t.Errorf("%d workers: other errors:\n%v\n%s", workers, err, first)
		}
	}
	if !strings.Contains(first, `there is no steel "gone"`) {
		t.Error(first)
	}
}

func TestLoadErrorsAreCapped(t *testing.T) {
	sh := shellfile.Default()
	sh.Steels = []shell.Steel{{ID: "s", Thickness: 1}}
	for i := range 30 {
		sh.Panels = append(sh.Panels, shell.Panel{ID: fmt.Sprint("p", i), Mesh: "none.stl", Steel: "s"})
	}
	_, err := parts.Load(context.Background(), sh, 0, nil)
	if err == nil {
		t.Fatal("missing files were loaded")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 21 || lines[20] != "and 10 more panels that cannot be loaded; mend these first" {
		t.Errorf("%d lines, the last %q", len(lines), lines[len(lines)-1])
	}
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%v is not os.ErrNotExist", err)
	}
}

// many is a shell of panels that each differ, so that a wrong order shows.
func many(t testing.TB, count int) *shell.Shell {
	t.Helper()
	files := map[string]any{}
	var panels strings.Builder
	for i := range count {
		m := sheet()
		for j := range m.Vertices {
			m.Vertices[j].X *= float64(i + 1)
		}
		files[fmt.Sprintf("p%d.stl", i)] = m
		fmt.Fprintf(&panels, "  - {id: p%d, mesh: p%d.stl, steel: s}\n", i, i)
	}
	return read(t, folder(t, files), panels.String())
}

func TestLoadOrderAndProgress(t *testing.T) {
	const count = 40
	sh := many(t, count)
	var first []parts.Part
	for _, workers := range []int{1, 3, 16} {
		var told []int
		loaded, err := parts.Load(context.Background(), sh, workers, func(done, total int) {
			if total != count {
				t.Errorf("total %d", total)
			}
			told = append(told, done) // no lock: Load never tells twice at once, which the race detector checks
		})
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range loaded {
			if p.Panel.ID != sh.Panels[i].ID || p.Area != 5000*float64(i+1) {
				t.Fatalf("%d workers: place %d holds %s of %g mm²", workers, i, p.Panel.ID, p.Area)
			}
		}
		if len(told) != count || !slices.IsSorted(told) || told[count-1] != count {
			t.Errorf("%d workers: progress %v", workers, told)
		}
		if first == nil {
			first = loaded
		}
		if diff := cmp.Diff(first, loaded, cmpopts.IgnoreFields(parts.Part{}, "Shape")); diff != "" {
			t.Errorf("%d workers: %s", workers, diff)
		}
	}
}

func TestLoadCancelled(t *testing.T) {
	sh := many(t, 30)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	loaded, err := parts.Load(ctx, sh, 2, func(int, int) { t.Error("a panel was read after the cancel") })
	if loaded != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled before: %d parts, %v", len(loaded), err)
	}
	ctx, cancel = context.WithCancel(context.Background())
	defer cancel()
	read := 0
	loaded, err = parts.Load(ctx, sh, 1, func(done, _ int) {
		read = done
		if done == 3 {
			cancel()
		}
	})
	if loaded != nil || !errors.Is(err, context.Canceled) || read != 3 {
		t.Errorf("cancelled on the way: %d parts, %d read, %v", len(loaded), read, err)
	}
}

func ExampleLoad() {
	sh, _, err := shellfile.Read("testdata/shell.yaml", nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	loaded, err := parts.Load(context.Background(), sh, 0, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range loaded {
		fmt.Printf("%s: %.0f mm², %.3f kg, %d triangles\n", p.Panel.ID, p.Area, p.Mass, len(p.Sheet.Mesh.Triangles))
	}
	// Output:
	// lid: 5000 mm², 0.035 kg, 2 triangles
	// floor: 117500 mm², 1.107 kg, 8 triangles
}

func BenchmarkLoad(b *testing.B) {
	sh := many(b, 20)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := parts.Load(context.Background(), sh, 2, nil); err != nil {
			b.Fatal(err)
		}
	}
}
