package offer_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/layout/quote"
	"seamwright/layout/stations"
	"seamwright/render/offer"
	"seamwright/seams/shell"
)

// planned is the sample cab with its labour.
func planned(t testing.TB, sh *shell.Shell) *layout.Plan {
	t.Helper()
	p := sample.Cab(sh)
	p.Shell = layout.Shell{Name: "Sample cab", Number: "S-1", Revision: "A", Batch: sh.Batch}
	for i := range p.Stations {
		if s, ok := sh.Station(p.Stations[i].ID); ok && s.Crew > 0 {
			p.Stations[i].Crew = s.Crew
		}
	}
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(p, sh); err != nil {
		t.Fatal(err)
	}
	if p.Flow, err = stations.Flow(p, sh.Batch, sh.Rates.HoursPerWeek); err != nil {
		t.Fatal(err)
	}
	return p
}

func works() *shell.Shell {
	sh := sample.Works()
	sh.Stations[2].Crew = 2
	return sh
}

func workbook(t testing.TB, p *layout.Plan, sh *shell.Shell) []byte {
	t.Helper()
	q, err := quote.Of(p, sh, quote.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	basis, err := labour.BasisOf(p, sh)
	if err != nil {
		t.Fatal(err)
	}
	data, err := offer.Workbook(p, basis, q)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func open(t testing.TB, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// value is the number in a column of the row that has the text in column A.
func value(t testing.TB, f *excelize.File, sheet, text, column string) float64 {
	t.Helper()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		if len(row) == 0 || row[0] != text {
			continue
		}
		s, err := f.GetCellValue(sheet, fmt.Sprint(column, i+1), excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatalf("%s %s%d, %s: %q is no number", sheet, column, i+1, text, s)
		}
		return v
	}
	t.Fatalf("sheet %s has no row %q", sheet, text)
	return 0
}

// near allows for the lines of the labour being rounded one by one: half of 0.0001 each.
func near(t *testing.T, what string, got, want float64, lines int) {
	t.Helper()
	if math.Abs(got-want) > float64(lines)*0.00005+1e-6*math.Abs(want) {
		t.Errorf("%s: %v in the workbook, %v by the labour", what, got, want)
	}
}

// same holds every total of a workbook to the labour.
func same(t *testing.T, f *excelize.File, p *layout.Plan) {
	t.Helper()
	work, money := len(p.Labour.Lines), len(p.Cost.Lines)
	near(t, "batch", value(t, f, "Quote", "Shells in the batch", "B"), float64(p.Cost.Batch), 0)
	near(t, "man-minutes", value(t, f, "Quote", "Man-minutes a shell", "B"), p.Labour.ManMinutesPerShell, work)
	near(t, "minutes, shared", value(t, f, "Quote", "Man-minutes a shell, preparation and changeover shared", "B"), p.Cost.MinutesPerShell,
		work)
	near(t, "a shell", value(t, f, "Quote", "EUR a shell", "B"), p.Cost.CostPerShell, 4*money)
	near(t, "a batch", value(t, f, "Quote", "EUR for the batch", "B"), p.Cost.CostPerBatch, 4*money*p.Cost.Batch)
	near(t, "longest station", value(t, f, "Quote", "Minutes of the longest station", "B"), p.Flow.BottleneckMinutes, work)
	near(t, "a week", value(t, f, "Quote", "Shells a week", "B"), p.Flow.ShellsPerWeek, work)
	for _, s := range p.Labour.Stations {
		near(t, s.Station+" man-minutes", value(t, f, "Stations", s.Station, "D"), s.ManMinutes, work)
		near(t, s.Station+" minutes", value(t, f, "Stations", s.Station, "E"), s.Minutes, work)
		near(t, s.Station+" money", value(t, f, "Stations", s.Station, "J"), s.Cost, 4*money)
	}
	for _, j := range p.Labour.Joints {
		near(t, j.ID+" man-minutes", value(t, f, "Joints", j.ID, "B"), j.ManMinutes, work)
		near(t, j.ID+" money", value(t, f, "Joints", j.ID, "E"), j.Cost, 4*money)
	}
	parts := 0.0
	for _, what := range []string{"labour", "jig preparation", "changeover", "caps", "wheels", "energy", "water", "sheet for test coupons"} {
		parts += value(t, f, "Quote", what, "B")
	}
	near(t, "the parts together", parts, p.Cost.CostPerShell, 4*money)
}

// The values beside the formulas, for programs that do not reckon.
func TestValuesAsPlanned(t *testing.T) {
	sh := works()
	p := planned(t, sh)
	f := open(t, workbook(t, p, sh))
	same(t, f, p)
	if v := value(t, f, "Quote", "P80: four times in five it comes to less", "B"); v <= 1 || v > 1.5 {
		t.Errorf("P80 is %v of the plan", v)
	}
}

func TestSameInputSameBytes(t *testing.T) {
	sh := works()
	p := planned(t, sh)
	if !bytes.Equal(workbook(t, p, sh), workbook(t, p, sh)) {
		t.Error("two workbooks of one plan differ")
	}
}

// A name that looks like a formula stays a name.
func TestNamesStayNames(t *testing.T) {
	sh := works()
	p := planned(t, sh)
	p.Shell.Name = "=1+1"
	p.Labour.Stations[0].Name = "=HYPERLINK(\"http://x\")"
	f := open(t, workbook(t, p, sh))
	for _, at := range [][2]string{{"Quote", "A1"}, {"Stations", "B2"}} {
		if s, err := f.GetCellFormula(at[0], at[1]); err != nil || s != "" {
			t.Errorf("%v holds the formula %q (%v)", at, s, err)
		}
	}
}

func TestPlanWithoutLabour(t *testing.T) {
	sh := works()
	basis, err := labour.BasisOf(sample.Cab(sh), sh)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := offer.Workbook(sample.Cab(sh), basis, quote.Quote{}); err == nil || !strings.Contains(err.Error(), "estimate it first") {
		t.Errorf("%v", err)
	}
	sh.Batch = 0
	if _, err := labour.BasisOf(sample.Cab(sh), sh); err == nil {
		t.Error("no error for a batch of none")
	}
}

// An estimator changes inputs in the workbook; LibreOffice reckons it anew, and every total is that of an estimate with
// the changed shell file.
func TestFormulasFollow(t *testing.T) {
	program := libreOffice(t)
	dir := t.TempDir()
	changes := map[string]map[string]float64{
		"unchanged": {},
		"batch":     {"batch": 100},
		"rates": {"rates.labour_per_hour": 61.5, "rates.overhead_pct": 12, "rates.energy_per_kwh": 0.9, "rates.coupon_price": 2,
			"rates.water_per_m3": 0, "rates.jig_per_hour": 70, "rates.utilisation_pct": 55, "rates.hours_per_week": 30},
		"times": {"elements.position_s": 8, "elements.move_mm_per_s": 90, "elements.fit_s_per_m": 0, "elements.gauge_s": 77,
			"elements.tip_change_s": 500, "elements.coupons": 3, "elements.inspect_every": 4, "elements.squeeze_s": 1},
		"others": {"allowances.learning": 0.88, "allowances.rework_pct": 9, "allowances.posture_pct": 22, "tips.domed.price": 40,
			"stations.main.crew": 4, "stations.side.prepare_min": 900, "stations.floor.changeover_min": 0, "rates.water_l_per_min": 11},
		"practised": {"allowances.learning": 0.9, "allowances.shells_before": 30},
		"plateau":   {"allowances.learning": 0.9, "allowances.shells_before": 10, "allowances.plateau_shells": 20},
		"one":       {"allowances.learning": 0.5, "allowances.plateau_shells": 1},
		"none":      {"allowances.learning": 1, "allowances.rework_pct": 0, "batch": 1},
	}
	var files []string
	for name, set := range changes {
		files = append(files, changed(t, dir, name, set))
	}
	out := filepath.Join(dir, "reckoned")
	args := append([]string{"-env:UserInstallation=file://" + profile(t, dir), "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML",
		"--outdir", out}, files...)
	if text, err := exec.Command(program, args...).CombinedOutput(); err != nil {
		t.Fatalf("LibreOffice: %v\n%s", err, text)
	}
	for name, set := range changes {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(out, name+".xlsx"))
			if err != nil {
				t.Fatal(err)
			}
			sh := works()
			apply(t, sh, set)
			same(t, open(t, data), planned(t, sh))
		})
	}
}

// profile is a user's folder for LibreOffice that makes it reckon every file on opening, whatever values it holds.
func profile(t *testing.T, dir string) string {
	t.Helper()
	const always = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
  xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`
	user := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(user, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(user, "registrymodifications.xcu"), []byte(always), 0o600); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, "profile")
}

// libreOffice finds the program; it may only be missing where nobody relies on the test.
func libreOffice(t *testing.T) string {
	t.Helper()
	program, err := exec.LookPath("soffice")
	if err == nil {
		return program
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("soffice is missing: apt-get install libreoffice-calc")
	}
	t.Skip("SKIPPED: THE WORKBOOK'S FORMULAS ARE NOT RECKONED: soffice is missing, apt-get install libreoffice-calc")
	return ""
}

// changed writes the workbook of the unchanged sample with some inputs changed as a user would.
func changed(t *testing.T, dir, name string, set map[string]float64) string {
	t.Helper()
	sh := works()
	f := open(t, workbook(t, planned(t, sh), sh))
	rows, err := f.GetRows("Inputs")
	if err != nil {
		t.Fatal(err)
	}
	done := 0
	for i, row := range rows {
		if v, ok := set[row[0]]; ok {
			done++
			if err := f.SetCellFloat("Inputs", fmt.Sprint("B", i+1), v, -1, 64); err != nil {
				t.Fatal(err)
			}
		}
	}
	if done != len(set) {
		t.Fatalf("%s: %d of %d inputs are in the workbook", name, done, len(set))
	}
	path := filepath.Join(dir, name+".xlsx")
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// apply makes the same changes to the shell.
func apply(t *testing.T, sh *shell.Shell, set map[string]float64) {
	t.Helper()
	e, r, a := &sh.Elements, &sh.Rates, &sh.Allowances
	at := map[string]*float64{
		"rates.labour_per_hour": &r.Labour, "rates.overhead_pct": &r.Overhead, "rates.energy_per_kwh": &r.Energy,
		"rates.coupon_price": &r.Coupon, "rates.water_per_m3": &r.Water,
		"rates.jig_per_hour": &r.JigWork, "rates.utilisation_pct": &r.Utilisation, "rates.hours_per_week": &r.HoursPerWeek,
		"rates.water_l_per_min": &r.WaterFlow,
		"elements.position_s":   &e.Position, "elements.move_mm_per_s": &e.MoveSpeed, "elements.fit_s_per_m": &e.Fit,
		"elements.gauge_s":      &e.Gauge,
		"elements.tip_change_s": &e.TipChange,
		"elements.coupons":      &e.Coupons, "elements.squeeze_s": &e.Squeeze, "allowances.learning": &a.Learning,
		"allowances.rework_pct":  &a.Rework,
		"allowances.posture_pct": &a.Posture,
		"tips.domed.price":       &sh.Tips[0].Price, "stations.side.prepare_min": &sh.Stations[1].Prepare,
		"stations.floor.changeover_min": &sh.Stations[0].Change,
	}
	for key, v := range set {
		switch key {
		case "batch":
			sh.Batch = int(v)
		case "allowances.shells_before":
			a.ShellsBefore = int(v)
		case "allowances.plateau_shells":
			a.Plateau = int(v)
		case "elements.inspect_every":
			e.InspectEvery = int(v)
		case "stations.main.crew":
			sh.Stations[2].Crew = int(v)
		default:
			if at[key] == nil {
				t.Fatalf("no field for %s", key)
			}
			*at[key] = v
		}
	}
}

func BenchmarkWorkbook(b *testing.B) {
	sh := works()
	p := planned(b, sh)
	b.ReportAllocs()
	for b.Loop() {
		workbook(b, p, sh)
	}
}
