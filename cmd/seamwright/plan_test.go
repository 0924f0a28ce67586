package main

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

	"seamwright/internal/plates"
	"seamwright/layout"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// lapShell writes two plates that lap by 20 mm and a shell file for them, with more keys if any.
func lapShell(t testing.TB, more string) string {
	t.Helper()
	file, err := plates.Lap(t.TempDir(), more)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestPlanOfALapJoint(t *testing.T) {
	file := lapShell(t, "")
	out := filepath.Join(filepath.Dir(file), "plan")
	must(t, exitDone, "plan", file)
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
	if err := json.Unmarshal(read(t, filepath.Join(out, "plan.json")), &plan); err != nil {
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
	checkSchema(t, out)
	checkTables(t, out, len(plan.Welds))
}

func checkSchema(t *testing.T, dir string) {
	t.Helper()
	schema, err := jsonschema.UnmarshalJSON(strings.NewReader(string(read(t, filepath.Join(dir, "plan.schema.json")))))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("plan.schema.json", schema); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := jsonschema.UnmarshalJSON(strings.NewReader(string(read(t, filepath.Join(dir, "plan.json")))))
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled.Validate(plan); err != nil {
		t.Error(err)
	}
}

func checkTables(t *testing.T, dir string, welds int) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(string(read(t, filepath.Join(dir, "welds.csv"))))).ReadAll()
	if err != nil || len(rows) != welds+1 {
		t.Errorf("welds.csv: %d rows for %d welds, %v", len(rows), welds, err)
	}
	maps, err := filepath.Glob(filepath.Join(dir, "maps", "*.svg"))
	if err != nil || len(maps) == 0 {
		t.Fatalf("no maps, %v", err)
	}
	for _, m := range maps {
		d := xml.NewDecoder(strings.NewReader(string(read(t, m))))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", m, err)
			}
		}
	}
	if report := string(read(t, filepath.Join(dir, "report.txt"))); !strings.Contains(report, `Lap <&"> joint`) {
		t.Error("the report does not name the shell")
	}
}

func TestPlanTwiceGivesTheSameBytes(t *testing.T) {
	file := lapShell(t, "")
	dir := filepath.Dir(file)
	must(t, exitDone, "plan", file, "-o", filepath.Join(dir, "one"), "--workers", "1")
	must(t, exitDone, "plan", file, "-o", filepath.Join(dir, "two"), "--workers", "7")
	var names []string
	err := filepath.WalkDir(filepath.Join(dir, "one"), func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			name, _ := filepath.Rel(filepath.Join(dir, "one"), path)
			names = append(names, name)
			if string(read(t, path)) != string(read(t, filepath.Join(dir, "two", name))) {
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
	file := lapShell(t, "")
	out := must(t, exitDone, "plan", file, "--json")
	if out != string(read(t, filepath.Join(filepath.Dir(file), "plan", "plan.json"))) {
		t.Error("plan --json prints something else than plan.json")
	}
}

func TestStaleMapsGo(t *testing.T) {
	file := lapShell(t, "")
	old := put(t, filepath.Join(filepath.Dir(file), "plan", "maps"), "gone-1.svg", "<svg/>")
	must(t, exitDone, "plan", file)
	if _, err := os.Stat(old); !os.IsNotExist(err) {
		t.Error("the map of a station that is no more is still there")
	}
}

func TestMapOfAStation(t *testing.T) {
	file := lapShell(t, "stations:\n  - {id: bench, arrives: [a, b]}\n")
	svg := filepath.Join(filepath.Dir(file), "bench.svg")
	must(t, exitDone, "map", file, "--station", "bench", "--paper", "A3", "-o", svg)
	if text := string(read(t, svg)); !strings.Contains(text, `width="420.00mm"`) || !strings.Contains(text, `height="297.00mm"`) {
		t.Errorf("the sheet is not A3: %.200s", text)
	}
}

func TestCost(t *testing.T) {
	file := lapShell(t, "rates: {labour_per_hour: 40}\n")
	cost := func(args ...string) (r costResult) {
		if err := json.Unmarshal([]byte(must(t, exitDone, append([]string{"cost", file, "--json"}, args...)...)), &r); err != nil {
			t.Fatal(err)
		}
		return r
	}
	ten, forty := cost(), cost("--batch", "40")
	if ten.Batch != 10 || forty.Batch != 40 || ten.WeldsPerShell != 12 {
		t.Errorf("batches %d and %d, %d welds", ten.Batch, forty.Batch, ten.WeldsPerShell)
	}
	if forty.CostPerShell >= ten.CostPerShell || forty.CostPerBatch <= ten.CostPerBatch {
		t.Errorf("%.2f a shell in ten, %.2f in forty", ten.CostPerShell, forty.CostPerShell)
	}
	sum := 0.0
	for _, l := range ten.Lines {
		sum += l.Total
	}
	if d := sum - ten.CostPerShell; d > 1e-6 || d < -1e-6 {
		t.Errorf("the lines add up to %.4f, the total is %.4f", sum, ten.CostPerShell)
	}
	if dear := cost("--set", "rates.labour_per_hour=80"); dear.CostPerShell <= ten.CostPerShell {
		t.Error("dearer labour does not cost more")
	}
}

func TestNewWritesAShellFileThatPlans(t *testing.T) {
	dir := t.TempDir()
	plate(t, dir, "Left side.stl", 0, 0, 400, 60, 1)
	plate(t, dir, "floor.stl", 0, 40, 400, 100, 0)
	must(t, exitDone, "new", dir)
	file := filepath.Join(dir, "shell.yaml")
	was := string(read(t, file))
	if must(t, exitDone, "new", dir); string(read(t, file)) != was {
		t.Errorf("written over without being asked:\n%s", read(t, file))
	}
	must(t, exitDone, "plan", file)

	// What somebody wrote stays; what came is added.
	edited := strings.Replace(was, "revision: \"A\"", "revision: \"B\"  # mine", 1)
	put(t, dir, "shell.yaml", edited)
	plate(t, dir, "sill.stl", 0, 80, 400, 140, 1)
	must(t, exitDone, "new", dir)
	left := strings.Split(string(read(t, file)), "\n")
	for _, line := range strings.Split(edited, "\n") {
		k := slices.Index(left, line)
		if k < 0 {
			t.Fatalf("the line %q is gone or moved", line)
		}
		left = left[k+1:]
	}
	if r := decode[layout.Plan](t, must(t, exitDone, "plan", file, "--json")); len(r.Panels) != 3 || len(r.Joints) != 2 {
		t.Errorf("%d panels, %d joints", len(r.Panels), len(r.Joints))
	}
	put(t, dir, "shell.yaml", "panels: [\n")
	must(t, exitInput, "new", dir)
	must(t, exitDone, "new", dir, "--force", "--thickness", "0.8,1.2,0.8")
	if text := string(read(t, file)); !strings.Contains(text, "id: sheet-1.2") || !strings.Contains(text, "# CHECK: as --thickness says") {
		t.Errorf("thickness was not taken:\n%s", text)
	}
}

// A drawn weld line stands in for the one found: an open line with a width, or the outline of a strip.
func TestDrawnWeldLine(t *testing.T) {
	for name, test := range map[string]struct {
		drawing, keys string
		from, to      float64
	}{
		"open line":     {"50,45,1\n350,45,1\n", "file: line.csv, width_mm: 16", 50, 350},
		"strip outline": {"100,38,1\n300,38,1\n300,54,1\n100,54,1\n100,38,1\n", "file: line.csv", 100, 300},
	} {
		t.Run(name, func(t *testing.T) {
			file := lapShell(t, "joints:\n  - {id: j, panels: [a, b], weld_line: {"+test.keys+"}}\n")
			put(t, filepath.Dir(file), "line.csv", test.drawing)
			var plan struct {
				Welds    []struct{ Position [3]float64 }
				Findings []struct{ Rule string }
			}
			if err := json.Unmarshal([]byte(must(t, exitDone, "plan", file, "--json")), &plan); err != nil {
				t.Fatal(err)
			}
			if len(plan.Welds) < 4 {
				t.Fatalf("%d welds", len(plan.Welds))
			}
			for _, w := range plan.Welds {
				if w.Position[0] < test.from || w.Position[0] > test.to || w.Position[1] < 44.9 || w.Position[1] > 46.1 {
					t.Errorf("weld at %v, off the drawn line", w.Position)
				}
			}
		})
	}
}
