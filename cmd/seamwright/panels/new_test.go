package panels

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/internal/tarn"
	"seamwright/layout"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

func TestNewWritesAShellFileThatPlans(t *testing.T) {
	dir := t.TempDir()
	calls.Plate(t, dir, "Left side.stl", 0, 0, 400, 60, 1)
	calls.Plate(t, dir, "floor.stl", 0, 40, 400, 100, 0)
	seamwright.Must(t, program.ExitDone, "new", dir)
	file := filepath.Join(dir, "shell.yaml")
	was := string(calls.Read(t, file))
	if seamwright.Must(t, program.ExitDone, "new", dir); string(calls.Read(t, file)) != was {
		t.Errorf("written over without being asked:\n%s", calls.Read(t, file))
	}
	seamwright.Must(t, program.ExitDone, "plan", file)

	// What somebody wrote stays; what came is added.
	edited := strings.Replace(was, "revision: \"A\"", "revision: \"B\"  # mine", 1)
	calls.Put(t, dir, "shell.yaml", edited)
	calls.Plate(t, dir, "sill.stl", 0, 80, 400, 140, 1)
	seamwright.Must(t, program.ExitDone, "new", dir)
	left := strings.Split(string(calls.Read(t, file)), "\n")
	for _, line := range strings.Split(edited, "\n") {
		k := slices.Index(left, line)
		if k < 0 {
			t.Fatalf("the line %q is gone or moved", line)
		}
		left = left[k+1:]
	}
	if r := calls.Decode[layout.Plan](t, seamwright.Must(t, program.ExitDone, "plan", file, "--json")); len(r.Panels) != 3 ||
		len(r.Joints) != 2 {
		t.Errorf("%d panels, %d joints", len(r.Panels), len(r.Joints))
	}
	calls.Put(t, dir, "shell.yaml", "panels: [\n")
	seamwright.Must(t, program.ExitInput, "new", dir)
	seamwright.Must(t, program.ExitDone, "new", dir, "--force", "--thickness", "0.8,1.2,0.8")
	if text := string(calls.Read(t, file)); !strings.Contains(text, "id: sheet-1.2") || !strings.Contains(text,
		"# CHECK: as --thickness says") {
		t.Errorf("thickness was not taken:\n%s", text)
	}
}

// A shell file written for nothing but the demo's panels has at least 95 % of its joints, told
// by the set of panels that they join.
func TestNewFindsTheDemosJoints(t *testing.T) {
	dir := t.TempDir()
	if err := tarn.Write(dir); err != nil {
		t.Fatal(err)
	}
	stated, _, err := shellfile.Read(filepath.Join(dir, "shell.yaml"), nil)
	if err != nil {
		t.Fatal(err)
	}
	bare := filepath.Join(dir, "panels")
	seamwright.Must(t, program.ExitDone, "new", bare, "--quiet")
	found, _, err := shellfile.Read(filepath.Join(bare, "shell.yaml"), nil)
	if err != nil {
		t.Fatal(err)
	}
	have := 0
	for _, j := range stated.Joints {
		if slices.ContainsFunc(found.Joints, func(f shell.Joint) bool { return sameSet(f.Panels, j.Panels) }) {
			have++
		} else {
			t.Logf("joint %s of %v is not found", j.ID, j.Panels)
		}
	}
	if 100*have < 95*len(stated.Joints) {
		t.Errorf("%d of %d joints found", have, len(stated.Joints))
	}
}

func sameSet(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}
