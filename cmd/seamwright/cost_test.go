package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// twoJigShell writes three plates that are joined in two jigs.
func twoJigShell(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	plate(t, dir, "a.stl", 0, 0, 400, 60, 1)
	plate(t, dir, "b.stl", 0, 40, 400, 100, 0)
	plate(t, dir, "c.stl", 0, 80, 400, 140, -1)
	return put(t, dir, "shell.yaml", `name: Two jigs
batch: 10
steels:
  - {id: s, grade: DC04, thickness_mm: 1}
panels:
  - {id: a, mesh: a.stl, unit: mm}
  - {id: b, mesh: b.stl, unit: mm}
  - {id: c, mesh: c.stl, unit: mm}
subassemblies:
  - {id: pair, parts: [a, b]}
  - {id: all, parts: [pair, c]}
stations:
  - {id: first, makes: pair, prepare_min: 60}
  - {id: second, makes: all, crew: 2, prepare_min: 120, changeover_min: 30}
rates: {labour_per_hour: 40}
`)
}

func costOf(t testing.TB, args ...string) (r costResult) {
	t.Helper()
	if err := json.Unmarshal([]byte(must(t, exitDone, append([]string{"cost", "--json"}, args...)...)), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSettings(t *testing.T) {
	for text, want := range map[string]string{
		"batch=12":                        "batch=12",
		"batch=12,crew.main-jig=3":        "batch=12 stations.main-jig.crew=3",
		"owner=Kell, Rudd and Co,batch=3": "owner=Kell, Rudd and Co batch=3",
		"stations.a.b.crew=2, batch=4":    "stations.a.b.crew=2 batch=4",
		"batch":                           "batch",
	} {
		if got := strings.Join(settings([]string{text}), " "); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}

func TestVariants(t *testing.T) {
	file := twoJigShell(t)
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
		math.Abs(large.CostPerShell-direct.CostPerShell) > 1e-9 || large.CostPerShell >= stated.CostPerShell {
		t.Errorf("batch of 40: %+v, alone %v", large, direct.CostPerShell)
	}
	if lone.Crew != 3 || math.Abs(lone.CostPerShell-stated.CostPerShell) > 1e-9 || lone.ShellsPerWeek >= stated.ShellsPerWeek {
		t.Errorf("one person at the second jig: %+v", lone)
	}
	if wide.Welds >= stated.Welds || wide.CostPerShell >= stated.CostPerShell {
		t.Errorf("a wider pitch is planned anew: %+v", wide)
	}
}

// Time and money come by joint, station and sub-assembly; what a station makes costs what is done there.
func TestCostByPart(t *testing.T) {
	r := costOf(t, twoJigShell(t))
	if len(r.Stations) != 2 || len(r.Subassemblies) != 2 || len(r.Joints) != 2 {
		t.Fatalf("%d stations, %d sub-assemblies, %d joints", len(r.Stations), len(r.Subassemblies), len(r.Joints))
	}
	pair, all := r.Subassemblies[0], r.Subassemblies[1]
	if pair.ManMinutes != r.Stations[0].ManMinutes || math.Abs(all.ManMinutes-r.Stations[0].ManMinutes-r.Stations[1].ManMinutes) > 1e-6 ||
		math.Abs(all.Cost-r.CostPerShell) > 1e-6 {
		t.Errorf("sub-assemblies %+v, stations %+v, %v a shell", r.Subassemblies, r.Stations, r.CostPerShell)
	}
}

func TestOfferWorkbook(t *testing.T) {
	file := twoJigShell(t)
	book := filepath.Join(t.TempDir(), "quotes", "quote.xlsx")
	must(t, exitDone, "cost", file, "--xlsx", book)
	first := read(t, book)
	if !strings.HasPrefix(string(first), "PK") {
		t.Error("the workbook is no Office Open XML file")
	}
	must(t, exitDone, "cost", file, "--xlsx", book)
	if string(read(t, book)) != string(first) {
		t.Error("the same quote twice is not the same file")
	}
}
