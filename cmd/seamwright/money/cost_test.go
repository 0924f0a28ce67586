package money

import (
	"encoding/json"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func costOf(t testing.TB, args ...string) (r costResult) {
	t.Helper()
	if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, append([]string{"cost", "--json"}, args...)...)), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestVariants(t *testing.T) {
	file := calls.TwoJigs(t)
	r := costOf(t, file, "--variant", "batch=40", "--variant", "batch=10,crew.second=1", "--variant",
		"rules.least_pitch_mm=45,rules.greatest_pitch_mm=60", "--set", "rates.overhead_pct=10,crew.first=2")
	if len(r.Variants) != 4 {
		t.Fatalf("%+v", r.Variants)
	}
	stated, large, lone, wide := r.Variants[0], r.Variants[1], r.Variants[2], r.Variants[3]
	if stated.CostPerShell != r.CostPerShell || stated.Crew != 4 || stated.Batch != 10 || r.Quote.CostPerShell.P80 != stated.P80PerShell {
		t.Errorf("as stated: %+v, cost %v", stated, r.CostPerShell)
	}
	if direct := costOf(t, file, "--set", "batch=40,rates.overhead_pct=10,crew.first=2"); large.Batch != 40 ||
		!(math.Abs(large.CostPerShell-direct.CostPerShell) <= 1e-9) || large.CostPerShell >= stated.CostPerShell {
		t.Errorf("batch of 40: %+v, alone %v", large, direct.CostPerShell)
	}
	if lone.Crew != 3 || !(math.Abs(lone.CostPerShell-stated.CostPerShell) <= 1e-9) || lone.ShellsPerWeek >= stated.ShellsPerWeek {
		t.Errorf("one person at the second jig: %+v", lone)
	}
	if wide.Welds >= stated.Welds || wide.CostPerShell >= stated.CostPerShell {
		t.Errorf("a wider pitch is planned anew: %+v", wide)
	}
}

// Time and money come by joint, station and sub-assembly; what a station makes costs what is done there.
func TestCostByPart(t *testing.T) {
	r := costOf(t, calls.TwoJigs(t))
	if len(r.Stations) != 2 || len(r.Subassemblies) != 2 || len(r.Joints) != 2 {
		t.Fatalf("%d stations, %d sub-assemblies, %d joints", len(r.Stations), len(r.Subassemblies), len(r.Joints))
	}
	pair, all := r.Subassemblies[0], r.Subassemblies[1]
	if pair.ManMinutes != r.Stations[0].ManMinutes || !(math.Abs(all.ManMinutes-r.Stations[0].ManMinutes-r.Stations[1].ManMinutes) <= 1e-6) ||
		!(math.Abs(all.Cost-r.CostPerShell) <= 1e-6) {
		t.Errorf("sub-assemblies %+v, stations %+v, %v a shell", r.Subassemblies, r.Stations, r.CostPerShell)
	}
}

func TestOfferWorkbook(t *testing.T) {
	file := calls.TwoJigs(t)
	book := filepath.Join(t.TempDir(), "quotes", "quote.xlsx")
	seamwright.Must(t, program.ExitDone, "cost", file, "--xlsx", book)
	first := calls.Read(t, book)
	if !strings.HasPrefix(string(first), "PK") {
		t.Error("the workbook is no Office Open XML file")
	}
	seamwright.Must(t, program.ExitDone, "cost", file, "--xlsx", book)
	if string(calls.Read(t, book)) != string(first) {
		t.Error("the same quote twice is not the same file")
	}
}

func TestCost(t *testing.T) {
	file := calls.Lap(t, "rates: {labour_per_hour: 40}\n")
	cost := func(args ...string) (r costResult) {
		if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, append([]string{"cost", file, "--json"}, args...)...)),
			&r); err != nil {
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
