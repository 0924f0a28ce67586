package review

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func TestSurvey(t *testing.T) {
	file := calls.Corner(t)
	points := calls.CornerPoints(t, seamwright, file)
	r := calls.Decode[surveyResult](t, seamwright.Must(t, program.ExitDone, "survey", file, points, "--json"))
	if len(r.Missing) != 1 || len(r.Displaced) != 1 || len(r.Extra) != 1 || len(r.Matched) != r.Welds-2 || r.RMS > 0.01 ||
		!(math.Abs(r.Fit.Angle-90) <= 0.01) {
		t.Errorf("%d matched, %d displaced, %d missing, %d extra, rms %v, %v degrees", len(r.Matched), len(r.Displaced), len(r.Missing),
			len(r.Extra), r.RMS, r.Fit.Angle)
	}
	if d := r.Displaced[0]; !(math.Abs(d.Distance-9) <= 0.05) || r.Extra[0].Point != "elsewhere" || r.Extra[0].Flange != "" ||
		r.Adopted != nil {
		t.Errorf("%+v, %+v", r.Displaced, r.Extra)
	}
}

// Adopted: the plan has the survey's count and places, the remark of the shell file stays, and the rules still speak: where
// the original left a weld out, the pitch is doubled.
func TestSurveyAdopt(t *testing.T) {
	file := calls.Corner(t)
	points := calls.CornerPoints(t, seamwright, file)
	r := calls.Decode[surveyResult](t, seamwright.Must(t, program.ExitDone, "survey", file, points, "--json", "--adopt", "original.yaml"))
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
	shellText := string(calls.Read(t, filepath.Join(filepath.Dir(file), "original.yaml")))
	if !strings.HasPrefix(shellText, "# a remark that stays\n") || !strings.Contains(shellText, "survey:\n  file: \"original-points.csv\"\n") {
		t.Errorf("%s", shellText)
	}
	// Measured again, the adopted plan fits its survey.
	adopted := filepath.Join(filepath.Dir(file), "original.yaml")
	again := calls.Decode[surveyResult](t, seamwright.Must(t, program.ExitDone, "survey", adopted, points, "--json"))
	if len(again.Matched) != a.Count || len(again.Missing)+len(again.Displaced) != 0 || again.RMS > 0.1 {
		t.Errorf("%d matched, %d missing, %d displaced, rms %v", len(again.Matched), len(again.Missing), len(again.Displaced), again.RMS)
	}
	code, _, errOut := seamwright.Call(t, "survey", adopted, points, "--adopt", "twice.yaml")
	if code != program.ExitInput || !strings.Contains(errOut, "adopts a survey already") {
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
