package page

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/internal/tarn"
	"seamwright/layout"
)

// sample is a plan with a name that a page must not take for its own words.
func sample() *layout.Plan {
	line := func(along, left float64, side layout.Edge) layout.LinePoint {
		return layout.LinePoint{Along: along, At: layout.Vec{along, 0, 0}, Normal: layout.Vec{0, 0, 1}, Left: left, Right: 8, Air: 0.25,
			Ends: [2]layout.Edge{side, layout.Edge("bend")}}
	}
	return &layout.Plan{
		Shell:    layout.Shell{Name: "<b>cab</b>", Batch: 24},
		Panels:   []layout.Panel{{ID: "roof", Name: "Roof & gutter"}, {ID: "rail"}},
		Stations: []layout.Station{{ID: "jig", Name: "<script>alert(1)</script>", Welds: 2, Minutes: 12.5}},
		Joints:   []layout.Joint{{ID: "top", Station: "jig", Flanges: []string{"f1"}, Welds: 2}},
		Flanges: []layout.Flange{{ID: "f1", Joint: "top", Panels: []string{"roof", "rail"}, Length: 200,
			Width: layout.Range{Least: 15.5, Mean: 16, Greatest: 17}, Air: layout.Range{Least: 0.1, Mean: 0.25, Greatest: 0.4},
			Line: []layout.LinePoint{line(0, 8, "free edge"), line(100, 9, "free edge"), line(200, 8, "free edge")}}},
		Runs: []layout.Run{{ID: 3, Station: "jig", Joint: "top", Flange: "f1", From: 1, To: 2, Count: 2, Gun: "light", Step: layout.Fill}},
		Welds: []layout.Weld{
			{Number: 1, Station: "jig", Joint: "top", Flange: "f1", Run: 3, Along: 10, Right: 8, Step: layout.Tack,
				Sheets: []string{"roof", "rail"}},
			{Number: 2, Station: "jig", Joint: "top", Flange: "f1", Run: 3, Along: 190, Right: 12, Step: layout.Fill,
				Sheets: []string{"roof", "rail"}},
		},
		Findings: []layout.Finding{{Rule: "edge.least", Severity: layout.Broken, Station: "jig", Weld: 2}},
	}
}

func ExampleGraph() {
	_, err := Graph(sample(), "f2", 0, Marks{})
	fmt.Println(err)
	// Output: there is no flange "f2" in the plan
}

func TestGraph(t *testing.T) {
	svg, err := Graph(sample(), "f1", 0, Marks{})
	if err != nil {
		t.Fatal(err)
	}
	marks := map[string]int{}
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("no XML: %v\n%s", err, svg)
		}
		if s, ok := token.(xml.StartElement); ok {
			marks[s.Name.Local]++
		}
	}
	if marks["rect"] != 1 || marks["circle"] != 1 {
		t.Errorf("a tack is a square and a fill weld a ring: %v", marks)
	}
	// The second weld has 4 mm more on its right than the line has: it lies to the left, which is up.
	if !strings.Contains(string(svg), "free edge") || !strings.Contains(string(svg), fmt.Sprintf(`cy="%.1f"`, 75-4*(75.0-14)/9)) {
		t.Errorf("%s", svg)
	}
}

func TestScene(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vector{{}, {X: 100}, {X: 100, Y: 50}, {Y: 50}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	light, err := Lighten(context.Background(), "roof", m)
	if err != nil {
		t.Fatal(err)
	}
	glb, err := Scene(sample(), []Panel{light}, true)
	if err != nil || string(glb[:4]) != "glTF" {
		t.Fatalf("%v, %d bytes", err, len(glb))
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Lighten(ctx, "roof", m); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// Without npm the program holds a placeholder, and every page of its own.
func TestFiles(t *testing.T) {
	for _, name := range []string{"engineer.html", "station.html", "estimator.html", "page.css", "page.js"} {
		if _, err := fs.Stat(Static(), name); err != nil {
			t.Error(err)
		}
	}
	if _, err := fs.Stat(Bundle(), "placeholder.txt"); err != nil {
		t.Error(err)
	}
	for _, name := range []string{"engineer", "station", "estimator"} {
		html, err := fs.ReadFile(Static(), name+".html")
		if err != nil {
			t.Fatal(err)
		}
		for _, never := range []string{"<style", "style=", "onclick", "http://", "https://"} { // the content security policy would not run it
			if strings.Contains(string(html), never) {
				t.Errorf("%s.html holds %s", name, never)
			}
		}
	}
}

// A program with the picture names the licence of its library, one without has nothing to name.
func TestPictureHasItsLicence(t *testing.T) {
	_, err := fs.Stat(Bundle(), "viewer.js")
	if text := Licence(); (err == nil) != strings.Contains(text, "Permission is hereby granted") {
		t.Errorf("viewer.js: %v; licence of %d letters", err, len(text))
	}
}

// The demo's picture stays small: as it is turned much smaller than at rest, and both below what a browser draws by the way.
func TestDemoIsLight(t *testing.T) {
	files, err := tarn.Files()
	if err != nil {
		t.Fatal(err)
	}
	var panels []Panel
	facets, fine, coarse, lines, coarseLines := 0, 0, 0, 0, 0
	for _, f := range files {
		if !strings.HasSuffix(f.Name, ".stl") {
			continue
		}
		path := filepath.Join(t.TempDir(), "panel.stl")
		if err := os.WriteFile(path, f.Data, 0o600); err != nil {
			t.Fatal(err)
		}
		m, _, err := mesh.ReadFile(path, mesh.Options{Unit: space.Millimetre})
		if err != nil {
			t.Fatal(err)
		}
		p, err := Lighten(t.Context(), f.Name, m)
		if err != nil {
			t.Fatal(err)
		}
		panels = append(panels, p)
		facets += len(m.Triangles)
		fine += len(p.Fine.Mesh.Triangles)
		coarse += len(p.Coarse.Mesh.Triangles)
		lines += len(p.Fine.Lines)
		coarseLines += len(p.Coarse.Lines)
	}
	t.Logf("%d facets, %d at rest with %d lines, %d turned with %d lines", facets, fine, lines, coarse, coarseLines)
	if len(panels) < 20 || fine > 80_000 || coarse > 20_000 || lines > 8_200 || coarseLines > 3_700 {
		t.Errorf("%d panels: more facets or lines than stated", len(panels))
	}
	sizes := [2]int{}
	for i, rest := range []bool{false, true} {
		glb, err := Scene(sample(), panels, rest)
		if err != nil {
			t.Fatal(err)
		}
		sizes[i] = len(glb)
	}
	t.Logf("%d bytes turned, %d at rest", sizes[0], sizes[1])
	if 3*sizes[0] > sizes[1] || sizes[1] > 900_000 {
		t.Errorf("%d bytes turned, %d at rest", sizes[0], sizes[1])
	}
}
