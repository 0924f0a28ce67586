package panels

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/layout"
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
