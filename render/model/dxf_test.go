package model

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/drawing"
	"seamwright/layout"
)

// seenDXF is what a reader makes of the drawing: by layer, the points and the ends of lines.
type feature struct {
	Properties struct{ Layer, Text string }
	Geometry   struct {
		Type        string
		Coordinates json.RawMessage
	}
}

// byOGR reads a drawing with GDAL/OGR, a reader that shares nothing with the writer.
func byOGR(t *testing.T, data []byte) []feature {
	t.Helper()
	program, err := exec.LookPath("ogr2ogr")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("ogr2ogr is missing: install the Debian package gdal-bin")
		}
		t.Skip("NOT CHECKED AGAINST A SECOND READER: ogr2ogr is missing; install the Debian package gdal-bin")
	}
	path := filepath.Join(t.TempDir(), "welds.dxf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=15", "/vsistdout/", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var collection struct{ Features []feature }
	if err := json.Unmarshal(out, &collection); err != nil {
		t.Fatal(err)
	}
	return collection.Features
}

func TestDXFIsReadByOGR(t *testing.T) {
	p := sample()
	var points, axes, seams []string
	for _, f := range byOGR(t, written(t, DXF, p)) {
		switch f.Geometry.Type {
		case "Point":
			var c []float64
			if err := json.Unmarshal(f.Geometry.Coordinates, &c); err != nil {
				t.Fatal(err)
			}
			c = append(c, 0) // a point at height 0 is written flat
			points = append(points, fmt.Sprintf("%s %s %.5f %.5f %.5f", f.Properties.Layer, f.Properties.Text, c[0], c[1], c[2]+0))
		case "LineString":
			var c [][]float64
			if err := json.Unmarshal(f.Geometry.Coordinates, &c); err != nil {
				t.Fatal(err)
			}
			if strings.HasSuffix(f.Properties.Layer, "axes") {
				a, b := append(c[0], 0), append(c[1], 0)
				axes = append(axes, fmt.Sprintf("%s %.4f %.4f %.4f, %.0f long", f.Properties.Layer, (a[0]+b[0])/2, (a[1]+b[1])/2, (a[2]+b[2])/2+0,
					math.Sqrt((a[0]-b[0])*(a[0]-b[0])+(a[1]-b[1])*(a[1]-b[1])+(a[2]-b[2])*(a[2]-b[2]))))
			} else {
				seams = append(seams, fmt.Sprintf("%s %d", f.Properties.Layer, len(c)))
			}
		}
	}
	for what, c := range map[string][2][]string{
		"points": {points, {
			"st1 tack  10.12345 0.00000 -0.00001", "st1 numbers 1 14.12345 0.00000 -0.00001", "st1 fill  45.00000 0.00000 0.00000",
			"st1 numbers 2 49.00000 0.00000 0.00000",
			"st-2 released  -300.00000 250.50000 1200.00000", "st-2 numbers 1 -296.00000 250.50000 1200.00000",
			"st-2 fill  -300.00000 280.50000 1200.00000", "st-2 numbers 2 -296.00000 280.50000 1200.00000",
		}},
		"axes": {axes, {"st1 axes 10.1235 0.0000 -0.0000, 20 long", "st1 axes 45.0000 0.0000 0.0000, 20 long",
			"st-2 axes -300.0000 250.5000 1200.0000, 20 long", "st-2 axes -300.0000 280.5000 1200.0000, 20 long"}},
		// A closed line comes back with its first point repeated.
		"lines": {seams, {"st1 rollers 4", "st-2 rollers 2", "weld lines 3", "flanges 5", "weld lines 4"}},
	} {
		slices.Sort(c[0])
		slices.Sort(c[1])
		if !slices.Equal(c[0], c[1]) {
			t.Errorf("%s: got\n%s\nwant\n%s", what, strings.Join(c[0], "\n"), strings.Join(c[1], "\n"))
		}
	}
}

// Our own reader finds the lines, layer by layer, and says what it leaves out.
func TestDXFIsReadBack(t *testing.T) {
	p := sample()
	path := filepath.Join(t.TempDir(), "welds.dxf")
	if err := os.WriteFile(path, written(t, DXF, p), 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := drawing.ReadFile(path, drawing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	for _, path := range d.Paths {
		count[path.Layer]++
		if path.Layer == "st1 axes" && !(math.Abs(path.Length-axisLength) <= 1e-9) {
			t.Errorf("an axis is %g mm long", path.Length)
		}
	}
	want := map[string]int{"st1 axes": 2, "st-2 axes": 2, "st1 rollers": 1, "st-2 rollers": 1, "weld lines": 2, "flanges": 1}
	for layer, n := range want {
		if count[layer] != n {
			t.Errorf("layer %s: %d paths, want %d", layer, count[layer], n)
		}
	}
	if len(count) != len(want) || !strings.Contains(strings.Join(d.Notes, " "), "4 POINT") {
		t.Errorf("layers %v, notes %v", count, d.Notes)
	}
}

// Rows over one broad contact state its outline each; it is drawn once.
func TestDXFDrawsAPatchOnce(t *testing.T) {
	p := sample()
	loops := func() int {
		return strings.Count(string(written(t, DXF, p)), "flanges\r\n") + strings.Count(string(written(t, DXF, p)), "flanges\n")
	}
	row := p.Flanges[0]
	row.Patch = true
	p.Flanges = []layout.Flange{row}
	once := loops()
	row.ID = "row 2"
	p.Flanges = append(p.Flanges, row)
	if n := loops(); n != once {
		t.Errorf("the drawing names the layer of outlines %d times with two rows, %d times with one", n, once)
	}
	p.Flanges[0].Patch, p.Flanges[1].Patch = false, false
	if n := loops(); n <= once {
		t.Errorf("two strips have %d outlines, one has %d", n, once)
	}
}

// Thinning keeps within its bound of every point, keeps the ends, and drops what is straight.
func TestThin(t *testing.T) {
	var circle, straight []layout.Vec
	for i := range 2000 {
		angle := float64(i) / 1000
		circle = append(circle, layout.Vec{300 * math.Cos(angle), 300 * math.Sin(angle), float64(i)})
		straight = append(straight, layout.Vec{float64(i), 2 * float64(i), 1})
	}
	if got := thin(straight); len(got) != 2 || got[1] != straight[1999] {
		t.Errorf("a straight line keeps %d points", len(got))
	}
	got := thin(circle)
	if len(got) > 200 || got[0] != circle[0] || got[len(got)-1] != circle[1999] {
		t.Errorf("an arc keeps %d points", len(got))
	}
	var points []r3.Vector
	for _, p := range got {
		points = append(points, p.R3())
	}
	line := curve.New(points, false)
	for i, p := range circle {
		if _, d := line.Nearest(p.R3()); d > thinning {
			t.Fatalf("point %d is %g mm away", i, d)
		}
	}
}

// A point 0.019 mm off the line through its neighbours is left out and one 0.021 mm off is drawn.
func TestThinKeepsWhatIsOffByTwoHundredths(t *testing.T) {
	for off, want := range map[float64]int{0.019: 2, 0.021: 3} {
		if got := thin([]layout.Vec{{0, 0, 0}, {50, off, 0}, {100, 0, 0}}); len(got) != want {
			t.Errorf("%g mm off: %d points, want %d", off, len(got), want)
		}
	}
}

func TestDXFGolden(t *testing.T) { golden(t, "sample.dxf", written(t, DXF, sample())) }
