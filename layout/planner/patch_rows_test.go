package planner_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// doubler plans a doubler plate of 120 by 120 mm on a floor.
func doubler(t *testing.T, joint string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	sheet(t, dir, "floor.stl", flat(0, 0, 400, 400, 0))
	sheet(t, dir, "doubler.stl", flat(100, 100, 220, 220, 1))
	return planText(t, dir, "name: doubler\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: floor, mesh: floor.stl}, {id: doubler, mesh: doubler.stl}]\njoints: [{id: d, panels: [floor, doubler]"+joint+"}]\n")
}

// As many rows as the pitch asks for stand evenly between the two edges, each at its place, and every rule is kept.
func TestDoublerInRows(t *testing.T) {
	for _, pitch := range []float64{30, 40, 60} {
		p := doubler(t, fmt.Sprintf(", row_pitch_mm: %g", pitch))
		edge := math.Inf(1) // the rule's edge distance is where the outermost welds stand
		across := 0         // the rows run along x or y
		if line := p.Flanges[0].Places(); !(math.Abs(line[0][0]-line[len(line)-1][0]) <= 60) {
			across = 1
		}
		for _, w := range p.Welds {
			edge = min(edge, w.Position[across]-100)
		}
		want := int(math.Ceil((120-2*edge)/pitch-1e-3)) + 1
		if len(p.Flanges) != want || edge < 3 || edge > 12 {
			t.Fatalf("pitch %g: %d rows, want %d with the outermost %.2f mm from the edge", pitch, len(p.Flanges), want, edge)
		}
		var places []float64
		area := 0.0
		for i, f := range p.Flanges {
			if f.ID != fmt.Sprintf("d/%d", i+1) || f.Joint != "d" {
				t.Errorf("row %d is %s of joint %s", i+1, f.ID, f.Joint)
			}
			area += f.Area
			var own []float64
			for _, w := range p.Welds {
				if w.Flange == f.ID {
					own = append(own, w.Position[across])
				}
			}
			if len(own) < 3 || slices.Max(own)-slices.Min(own) > 0.1 {
				t.Fatalf("pitch %g: row %s has welds at %v", pitch, f.ID, own)
			}
			places = append(places, own[0])
		}
		slices.Sort(places)
		for i, at := range places {
			if even := 100 + edge + float64(i)*(120-2*edge)/float64(want-1); !(math.Abs(at-even) <= 0.1) {
				t.Errorf("pitch %g: row %d at %.2f, want %.2f", pitch, i+1, at, even)
			}
		}
		if !(math.Abs(area-120*120) <= 20) {
			t.Errorf("area %.0f mm² of all rows", area)
		}
		for _, f := range p.Findings {
			if f.Severity == layout.Broken || f.Rule == "joint.patch" || strings.HasPrefix(f.Rule, "pitch.") || strings.HasPrefix(f.Rule, "end.") ||
				strings.HasPrefix(f.Rule, "edge.") {
				t.Errorf("pitch %g: %s %s: %s: %g, limit %g", pitch, f.Severity, f.Rule, f.Where, f.Value, f.Limit)
			}
		}
		t.Logf("pitch %g: %d rows at %.2f, %d welds", pitch, want, places, len(p.Welds))
	}
}

// With a stated distance from the doubler's edge the outermost rows stand there, on all of the sides that are its edges;
// the floor has none, which is said.
func TestDoublerRowsFromItsEdge(t *testing.T) {
	for panel, told := range map[string]int{"doubler": 0, "floor": 1} {
		p := doubler(t, ", row_pitch_mm: 30, edge_of: "+panel+", edge_mm: 20")
		got := findings(p, "line.edge")
		if len(got) != told {
			t.Errorf("edge_of %s: %+v", panel, got)
		}
		across := 0
		if line := p.Flanges[0].Places(); !(math.Abs(line[0][0]-line[len(line)-1][0]) <= 60) {
			across = 1
		}
		least, most := math.Inf(1), math.Inf(-1)
		for _, f := range p.Flanges {
			for _, at := range f.Places() {
				least, most = min(least, at[across]-100), max(most, at[across]-100)
			}
		}
		if at20 := math.Abs(least-20) < 0.1 && math.Abs(most-100) < 0.1; at20 != (told == 0) || len(p.Welds) < 9 {
			t.Errorf("edge_of %s: the outermost rows stand at %.2f and %.2f of 120 mm, %d welds", panel, least, most, len(p.Welds))
		}
	}
}

// A doubler of 160 by 100 mm that lies 30 degrees aslant on the floor: the rows follow its sides, not the floor's.
func TestSlantingDoublerInRows(t *testing.T) {
	dir := t.TempDir()
	sin, cos := math.Sincos(math.Pi / 6)
	at := func(u, v float64) r3.Vector { return r3.Vector{X: 200 + u*cos - v*sin, Y: 200 + u*sin + v*cos, Z: 1} }
	sheet(t, dir, "floor.stl", flat(0, 0, 500, 500, 0))
	sheet(t, dir, "doubler.stl", [4]r3.Vector{at(0, 0), at(160, 0), at(160, 100), at(0, 100)})
	p := planText(t, dir, "name: doubler\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
		"panels: [{id: floor, mesh: floor.stl}, {id: doubler, mesh: doubler.stl}]\njoints: [{id: d, panels: [floor, doubler], row_pitch_mm: "+
		"45}]\n")
	n := map[int]int{}
	for _, w := range p.Welds {
		v := -(w.Position[0]-200)*sin + (w.Position[1]-200)*cos
		n[int(math.Round(v*4))]++ // rows at 6.25, 50 and 93.75
	}
	if len(p.Flanges) != 3 || len(n) != 3 || n[25] < 4 || n[200] < 4 || n[375] < 4 {
		t.Errorf("%d rows, welds by 4 x their place across %v", len(p.Flanges), n)
	}
	if got := findings(p, "edge.greatest"); len(got) > 0 {
		t.Errorf("%+v", got)
	}
}

// Without the key the contact is not welded and the note names both keys that would.
func TestDoublerUnstated(t *testing.T) {
	p := doubler(t, "")
	got := findings(p, "joint.patch")
	if len(got) != 1 || len(p.Welds) != 0 {
		t.Fatalf("%d welds, %+v", len(p.Welds), got)
	}
	for _, key := range []string{"row_pitch_mm", "count"} {
		if !strings.Contains(got[0].Remedy, key) {
			t.Errorf("%s is not named: %s", key, got[0].Remedy)
		}
	}
	if none := findings(p, "joint.flange"); len(none) != 1 || !strings.Contains(none[0].Remedy, "row_pitch_mm") {
		t.Errorf("%+v", none)
	}
	if p = doubler(t, ", count: 4"); len(p.Flanges) != 1 || len(p.Welds) < 4 {
		t.Errorf("with a count: %d strips, %d welds", len(p.Flanges), len(p.Welds))
	}
}

// bent is a part of a cylinder about y with a radius, between two angles in degrees, and how wide on either side of a middle.
func bent(radius, from, to, middle float64, half func(deg float64) float64) [][4]r3.Vector {
	at := func(deg, y float64) r3.Vector {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return r3.Vector{X: radius * sin, Y: y, Z: radius * cos}
	}
	var out [][4]r3.Vector
	for a := from; a < to-1e-9; a++ {
		out = append(out, [4]r3.Vector{at(a, middle-half(a)), at(a+1, middle-half(a+1)), at(a+1, middle+half(a+1)), at(a, middle+half(a))})
	}
	return out
}

// Doublers on a floor bent to a radius of 400 mm. The rows of an oblong one lie on the cylinder, side by side; those of
// one that tapers to a point would cross and are not guessed: a finding says so.
func TestCurvedDoublers(t *testing.T) {
	plan := func(half func(deg float64) float64) *layout.Plan {
		dir := t.TempDir()
		sheet(t, dir, "floor.stl", bent(399, -35, 35, 100, func(float64) float64 { return 200 })...)
		sheet(t, dir, "doubler.stl", bent(400, -17, 17, 100, half)...)
		return planText(t, dir, "name: doubler\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\n"+
			"panels: [{id: floor, mesh: floor.stl}, {id: doubler, mesh: doubler.stl}]\njoints: [{id: d, panels: [floor, doubler], row_pitch_mm: "+
			"45}]\n")
	}
	oblong := plan(func(float64) float64 { return 45 })
	if len(oblong.Flanges) != 3 || len(findings(oblong, "row.patch")) != 0 {
		t.Errorf("%d rows, %+v", len(oblong.Flanges), findings(oblong, "row.patch"))
	}
	for _, w := range oblong.Welds {
		if off := math.Hypot(w.Position[0], w.Position[2]) - 399.5; !(math.Abs(off) <= 0.1) {
			t.Errorf("weld %d is %.2f mm off the cylinder", w.Number, off)
		}
	}
	for _, f := range oblong.Flanges[1:] {
		if !reflect.DeepEqual(f.Outline, oblong.Flanges[0].Outline) {
			t.Errorf("row %s lies on another outline than the first", f.ID)
		}
	}
	pointed := plan(func(deg float64) float64 { return 2 + 4*(17-deg) })
	if got := findings(pointed, "row.patch"); len(got) != 1 || got[0].Severity != layout.Doubt || len(pointed.Flanges) != 1 ||
		len(pointed.Welds) == 0 {
		t.Errorf("%d rows, %d welds, %+v", len(pointed.Flanges), len(pointed.Welds), got)
	}
	for _, f := range oblong.Flanges {
		t.Logf("%s: length %.1f, width %+v", f.ID, f.Length, f.Width)
	}
}
