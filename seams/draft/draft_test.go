package draft

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// sketch is a folder with plain and hostile file names.
func sketch() Sketch {
	files := []string{
		"roof.stl", "Rail Left.STL", "rail_left.stl", `it's "quoted".stl`, "key: value.stl", "- dash.stl", "--.stl", "# remark.stl",
		"Türblech größe.stl", "屋根.stl", "{a: [b]}.stl", "&anchor *alias !tag.stl", "%41.stl", "@`x.stl", "yes.stl", "null.stl", "1e3.stl",
		"sub folder/deep.stl", "back\\slash.stl", "trailing .stl", ".stl", "${HOME}.stl", "{{.Name}}.stl", "a\u00a0b.stl", "e\u0301.stl",
		strings.Repeat("long", 40) + ".stl", strings.Repeat("long", 40) + "er.stl", "floor.dxf", "plate.csv",
	}
	s := Sketch{Name: `Tarn "orchard": tractor #1 - 'cab'`, Unit: " IN "}
	for i, id := range IDs(files) {
		s.Panels = append(s.Panels, Panel{ID: id, File: files[i], Triangles: 1000 * i, Size: [3]float64{1200, 80.4, 3}})
	}
	s.Panels[27].Layers = []string{"0", `"odd": layer`, "WELD LINE", "Holes", "Dimensions", "- x"}
	s.Joints = []Joint{
		{Panels: []string{s.Panels[0].ID, s.Panels[1].ID}, Flanges: 2, Length: 1834.6, Width: 16.25},
		{Panels: []string{s.Panels[0].ID, s.Panels[1].ID}, Flanges: 1, Length: 420, Width: 14, Closed: true},
		{Panels: []string{s.Panels[8].ID, s.Panels[9].ID, s.Panels[25].ID}, Flanges: 1, Length: 90, Width: 12},
	}
	return s
}

// lay makes a folder with every file of a sketch and its draft.
func lay(t testing.TB, dir string, s Sketch) string {
	t.Helper()
	draft, err := Of(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range s.Panels {
		file := filepath.Join(dir, filepath.FromSlash(p.File))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(dir, "shell.yaml")
	if err := os.WriteFile(path, []byte(draft), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// What Of writes, shellfile.Read reads back: every file, id, layer and joint, whatever the names.
var _ = flag.Bool("update", false, "write the draft anew")

func TestDraftRoundTrip(t *testing.T) {
	s := sketch()
	sh, notes := mustRead(t, lay(t, t.TempDir(), s), nil)
	if sh.Name != s.Name || len(sh.Panels) != len(s.Panels) || sh.Unit != "inch" {
		t.Fatalf("%q, %d panels, unit %q", sh.Name, len(sh.Panels), sh.Unit)
	}
	for i, p := range s.Panels {
		got := sh.Panels[i]
		if got.ID != p.ID || got.Mesh+got.Outline != p.File ||
			(got.Outline != "") != (filepath.Ext(p.File) == ".dxf" || filepath.Ext(p.File) == ".csv") {
			t.Errorf("panel %d: %+v, want %+v", i, got, p)
		}
	}
	want := []shell.Layer{{Layer: "0", Role: "outline"}, {Layer: `"odd": layer`, Role: "outline"}, {Layer: "WELD LINE", Role: "weld-line"},
		{Layer: "Holes", Role: "hole"}, {Layer: "Dimensions", Role: "ignore"}, {Layer: "- x", Role: "outline"}}
	if diff := cmp.Diff(want, sh.Panels[27].Layers); diff != "" {
		t.Error(diff)
	}
	if len(sh.Stations) != 1 || len(sh.Stations[0].Arrives) != len(s.Panels) || sh.Stations[0].ID != "main-jig" {
		t.Errorf("stations: %+v", sh.Stations)
	}
	if len(sh.Joints) != 3 || sh.Joints[0].ID != "roof+rail-left" || sh.Joints[1].ID != "roof+rail-left-2" ||
		!reflect.DeepEqual(sh.Joints[2].Panels, s.Joints[2].Panels) {
		t.Errorf("joints: %+v", sh.Joints)
	}
	if sh.Steels[0].Thickness != 0.9 || sh.Steels[0].Grade != "DC04" {
		t.Errorf("steel: %+v", sh.Steels)
	}
	for _, n := range notes {
		if strings.Contains(n, "stand in") {
			t.Errorf("a draft leaves something to stand-ins: %s", n)
		}
	}
}

// A draft says the same as a file that leaves everything out: its figures and the table's cannot drift apart. Keys
// that it shows behind # are known, with the table's defaults.
func TestDraftHoldsTheDefaults(t *testing.T) {
	dir := t.TempDir()
	s := Sketch{Name: "plain", Panels: []Panel{
		{ID: "a", File: "a.stl", Triangles: 12, Size: [3]float64{1, 2, 3}}, {ID: "b", File: "b.stl"}}}
	path := lay(t, dir, s)
	drafted, _ := mustRead(t, path, nil)
	least := filepath.Join(dir, "least.yaml")
	leastText := "name: plain\nrevision: A\nsteels: [{id: sheet, grade: DC04, thickness_mm: 0.9}]\n" +
		"panels: [{id: a, mesh: a.stl}, {id: b, mesh: b.stl}]\n"
	if err := os.WriteFile(least, []byte(leastText), 0o644); err != nil {
		t.Fatal(err)
	}
	plain, _ := mustRead(t, least, nil)
	// Only the longer name differs: the stand-ins' tips are lists of one, and empty lists are written out.
	if diff := cmp.Diff(dump(plain), dump(drafted)); diff != "" {
		t.Errorf("(-left out +drafted)\n%s", diff)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	shown := regexp.MustCompile(`(?m)^( *)# ([a-z_]+:) (\S+)  +# .*$`).ReplaceAllString(string(text), "$1$2 $3")
	if n := strings.Count(string(text), "\n") - strings.Count(shown, "\n"); n != 0 || shown == string(text) {
		t.Fatal("no key is shown behind #")
	}
	if err := os.WriteFile(path, []byte(shown), 0o644); err != nil {
		t.Fatal(err)
	}
	// unit: mm is shown as well, but is no default: it is what the file would say.
	shownShell, _ := mustRead(t, path, nil)
	shownShell.Unit = ""
	if diff := cmp.Diff(dump(drafted), dump(shownShell)); diff != "" {
		t.Errorf("(-drafted +shown keys uncommented)\n%s", diff)
	}
}

func TestDraftGolden(t *testing.T) {
	s := Sketch{Name: "Tarn orchard-tractor cab", Panels: []Panel{
		{ID: "roof", File: "panels/roof.stl", Triangles: 5120, Size: [3]float64{1240.3, 1100, 92}},
		{ID: "rail-left", File: "panels/rail left.stl", Triangles: 840, Size: [3]float64{1200, 60, 45}},
		{ID: "floor", File: "panels/floor.dxf", Layers: []string{"OUTLINE", "WELD"}},
	}, Joints: []Joint{
		{Panels: []string{"roof", "rail-left"}, Flanges: 2, Length: 2260, Width: 15.5},
	}}
	text, err := Of(s)
	if err != nil {
		t.Fatal(err)
	}
	record.Hold(t, "testdata/draft.yaml", text)
}

// Every key that a shell file may hold is shown in a draft, or named in its remarks.
func TestDraftShowsEveryKey(t *testing.T) {
	s := sketch()
	text, err := Of(s)
	if err != nil {
		t.Fatal(err)
	}
	s.Joints = nil
	unjoined, err := Of(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range shell.Keys() {
		for _, part := range strings.Split(strings.ReplaceAll(k.Name, "[]", ""), ".") {
			if !regexp.MustCompile(`\b` + part + `\b`).MatchString(text + unjoined) {
				t.Errorf("%s: nothing of %s in a draft", k.Name, part)
			}
		}
	}
}

func TestDraftRefuses(t *testing.T) {
	good := Panel{ID: "a", File: "a.stl"}
	for name, s := range map[string]Sketch{
		"there are no panels":            {Name: "x"},
		"holds signs that cannot":        {Name: "x", Panels: []Panel{{ID: "a", File: "a\n.stl"}}},
		"rename the file":                {Name: "x", Panels: []Panel{{ID: "a", File: "a\xff.stl"}}},
		"does not do as the id of a.stl": {Name: "x", Panels: []Panel{{ID: "a b", File: "a.stl"}}},
		"give another":                   {Name: "x\x00", Panels: []Panel{good}},
		`unit "furlong" is not known`:    {Name: "x", Unit: "furlong", Panels: []Panel{good}},
		"is empty or":                    {Name: " ", Panels: []Panel{good}},
	} {
		if text, err := Of(s); err == nil || text != "" || !strings.Contains(err.Error(), name) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestIDs(t *testing.T) {
	files := []string{"Roof Skin.stl", "roof_skin.STL", "a/roof-skin.dxf", "..stl", "---.stl",
		"Größe 2.stl", "x..y.stl", `dir\door.stl`, "٣.stl", "\u0301a.stl"}
	want := []string{"roof-skin", "roof-skin-2", "roof-skin-3", "panel", "panel-2", "größe-2", "x-y", "door", "٣", "a"}
	if diff := cmp.Diff(want, IDs(files)); diff != "" {
		t.Error(diff)
	}
}

// Any name that a file can have gives a draft that Read accepts, or is refused in one line.
func TestDraftProperties(t *testing.T) {
	root := t.TempDir()
	count := 0
	// Names as people give them beside names of anything: a run of odd ones alone would be refused too often to show much.
	name := rapid.OneOf(rapid.StringMatching(`[A-Za-zäöüß0-9 _.()+-]{1,20}`), rapid.StringN(1, 20, 60))
	rapid.Check(t, func(t *rapid.T) {
		var files []string
		for _, n := range rapid.SliceOfNDistinct(name, 1, 4, strings.ToLower).Draw(t, "names") {
			n = strings.NewReplacer("/", "-", "\x00", "0").Replace(n)
			files = append(files, n+".stl")
		}
		ids := IDs(files)
		seen := map[string]bool{}
		s := Sketch{Name: rapid.OneOf(rapid.StringMatching(`[A-Za-z0-9 -]{0,20}`), rapid.StringN(0, 20, -1)).Draw(t, "name")}
		for i, id := range ids {
			if !shell.IDForm.MatchString(id) || len([]rune(id)) > shell.LongestID || seen[strings.ToLower(id)] {
				t.Fatalf("%q does not do as an id, or is taken", id)
			}
			seen[strings.ToLower(id)] = true
			s.Panels = append(s.Panels, Panel{ID: id, File: files[i]})
		}
		if len(ids) > 1 {
			s.Joints = []Joint{{Panels: ids, Flanges: 1}}
		}
		text, err := Of(s)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatalf("more than one line: %q", err)
			}
			return
		}
		count++
		dir := filepath.Join(root, "d")
		_ = os.RemoveAll(dir)
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if err := os.WriteFile(filepath.Join(dir, f), nil, 0o644); err != nil {
				t.Skip("the file system does not take this name")
			}
		}
		path := filepath.Join(dir, "shell.yaml")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		sh, _, err := shellfile.Read(path, nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for i, f := range files {
			if sh.Panels[i].Mesh != f || sh.Name != s.Name {
				t.Fatalf("%q came back as %q", f, sh.Panels[i].Mesh)
			}
		}
	})
	if count < 20 {
		t.Errorf("only %d drafts were written: the test shows little", count)
	}
}

// mustRead reads a file that is good.
func mustRead(t *testing.T, path string, overrides map[string]string) (*shell.Shell, []string) {
	t.Helper()
	sh, notes, err := shellfile.Read(path, overrides)
	if err != nil {
		t.Fatal(err)
	}
	return sh, notes
}

// dump writes every value of a shell on a line of its own.
func dump(sh *shell.Shell) string {
	var b strings.Builder
	shell.Walk(reflect.ValueOf(sh).Elem(), "", "", func(l shell.Leaf) { fmt.Fprintf(&b, "%s = %v\n", l.Place, l.Value) })
	return b.String()
}
