package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// call runs the program and returns its exit code and what it printed.
func call(t testing.TB, args ...string) (code int, out, errOut string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), args, &stdout, &stderr)
	return code, stdout.String(), stderr.String()
}

// must runs the program and fails the test unless it exits with the code wanted.
func must(t testing.TB, want int, args ...string) string {
	t.Helper()
	code, out, errOut := call(t, args...)
	if code != want {
		t.Fatalf("seamwright %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, want, out, errOut)
	}
	return out
}

// plate writes a flat rectangle as STL and returns its path.
func plate(t testing.TB, dir, name string, x0, y0, x1, y1, z float64) string {
	t.Helper()
	m := &mesh.Mesh{
		Vertices:  []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	var b bytes.Buffer
	if err := mesh.WriteSTL(&b, m); err != nil {
		t.Fatal(err)
	}
	return put(t, dir, name, b.String())
}

func put(t testing.TB, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestFlangesOfTwoPlates(t *testing.T) {
	dir := t.TempDir()
	a, b := plate(t, dir, "a.stl", 0, 0, 400, 60, 1.15), plate(t, dir, "b.stl", 0, 40, 400, 100, 0)
	var r flangesResult
	out := must(t, exitDone, "flanges", a, b, "--thickness", "0.9,1.2", "--json")
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	if r.Units != "mm" || len(r.Panels) != 2 || r.Panels[0].Name != "a" || r.Panels[0].Triangles != 2 || r.Panels[0].Area != 24000 {
		t.Errorf("panels: %+v", r.Panels)
	}
	if len(r.Flanges) != 1 {
		t.Fatalf("%d flanges, want 1", len(r.Flanges))
	}
	f := r.Flanges[0]
	if f.Closed || f.Length < 399.5 || f.Length > 400.5 || f.Width.Mean < 19.9 || f.Width.Mean > 20.1 || f.Air.Mean < 0.099 ||
		f.Air.Mean > 0.101 {
		t.Errorf("flange %+v", f)
	}
	if y := f.Line[0].At[1]; y < 49.9 || y > 50.1 || f.Line[0].Normal.R3().Norm() < 0.999 || f.Line[0].Left+f.Line[0].Right < 19.9 {
		t.Errorf("weld line starts at %+v", f.Line[0])
	}
	text := must(t, exitDone, "flanges", a, b, "--thickness", "0.9,1.2")
	if !strings.Contains(text, "a + b") || !strings.Contains(text, "400.0") {
		t.Errorf("text:\n%s", text)
	}
}

func TestCandidateFlangesOfOnePanel(t *testing.T) {
	dir := t.TempDir()
	a := plate(t, dir, "a.stl", 0, 0, 300, 20, 0)
	var r flangesResult
	if err := json.Unmarshal([]byte(must(t, exitDone, "flanges", a, "--json")), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Flanges) != 1 || !r.Flanges[0].Candidate || r.Flanges[0].Length < 299.5 || r.Flanges[0].Width.Mean < 19.9 ||
		r.Flanges[0].Width.Mean > 20.1 {
		t.Errorf("a plate of 300 x 20: %+v", r.Flanges)
	}
	if text := must(t, exitDone, "flanges", a); !strings.Contains(text, "candidate") {
		t.Errorf("text:\n%s", text)
	}
	broad := plate(t, dir, "broad.stl", 0, 0, 300, 300, 0)
	if text := must(t, exitDone, "flanges", broad); !strings.Contains(text, "no candidate") {
		t.Errorf("text of a broad plate:\n%s", text)
	}
}

func TestFlangesSaysWhatIsTooFarApart(t *testing.T) {
	dir := t.TempDir()
	a, b := plate(t, dir, "a.stl", 0, 0, 300, 20, 4), plate(t, dir, "b.stl", 0, 0, 300, 20, 0)
	out := must(t, exitBroken, "flanges", a, b, "--thickness", "1")
	if !strings.Contains(out, "no flange") || !strings.Contains(out, "face each other 4.00 mm apart") {
		t.Errorf("two plates 4 mm apart:\n%s", out)
	}
}

// Meshes of skins that are taken for mid-surfaces leave no room for the metal.
func TestFlangesSaysWhatRunsIntoEachOther(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "left"), 0o755); err != nil {
		t.Fatal(err)
	}
	a, b := plate(t, dir, "a.stl", 0, 0, 300, 20, 0), plate(t, filepath.Join(dir, "left"), "a.stl", 0, 0, 300, 20, 0.2)
	out := must(t, exitBroken, "flanges", a, b, "--thickness", "1")
	if !strings.Contains(out, "left/a run 0.80 mm into each other") || !strings.Contains(out, "(surface)") {
		t.Errorf("two plates 0.2 mm apart:\n%s", out)
	}
	if out := must(t, exitDone, "flanges", a, b, "--thickness", "1", "--surface", "skin"); !strings.Contains(out, "f1") {
		t.Errorf("the same as skins:\n%s", out)
	}
}

// Where a thickness is not known the distance of the meshes is all that there is, and the metal in it is owned up to.
func TestFlangesOfUnknownThickness(t *testing.T) {
	dir := t.TempDir()
	for _, apart := range []float64{2, 3, 3.5, 4} {
		a, b := plate(t, dir, "a.stl", 0, 0, 300, 20, apart), plate(t, dir, "b.stl", 0, 0, 300, 20, 0)
		for thickness, panels := range map[string]string{"": "a and b", "1,": "b"} {
			code := exitDone
			if apart > 3 { // nothing can be welded
				code = exitBroken
			}
			out := must(t, code, "flanges", a, b, "--thickness", thickness)
			if told := strings.Contains(out, "the gap counts in the metal of "+panels+", whose"); told != (apart <= 3) {
				t.Errorf("%g mm apart, thickness %q: told %v:\n%s", apart, thickness, told, out)
			}
			if said := strings.Contains(out, fmt.Sprintf("face each other %.2f mm apart", apart)); said != (apart > 3) {
				t.Errorf("%g mm apart, thickness %q: said %v:\n%s", apart, thickness, said, out)
			}
		}
	}
}

func TestFlangesInInches(t *testing.T) {
	dir := t.TempDir()
	a, b := plate(t, dir, "a.stl", 0, 0, 10, 1, 0.04), plate(t, dir, "b.stl", 0, 0, 10, 1, 0)
	var r flangesResult
	if err := json.Unmarshal([]byte(must(t, exitDone, "flanges", a, b, "--unit", "inch", "--thickness", "1.016", "--json")), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Flanges) != 1 || r.Flanges[0].Length < 253.9 || r.Flanges[0].Length > 254.1 {
		t.Errorf("flanges of 10 inch plates: %+v", r.Flanges)
	}
}

func TestFlangesOfADrawing(t *testing.T) {
	dir := t.TempDir()
	strip := put(t, dir, "strip.csv", "0,0\n250,0\n250,18\n0,18\n0,0\n")
	var r flangesResult
	if err := json.Unmarshal([]byte(must(t, exitDone, "flanges", strip, "--json")), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Flanges) != 1 || r.Flanges[0].Length < 249.9 || r.Flanges[0].Width.Mean < 17.9 || r.Flanges[0].Width.Mean > 18.1 {
		t.Errorf("closed outline: %+v", r.Flanges)
	}
	line := put(t, dir, "line.csv", "0,0,0\n100,0,0\n100,50,0\n")
	if err := json.Unmarshal([]byte(must(t, exitDone, "flanges", line, "--width", "16", "--json")), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Flanges) != 1 || r.Flanges[0].Length != 150 || r.Flanges[0].Width.Mean != 16 {
		t.Errorf("open line: %+v", r.Flanges)
	}
	if code, _, errOut := call(t, "flanges", line); code != exitInput || !strings.Contains(errOut, "--width") {
		t.Errorf("open line without a width: code %d, %s", code, errOut)
	}
}

func TestVersionAndHelp(t *testing.T) {
	if out := must(t, exitDone, "version"); !strings.HasPrefix(out, "seamwright "+release) {
		t.Error(out)
	}
	out := must(t, exitDone, "--help")
	for _, command := range []string{"demo", "new", "flanges", "plan", "map", "cost", "version", "completion"} {
		if !strings.Contains(out, "  "+command+" ") {
			t.Errorf("help does not list %s", command)
		}
	}
	if out := must(t, exitDone, "completion", "bash"); !strings.Contains(out, "seamwright") {
		t.Error("no completion for bash")
	}
}

func TestWrongCalls(t *testing.T) {
	dir := t.TempDir()
	a, b := plate(t, dir, "a.stl", 0, 0, 300, 20, 0), plate(t, dir, "b.stl", 0, 0, 300, 20, 1)
	for _, test := range []struct {
		args []string
		want string
	}{
		{[]string{"weld"}, `there is no command "weld"`},
		{[]string{"flange", a, a}, "did you mean flanges?"},
		{[]string{"flanges"}, "takes panels and blanks, or one drawing, not 0"},
		{[]string{"flanges", a, b, "--gaps", "1"}, "unknown flag: --gaps"},
		{[]string{"flanges", a, b, "--gap", "-1"}, "--gap -1: write millimetres above zero"},
		{[]string{"flanges", a, b, "--gap", "NaN"}, "write millimetres above zero"},
		{[]string{"flanges", a, b, "--thickness", "1,2,3"}, "3 values for 2 panels"},
		{[]string{"flanges", a, b, "--thickness", "thin"}, "write millimetres"},
		{[]string{"flanges", a, b, "--surface", "top"}, "write mid, skin or solid"},
		{[]string{"flanges", a, b, "--unit", "furlong"}, `unit "furlong" is not known`},
		{[]string{"flanges", a, b, filepath.Dir(a) + "/./a.stl"}, "is given twice: name each panel once"},
		{[]string{"flanges", a, filepath.Join(dir, "x", "a.stl"), filepath.Join(dir, "x", "a.stl")}, "is given twice: name each panel once"},
		{[]string{"plan"}, "takes one shell file, not 0"},
		{[]string{"map", "x.yaml"}, "add --station ID"},
		{[]string{"plan", "x.yaml", "--set", "batch"}, "write key=value"},
		{[]string{"version", "now"}, "takes nothing, not 1"},
		{[]string{"new", filepath.Join(dir, "none")}, "no such file or directory"},
	} {
		code, out, errOut := call(t, test.args...)
		if code != exitInput || !strings.Contains(errOut, test.want) || strings.Count(errOut, "\n") != 1 || out != "" {
			t.Errorf("seamwright %s: exit code %d, out %q, error %q, want one line with %q", strings.Join(test.args, " "), code, out, errOut,
				test.want)
		}
	}
}

func TestStopped(t *testing.T) {
	dir := t.TempDir()
	a, b := plate(t, dir, "a.stl", 0, 0, 300, 20, 1), plate(t, dir, "b.stl", 0, 0, 300, 20, 0)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errOut bytes.Buffer
	if code := run(ctx, []string{"flanges", a, b}, &out, &errOut); code != exitFailed || errOut.String() != "seamwright: stopped\n" {
		t.Errorf("exit code %d, %q", code, errOut.String())
	}
}
