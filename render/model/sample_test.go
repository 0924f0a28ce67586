package model

import (
	"bytes"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/record"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/layout"
)

var _ = flag.Bool("update", false, "write the golden files")

// sample has names that break formats, three sheets, two orders of one stack, a closed and an open seam.
func sample() *layout.Plan {
	half := math.Sqrt(0.5)
	return &layout.Plan{
		Shell: layout.Shell{Name: `Cab & <"roof">`, Number: "C-1", Revision: "A", Issued: "2026-03-02", Input: "0123abcd"},
		Panels: []layout.Panel{
			{ID: "roof", Name: "Roof <outer>", Grade: "DC04", Thickness: 0.9, Station: "st1"},
			{ID: "rail", Thickness: 1.2, Station: "st1"}, {ID: `brace & "b"`, Thickness: 1.5, Station: "st/2"},
		},
		Stations: []layout.Station{{ID: "st1"}, {ID: "st/2"}, {ID: "idle"}},
		Flanges: []layout.Flange{
			{ID: "f1", Panels: []string{"roof", "rail"}, Line: line(layout.Vec{0, 0, 0}, layout.Vec{100, 0, 0}, layout.Vec{200, 0, 5}),
				Outline: [][]layout.Vec{{{0, -8, 0}, {200, -8, 5}, {200, 8, 5}, {0, 8, 0}}}},
			{ID: "f2", Panels: []string{"rail", "roof"}, Closed: true, Line: line(layout.Vec{0, 0, 9}, layout.Vec{50, 0, 9}, layout.Vec{50, 40, 9})},
		},
		Welds: []layout.Weld{
			{Number: 1, Station: "st1", Joint: "j", Flange: "f1", Run: 1, Position: layout.Vec{10.12345, 0, -0.00001}, Axis: layout.Vec{0, 0, 1},
				Sheets: []string{"roof", "rail"}, WeldDiameter: 4.7, Accepted: 4.35, Gun: "light", Tip: "domed", Setting: "S1", Step: "tack"},
			{Number: 2, Station: "st1", Joint: "j", Flange: "f1", Run: 1, Position: layout.Vec{45, 0, 0}, Axis: layout.Vec{half, 0, half},
				Sheets: []string{"rail", "roof"}, WeldDiameter: 4.7, Step: "fill"},
			{Number: 1, Station: "st/2", Joint: "k", Flange: "f3", Run: 2, Position: layout.Vec{-300, 250.5, 1200}, Axis: layout.Vec{0, 0, -1},
				Sheets: []string{"roof", "rail", `brace & "b"`}, WeldDiameter: 5.5, Step: "released"},
			{Number: 2, Station: "st/2", Joint: "k", Flange: "f3", Run: 2, Position: layout.Vec{-300, 280.5, 1200}, Axis: layout.Vec{0, -1, 0},
				Sheets: []string{"roof", "rail", `brace & "b"`}, WeldDiameter: 5.5},
		},
		Seams: []layout.Seam{
			{ID: "gutter/1/roll", Station: "st1", Joint: "gutter", Flange: "f2", Roller: "hand", Setting: "R1", Closed: true, Length: 154,
				Path: []layout.Vec{{0, 0, 9}, {50, 0, 9}, {50, 40, 9}}, Normals: []layout.Vec{{0, 0, 1}, {0, 0, 1}, {0, 0, 1}}},
			{ID: "seam 2", Station: "st/2", Joint: "k", Flange: "f1", Roller: "hand", Setting: "none", Length: 100,
				Path: []layout.Vec{{0, 0, 0}, {100, 0, 0}}, Normals: []layout.Vec{{0, 0, 1}, {0, 0, 1}}},
		},
		Settings: []layout.Setting{{ID: "R1", Kind: "roller", Wheel: 5, Nugget: 4.2}},
	}
}

func panels() []Panel {
	square := &mesh.Mesh{
		Vertices: []r3.Vector{{X: 0, Y: 0, Z: 0}, {X: 1000, Y: 0, Z: 0}, {X: 1000, Y: 500, Z: 20}, {X: 0, Y: 500, Z: 20},
			{X: 1. / 3, Y: -0.1, Z: 1e-6}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 4, 1}},
	}
	big := &mesh.Mesh{} // more vertices than two bytes count
	for i := range 300 {
		for k := range 300 {
			big.Vertices = append(big.Vertices, r3.Vector{X: float64(i), Y: float64(k), Z: math.Sin(float64(i+k) / 50)})
			if i > 0 && k > 0 {
				v := int32(300*i + k)
				big.Triangles = append(big.Triangles, [3]int32{v, v - 1, v - 300}, [3]int32{v - 1, v - 301, v - 300})
			}
		}
	}
	return []Panel{{"roof", square}, {`brace & "b"`, big}, {"empty", &mesh.Mesh{}}, {"none", nil}}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	record.Hold(t, filepath.Join("testdata", name), string(got))
}

// writers are the package's three formats.
func writers() map[string]func(io.Writer, *layout.Plan) error {
	return map[string]func(io.Writer, *layout.Plan) error{
		"DXF": DXF, "xMCF": XMCF, "GLB": func(w io.Writer, p *layout.Plan) error { return GLB(w, p, panels()) },
	}
}

func written(t testing.TB, write func(io.Writer, *layout.Plan) error, p *layout.Plan) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSameBytes(t *testing.T) {
	for name, write := range writers() {
		if !bytes.Equal(written(t, write, sample()), written(t, write, sample())) {
			t.Errorf("%s: the same plan gave other bytes", name)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestBadPlansAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(p *layout.Plan)
		want  string
	}{
		"place": {func(p *layout.Plan) { p.Welds[1].Position[2] = math.NaN() }, "station st1: weld 2: its place or axis is not a number"},
		"axis":  {func(p *layout.Plan) { p.Welds[2].Axis = layout.Vec{} }, "station st/2: weld 1: its axis is 0 long"},
		"seam":  {func(p *layout.Plan) { p.Seams[0].Path = p.Seams[0].Path[:1] }, "roller seam gutter/1/roll: its path has 1 points"},
		"path":  {func(p *layout.Plan) { p.Seams[1].Path[1][0] = math.Inf(1) }, "roller seam seam 2: point 1 of its path is not a number"},
	} {
		for format, write := range writers() {
			p := sample()
			c.spoil(p)
			var b bytes.Buffer
			if err := write(&b, p); err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), format+": ") ||
				b.Len() > 0 {
				t.Errorf("%s, %s: error %v, %d bytes", name, format, err, b.Len())
			}
		}
	}
	for format, write := range writers() {
		if err := write(fullDisk{}, sample()); err == nil {
			t.Errorf("%s: no error from a full disk", format)
		}
		written(t, write, &layout.Plan{}) // a plan of nothing
	}
}

// line is a weld line through places, measured straight from one to the next.
func line(places ...layout.Vec) []layout.LinePoint {
	var out []layout.LinePoint
	along := 0.0
	for i, at := range places {
		if i > 0 {
			along += at.R3().Distance(places[i-1].R3())
		}
		out = append(out, layout.LinePoint{Along: along, At: at, Normal: layout.Vec{0, 0, 1}})
	}
	return out
}
