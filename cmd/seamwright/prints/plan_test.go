package prints

import (
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func TestPlanOfALapJoint(t *testing.T) {
	file := calls.Lap(t, "")
	out := filepath.Join(filepath.Dir(file), "plan")
	seamwright.Must(t, program.ExitDone, "plan", file)
	var plan struct {
		Welds []struct {
			Number       int
			Position     [3]float64
			Axis         [3]float64
			WeldDiameter float64 `json:"weld_diameter"`
			Gun, Tip     string
		}
		Joints []struct{ Found bool }
	}
	if err := json.Unmarshal(calls.Read(t, filepath.Join(out, "plan.json")), &plan); err != nil {
		t.Fatal(err)
	}
	// 400 mm less an end distance of 2 d at either end, d = 5 root 0.9, at the greatest pitch of 8 d: EN 1993-1-3
	// Table 8.5; (400 - 2 x 9.49) / 37.95 is 10.04, so eleven pitches and twelve welds.
	if len(plan.Welds) != 12 || !plan.Joints[0].Found {
		t.Errorf("%d welds, want 12; joint found: %v", len(plan.Welds), plan.Joints[0].Found)
	}
	for i, w := range plan.Welds {
		if w.Position[1] < 49.9 || w.Position[1] > 50.1 || w.Axis[2]*w.Axis[2] < 0.999 || w.WeldDiameter < 4.74 || w.WeldDiameter > 4.75 ||
			w.Gun == "" || w.Tip == "" {
			t.Errorf("weld %d: %+v", i+1, w)
		}
	}
	calls.CheckSchema(t, out)
	checkTables(t, out, len(plan.Welds))
}

func checkTables(t *testing.T, dir string, welds int) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(string(calls.Read(t, filepath.Join(dir, "welds.csv"))))).ReadAll()
	if err != nil || len(rows) != welds+1 {
		t.Errorf("welds.csv: %d rows for %d welds, %v", len(rows), welds, err)
	}
	maps, err := filepath.Glob(filepath.Join(dir, "maps", "*.svg"))
	if err != nil || len(maps) == 0 {
		t.Fatalf("no maps, %v", err)
	}
	for _, m := range maps {
		d := xml.NewDecoder(strings.NewReader(string(calls.Read(t, m))))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", m, err)
			}
		}
	}
	if report := string(calls.Read(t, filepath.Join(dir, "report.txt"))); !strings.Contains(report, `Lap <&"> joint`) {
		t.Error("the report does not name the shell")
	}
}

func TestPlanTwiceGivesTheSameBytes(t *testing.T) {
	file := calls.Lap(t, "")
	dir := filepath.Dir(file)
	seamwright.Must(t, program.ExitDone, "plan", file, "-o", filepath.Join(dir, "one"), "--workers", "1")
	seamwright.Must(t, program.ExitDone, "plan", file, "-o", filepath.Join(dir, "two"), "--workers", "7")
	var names []string
	err := filepath.WalkDir(filepath.Join(dir, "one"), func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			name, _ := filepath.Rel(filepath.Join(dir, "one"), path)
			names = append(names, name)
			if string(calls.Read(t, path)) != string(calls.Read(t, filepath.Join(dir, "two", name))) {
				t.Errorf("%s differs", name)
			}
		}
		return err
	})
	if err != nil || len(names) < 6 || !slices.Contains(names, "plan.json") {
		t.Errorf("files %v, %v", names, err)
	}
}

func TestJSONOnStandardOutput(t *testing.T) {
	file := calls.Lap(t, "")
	out := seamwright.Must(t, program.ExitDone, "plan", file, "--json")
	if out != string(calls.Read(t, filepath.Join(filepath.Dir(file), "plan", "plan.json"))) {
		t.Error("plan --json prints something else than plan.json")
	}
}

func TestStaleMapsGo(t *testing.T) {
	file := calls.Lap(t, "")
	old := calls.Put(t, filepath.Join(filepath.Dir(file), "plan", "maps"), "gone-1.svg", "<svg/>")
	seamwright.Must(t, program.ExitDone, "plan", file)
	if _, err := os.Stat(old); !os.IsNotExist(err) {
		t.Error("the map of a station that is no more is still there")
	}
}

func TestMapOfAStation(t *testing.T) {
	file := calls.Lap(t, "stations:\n  - {id: bench, arrives: [a, b]}\n")
	svg := filepath.Join(filepath.Dir(file), "bench.svg")
	seamwright.Must(t, program.ExitDone, "map", file, "--station", "bench", "--paper", "A3", "-o", svg)
	if text := string(calls.Read(t, svg)); !strings.Contains(text, `width="420.00mm"`) || !strings.Contains(text, `height="297.00mm"`) {
		t.Errorf("the sheet is not A3: %.200s", text)
	}
}
