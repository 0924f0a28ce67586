package main

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
)

// cornerShell is two laps at a right angle, so that a pose can be found.
func cornerShell(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	plate(t, dir, "a.stl", 0, 0, 400, 60, 1.05)
	plate(t, dir, "b.stl", 0, 40, 400, 100, 0)
	plate(t, dir, "c.stl", 380, 100, 440, 420, 1.05)
	plate(t, dir, "d.stl", 420, 100, 480, 420, 0)
	return put(t, dir, "shell.yaml", `# a remark that stays
name: Corner
steels:
  - {id: thin, grade: DC04, thickness_mm: 0.9}
  - {id: thick, grade: DC04, thickness_mm: 1.2}
panels:
  - {id: a, mesh: a.stl, unit: mm, steel: thin}
  - {id: b, mesh: b.stl, unit: mm, steel: thick}
  - {id: c, mesh: c.stl, unit: mm, steel: thin}
  - {id: d, mesh: d.stl, unit: mm, steel: thick}
joints:
  - {id: long, panels: [a, b]}
  - {id: short, panels: [c, d]}
`)
}

// cornerPoints measures the corner's own plan, a quarter turn about z and moved, with changes.
func cornerPoints(t *testing.T, file string) string {
	t.Helper()
	plan := decode[layout.Plan](t, string(mustPlan(t, file)))
	var b strings.Builder
	b.WriteString("id,x_mm,y_mm,z_mm\n")
	slices.SortFunc(plan.Welds, func(a, b layout.Weld) int {
		return cmp.Or(cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Along, b.Along))
	})
	for i, w := range plan.Welds {
		x, y, z := w.Position[0], w.Position[1], w.Position[2]
		switch i {
		case 2:
			continue // missing
		case 5:
			x += 9 * sign(w.Joint == "long") // displaced along a row
			y += 9 * sign(w.Joint == "short")
		}
		fmt.Fprintf(&b, "%s %d,%.3f,%.3f,%.3f\n", w.Joint, w.Number, 1000-y, 2000+x, 30+z)
	}
	b.WriteString("elsewhere,1500,2600,700\n")
	return put(t, filepath.Dir(file), "points.csv", b.String())
}

func sign(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

func mustPlan(t *testing.T, file string) []byte {
	t.Helper()
	must(t, exitDone, "plan", file)
	return read(t, filepath.Join(filepath.Dir(file), "plan", "plan.json"))
}

func TestSurvey(t *testing.T) {
	file := cornerShell(t)
	points := cornerPoints(t, file)
	r := decode[surveyResult](t, must(t, exitDone, "survey", file, points, "--json"))
	if len(r.Missing) != 1 || len(r.Displaced) != 1 || len(r.Extra) != 1 || len(r.Matched) != r.Welds-2 || r.RMS > 0.01 ||
		math.Abs(r.Fit.Angle-90) > 0.01 {
		t.Errorf("%d matched, %d displaced, %d missing, %d extra, rms %v, %v degrees", len(r.Matched), len(r.Displaced), len(r.Missing),
			len(r.Extra), r.RMS, r.Fit.Angle)
	}
	if d := r.Displaced[0]; math.Abs(d.Distance-9) > 0.05 || r.Extra[0].Point != "elsewhere" || r.Extra[0].Flange != "" || r.Adopted != nil {
		t.Errorf("%+v, %+v", r.Displaced, r.Extra)
	}
	text := must(t, exitDone, "survey", file, points)
	for _, want := range []string{"1 displaced, 1 missing, 1 extra", "turned by 90.000 degrees", "displaced: main-jig weld",
		"extra: point elsewhere", "far from every flange"} {
		if !strings.Contains(text, want) {
			t.Errorf("text lacks %q:\n%s", want, text)
		}
	}
}

// Adopted: the plan has the survey's count and places, the remark of the shell file stays, and the rules still speak: where
// the original left a weld out, the pitch is doubled.
func TestSurveyAdopt(t *testing.T) {
	file := cornerShell(t)
	points := cornerPoints(t, file)
	r := decode[surveyResult](t, must(t, exitDone, "survey", file, points, "--json", "--adopt", "original.yaml"))
	a := r.Adopted
	if a == nil || a.Count != r.Welds-1 || a.Welds != a.Count || len(a.LeftOut) != 1 || a.LeftOut[0] != "elsewhere" {
		t.Fatalf("%+v", a)
	}
	doubled := false
	for _, f := range a.Findings {
		doubled = doubled || f.Rule == "pitch.greatest" && f.Value > 69
	}
	if !doubled {
		t.Errorf("findings %+v", a.Findings)
	}
	shellText := string(read(t, filepath.Join(filepath.Dir(file), "original.yaml")))
	if !strings.HasPrefix(shellText, "# a remark that stays\n") || !strings.Contains(shellText, "survey:\n  file: \"original-points.csv\"\n") {
		t.Errorf("%s", shellText)
	}
	// Measured again, the adopted plan fits its survey.
	adopted := filepath.Join(filepath.Dir(file), "original.yaml")
	again := decode[surveyResult](t, must(t, exitDone, "survey", adopted, points, "--json"))
	if len(again.Matched) != a.Count || len(again.Missing)+len(again.Displaced) != 0 || again.RMS > 0.1 {
		t.Errorf("%d matched, %d missing, %d displaced, rms %v", len(again.Matched), len(again.Missing), len(again.Displaced), again.RMS)
	}
	code, _, errOut := call(t, "survey", adopted, points, "--adopt", "twice.yaml")
	if code != exitInput || !strings.Contains(errOut, "adopts a survey already") {
		t.Errorf("%d, %s", code, errOut)
	}
}

func TestAdoptInEveryFormat(t *testing.T) {
	for ending, text := range map[string]string{
		".yaml": "name: x\n", ".toml": "name = \"x\"\n[supply]\nkind = \"ac\"\n", ".json": "{\n  \"name\": \"x\"\n}\n",
	} {
		got, err := withSurvey(text, ending, "p-points.csv")
		if err != nil || !strings.HasPrefix(got, strings.TrimRight(text, "}\n")) || !strings.Contains(got, "p-points.csv") {
			t.Errorf("%s: %v\n%s", ending, err, got)
		}
	}
	if _, err := withSurvey("{", ".json", "p.csv"); err == nil {
		t.Error("a broken file passed")
	}
}

func TestSurveyWrongCalls(t *testing.T) {
	file := cornerShell(t)
	dir := filepath.Dir(file)
	good := put(t, dir, "good.csv", "x_mm,y_mm,z_mm\n1,2,3\n4,5,6\n9,5,1\n")
	named := func(name, csv string) string {
		put(t, dir, name+".csv", csv)
		return put(t, dir, name+".yaml", string(read(t, file))+"survey: {file: "+name+".csv}\n")
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"survey", file}, "takes a shell file and a file of points"},
		{[]string{"survey", file, filepath.Join(dir, "gone.csv")}, "cannot be read"},
		{[]string{"survey", file, put(t, dir, "bad.csv", "x,y,z\n1,2\n")}, "line 2: z is missing"},
		{[]string{"survey", file, good, "--unit", "ell"}, `unit "ell" is not known`},
		{[]string{"survey", file, good, "--tolerance", "-1"}, "write millimetres above zero"},
		{[]string{"survey", file, good, "--adopt", "shell.yaml"}, "this is the shell file itself"},
		{[]string{"survey", file, good, "--adopt", "new.toml"}, "give it the ending .yaml"},
		{[]string{"survey", file, good, "--adopt", "sub/new.yaml"}, "write it beside"},
		{[]string{"plan", named("s", "x_mm,y_mm,z_mm\n1,2,3\n")}, "file s.csv: line 2: it names no joint"},
		{[]string{"plan", named("r", "x_mm,y_mm,z_mm,joint\n1,2,3,lang\n")}, "there is no joint lang; the nearest is long"},
	} {
		code, out, errOut := call(t, c.args...)
		if code != exitInput || out != "" || !strings.Contains(errOut, c.want) || strings.Count(errOut, "\n") != 1 {
			t.Errorf("%v: %d, %q", c.args, code, errOut)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "new.toml")); err == nil {
		t.Error("a refused call wrote a file")
	}
}
