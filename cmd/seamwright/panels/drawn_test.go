package panels

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

// dxfFile writes a drawing in mm of the entities given, each a type and its groups.
func dxfFile(t *testing.T, dir, name string, entities ...string) string {
	t.Helper()
	text := "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES " + strings.Join(entities, " ") + " 0 ENDSEC 0 EOF"
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(strings.ReplaceAll(text, " ", "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func dxfRectangle(x0, y0, x1, y1 float64) string {
	return fmt.Sprintf("0 LWPOLYLINE 8 0 90 4 70 1 10 %[1]g 20 %[2]g 10 %[3]g 20 %[2]g 10 %[3]g 20 %[4]g 10 %[1]g 20 %[4]g", x0, y0, x1, y1)
}

func dxfCircle(x, y, r float64) string { return fmt.Sprintf("0 CIRCLE 8 0 10 %g 20 %g 40 %g", x, y, r) }

func drawnResult(t *testing.T, args ...string) flangesResult {
	t.Helper()
	var r flangesResult
	if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, append([]string{"flanges", "--json"}, args...)...)), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// A blank is taken against pressed panels, and a hole far from the flange leaves its weld line alone.
func TestFlangesTakesABlankAgainstAPanel(t *testing.T) {
	dir := t.TempDir()
	panel := calls.Plate(t, dir, "panel.stl", 0, -200, 260, 15, 1)
	whole := dxfFile(t, dir, "whole.dxf", dxfRectangle(0, 0, 260, 300))
	holed := dxfFile(t, dir, "holed.dxf", dxfRectangle(0, 0, 260, 300), dxfCircle(130, 185, 20), "0 LINE 8 dimensions 10 0 20 0 11 9 21 9")
	for _, blank := range []string{whole, holed} {
		for _, files := range [][]string{{blank, panel}, {panel, blank}} {
			r := drawnResult(t, append(files, "--thickness", "1")...)
			if len(r.Flanges) != 1 || !(math.Abs(r.Flanges[0].Length-260) <= 0.1) || !(math.Abs(r.Flanges[0].Width.Least-15) <= 0.05) ||
				!(math.Abs(r.Flanges[0].Width.Greatest-15) <= 0.05) {
				t.Errorf("%v: %+v", files, r.Flanges)
			}
		}
	}
}

// A ring drawn as two circles is a closed strip, as long as its middle.
func TestFlangesOfADrawnRing(t *testing.T) {
	dir := t.TempDir()
	ring := dxfFile(t, dir, "ring.dxf", dxfCircle(0, 0, 100), dxfCircle(0, 0, 116))
	if r := drawnResult(t, ring); len(r.Flanges) != 1 || !r.Flanges[0].Closed || !(math.Abs(r.Flanges[0].Length-2*math.Pi*108) <= 0.5) {
		t.Errorf("%+v", r.Flanges)
	}
}
