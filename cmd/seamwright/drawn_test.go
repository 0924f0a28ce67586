package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
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
	if err := json.Unmarshal([]byte(must(t, exitDone, append([]string{"flanges", "--json"}, args...)...)), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// A blank is taken against pressed panels, and a hole far from the flange leaves its weld line alone.
func TestFlangesTakesABlankAgainstAPanel(t *testing.T) {
	dir := t.TempDir()
	panel := plate(t, dir, "panel.stl", 0, -200, 260, 15, 1)
	whole := dxfFile(t, dir, "whole.dxf", dxfRectangle(0, 0, 260, 300))
	holed := dxfFile(t, dir, "holed.dxf", dxfRectangle(0, 0, 260, 300), dxfCircle(130, 185, 20), "0 LINE 8 dimensions 10 0 20 0 11 9 21 9")
	for _, blank := range []string{whole, holed} {
		for _, files := range [][]string{{blank, panel}, {panel, blank}} {
			r := drawnResult(t, append(files, "--thickness", "1")...)
			if len(r.Flanges) != 1 || math.Abs(r.Flanges[0].Length-260) > 0.1 || math.Abs(r.Flanges[0].Width.Least-15) > 0.05 ||
				math.Abs(r.Flanges[0].Width.Greatest-15) > 0.05 {
				t.Errorf("%v: %+v", files, r.Flanges)
			}
		}
	}
	if _, errOut := called(t, exitDone, "flanges", holed, panel); !strings.Contains(errOut, "layer dimensions: 1 lines that by") {
		t.Errorf("%s", errOut)
	}
	open := dxfFile(t, dir, "open.dxf", "0 LINE 8 0 10 0 20 0 11 9 21 9")
	if _, errOut := called(t, exitInput, "flanges", open, panel); !strings.Contains(errOut, "1 open lines are left out") {
		t.Errorf("%s", errOut)
	}
}

// What is drawn within a strip is a hole of it, and named.
func TestFlangesNamesTheHolesOfADrawnStrip(t *testing.T) {
	dir := t.TempDir()
	file := dxfFile(t, dir, "strip.dxf", dxfRectangle(0, 0, 300, 16), dxfCircle(50, 8, 2.5), dxfCircle(250, 8, 3))
	out, errOut := called(t, exitDone, "flanges", file)
	if !strings.Contains(out, "2 holes") || !strings.Contains(errOut, "a hole about 6 mm across at (250.000, 8.000) is in it") {
		t.Errorf("%s%s", out, errOut)
	}
	ring := dxfFile(t, dir, "ring.dxf", dxfCircle(0, 0, 100), dxfCircle(0, 0, 116))
	if r := drawnResult(t, ring); len(r.Flanges) != 1 || !r.Flanges[0].Closed || math.Abs(r.Flanges[0].Length-2*math.Pi*108) > 0.5 {
		t.Errorf("%+v", r.Flanges)
	}
}

// called runs the program and gives both its outputs.
func called(t *testing.T, want int, args ...string) (out, errOut string) {
	t.Helper()
	code, out, errOut := call(t, args...)
	if code != want {
		t.Fatalf("exit code %d, want %d\n%s%s", code, want, out, errOut)
	}
	return out, errOut
}

// The limits on a drawing are flags, and hold wherever a drawing or a plan is read.
func TestLimitsAreFlags(t *testing.T) {
	dir := t.TempDir()
	file := dxfFile(t, dir, "strip.dxf", dxfRectangle(0, 0, 300, 16), dxfCircle(50, 8, 2.5))
	panel := plate(t, dir, "panel.stl", 0, 0, 300, 16, 1)
	for flag, want := range map[string]string{"--most-entities=1": "more than 1 entities", "--most-points=9": "more than 9 points",
		"--most-size=299": "more than 299 mm", "--most-bytes=99": "larger than 99 bytes"} {
		for _, call := range [][]string{{"flanges", file}, {"flanges", file, panel}, {"new", dir}} {
			if _, errOut := called(t, exitInput, append(call, flag)...); !strings.Contains(errOut, want) {
				t.Errorf("%v %s: %s", call, flag, errOut)
			}
		}
	}
	called(t, exitInput, "flanges", file, "--most-points=-1")
	put(t, dir, "book.yaml", "rules: [{id: pitch.greatest, severity: doubt}]")
	shell := put(t, dir, "lap.yaml", "name: Lap\nsteels: [{id: s, grade: DC04, thickness_mm: 1}]\nrules: {book: book.yaml}\n"+
		"panels: [{id: a, mesh: panel.stl, unit: mm}, {id: b, mesh: panel.stl, unit: mm}]\n")
	called(t, exitDone, "rules", shell)
	for _, call := range [][]string{{"rules", shell}, {"plan", shell, "--no-cache"}, {"cost", shell, "--no-cache"}} {
		if _, errOut := called(t, exitInput, append(call, "--most-book-bytes=9")...); !strings.Contains(errOut, "larger than 9 bytes") {
			t.Errorf("%v: %s", call, errOut)
		}
	}
	plan := put(t, dir, "plan.json", "{}")
	if _, errOut := called(t, exitInput, "compare", plan, plan, "--most-bytes=1"); !strings.Contains(errOut, "larger than 1 bytes") {
		t.Errorf("%s", errOut)
	}
}
