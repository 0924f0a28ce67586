package main

import (
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// goodSTL is one triangle as text.
const goodSTL = "solid p\n facet normal 0 0 1\n  outer loop\n   vertex 0 0 0\n   vertex 300 0 0\n   vertex 300 20 0\n  endloop\n " +
	"endfacet\nendsolid p\n"

// goodShell is the least shell file.
const goodShell = "name: Test\nsteels:\n  - {id: s, grade: DC04, thickness_mm: 1}\npanels:\n  - {id: a, mesh: a.stl, unit: mm}\n  - " +
	"{id: b, mesh: b.stl, unit: mm}\n"

// binarySTL is a binary file that states count triangles and holds the given corner coordinates.
func binarySTL(count uint32, coordinates ...float32) string {
	out := binary.LittleEndian.AppendUint32(make([]byte, 80), count)
	for i, x := range coordinates {
		if i%9 == 0 {
			out = append(out, make([]byte, 12)...)
		}
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(x))
		if i%9 == 8 {
			out = append(out, 0, 0)
		}
	}
	return string(out)
}

// Every broken file gives one line with its name, the place and what to do; exit code 2; nothing written.
func TestBrokenFiles(t *testing.T) {
	nan := float32(math.NaN())
	for name, test := range map[string]struct {
		file, text string
		want       []string
	}{
		"stl empty":             {"a.stl", "", []string{"a.stl", "empty"}},
		"stl blank":             {"a.stl", strings.Repeat("\n", 100000), []string{"a.stl", "blank"}},
		"stl without triangles": {"a.stl", "solid p\nendsolid p\n", []string{"a.stl", "without triangles"}},
		"stl cut":               {"a.stl", goodSTL[:90], []string{"a.stl"}},
		"stl word for number":   {"a.stl", strings.Replace(goodSTL, "300 0 0", "300 zero 0", 1), []string{"a.stl", "zero"}},
		"stl not a number":      {"a.stl", strings.Replace(goodSTL, "300 0 0", "300 nan 0", 1), []string{"a.stl", "triangle"}},
		"stl two corners":       {"a.stl", strings.Replace(goodSTL, "   vertex 300 20 0\n", "", 1), []string{"a.stl", "line"}},
		"stl html":              {"a.stl", "<!doctype html><title>404</title>", []string{"a.stl"}},
		"stl binary short":      {"a.stl", binarySTL(5, 0, 0, 0, 1, 0, 0, 0, 1, 0), []string{"a.stl", "4"}},
		"stl binary nan":        {"a.stl", binarySTL(1, 0, 0, 0, nan, 0, 0, 0, 1, 0), []string{"a.stl", "triangle", "not a number"}},
		"stl binary zero":       {"a.stl", binarySTL(0), []string{"a.stl", "without triangles"}},
		"stl points only":       {"a.stl", binarySTL(1, 1, 1, 1, 1, 1, 1, 1, 1, 1), []string{"a.stl"}},
		"stl huge count":        {"a.stl", binarySTL(4000000000, 0, 0, 0, 1, 0, 0, 0, 1, 0), []string{"a.stl"}},
		"shell missing panel":   {"shell.yaml", strings.Replace(goodShell, "b.stl", "c.stl", 1), []string{"shell.yaml:6", "c.stl"}},
		"shell unknown key": {"shell.yaml", strings.Replace(goodShell, "thickness_mm", "thicknes_mm", 1),
			[]string{"shell.yaml:3", "thicknes_mm", "thickness_mm"}},
		"shell unknown steel": {"shell.yaml", strings.Replace(goodShell, "mesh: a.stl", "mesh: a.stl, steel: x", 1),
			[]string{"shell.yaml:5", "steel"}},
		"shell wrong type": {"shell.yaml", goodShell + "batch: many\n", []string{"shell.yaml:7", "batch"}},
		"shell negative": {"shell.yaml", strings.Replace(goodShell, "thickness_mm: 1", "thickness_mm: -1", 1),
			[]string{"shell.yaml:3", "thickness_mm"}},
		"shell not finite": {"shell.yaml", strings.Replace(goodShell, "thickness_mm: 1", "thickness_mm: .nan", 1),
			[]string{"shell.yaml:3", "thickness_mm"}},
		"shell twice an id":  {"shell.yaml", strings.Replace(goodShell, "id: b", "id: a", 1), []string{"shell.yaml:6", "panels"}},
		"shell twice a key":  {"shell.yaml", goodShell + "name: Again\n", []string{"shell.yaml:7", "name"}},
		"shell tab":          {"shell.yaml", "name: x\n\tbatch: 1\n", []string{"shell.yaml:"}},
		"shell empty":        {"shell.yaml", "", []string{"shell.yaml"}},
		"shell a list":       {"shell.yaml", "- 1\n- 2\n", []string{"shell.yaml"}},
		"shell unknown unit": {"shell.yaml", strings.Replace(goodShell, "unit: mm}", "unit: ell}", 1), []string{"shell.yaml:5", "unit"}},
		"shell unknown surface": {"shell.yaml", strings.Replace(goodShell, "unit: mm}", "unit: mm, surface: top}", 1),
			[]string{"shell.yaml:5", "surface"}},
		"shell joint of a ghost": {"shell.yaml", goodShell + "joints:\n  - {id: j, panels: [a, ghost]}\n", []string{"shell.yaml:8", "ghost"}},
		"shell joint of one":     {"shell.yaml", goodShell + "joints:\n  - {id: j, panels: [a]}\n", []string{"shell.yaml:8", "panels"}},
		"toml broken":            {"shell.toml", "name = \n", []string{"shell.toml:1"}},
		"json broken":            {"shell.json", "{\"name\": \"x\",}", []string{"shell.json:1"}},
		"json unknown key":       {"shell.json", "{\n \"name\": \"x\",\n \"bach\": 3\n}", []string{"shell.json:3", "bach", "batch"}},
		"dxf cut":                {"floor.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\n1.0\n 20\n", []string{"floor.dxf"}},
		"dxf word for number": {"floor.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\none\n 20\n0\n 11\n1\n 21\n1\n  0\nENDSEC\n  " +
			"0\nEOF\n", []string{"floor.dxf", "line 8"}},
		"dxf nothing drawn":   {"floor.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF\n", []string{"floor.dxf"}},
		"dxf other text":      {"floor.dxf", "this is a letter\nto you\n", []string{"floor.dxf"}},
		"csv word for number": {"line.csv", "x,y\n0,0\n10,ten\n", []string{"line.csv", "line 3"}},
		"csv one column":      {"line.csv", "0\n10\n", []string{"line.csv", "line 1"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			put(t, dir, "a.stl", goodSTL)
			put(t, dir, "b.stl", goodSTL)
			put(t, dir, "shell.yaml", goodShell)
			path := put(t, dir, test.file, test.text)
			before := list(t, dir)
			args := []string{"plan", filepath.Join(dir, "shell.yaml"), "-o", filepath.Join(dir, "out")}
			switch ext := filepath.Ext(test.file); {
			case strings.HasPrefix(test.file, "shell"):
				args[1] = path
			case ext != ".stl":
				args = []string{"flanges", path, "--width", "10"}
			}
			code, out, errOut := call(t, args...)
			if code != exitInput || out != "" || strings.Count(errOut, "\n") != 1 || len(errOut) > 600 {
				t.Errorf("exit code %d, out %q, error %q", code, out, errOut)
			}
			for _, w := range test.want {
				if !strings.Contains(errOut, w) {
					t.Errorf("%q does not name %q", errOut, w)
				}
			}
			if after := list(t, dir); after != before {
				t.Errorf("files left behind: %s", after)
			}
		})
	}
}

func list(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return strings.Join(names, " ")
}
