package planner_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/layout"
)

// twins plans two laps mirrored about y = 0: 240 mm long, from y = 60 to 80 on either side.
func twins(t *testing.T, left, right string) *layout.Plan {
	t.Helper()
	return twinsTo(t, 80, left, right)
}

// wideTwins are 40 mm wide.
func wideTwins(t *testing.T, left, right string) *layout.Plan {
	t.Helper()
	return twinsTo(t, 100, left, right)
}

func twinsTo(t *testing.T, y float64, left, right string) *layout.Plan {
	t.Helper()
	dir := t.TempDir()
	for _, s := range []struct {
		name string
		sign float64
	}{{"l", 1}, {"r", -1}} {
		sheet(t, dir, "a"+s.name+".stl", flat(0, math.Min(s.sign*20, s.sign*y), 240, math.Max(s.sign*20, s.sign*y), 0))
		sheet(t, dir, "b"+s.name+".stl", flat(0, math.Min(s.sign*60, s.sign*140), 240, math.Max(s.sign*60, s.sign*140), 1))
	}
	return planText(t, dir, "name: twins\nsteels: [{id: s, thickness_mm: 1, tensile_mpa: 360, yield_mpa: 200}]\npanels: [{id: al, "+
		"mesh: al.stl, "+
		"steel: s}, {id: bl, mesh: bl.stl, steel: s}, {id: ar, mesh: ar.stl, steel: s}, {id: br, mesh: br.stl, steel: s}]\njoints:\n"+
		"  - {id: left, panels: [al, bl]"+left+"}\n  - {id: right, panels: [ar, br], mirror_of: left"+right+"}\n")
}

func weldsAt(p *layout.Plan, joint string) map[string]bool {
	out := map[string]bool{}
	for _, w := range p.Welds {
		if w.Joint == joint {
			out[fmt.Sprintf("%.1f %.1f", w.Position[0], math.Abs(w.Position[1]))] = true
		}
	}
	return out
}

// A joint is welded as its twin, whatever decides the twin's places, and where its own keep-out forbids a place it is said.
func TestMirrorOf(t *testing.T) {
	for _, left := range []string{", pitch_mm: 23", ", count: 5", ", keep_outs: [{at_mm: [100, 70, 0], radius_mm: 25}]",
		", welds: [{id: w, along_mm: 61, do: add}]"} {
		p := twins(t, left, "")
		l, r := weldsAt(p, "left"), weldsAt(p, "right")
		if len(l) < 3 || fmt.Sprint(l) != fmt.Sprint(r) || len(findings(p, "joint.mirror")) > 0 {
			t.Errorf("%s: left %v, right %v: %v", left, l, r, findings(p, "joint.mirror"))
		}
	}
	p := twins(t, ", pitch_mm: 23", ", keep_outs: [{at_mm: [100, -70, 0], radius_mm: 6, why: clip}]")
	f := findings(p, "joint.mirror")
	if len(f) != 1 || f[0].Severity != layout.Doubt || !strings.Contains(f[0].Where, "joint right: of the 11 welds of its twin left") {
		t.Fatalf("%v", p.Findings)
	}
	if b := len(findings(p, "keep.clear.least")); b > 0 {
		t.Errorf("%d welds are laid on the keep-out", b)
	}
	l, r := weldsAt(p, "left"), weldsAt(p, "right")
	same := 0
	for at := range l {
		if r[at] {
			same++
		}
	}
	if same < len(l)-2 || same == len(l) {
		t.Errorf("%d of %d stand as the twin's: %v, %v", same, len(l), l, r)
	}
}

// A twin's rows are copied weld by weld, be they staggered, side by side or three.
func TestMirrorOfRows(t *testing.T) {
	for _, left := range []string{", rows: 2", ", count: 30, row_distance_mm: 8.1", ", rows: 3, row_distance_mm: 8",
		", load: {shear_n: 50000}"} {
		p := wideTwins(t, left, "")
		l, r := weldsAt(p, "left"), weldsAt(p, "right")
		rows := weldsByRow(p)
		if len(l) < 3 || rows[2] < 4 || rows[0] > 0 || fmt.Sprint(l) != fmt.Sprint(r) || len(findings(p, "joint.mirror")) > 0 {
			t.Errorf("%s: %v, left %v, right %v: %v", left, rows, l, r, findings(p, "joint.mirror"))
		}
		for _, w := range p.Welds { // right to left of a line that runs either way
			for _, o := range p.Welds {
				if w.Flange == o.Flange && w.Row == o.Row && !(math.Abs(w.Position[1]-o.Position[1]) <= 0.01) {
					t.Errorf("%s: welds %d and %d are in one row, at %v and %v", left, w.Number, o.Number, w.Position, o.Position)
				}
			}
		}
	}
	p := wideTwins(t, ", rows: 2", ", keep_outs: [{at_mm: [100, -65, 0], radius_mm: 9, why: clip}]")
	f := findings(p, "joint.mirror")
	if len(f) != 1 || !strings.Contains(f[0].Where, "have no place here") || len(findings(p, "keep.clear.least")) > 0 {
		t.Errorf("%v", p.Findings)
	}
}

// Rows that are stated and do not fit are said: how wide it would have to be, and how many there are instead.
func TestStatedRowsThatDoNotFit(t *testing.T) {
	p := twins(t, ", rows: 4", "")
	width, stated := findings(p, "row.width.least"), findings(p, "row.stated.least")
	if len(width) != 1 || len(stated) != 1 || !strings.Contains(width[0].Where, "mm too narrow for 4 rows") ||
		stated[0].Where != "flange left/1: welded in two rows of the 4 that are stated" || stated[0].Value != 2 || stated[0].Limit != 4 {
		t.Errorf("%v, %v: %v", width, stated, weldsByRow(p))
	}
	p = lap(t, 400, 60, "count: 40, rows: 9") // a contact so broad that it is no strip
	if f := findings(p, "row.stated.least"); len(f) != 1 || f[0].Value != 6 || weldsByRow(p)[6] == 0 {
		t.Errorf("%v: %v", f, weldsByRow(p))
	}
	p = wideTwins(t, ", rows: 3, keep_outs: [{at_mm: [120, 70, 0], radius_mm: 10, why: clip}]", "")
	if f := append(findings(p, "row.width.least"), findings(p, "row.stated.least")...); len(f) > 0 || weldsByRow(p)[3] == 0 {
		t.Errorf("%v: %v", weldsByRow(p), f)
	}
}

// Where fewer welds fit than the twin has, those that have none of their own are missing, however near the next one stands.
func TestMirrorWithFewerPlaces(t *testing.T) {
	p := twins(t, ", pitch_mm: 19.5", ", keep_outs: [{at_mm: [100, -70, 0], radius_mm: 9, why: clip}]")
	l, r := 0, 0
	for _, w := range p.Welds {
		switch w.Joint {
		case "left":
			l++
		case "right":
			r++
		}
	}
	f := findings(p, "joint.mirror")
	if l <= r || len(f) != 1 || !strings.Contains(f[0].Where, fmt.Sprintf("of the %d welds of its twin left %d have no place here", l, l-r)) {
		t.Errorf("%d and %d welds: %v", l, r, f)
	}
}

// A survey's points of a joint that follows its twin change nothing, which is said.
func TestMirrorBesideSurvey(t *testing.T) {
	points := filepath.Join(t.TempDir(), "points.csv")
	if err := os.WriteFile(points, []byte("x_mm,y_mm,z_mm,joint\n50,-70,0.5,right\n120,-70,0.5,right\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p := twins(t, ", pitch_mm: 23", "}\nsurvey: {file: "+points)
	f := findings(p, "joint.key")
	if len(f) != 1 || !strings.Contains(f[0].Where, "joint right: the survey's 2 points of it have no effect") {
		t.Errorf("%v", f)
	}
	if l, r := weldsAt(p, "left"), weldsAt(p, "right"); fmt.Sprint(l) != fmt.Sprint(r) {
		t.Errorf("left %v, right %v", l, r)
	}
}
