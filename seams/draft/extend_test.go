package draft

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/seams/shellfile"
)

// Whatever the file holds is still there, in its order, and what is added can be read.
func TestExtendLosesNothing(t *testing.T) {
	panels := []Panel{{ID: "new-1", File: "new 1.stl", Surface: "solid", Steel: "sheet", How: "measured"},
		{ID: "blank", File: "blank.dxf", Layers: []string{"cut"}, Unit: "inch", Steel: "sheet", How: "assumed"}}
	joints := []Joint{{Panels: []string{"new-1", "roof"}, Flanges: 1, Length: 200, Width: 16}}
	add := Addition{Panels: panels, Joints: joints, Arrivals: map[string][]string{"jig": {"new-1"}, "front": {"blank"}},
		Parts: map[string][]string{"nose": {"blank"}}}
	for name, text := range map[string]string{
		"draft": "name: x # mine\n# above\nsteels: [{id: sheet, grade: DC04, thickness_mm: 1}]\npanels: # two\n  - id: roof\n    # a remark\n" +
			"    mesh: roof.stl\n    steel: sheet\n  - {id: rail, mesh: rail.stl, steel: sheet} # last\n    # deep\n\n# Joints, as ever.\n" +
			"joints:\n  - {id: new-1+roof, panels: [roof, rail]}\n\nbatch: 3\n",
		"dashes at the margin": "name: x\nsteels:\n- {id: sheet, grade: DC04, thickness_mm: 1}\npanels:\n- {id: roof, mesh: roof.stl, steel: " +
			"sheet}\n" +
			"- {id: rail, mesh: rail.stl, steel: sheet}\n- {id: wing, mesh: rail.stl, steel: sheet}\njoints:\n- {id: j, panels: [roof, rail]}\n" +
			"stations:\n- {id: jig, arrives: [roof, \"rail\", nose]}\n- id: front\n  makes: nose\n  arrives: [wing]\n" +
			"subassemblies: [{id: nose, parts: [wing]}]",
		"joints first": "name: x\njoints:\n    - id: j\n      panels:\n        - roof\n        - rail\nsteels: [{id: sheet, grade: DC04, " +
			"thickness_mm: 1}]\n" +
			"panels:\n    - {id: roof, mesh: roof.stl, steel: sheet}\n    - {id: rail, mesh: rail.stl, steel: sheet}\n# the end\n",
		"lines of two ends": "name: x\r\nsteels: [{id: sheet, grade: DC04, thickness_mm: 1}]\r\npanels:\r\n  - {id: roof, mesh: roof.stl, " +
			"steel: sheet}\r\n" +
			"  - {id: rail, mesh: rail.stl, steel: sheet}\r\njoints:\r\n  - {id: j, panels: [roof, rail]}\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			got, err := Extend([]byte(text), add)
			if err != nil {
				t.Fatal(err)
			}
			left := strings.Split(strings.TrimRight(string(got), "\r\n"), "\n")
			for _, line := range strings.Split(strings.TrimRight(text, "\r\n"), "\n") {
				k := slices.IndexFunc(left, func(x string) bool {
					return strings.TrimSuffix(x, "\r") == strings.TrimSuffix(line, "\r") || strings.Contains(line, "[") &&
						strings.HasPrefix(x, line[:strings.Index(line, "[")])
				})
				if k < 0 {
					t.Fatalf("the line %q is gone or moved:\n%s", line, got)
				}
				left = left[k+1:]
			}
			dir := t.TempDir()
			for _, file := range []string{"roof.stl", "rail.stl", "new 1.stl", "blank.dxf"} {
				if err := os.WriteFile(filepath.Join(dir, file), []byte("solid\nendsolid\n"), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			path := filepath.Join(dir, "shell.yaml")
			if err := os.WriteFile(path, got, 0o600); err != nil {
				t.Fatal(err)
			}
			sh, _, err := shellfile.Read(path, nil)
			if err != nil {
				t.Fatalf("%v\n%s", err, got)
			}
			first, _ := sh.Panel("new-1")
			second, ok := sh.Panel("blank")
			if !ok || first.Surface != "solid" || second.Unit != "inch" || len(sh.Joints) != 2 {
				t.Errorf("%+v %+v", sh.Panels, sh.Joints)
			}
			if strings.Contains(text, "id: new-1+roof,") && sh.Joints[1].ID != "new-1+roof-2" {
				t.Errorf("joint %s", sh.Joints[1].ID)
			}
		})
	}
	if _, err := Extend([]byte("panels: [{id: a}]\n"), add); err == nil || !strings.Contains(err.Error(), "line 1: panels") {
		t.Errorf("a list on one line: %v", err)
	}
	if got, err := Extend([]byte("name: x\npanels: [] # none\nbatch: 1\n"), Addition{Panels: panels[:1]}); err != nil ||
		!strings.HasPrefix(string(got), "name: x\npanels:  # none\n  - id: \"new-1\"") || !strings.HasSuffix(string(got), "batch: 1\n") {
		t.Errorf("an empty list: %v\n%s", err, got)
	}
	if _, err := Extend([]byte("- a\n"), add); err == nil {
		t.Error("a list was extended")
	}
}
