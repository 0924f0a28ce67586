package drawing

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
)

// The outside check: GDAL/OGR (Debian package gdal-bin), a reader that shares nothing with this one, reads
// the same drawings. It turns curves into chords, so that tolerances are given with their reason.

// secondReader returns the path of ogr2ogr, or fails under CI=true and skips loudly elsewhere.
func secondReader(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath("ogr2ogr")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("ogr2ogr is missing: install the Debian package gdal-bin")
		}
		t.Skip("NOT CHECKED AGAINST A SECOND READER: ogr2ogr is missing; install the Debian package gdal-bin")
	}
	return path
}

// seen is what the second reader makes of a layer.
type seen struct {
	length, area float64 // mm, mm²: in the drawing's unit, shoelace of closed lines in the xy plane
	lines        int
}

// readBySecond reads a drawing with chords of a tenth of a degree.
func readBySecond(t testing.TB, drawing string) map[string]seen {
	t.Helper()
	program := secondReader(t)
	path := filepath.Join(t.TempDir(), "drawing.dxf")
	if err := os.WriteFile(path, []byte(drawing), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=12", "/vsistdout/", path)
	cmd.Env = append(os.Environ(), "OGR_ARC_STEPSIZE=0.1", "OGR_ARC_MAX_GAP=0")
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("ogr2ogr: %v: %s", err, errs.String())
	}
	var collection struct {
		Features []struct {
			Properties struct{ Layer string }
			Geometry   geometry
		}
	}
	if err := json.Unmarshal(out.Bytes(), &collection); err != nil {
		t.Fatalf("ogr2ogr's output: %v", err)
	}
	all := map[string]seen{}
	for _, f := range collection.Features {
		s := all[f.Properties.Layer]
		for _, line := range f.Geometry.lines(t) {
			s.lines++
			s.length += polylineLength(line, false)
			if len(line) > 3 && line[0].Sub(line[len(line)-1]).Norm() < 1e-6 {
				s.area += math.Abs(flatArea(line))
			}
		}
		all[f.Properties.Layer] = s
	}
	return all
}

type geometry struct {
	Type        string
	Coordinates json.RawMessage
	Geometries  []geometry
}

// lines returns the geometry's lines, whatever they are wrapped in.
func (g geometry) lines(t testing.TB) [][]r3.Vector {
	t.Helper()
	var rows [][][]float64
	var err error
	switch g.Type {
	case "LineString":
		rows = make([][][]float64, 1)
		err = json.Unmarshal(g.Coordinates, &rows[0])
	case "MultiLineString":
		err = json.Unmarshal(g.Coordinates, &rows)
	case "GeometryCollection":
		var all [][]r3.Vector
		for _, part := range g.Geometries {
			all = append(all, part.lines(t)...)
		}
		return all
	default:
		err = fmt.Errorf("geometry %s is not expected", g.Type)
	}
	if err != nil {
		t.Fatal(err)
	}
	var lines [][]r3.Vector
	for _, row := range rows {
		var line []r3.Vector
		for _, c := range row {
			v := vec(c[0], c[1], 0)
			if len(c) > 2 {
				v.Z = c[2]
			}
			line = append(line, v)
		}
		lines = append(lines, line)
	}
	return lines
}

// onOwnLayer puts an entity on a layer of its own.
func onOwnLayer(entity, layer string) string {
	kind, rest, _ := strings.Cut(strings.TrimPrefix(entity, "  0\n"), "\n")
	rest = strings.Replace(rest, "  8\na\n", "", 1)
	return "  0\n" + kind + "\n  8\n" + layer + "\n" + rest
}

// differs are the curves that the second reader (GDAL 3.6.2) reads otherwise, and why; the closed forms of the
// table stand for them.
var differs = map[string]string{
	"line of an early release":                        "3DLINE is skipped",
	"ellipse rounded to six decimals":                 "left open by 3e-7 radians",
	"bulge below the least":                           "1e-200 makes it drop the line",
	"huge bulge":                                      "taken for a straight line",
	"closed polyline in space, bulges without effect": "the bulges are drawn",
	"straight spline":                                 "splines are drawn without their heights",
}

// TestSecondReaderAgrees compares length and area, layer by layer, for every curve of the closed-form table
// and for nested, stretched, mirrored and arrayed inserts.
func TestSecondReaderAgrees(t *testing.T) {
	var entities []string
	tolerance := map[string]float64{}
	add := func(name, entity string, relative float64) {
		tolerance[name] = relative
		entities = append(entities, onOwnLayer(entity, name))
	}
	for _, c := range curves {
		switch {
		case differs[c.name] != "":
		case c.kind == "SPLINE":
			add(c.name, c.entity, 5e-3) // it draws splines with few, evenly spaced chords
		case c.name == "thin ellipse":
			add(c.name, c.entity, 1e-5) // steps of 0.1° of the parameter are long at the tips
		default:
			// Chords of 0.1° leave s²/24 = 1.3e-7 of the length and s²/6 = 5e-7 of the area, s = 0.00175.
			add(c.name, c.entity, 1e-6)
		}
	}
	blocks := []string{
		blockOf("inner", 1, 1, onOwnLayer(light(1, [][3]float64{{0, 0, 0.5}, {10, 0, 0}, {10, 5, -0.2}}), "0"), circle(3, 3, 1)),
		blockOf("outer", 0, 0, strings.Replace(insert("inner", 4, 0, 41, -2, 42, 1.5, 43, 1, 50, 30), "  8\ni\n", "  8\n0\n", 1),
			line(0, 0, 5, 5)),
	}
	for name, e := range map[string]string{
		"insert":           insert("inner", 5, 5),
		"insert stretched": insert("inner", 5, 5, 41, 5, 42, 3, 43, 1, 50, 33),
		"insert mirrored":  insert("outer", 5, 5, 41, -1, 42, 1, 43, 1),
		"insert nested":    insert("outer", 7, 7, 41, 2, 42, 3, 43, 1, 50, 15),
		"insert below":     insert("outer", 5, 5, 41, 2, 42, 1, 43, 1, 50, 15, 210, 0, 220, 0, 230, -1),
		"insert upright":   insert("outer", 5, 5, 41, 2, 42, 1, 43, 1, 50, 15, 210, 1, 220, 0.5, 230, 0),
		"insert array":     insert("outer", 7, 7, 41, 2, 42, 3, 43, 1, 50, 15, 70, 2, 71, 3, 44, 20, 45, 30),
	} {
		entity := strings.Replace(e, "  8\ni\n", "", 1)
		tolerance[name] = 1e-5 // it draws small circles and bulges with its own least number of chords
		entities = append(entities, onOwnLayer(entity, name))
	}
	drawing := section("HEADER", "  9\n$ACADVER\n  1\nAC1015\n  9\n$INSUNITS\n 70\n4\n") + section("BLOCKS", blocks...) + section("ENTITIES",
		entities...) + eof
	ours := map[string]seen{}
	for _, p := range mustRead(t, drawing, Options{Chord: 1e-7, Most: Limits{Points: 1_000_000}}).Paths {
		s := ours[p.Layer]
		s.length += p.Length
		s.lines++
		if p.Closed {
			s.area += math.Abs(flatArea(p.Points))
		}
		ours[p.Layer] = s
	}
	theirs := readBySecond(t, drawing)
	for name, relative := range tolerance {
		a, b := ours[name], theirs[name]
		if !(math.Abs(a.length-b.length) <= relative*a.length) {
			t.Errorf("%s: length %.9g, second reader %.9g (%.2g of it)", name, a.length, b.length, b.length/a.length-1)
		}
		if !(math.Abs(a.area-b.area) <= 2*relative*a.area+1e-6) {
			t.Errorf("%s: area %.9g, second reader %.9g", name, a.area, b.area)
		}
		if a.lines == 0 {
			t.Errorf("%s: not read", name)
		}
	}
}

// TestSecondReaderReadsWhatIsWritten hands a written drawing over and wants the same lines.
func TestSecondReaderReadsWhatIsWritten(t *testing.T) {
	var b bytes.Buffer
	d := floorPlate()
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	theirs := readBySecond(t, b.String())
	ours := map[string]seen{}
	for _, p := range d.Paths {
		layer := strings.ReplaceAll(layerOf(p), "ü", `\U+00FC`)
		s := ours[layer]
		s.lines++
		s.length += p.Length
		if p.Closed {
			s.area += math.Abs(flatArea(p.Points))
		}
		ours[layer] = s
	}
	if len(theirs) != len(ours) {
		t.Errorf("layers %v, want %v", theirs, ours)
	}
	for layer, want := range ours {
		got := theirs[layer]
		wantRelative(t, layer+" length", got.length, want.length, 1e-12)
		if got.lines != want.lines || !(math.Abs(got.area-want.area) <= 1e-9*want.area) {
			t.Errorf("layer %s: %+v, want %+v", layer, got, want)
		}
	}
}
