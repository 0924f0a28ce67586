package shellfile

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/seams/document"
	"seamwright/seams/shell"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

var _ = flag.Bool("update", false, "write golden files anew")

// golden compares text with a file in testdata.
func golden(t *testing.T, file, got string) {
	t.Helper()
	record.Hold(t, filepath.Join("testdata", file), got)
}

// dump writes every value of a shell on a line of its own.
func dump(sh *shell.Shell) string {
	var b strings.Builder
	shell.Walk(reflect.ValueOf(sh).Elem(), "", "", func(l shell.Leaf) {
		if l.Value.Kind() == reflect.String {
			fmt.Fprintf(&b, "%s = %q\n", l.Place, l.Value)
			return
		}
		fmt.Fprintf(&b, "%s = %v\n", l.Place, l.Value)
	})
	return b.String()
}

// mustRead reads a file that is good.
func mustRead(t *testing.T, path string, overrides map[string]string) (*shell.Shell, []string) {
	t.Helper()
	sh, notes, err := Read(path, overrides)
	if err != nil {
		t.Fatal(err)
	}
	return sh, notes
}

// All three formats say the same: the same shell comes out, down to every default, and the same notes.
func TestReadGoodFiles(t *testing.T) {
	first, notes := mustRead(t, "testdata/good.yaml", nil)
	golden(t, "good.want", dump(first)+"\n"+strings.Join(notes, "\n")+"\n")
	for _, file := range []string{"good.toml", "good.json"} {
		sh, n := mustRead(t, filepath.Join("testdata", file), nil)
		if sh.Dir != "testdata" || sh.File != file {
			t.Errorf("%s: folder %q, file %q", file, sh.Dir, sh.File)
		}
		sh.File = first.File
		if diff := cmp.Diff(first, sh, cmpopts.IgnoreUnexported(shell.Shell{})); diff != "" {
			t.Errorf("%s differs from good.yaml:\n%s", file, diff)
		}
		if diff := cmp.Diff(notes, n); diff != "" {
			t.Errorf("%s: notes differ:\n%s", file, diff)
		}
	}
}

// Every place that the three readers know stands in the line that they say: the line holds the place's last key.
func TestLines(t *testing.T) {
	lastKey := regexp.MustCompile(`([a-z_]+)((?:\[\d+\])*)$`)
	for _, file := range []string{"good.yaml", "good.toml", "good.json"} {
		data, err := os.ReadFile(filepath.Join("testdata", file))
		if err != nil {
			t.Fatal(err)
		}
		format, err := document.Format(file)
		if err != nil {
			t.Fatal(err)
		}
		root, err := document.Parse(format, data)
		if err != nil {
			t.Fatal(err)
		}
		p := &problems{lines: map[string]int{}}
		checkStructure(root, p)
		text := strings.Split(string(data), "\n")
		for place, line := range p.lines {
			m := lastKey.FindStringSubmatch(place)
			if m == nil || m[2] != "" {
				continue // the root, and entries of lists, have no key in their line
			}
			if line < 1 || line > len(text) || !strings.Contains(text[line-1], m[1]) {
				t.Errorf("%s: %s is said to stand in line %d", file, place, line)
			}
		}
		if len(p.list) > 0 || len(p.lines) < 250 {
			t.Errorf("%s: %d places, problems %v", file, len(p.lines), p.list)
		}
	}
}

// put writes a shell file into a folder of its own, beside files that it can name.
func put(t *testing.T, name, content string) string {
	t.Helper()
	dir := t.TempDir()
	for _, f := range []string{"a.stl", "b.stl", "c.stl", "blank.dxf", "line.csv", "notes.txt"} {
		if err := os.WriteFile(filepath.Join(dir, f), []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.stl"), 0o755); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// The least file that can be planned, and what fills it up.
func TestReadLeastFile(t *testing.T) {
	sh, notes := mustRead(t, put(t, "least.yaml", `
name: least
steels: [{id: s, grade: dc04, thickness_mm: 1}]
panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl, surface: }]
rates:
joints:
`), nil)
	if sh.Batch != 1 || sh.Supply.Frequency != 50 || sh.Steels[0].Tensile != 270 || sh.Steels[0].Yield != 140 ||
		sh.Steels[0].Coating != "none" {
		t.Errorf("defaults: %+v", sh)
	}
	if p := sh.Panels[1]; p.Name != "b" || p.Steel != "s" || p.Surface != "mid" {
		t.Errorf("panel: %+v", p)
	}
	if s := sh.Stations; len(s) != 1 || s[0].ID != "main-jig" || s[0].Crew != 1 || !reflect.DeepEqual(s[0].Arrives, []string{"a", "b"}) {
		t.Errorf("stations: %+v", s)
	}
	if len(sh.Guns) != 2 || len(sh.Tips) != 2 || len(sh.Rollers) != 1 || !reflect.DeepEqual(sh.Guns[1].Tips, []string{"narrow"}) ||
		sh.Guns[1].Power == 0 {
		t.Errorf("gear: %+v %+v %+v", sh.Guns, sh.Tips, sh.Rollers)
	}
	for _, want := range []string{"money: ", "unit: ", "guns: ", "tips: ", "rollers: ", "stations: "} {
		if !strings.Contains("\n"+strings.Join(notes, "\n"), "\n"+want) {
			t.Errorf("no note begins with %q: %q", want, notes)
		}
	}
}

// A stated zero is a value: no default steps in for it.
func TestStatedZeroStays(t *testing.T) {
	sh, _ := mustRead(t, put(t, "zero.yaml", `
name: zero
unit: mm
steels: [{id: s, grade: DC04, thickness_mm: 1}]
panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]
stations: [{id: j, arrives: [a, b], prepare_min: 0}]
tips: [{id: t, face_mm: 6, price: 0, dressings: 0}]
rates: {labour_per_hour: 0, energy_per_kwh: 0}
elements: {gauge_s: 0}
allowances: {personal_pct: 0}
`), nil)
	if sh.Stations[0].Prepare != 0 || sh.Tips[0].Price != 0 || sh.Tips[0].Dressings != 0 || sh.Rates.Labour != 0 || sh.Rates.Energy != 0 ||
		sh.Elements.Gauge != 0 || sh.Allowances.Personal != 0 {
		t.Errorf("a stated zero was overwritten: %+v %+v %+v", sh.Stations[0], sh.Tips[0], sh.Rates)
	}
	if sh.Tips[0].Shank == 0 || sh.Allowances.Fatigue == 0 {
		t.Error("a default beside a stated zero is missing")
	}
}

func TestReadFileTrouble(t *testing.T) {
	said := record.Errors(t)
	dir := t.TempDir()
	for _, c := range []struct{ path, want string }{
		{filepath.Join(dir, "none.yaml"), "none.yaml: there is no such file; check the path"},
		{filepath.Join(dir, "shell.ini"), `shell.ini: the extension ".ini" is none of .yaml, .yml, .toml and .json`},
		{filepath.Join(dir, "shell"), `the extension "" is none of`},
	} {
		_, _, err := Read(c.path, nil)
		if err == nil || !said.Has(err, c.want) {
			t.Errorf("%s: %v, want %q", c.path, err, c.want)
		}
	}
	if _, _, err := Read(filepath.Join(dir, "none.yaml"), nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing file is not fs.ErrNotExist: %v", err)
	}
	folder := filepath.Join(dir, "folder.yaml")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Read(folder, nil); err == nil || !strings.Contains(err.Error(), "this is not a file") {
		t.Errorf("a folder: %v", err)
	}
	large := filepath.Join(dir, "large.json")
	if err := os.WriteFile(large, make([]byte, mostBytes+1), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Read(large, nil); err == nil || !strings.Contains(err.Error(), "larger than 2 MiB") {
		t.Errorf("a large file: %v", err)
	}
}

// A byte-order mark and Windows line ends change nothing, lines in messages included.
func TestReadWindowsText(t *testing.T) {
	data, err := os.ReadFile("testdata/good.yaml")
	if err != nil {
		t.Fatal(err)
	}
	windows := "\uFEFF" + strings.ReplaceAll(string(data), "\n", "\r\n")
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "panels"), os.DirFS("testdata/panels")); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "good.yaml")
	if err := os.WriteFile(path, []byte(windows), 0o644); err != nil {
		t.Fatal(err)
	}
	sh, _ := mustRead(t, path, nil)
	want, _ := mustRead(t, "testdata/good.yaml", nil)
	sh.Dir = want.Dir
	if diff := cmp.Diff(want, sh, cmpopts.IgnoreUnexported(shell.Shell{})); diff != "" {
		t.Error(diff)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(windows, "revision: B", "revison: B", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Read(path, nil); err == nil || !strings.Contains(err.Error(), "good.yaml:4: revison: unknown key") {
		t.Errorf("got %v", err)
	}
}

// The defaults of the allowances are the larger column of the published example, added up where a key holds
// several. Source: ILO, Introduction to Work Study, example of relaxation allowances; certainty: memory.
func TestAllowanceDefaults(t *testing.T) {
	larger := map[string]float64{"personal": max(5, 7), "fatigue": max(4, 4), "standing": max(2, 4), "awkward": max(2, 3), "7.5 kg": max(2, 3)}
	a := Default().Allowances
	if a.Personal != larger["personal"] || a.Fatigue != larger["fatigue"] ||
		a.Posture != larger["standing"]+larger["awkward"]+larger["7.5 kg"] {
		t.Errorf("%+v, published %v", a, larger)
	}
}

func TestDefault(t *testing.T) {
	sh := Default()
	if sh.Batch != 1 || len(sh.Guns) != 2 || sh.Guns[0].Letter != "A" || sh.Rollers[0].Letter != "R" || sh.Tips[0].Shank != 16 ||
		sh.Elements.Position != 5 {
		t.Errorf("%+v", sh)
	}
}
