package planner_test

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// hemmed plans a sheet of which 12 mm are folded over the edge of another: its layers lie at -1 and +1 mm.
func hemmed(t *testing.T, joints string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	section := [][2]float64{{12, 1}, {0, 1}}
	for i := 1; i < 6; i++ {
		sin, cos := math.Sincos(math.Pi * float64(i) / 6)
		section = append(section, [2]float64{-sin, cos})
	}
	section = append(section, [2]float64{0, -1}, [2]float64{12, -1}, [2]float64{100, -1})
	var outer [][4]r3.Vector
	for i := 1; i < len(section); i++ {
		a, b := section[i-1], section[i]
		outer = append(outer, [4]r3.Vector{{Y: a[0], Z: a[1]}, {X: 200, Y: a[0], Z: a[1]}, {X: 200, Y: b[0], Z: b[1]}, {Y: b[0], Z: b[1]}})
	}
	sheet(t, dir, "outer.stl", outer...)
	sheet(t, dir, "inner.stl", flat(0, 0.2, 200, 80, 0))
	return planText(t, dir, "name: hem\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: outer, mesh: outer.stl}, {id: inner, mesh: inner.stl}]\n"+joints)
}

// A folded edge is noted and not welded, unless a joint states a count.
func TestHemIsWeldedOnlyWhenACountIsStated(t *testing.T) {
	for _, joints := range []string{"", "joints: [{id: h, panels: [outer, inner]}]\n"} {
		p := hemmed(t, joints)
		notes := findings(p, "joint.hem")
		if len(notes) != 1 || notes[0].Severity != layout.Note || !(math.Abs(notes[0].Value-200) <= 1) || !strings.Contains(notes[0].Remedy,
			"count") {
			t.Errorf("%q: %+v", joints, notes)
		}
		for _, w := range p.Welds {
			if w.Position[1] < 12 {
				t.Errorf("%q: a weld in the fold at %v", joints, w.Position)
			}
		}
	}
	p := hemmed(t, "joints: [{id: h, panels: [outer, inner], count: 6}]\n")
	n := 0
	for _, w := range p.Welds {
		if w.Position[1] < 12 && len(w.Sheets) == 3 {
			n++
		}
	}
	if n < 3 || len(findings(p, "joint.hem")) > 0 {
		t.Errorf("%d welds in the fold, %+v", n, findings(p, "joint.hem"))
	}
}

// A notch of 12 by 4 mm in the edge of a lap is noted with its depth and place.
func TestNotchIsNoted(t *testing.T) {
	dir := t.TempDir()
	sheet(t, dir, "a.stl", flat(0, 0, 60, 76, 0), flat(0, 76, 60, 80, 0), flat(60, 0, 72, 76, 0), flat(72, 0, 300, 76, 0),
		flat(72, 76, 300, 80, 0))
	sheet(t, dir, "b.stl", flat(0, 60, 300, 160, 1))
	p := planText(t, dir, "name: lap\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\njoints: [{id: lap, panels: [a, b]}]\n")
	got := findings(p, "flange.notch")
	if len(got) != 1 || got[0].Severity != layout.Note || !(math.Abs(got[0].Value-4) <= 0.1) || got[0].Flange != "lap/1" ||
		!(math.Abs(got[0].At[0]-66) <= 1) || !(math.Abs(got[0].At[1]-76) <= 1) {
		t.Fatalf("%+v", got)
	}
	if !strings.Contains(got[0].Where, "notch 4.0 mm deep") {
		t.Errorf("%s", got[0].Where)
	}
	if none := findings(lap(t, 300, 20, "count: 0"), "flange.notch"); len(none) > 0 {
		t.Errorf("a plain lap has notches: %+v", none)
	}
}
