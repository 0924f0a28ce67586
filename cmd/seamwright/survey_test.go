package main

import (
	"cmp"
	"fmt"
	"math"
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
