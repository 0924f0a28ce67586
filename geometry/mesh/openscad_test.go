package mesh

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Shapes that a general-purpose modeller (Debian package openscad) writes as STL, with what they measure by closed
// form: of the polygons that it divides circles into exactly, and of the round shape within the facets' error.
var modelled = []struct {
	name      string
	scad      string
	triangles int // 0: not known beforehand
	volume    float64
	area      float64
	round     float64 // volume of the shape with true circles, mm³
	facets    float64 // relative error that the facets may make
	box       space.Box
}{
	{
		name: "bracket with a hole",
		scad: `difference() { cube([120, 80, 2]); translate([60, 40, -1]) cylinder(r = 15, h = 4, $fn = 96); }`,
		// A regular polygon of n corners on radius r: area n/2·r²·sin(2π/n), girth 2·n·r·sin(π/n).
		volume: 2 * (120*80 - polygonArea(15, 96)),
		area:   2*(120*80-polygonArea(15, 96)) + 2*(2*(120+80)+polygonGirth(15, 96)),
		round:  2 * (120*80 - math.Pi*15*15),
		facets: 1e-4,
		box:    space.Box{Max: r3.Vector{X: 120, Y: 80, Z: 2}},
	},
	{
		name:      "spacer",
		scad:      `translate([-500.25, 300, 0]) cylinder(r = 40, h = 60, $fn = 200);`,
		triangles: 2*198 + 2*200, // two ends of n-2 triangles, n sides of two
		volume:    60 * polygonArea(40, 200),
		area:      2*polygonArea(40, 200) + 60*polygonGirth(40, 200),
		round:     60 * math.Pi * 40 * 40,
		facets:    1e-3,
		box:       space.Box{Min: r3.Vector{X: -540.25, Y: 260}, Max: r3.Vector{X: -460.25, Y: 340, Z: 60}},
	},
	{
		name:      "block",
		scad:      `rotate([0, 0, 90]) cube([1000, 250, 0.8]);`,
		triangles: 12,
		volume:    1000 * 250 * 0.8,
		area:      2 * (1000*250 + 1000*0.8 + 250*0.8),
		round:     1000 * 250 * 0.8,
		facets:    1e-9,
		box:       space.Box{Min: r3.Vector{X: -250}, Max: r3.Vector{Y: 1000, Z: 0.8}},
	},
}

func polygonArea(r, n float64) float64  { return n / 2 * r * r * math.Sin(2*math.Pi/n) }
func polygonGirth(r, n float64) float64 { return 2 * n * r * math.Sin(math.Pi/n) }

func TestAgreesWithAModeller(t *testing.T) {
	openscad, err := exec.LookPath("openscad")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("openscad is missing: install the Debian package openscad")
		}
		t.Skip("OUTSIDE CHECK NOT RUN: openscad is missing, install the Debian package openscad")
	}
	for _, shape := range modelled {
		t.Run(shape.name, func(t *testing.T) {
			dir := t.TempDir()
			source := filepath.Join(dir, "shape.scad")
			if err := os.WriteFile(source, []byte(shape.scad), 0o600); err != nil {
				t.Fatal(err)
			}
			count := map[string]int{}
			for _, format := range []string{"asciistl", "binstl"} {
				path := filepath.Join(dir, format+".stl")
				if out, err := exec.Command(openscad, "-o", path, "--export-format", format, source).CombinedOutput(); err != nil {
					t.Fatalf("openscad: %v\n%s", err, out)
				}
				m, notes, err := ReadFile(path, inMillimetres)
				if err != nil {
					t.Fatal(err)
				}
				if len(notes) > 0 {
					t.Errorf("%s: notes %q on a sound file", format, notes)
				}
				count[format] = len(m.Triangles)
				// Half the last place of a coordinate from 100 to 1000 mm: float32, or text with six digits.
				place := map[string]float64{"binstl": 0x1p-15, "asciistl": 0.5e-3}[format]
				coarse := place * m.Area()
				near(t, format+" volume, mm³", m.Volume(), shape.volume, coarse)
				near(t, format+" volume of the round shape, mm³", m.Volume(), shape.round, shape.facets*shape.round+coarse)
				near(t, format+" area, mm²", m.Area(), shape.area, place*shape.area)
				near(t, format+" box", m.Box().Min.Distance(shape.box.Min)+m.Box().Max.Distance(shape.box.Max), 0, 6*place)
				if !m.Closed() {
					t.Errorf("%s: free edges on a solid", format)
				}
			}
			if count["asciistl"] != count["binstl"] || shape.triangles != 0 && count["binstl"] != shape.triangles {
				t.Errorf("triangles %v, want %d", fmt.Sprint(count), shape.triangles)
			}
		})
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6f, want %.6f within %.2g", what, got, want, within)
	}
}
