package panels

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/internal/plates"
)

// profileSheet writes a sheet of a section of y and z along x from 0 to 200 mm, without the faces that keep leaves out.
func profileSheet(t *testing.T, dir, name string, xs []float64, section [][2]float64, keep func(x, y float64) bool) string {
	t.Helper()
	var quads [][4]plates.Point
	for i := 1; i < len(xs); i++ {
		for k := 1; k < len(section); k++ {
			p, q := section[k-1], section[k]
			if keep((xs[i-1]+xs[i])/2, (p[0]+q[0])/2) {
				quads = append(quads, [4]plates.Point{{xs[i-1], p[0], p[1]}, {xs[i], p[0], p[1]}, {xs[i], q[0], q[1]}, {xs[i-1], q[0], q[1]}})
			}
		}
	}
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, plates.STL(quads...), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func flangesOf(t *testing.T, files ...string) flangesResult {
	t.Helper()
	args := append([]string{"flanges", "--thickness", "1"}, files...)
	var r flangesResult
	if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, append(args, "--json")...)), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestFlangesTellsAHemAndANotch(t *testing.T) {
	dir := t.TempDir()
	fold := [][2]float64{{12, 1}, {0, 1}}
	for i := 1; i < 6; i++ {
		sin, cos := math.Sincos(math.Pi * float64(i) / 6)
		fold = append(fold, [2]float64{-sin, cos})
	}
	fold = append(fold, [2]float64{0, -1}, [2]float64{12, -1}, [2]float64{100, -1})
	all := func(float64, float64) bool { return true }
	outer := profileSheet(t, dir, "outer.stl", []float64{0, 200}, fold, all)
	r := flangesOf(t, outer, calls.Plate(t, dir, "inner.stl", 0, 0.2, 200, 80, 0))
	hems := 0
	for _, f := range r.Flanges {
		if f.Hem {
			hems++
		}
	}
	if hems != 1 {
		t.Errorf("%d hems", hems)
	}
	notched := profileSheet(t, dir, "a.stl", []float64{0, 60, 72, 200}, [][2]float64{{0, 0}, {76, 0}, {80, 0}},
		func(x, y float64) bool { return x < 60 || x > 72 || y < 76 })
	r = flangesOf(t, notched, calls.Plate(t, dir, "b.stl", 0, 60, 200, 160, 1))
	if len(r.Flanges) != 1 || r.Flanges[0].Hem || len(r.Flanges[0].Notches) != 1 {
		t.Fatalf("%+v", r.Flanges)
	}
	n := r.Flanges[0].Notches[0]
	if !(math.Abs(n.Depth-4) <= 0.1) || !(math.Abs(n.To-n.From-12) <= 0.4) || !(math.Abs(n.Place[0]-66) <= 1) {
		t.Errorf("%+v", n)
	}
}

func TestFlangesTellsWhereAStripIsTooNarrow(t *testing.T) {
	dir := t.TempDir()
	a := profileSheet(t, dir, "a.stl", []float64{0, 200}, [][2]float64{{0, 0}, {80, 0}}, func(float64, float64) bool { return true })
	b := calls.Plate(t, dir, "b.stl", 0, 66, 200, 160, 1)
	r := flangesOf(t, a, b, "--from-edge", "8")
	if len(r.Flanges) != 1 || len(r.Flanges[0].Narrow) != 1 || !(math.Abs(r.Flanges[0].Narrow[0][2]-2) <= 0.05) {
		t.Errorf("%+v", r.Flanges)
	}
	if r = flangesOf(t, a, b, "--from-edge", "6.9"); len(r.Flanges) != 1 || len(r.Flanges[0].Narrow) != 0 {
		t.Errorf("a strip of 14 mm has room for 6.9 on both sides: %+v", r.Flanges)
	}
}

// A drawn weld line stands in for the one found: an open line with a width, or the outline of a strip.
func TestDrawnWeldLine(t *testing.T) {
	for name, test := range map[string]struct {
		drawing, keys string
		from, to      float64
	}{
		"open line":     {"50,45,1\n350,45,1\n", "file: line.csv, width_mm: 16", 50, 350},
		"strip outline": {"100,38,1\n300,38,1\n300,54,1\n100,54,1\n100,38,1\n", "file: line.csv", 100, 300},
	} {
		t.Run(name, func(t *testing.T) {
			file := calls.Lap(t, "joints:\n  - {id: j, panels: [a, b], weld_line: {"+test.keys+"}}\n")
			calls.Put(t, filepath.Dir(file), "line.csv", test.drawing)
			var plan struct {
				Welds    []struct{ Position [3]float64 }
				Findings []struct{ Rule string }
			}
			if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, "plan", file, "--json")), &plan); err != nil {
				t.Fatal(err)
			}
			if len(plan.Welds) < 4 {
				t.Fatalf("%d welds", len(plan.Welds))
			}
			for _, w := range plan.Welds {
				if w.Position[0] < test.from || w.Position[0] > test.to || w.Position[1] < 44.9 || w.Position[1] > 46.1 {
					t.Errorf("weld at %v, off the drawn line", w.Position)
				}
			}
		})
	}
}
