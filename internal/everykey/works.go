// Package everykey has a small works with one of everything that a shell file can state, for tests of the whole program. Its own tests hold
// every key of the shell file to changing something: the plan, or the quote for it.
package everykey

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"seamwright/internal/plates"
	"strings"
)

// Works is a shell with one of everything: a lap of spots, a rolled one, one of both, a broad contact in rows and a drawn
// weld line; a sub-assembly and two stations.
const Works = `{
 "name": "works", "unit": "mm", "batch": 4,
 "steels": [{"id": "s", "grade": "DC04", "thickness_mm": 1, "tensile_mpa": 300, "yield_mpa": 200},
            {"id": "t", "grade": "DX54D+Z", "thickness_mm": 0.8, "coating": "Z100"}],
 "panels": [{"id": "a", "mesh": "a.stl", "steel": "s"}, {"id": "b", "mesh": "b.stl", "steel": "s"},
            {"id": "c", "mesh": "c.stl", "steel": "s"}, {"id": "d", "mesh": "d.stl", "steel": "s"},
            {"id": "e", "outline": "e.dxf", "steel": "s", "place": {"move_mm": [0, 200, 1]},
             "layers": [{"layer": "OUT", "role": "outline"}, {"layer": "HOLE", "role": "hole"}]}],
 "subassemblies": [{"id": "ab", "parts": ["a", "b"]}],
 "stations": [{"id": "one", "makes": "ab", "arrives": ["a", "b"], "guns": ["g", "h"], "crew": 2,
               "clamps": [{"at_mm": [100, 71, 0.5]}], "dowels": [{"at_mm": [200, 71, 0.5]}],
               "hold_points": [{"text": "width", "value_mm": 160, "at_mm": [0, 0, 0], "to_mm": [0, 160, 0]}]},
              {"id": "two", "arrives": ["ab", "c", "d", "e"], "guns": ["g", "h"], "rollers": ["r"],
               "hold_points": [{"text": "length", "before": "both", "at_mm": [0, 0, 0]}]}],
 "joints": [{"id": "lap", "panels": ["a", "b"]},
            {"id": "seam", "panels": ["b", "c"], "kind": "roller"},
            {"id": "both", "panels": ["c", "d"], "kind": "spot+roller"},
            {"id": "broad", "panels": ["c", "e"], "row_pitch_mm": 30},
            {"id": "drawn", "panels": ["a", "d"], "weld_line": {"file": "line.csv", "width_mm": 16, "place": {"move_mm": [0, 20, 0]}}}],
 "guns": [{"id": "g", "throat_depth_mm": 400, "throat_gap_mm": 250, "force_n": 4000, "current_a": 16000, "voltage_v": 8, "mass_kg": 20},
          {"id": "h", "throat_depth_mm": 300, "throat_gap_mm": 200, "force_n": 4000, "current_a": 16000, "voltage_v": 8, "mass_kg": 25}],
 "tips": [{"id": "dome", "face_mm": 6}, {"id": "slim", "face_mm": 5, "shape": "narrow-flat"}],
 "rollers": [{"id": "r", "current_a": 30000, "voltage_v": 8}],
 "rates": {"currency": "EUR"}
}`

// Write writes the panels and other files that the works name, and others that can be named in their place, into a folder.
func Write(dir string) error {
	blank := func(length float64) []byte {
		return drawn(box("OUT", 0, 0, length, 60), box("HOLE", 30, 20, 44, 40))
	}
	for name, data := range map[string][]byte{
		"a.stl": plates.STL(plates.Flat(0, 0, 400, 80, 0)), "b.stl": plates.STL(plates.Flat(0, 62, 400, 160, 1)),
		"c.stl":     plates.STL(plates.Flat(0, 144, 400, 300, 0)),
		"d.stl":     plates.STL(plates.Flat(0, 284, 400, 360, 1)),
		"other.stl": plates.STL(plates.Flat(0, 0, 380, 80, 0)), "e.dxf": blank(120), "other.dxf": blank(110),
		"wide.stl":   plates.STL(plates.Flat(0, 40, 400, 160, 1)),
		"sprung.stl": plates.STL([4]plates.Point{{0, 62, 1}, {400, 62, 1}, {400, 160, 11.3}, {0, 160, 11.3}}),
		"leaning.stl": plates.STL(plates.Flat(0, 62, 400, 70, 1),
			[4]plates.Point{{0, 70, 1}, {400, 70, 1}, {400, 160, 20.1}, {0, 160, 20.1}}),
		"bent.stl":        plates.STL(plates.Flat(0, 62, 400, 79, 1), wall(0, 79, 400, 79)),
		"edge-wall.stl":   plates.STL(plates.Flat(0, 0, 400, 80, 0), wall(0, 0, 400, 0)),
		"far-wall.stl":    plates.STL(plates.Flat(0, 62, 400, 160, 1), wall(0, 160, 400, 160)),
		"near-wall.stl":   plates.STL(plates.Flat(0, 62, 400, 84, 1), wall(0, 84, 400, 84)),
		"end-wall.stl":    plates.STL(plates.Flat(0, 62, 400, 160, 1), wall(400, 62, 400, 160)),
		"near-wall-d.stl": plates.STL(plates.Flat(0, 284, 400, 304, 1), wall(0, 304, 400, 304)),
		"bowl-b.stl":      plates.STL(bowl(62, 160, 1)...), "bowl-c.stl": plates.STL(bowl(144, 300, 0)...),
		"line.csv": []byte("x,y,z\n20,2,0\n380,2,0\n"), "other.csv": []byte("x,y,z\n20,2,0\n300,2,0\n"),
		"bend.csv":   arc(),
		"points.csv": []byte("x,y,z\n20,71,0.5\n50,71,0.5\n80,71,0.5\n"),
		"adopted.csv": []byte("x,y,z,joint\n20,71,0.5,lap\n60,71,0.5,lap\n110,71,0.5,lap\n160,71,0.5,lap\n220,71,0.5,lap\n" +
			"260,71,0.5,lap\n300,71,0.5,lap\n340,71,0.5,lap\n380,71,0.5,lap\n"),
		"book.yaml": []byte("rules:\n  - {id: pitch.greatest, value: 26}\n"),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			return err
		}
	}
	return nil
}

// wall is a rectangle that stands 60 mm high over a line at a height of 1 mm.
func wall(x0, y0, x1, y1 float64) [4]plates.Point {
	return [4]plates.Point{{x0, y0, 1}, {x1, y1, 1}, {x1, y1, 61}, {x0, y0, 61}}
}

// bowl is a strip across a hollow of 120 mm radius, with a sheet's middle raised so much.
func bowl(y0, y1, raised float64) (out [][4]plates.Point) {
	at := func(i int, y float64) plates.Point {
		a := float64(i) * math.Pi / 60
		return plates.Point{200 + (120-raised)*math.Sin(a), y, 120 - (120-raised)*math.Cos(a)}
	}
	for i := -20; i < 20; i++ {
		out = append(out, [4]plates.Point{at(i, y0), at(i+1, y0), at(i+1, y1), at(i, y1)})
	}
	return out
}

// arc is a weld line that turns with a radius of 150 mm.
func arc() []byte {
	b := []byte("x,y,z\n")
	for i := range 31 {
		a := float64(i) * math.Pi / 60
		b = fmt.Appendf(b, "%.4f,%.4f,0\n", 100+150*math.Sin(a), 300-150*math.Cos(a))
	}
	return b
}

// box is the lines round a rectangle on a layer of a drawing.
func box(layer string, x0, y0, x1, y1 float64) string {
	var b strings.Builder
	at := [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
	for i := range 4 {
		fmt.Fprintf(&b, "0\nLINE\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", layer, at[i][0], at[i][1], at[i+1][0], at[i+1][1])
	}
	return b.String()
}

func drawn(shapes ...string) []byte {
	return []byte("0\nSECTION\n2\nENTITIES\n" + strings.Join(shapes, "") + "0\nENDSEC\n0\nEOF\n")
}
