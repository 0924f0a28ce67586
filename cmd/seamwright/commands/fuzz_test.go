package commands

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

// fuzzShell is a small shell of two plates that lie on each other.
const fuzzShell = `name: pair
unit: mm
steels:
  - {id: s, grade: DC04, thickness_mm: 1}
panels:
  - {id: a, mesh: a.stl, steel: s}
  - {id: b, mesh: b.stl, steel: s}
joints:
  - {id: j, panels: [a, b]}
`

// sane fails unless a call ended as one that was given a bad file may end: done, refused in one line, or planned with a
// broken rule.
func sane(t *testing.T, args ...string) {
	t.Helper()
	code, _, errOut := whole.Call(t, append(args, "--quiet")...)
	switch code {
	case program.ExitDone, program.ExitBroken:
	case program.ExitInput:
		if errOut == "" || strings.Contains(errOut, "goroutine ") {
			t.Errorf("exit code %d: %s", code, errOut)
		}
	default:
		t.Fatalf("exit code %d: %s", code, errOut)
	}
}

func fuzzDir(f *testing.F) string {
	dir := f.TempDir()
	calls.Plate(f, dir, "a.stl", 0, 0, 60, 40, 0)
	calls.Plate(f, dir, "b.stl", 0, 26, 60, 70, 1)
	return dir
}

// FuzzPlan plans whatever stands in a shell file.
func FuzzPlan(f *testing.F) {
	dir := fuzzDir(f)
	f.Add(fuzzShell)
	f.Add(strings.Replace(fuzzShell, "thickness_mm: 1", "thickness_mm: 1e-9", 1))
	f.Add(strings.Replace(fuzzShell, "{id: j, panels: [a, b]}", "{id: j, panels: [a, b], pitch_mm: 9, count: 3}", 1))
	f.Add(fuzzShell + "batch: 7\nloads: []\n")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4000 || strings.Contains(text, "..") || strings.Contains(text, "/") {
			return // a name could lead out of the folder
		}
		sane(t, "check", calls.Put(t, dir, "shell.yaml", text), "--no-cache")
	})
}

// FuzzNew writes a shell file for a folder with any bytes for a panel.
func FuzzNew(f *testing.F) {
	dir := fuzzDir(f)
	for _, name := range []string{"a.stl", "b.stl"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n0\n10\n30\n20\n30\n40\n20\n0\nENDSEC\n0\nEOF\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		name := "c.dxf"
		if len(data) > 0 && data[0] != '0' {
			name = "c.stl"
		}
		if len(data) > 4000 {
			return
		}
		calls.Put(t, dir, name, string(data))
		defer os.Remove(filepath.Join(dir, name))
		sane(t, "new", dir, "--force", "-o", filepath.Join(t.TempDir(), "shell.yaml"), "--most-size", "500")
	})
}

// FuzzAdopt takes over whatever stands in a file of measured points. A shell file that is written can be planned.
func FuzzAdopt(f *testing.F) {
	dir := fuzzDir(f)
	path := filepath.Join(dir, "shell.yaml")
	if err := os.WriteFile(path, []byte(fuzzShell), 0o600); err != nil {
		f.Fatal(err)
	}
	f.Add("x_mm,y_mm,z_mm\n5,33,0.5\n30,33,0.5\n55,33,0.5\n")
	f.Add("x_mm,y_mm,z_mm,joint,id\n5,33,0.5,j,first\n30,33,0.5,j,second\n50,40,1,,\n")
	f.Add("x,y,z\n1e300,33,0.5\nnan,33,0.5\n")
	f.Fuzz(func(t *testing.T, points string) {
		if len(points) > 4000 {
			return
		}
		to := filepath.Join(dir, "adopted.yaml")
		defer os.Remove(to)
		defer os.Remove(filepath.Join(dir, "adopted-points.csv"))
		sane(t, "survey", path, calls.Put(t, dir, "points.csv", points), "--adopt", "adopted.yaml")
		if _, err := os.Stat(to); err != nil {
			return
		}
		if code, _, errOut := whole.Call(t, "check", to, "--quiet"); code != program.ExitDone && code != program.ExitBroken {
			t.Errorf("what was adopted is refused: exit code %d: %s", code, errOut)
		}
	})
}
