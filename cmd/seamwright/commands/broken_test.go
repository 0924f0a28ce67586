package commands

import (
	"encoding/binary"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/internal/record"
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
	cases := map[string]struct {
		file, text string
	}{
		"stl empty":              {"a.stl", ""},
		"stl blank":              {"a.stl", strings.Repeat("\n", 100000)},
		"stl without triangles":  {"a.stl", "solid p\nendsolid p\n"},
		"stl cut":                {"a.stl", goodSTL[:90]},
		"stl word for number":    {"a.stl", strings.Replace(goodSTL, "300 0 0", "300 zero 0", 1)},
		"stl not a number":       {"a.stl", strings.Replace(goodSTL, "300 0 0", "300 nan 0", 1)},
		"stl two corners":        {"a.stl", strings.Replace(goodSTL, "   vertex 300 20 0\n", "", 1)},
		"stl html":               {"a.stl", "<!doctype html><title>404</title>"},
		"stl binary short":       {"a.stl", binarySTL(5, 0, 0, 0, 1, 0, 0, 0, 1, 0)},
		"stl binary nan":         {"a.stl", binarySTL(1, 0, 0, 0, nan, 0, 0, 0, 1, 0)},
		"stl binary zero":        {"a.stl", binarySTL(0)},
		"stl points only":        {"a.stl", binarySTL(1, 1, 1, 1, 1, 1, 1, 1, 1, 1)},
		"stl huge count":         {"a.stl", binarySTL(4000000000, 0, 0, 0, 1, 0, 0, 0, 1, 0)},
		"shell missing panel":    {"shell.yaml", strings.Replace(goodShell, "b.stl", "c.stl", 1)},
		"shell unknown key":      {"shell.yaml", strings.Replace(goodShell, "thickness_mm", "thicknes_mm", 1)},
		"shell unknown steel":    {"shell.yaml", strings.Replace(goodShell, "mesh: a.stl", "mesh: a.stl, steel: x", 1)},
		"shell wrong type":       {"shell.yaml", goodShell + "batch: many\n"},
		"shell negative":         {"shell.yaml", strings.Replace(goodShell, "thickness_mm: 1", "thickness_mm: -1", 1)},
		"shell not finite":       {"shell.yaml", strings.Replace(goodShell, "thickness_mm: 1", "thickness_mm: .nan", 1)},
		"shell twice an id":      {"shell.yaml", strings.Replace(goodShell, "id: b", "id: a", 1)},
		"shell twice a key":      {"shell.yaml", goodShell + "name: Again\n"},
		"shell tab":              {"shell.yaml", "name: x\n\tbatch: 1\n"},
		"shell empty":            {"shell.yaml", ""},
		"shell a list":           {"shell.yaml", "- 1\n- 2\n"},
		"shell unknown unit":     {"shell.yaml", strings.Replace(goodShell, "unit: mm}", "unit: ell}", 1)},
		"shell unknown surface":  {"shell.yaml", strings.Replace(goodShell, "unit: mm}", "unit: mm, surface: top}", 1)},
		"shell joint of a ghost": {"shell.yaml", goodShell + "joints:\n  - {id: j, panels: [a, ghost]}\n"},
		"shell joint of one":     {"shell.yaml", goodShell + "joints:\n  - {id: j, panels: [a]}\n"},
		"toml broken":            {"shell.toml", "name = \n"},
		"json broken":            {"shell.json", "{\"name\": \"x\",}"},
		"json unknown key":       {"shell.json", "{\n \"name\": \"x\",\n \"bach\": 3\n}"},
		"dxf cut":                {"floor.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\n1.0\n 20\n"},
		"dxf word for number": {"floor.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\none\n 20\n0\n 11\n1\n 21\n1\n  0\nENDSEC\n  " +
			"0\nEOF\n"},
		"dxf nothing drawn":   {"floor.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF\n"},
		"dxf other text":      {"floor.dxf", "this is a letter\nto you\n"},
		"csv word for number": {"line.csv", "x,y\n0,0\n10,ten\n"},
		"csv one column":      {"line.csv", "0\n10\n"},
	}
	var said strings.Builder
	for _, name := range slices.Sorted(maps.Keys(cases)) {
		test := cases[name]
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			calls.Put(t, dir, "a.stl", goodSTL)
			calls.Put(t, dir, "b.stl", goodSTL)
			calls.Put(t, dir, "shell.yaml", goodShell)
			path := calls.Put(t, dir, test.file, test.text)
			before := list(t, dir)
			args := []string{"plan", filepath.Join(dir, "shell.yaml"), "-o", filepath.Join(dir, "out")}
			switch ext := filepath.Ext(test.file); {
			case strings.HasPrefix(test.file, "shell"):
				args[1] = path
			case ext != ".stl":
				args = []string{"flanges", path, "--width", "10"}
			}
			code, out, errOut := whole.Call(t, args...)
			if code != program.ExitInput || out != "" || strings.Count(errOut, "\n") != 1 || len(errOut) > 600 {
				t.Errorf("exit code %d, out %q, error %q", code, out, errOut)
			}
			fmt.Fprintf(&said, "%s\n\t%s", name, strings.ReplaceAll(errOut, dir+string(filepath.Separator), ""))
			if after := list(t, dir); after != before {
				t.Errorf("files left behind: %s", after)
			}
		})
	}
	record.Hold(t, filepath.Join("testdata", "record", "broken-files.txt"), said.String())
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
