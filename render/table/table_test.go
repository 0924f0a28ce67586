package table

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"seamwright/internal/record"

	"pgregory.net/rapid"

	"seamwright/layout"
)

var _ = flag.Bool("update", false, "rewrite the golden files in testdata")

// plan has names that break tables, and one of everything.
func plan() *layout.Plan {
	return &layout.Plan{
		Shell:  layout.Shell{Name: "Sample <shell>", Number: "SW-1", Revision: "B", Batch: 24, Input: "abc123"},
		Panels: []layout.Panel{{ID: "roof"}, {ID: "rail"}},
		Stations: []layout.Station{{ID: "st10", Name: "Roof", Jig: "J-1", Crew: 2, Makes: "top", Arrives: []string{"roof", "rail"}, Welds: 2,
			Minutes: 12.5, HoldPoints: make([]layout.HoldPoint, 1)}},
		Joints: []layout.Joint{
			{ID: "j1", Kind: "spot", Panels: []string{"roof", "rail"}, Station: "st10", Flanges: []string{"f1", "f2"}, Welds: 2, Length: 500,
				Shear: layout.Strength{Capacity: 8000, Demand: 4000, Utilisation: 0.5}, Minutes: 1.25},
			{ID: "gutter", Kind: "roller", Panels: []string{"roof", "rail"}, Station: "st10", Length: 900},
		},
		Flanges: []layout.Flange{
			{ID: "f1", Joint: "j1", Panels: []string{"roof", "rail"}, Length: 100, Width: layout.Range{Least: 14, Mean: 15, Greatest: 16}},
			{ID: "f2", Joint: "j1", Panels: []string{"roof", "rail"}, Length: 300, Width: layout.Range{Least: 18, Mean: 19, Greatest: 20}},
			{ID: "f3", Panels: []string{"roof", "rail"}, Patch: true, Length: 80, Width: layout.Range{Least: 70, Mean: 75, Greatest: 80},
				Air: layout.Range{Least: 0, Mean: 0.1, Greatest: 0.2}},
		},
		Runs: []layout.Run{{ID: 1, Station: "st10", Joint: "j1", Count: 2, Pitch: layout.Range{Least: 38, Mean: 39, Greatest: 40}}},
		Welds: []layout.Weld{
			{Number: 1, Station: "st10", Joint: "=HYPERLINK(\"http://x\")", Flange: "+f1", Run: 1, Position: layout.Vec{-12.34567, 0, -0.00001},
				Axis: layout.Vec{0, 0, 1}, Sheets: []string{"-roof", "rail, left"}, WeldDiameter: 4.9, Accepted: 4.35, Gun: "g1",
				Tip: "@tip", Turn: -90,
				Setting: "S1", Step: "tack", Waits: "'quoted' \"twice\"\nand broken", Shear: 3999.6, Tension: 1000},
			{Number: 2, Station: "st10", Joint: "j1", Flange: "f1", Run: 1, Position: layout.Vec{1, 2, 3}, Axis: layout.Vec{0.6, 0, 0.8},
				Sheets: []string{"roof", "rail"}, WeldDiameter: math.NaN(), Gun: "g2", Setting: "S1", Step: "fill"},
		},
		Seams: []layout.Seam{{ID: "R1", Length: 900}},
		Guns:  []layout.Gun{{ID: "g1", Letter: "A", Name: "C gun"}},
		Tips:  []layout.Tip{{ID: "@tip", Name: "domed", Face: 5.5}},
		Settings: []layout.Setting{
			{ID: "S1", Kind: "spot", Stack: "DC04 0.9 + 1.2", Force: 2250, Current: 9100, Squeeze: 0.4, Weld: 0.2, Hold: 0.2,
				Source: "sample table", Note: "taken for the thinner sheet"},
			{ID: "R1", Kind: "roller", Stack: "DC04 0.9 + 0.9", Force: 2400, Current: 13000, Weld: 0.04, Hold: 0.04, Wheel: 5, Speed: 30,
				Pitch: 2.5},
		},
		Findings: []layout.Finding{
			{Rule: "pitch.least", Severity: layout.Note, Where: "joint j1", Value: 38, Limit: 30, Unit: "mm"},
			{Rule: "flange.width", Severity: layout.Broken, Where: "flange f1, weld 1", Value: 14, Limit: 15.5, Unit: "mm",
				Source: "common practice, no source", Remedy: "Widen the flange by 1.5 mm, or weld with a narrower tip whose face still gives the " +
					"weld diameter that the rule asks for", At: layout.Vec{1, 2, 3}},
			{Rule: "gap", Severity: layout.Doubt, Where: "flange f2", Value: 0.45, Limit: 0.4, Unit: "mm"},
		},
		Labour: layout.Labour{ManMinutesPerShell: 25, PrepareMinutes: 90, RollerMetres: 0.9, Welds: 2,
			Stations: []layout.StationLabour{{Station: "st10", Name: "Roof", Crew: 2, ManMinutes: 25, Minutes: 12.5, Weld: 1, Roll: 0.5,
				Handling: 11, RollerMetre: 0.9, Welds: 2, Prepare: 90}},
			Subassemblies: []layout.PartLabour{{ID: "top", ManMinutes: 25, Welds: 2, RollerMetre: 0.9, Cost: 31.5}},
			Lines: []layout.Line{{What: "load roof", Station: "st10", Quantity: 1, Unit: "panel", Each: 20, Total: 20,
				From: "load_panel_s"}},
			Factors: []layout.Factor{{Name: "fatigue", Value: 1.04, Source: "shell file"}}},
		Cost: layout.Cost{Currency: "EUR", Batch: 24, MinutesPerShell: 28.75, CostPerShell: 31.5, CostPerBatch: 756, RollerMetresPerShell: 0.9,
			Lines: []layout.Line{{Kind: layout.PaidLabour, What: "labour", Quantity: 28.75, Unit: "min", Each: 1, Total: 28.75,
				From: "rate 60 an hour"},
				{Kind: layout.PaidCaps, What: "caps", Station: "st10", Quantity: 0.01, Unit: "pair", Each: 275, Total: 2.75, From: "=cap life"}},
			Spread: layout.CostSpread{Trials: 4000, Seed: 1, MinutesP50: 28.6, MinutesP80: 31.2, ShellP50: 31.4, ShellP80: 34.75, BatchP50: 753.6,
				BatchP80: 834, Movers: []layout.Mover{{ID: "position_s", Off: 20, Source: "common practice, no source", Low: 30, High: 33.25}}}},
		Notes: []string{"panel roof: 12 equal vertices merged"},
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	record.Hold(t, filepath.Join("testdata", name), string(got))
}

func files() map[string]func(*layout.Plan) ([]byte, error) {
	return map[string]func(*layout.Plan) ([]byte, error){"welds.csv": Welds, "cost.csv": Cost}
}

func TestGolden(t *testing.T) {
	for name, write := range files() {
		got, err := write(plan())
		if err != nil {
			t.Fatal(err)
		}
		golden(t, name, got)
	}
	golden(t, "report.txt", Report(plan()))
}

// No cell that is not a number may begin with what an office program runs as a formula.
func TestNoCellIsAFormula(t *testing.T) {
	for name, write := range files() {
		data, err := write(plan())
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			if len(row) != len(rows[0]) {
				t.Errorf("%s row %d has %d cells, the head %d", name, i, len(row), len(rows[0]))
			}
			for _, cell := range row {
				var v float64
				if _, err := fmt.Sscanf(cell, "%g", &v); cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) && err != nil {
					t.Errorf("%s: cell %q would be run", name, cell)
				}
			}
		}
	}
}

// A guarded name can be read back.
func TestTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.String().Draw(t, "name")
		got := Text(name)
		if got != "" && strings.ContainsRune("=+-@\t\r", rune(got[0])) {
			t.Fatalf("%q became %q", name, got)
		}
		if strings.TrimPrefix(got, "'") != name {
			t.Fatalf("%q became %q", name, got)
		}
	})
}

func TestReportOrderAndWidth(t *testing.T) {
	text := string(Report(plan()))
	broken, doubt, note := strings.Index(text, "broken  flange.width"), strings.Index(text, "doubt   gap"),
		strings.Index(text, "note    pitch.least")
	if broken < 0 || doubt < broken || note < doubt {
		t.Errorf("findings at %d, %d, %d are not in the order of severity", broken, doubt, note)
	}
	for _, want := range []string{"14 / 18 / 20", "38 / 39 / 40", "50 %", "ISO 10447", "31.50", "Widen the flange", "panel roof: 12 equal",
		"broken 1, waived 0, in doubt 1, notes 1"} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	for _, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(l, "        ") && utf8.RuneCountInString(l) > lineWidth {
			t.Errorf("line of %d characters: %s", utf8.RuneCountInString(l), l)
		}
		if strings.TrimRight(l, " ") != l {
			t.Errorf("line %q ends with spaces", l)
		}
	}
	if len(Report(&layout.Plan{})) == 0 {
		t.Error("an empty plan gives no report")
	}
}

// Equal causes are told once, and a stated pitch names no standard.
func TestFindingsAreGrouped(t *testing.T) {
	p := &layout.Plan{Findings: []layout.Finding{
		{Rule: "pitch.wanted", Severity: layout.Doubt, Where: "flange a", Value: 32, Limit: 28, Unit: "mm", Source: "EN 1993-1-3",
			Remedy: "move it"},
		{Rule: "gap", Severity: layout.Doubt, Where: "flange b", Value: 0.5, Limit: 0.4, Unit: "mm", Source: "table 1"},
		{Rule: "pitch.wanted", Severity: layout.Doubt, Where: "flange c", Value: 33, Limit: 28, Unit: "mm",
			Source: "stated by the shell file (stated)", From: layout.FromShell, Remedy: "move it"},
		{Rule: "gap", Severity: layout.Broken, Where: "flange d", Value: 0.9, Limit: 0.4, Unit: "mm", Source: "table 1"},
		{Rule: "gap", Severity: layout.Waived, Where: "flange e", Source: "table 1", Was: layout.Broken, Name: "A. Lead", Reason: "gauged"},
	}}
	text := string(Report(p))
	for _, want := range []string{"doubt   pitch.wanted, 2 times:", "- flange a: is 32, limit 28 mm", "- flange c: is 33, limit 28 mm",
		"Source: stated in the shell file",
		"broken  gap: flange d", "doubt   gap: flange b", "Waived by A. Lead, was broken: gauged"} {
		if strings.Count(text, want) != 1 {
			t.Errorf("%q is said %d times in\n%s", want, strings.Count(text, want), text)
		}
	}
	if strings.Contains(text, "EN 1993") {
		t.Error("a stated pitch names a standard")
	}
	if strings.Count(text, "Remedy: move it") != 1 {
		t.Error("the remedy is not told once")
	}
}

func ExampleText() {
	fmt.Println(Text("=1+1"), Text("roof"), Text("-12 stage"))
	// Output: '=1+1 roof '-12 stage
}
