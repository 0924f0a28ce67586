package offer_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"seamwright/internal/spreadsheet"
	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/layout/price"
	"seamwright/layout/quote"
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
	if p.Labour, p.Cost, err = labour.Estimate(t.Context(), p, sh); err != nil {
		t.Fatal(err)
	}
	if p.Flow, err = crews.Flow(p, sh.Batch, sh.WeekHours()); err != nil {
		t.Fatal(err)
	}
	for i := range p.Panels {
		v := &p.Panels[i]
		v.Grade, v.Thickness, v.Blank = "DC04", 0.9+0.1*float64(i%2), [2]float64{900.25 + 100*float64(i), 400.5}
		if i == 0 {
			v.Coating = "Z100"
		}
	}
	if p.Cost.Steel, _, err = buy.Of(p, sh); err != nil {
		t.Fatal(err)
	}
	if p.Cost.Paid, err = crews.Paid(context.Background(), p, sh); err != nil {
		t.Fatal(err)
	}
	return p
}

func works() *shell.Shell {
	sh := sample.Works()
	sh.Stations[0].Crew, sh.Stations[1].Crew, sh.Stations[2].Crew = 1, 1, 2
	sh.People, sh.Shifts = 4, 2
	sh.Material = []shell.Material{{Grade: "DC04", Thickness: 0.9, PerKilo: 1.15}, {Grade: "DC04", Thickness: 1, PerKilo: 1.08},
		{Grade: "DC04", Thickness: 0.9, Coating: "Z100", PerKilo: 1.3}}
	sh.Offer = shell.Offer{Margin: 12, Subcontract: 5, Discount: 2, VAT: 21, Steel: shell.WorksBuys, Valid: 30, Lines: []shell.OfferLine{
		{ID: "press", What: "press the panels", By: shell.Subcontract, Per: shell.PerShell, Quantity: 1, Price: 180.255},
		{ID: "freight", What: "freight", Per: shell.PerBatch, Quantity: 2, Price: 333.333}}, Breaks: []shell.Break{{Shells: 1}, {Shells: 100,
		Discount: 3}}}
	return sh
}

func priced(t testing.TB, p *layout.Plan, sh *shell.Shell) price.Offer {
	t.Helper()
	o, err := price.Of(context.Background(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func workbook(t testing.TB, p *layout.Plan, sh *shell.Shell) []byte {
	t.Helper()
	q, err := quote.Of(t.Context(), p, sh, quote.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	basis, err := labour.BasisOf(t.Context(), p, sh)
	if err != nil {
		t.Fatal(err)
	}
	data, err := offer.Workbook(p, basis, q, priced(t, p, sh))
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

// near allows for what floating point leaves.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-6+1e-9*math.Abs(want)) {
		t.Errorf("%s: %v in the workbook, %v by the labour", what, got, want)
	}
}

// same holds every total of a workbook to the labour, and every price to the cent.
func same(t *testing.T, f *excelize.File, p *layout.Plan, o price.Offer) {
	t.Helper()
	near(t, "batch", value(t, f, "Quote", "Shells in the batch", "B"), float64(p.Cost.Batch))
	near(t, "man-minutes", value(t, f, "Quote", "Man-minutes a shell", "B"), p.Labour.ManMinutesPerShell)
	near(t, "minutes, shared", value(t, f, "Quote", "Man-minutes a shell, preparation and changeover shared", "B"), p.Cost.MinutesPerShell)
	near(t, "a shell", value(t, f, "Quote", "EUR a shell", "B"), layout.Cents(p.Cost.CostPerShell))
	near(t, "a batch", value(t, f, "Quote", "EUR for the batch", "B"), p.Cost.CostPerBatch)
	near(t, "longest station", value(t, f, "Quote", "Minutes of the longest station", "B"), p.Flow.BottleneckMinutes)
	near(t, "a week", value(t, f, "Quote", "Shells a week", "B"), p.Flow.ShellsPerWeek)
	for _, s := range p.Labour.Stations {
		near(t, s.Station+" man-minutes", value(t, f, "Stations", s.Station, "D"), s.ManMinutes)
		near(t, s.Station+" minutes", value(t, f, "Stations", s.Station, "E"), s.Minutes)
		near(t, s.Station+" money", value(t, f, "Stations", s.Station, "J"), s.Cost)
	}
	for _, j := range p.Labour.Joints {
		near(t, j.ID+" man-minutes", value(t, f, "Joints", j.ID, "B"), j.ManMinutes)
		near(t, j.ID+" money", value(t, f, "Joints", j.ID, "E"), j.Cost)
	}
	for i, v := range append([]price.Priced{o.Batch}, o.Breaks...) {
		column := string(rune('B' + i))
		at := func(row string) float64 { return value(t, f, "Price", row, column) }
		for _, l := range v.Lines {
			near(t, fmt.Sprint(v.Shells, " shells, ", l.ID), at(l.What), l.Total)
		}
		for row, want := range map[string]float64{"shells": float64(v.Shells), "cost": v.Cost, "margin": v.Margin, "discount": v.Discount,
			"price of one shell": v.Each, "net price": v.Net, "value-added tax": v.VAT, "with tax": v.Gross} {
			near(t, fmt.Sprint(v.Shells, " shells, ", row), at(row), want)
		}
	}
}

// The values beside the formulas, for programs that do not reckon.
func TestValuesAsPlanned(t *testing.T) {
	sh := works()
	p := planned(t, sh)
	f := open(t, workbook(t, p, sh))
	same(t, f, p, priced(t, p, sh))
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
	basis, err := labour.BasisOf(t.Context(), sample.Cab(sh), sh)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := offer.Workbook(sample.Cab(sh), basis, quote.Quote{}, price.Offer{}); err == nil || !strings.Contains(err.Error(),
		"estimate it first") {
		t.Errorf("%v", err)
	}
	sh.Batch = 0
	if _, err := labour.BasisOf(t.Context(), sample.Cab(sh), sh); err == nil {
		t.Error("no error for a batch of none")
	}
}

// An estimator changes inputs in the workbook; LibreOffice reckons it anew, and every total is that of an estimate with
// the changed shell file.
func TestFormulasFollow(t *testing.T) {
	program := spreadsheet.Needed(t, "THE WORKBOOK'S FORMULAS ARE NOT RECKONED")
	dir := t.TempDir()
	changes := map[string]map[string]float64{
		"unchanged": {},
		"batch":     {"batch": 100},
		"rates": {"rates.labour_per_hour": 61.5, "rates.overhead_pct": 12, "rates.energy_per_kwh": 0.9, "rates.coupon_price": 2,
			"rates.water_per_m3": 0, "rates.jig_per_hour": 70, "rates.utilisation_pct": 55, "rates.hours_per_week": 30},
		"times": {"elements.position_s": 8, "elements.move_mm_per_s": 90, "elements.fit_s_per_m": 0, "elements.gauge_s": 77,
			"elements.tip_change_s": 500, "elements.coupons": 3, "elements.inspect_every": 4, "elements.squeeze_s": 1},
		"others": {"allowances.learning": 0.88, "allowances.rework_pct": 9, "allowances.posture_pct": 22, "tips.domed.price": 40,
			"stations.main.crew": 3, "stations.side.prepare_min": 900, "stations.floor.changeover_min": 0, "rates.water_l_per_min": 11},
		"practised": {"allowances.learning": 0.9, "allowances.shells_before": 30},
		"plateau":   {"allowances.learning": 0.9, "allowances.shells_before": 10, "allowances.plateau_shells": 20},
		"one":       {"allowances.learning": 0.5, "allowances.plateau_shells": 1},
		"none":      {"allowances.learning": 1, "allowances.rework_pct": 0, "batch": 1},
	}
	// Each shaded input has a number; file k changes those whose number has bit k. An input that no formula followed would show in every
	// file that changes it, as each alone changes the estimate.
	shaded := inputsShaded(t)
	for k := 0; 1<<k <= len(shaded); k++ {
		set := map[string]float64{}
		for i, in := range shaded {
			if (i+1)>>k&1 == 1 {
				set[in.key] = in.other
			}
		}
		changes[fmt.Sprint("bit ", k)] = set
	}
	var files []string
	sh := works()
	book := workbook(t, planned(t, sh), sh)
	for name, set := range changes {
		files = append(files, changed(t, book, dir, name, set))
	}
	out := filepath.Join(dir, "reckoned")
	spreadsheet.Reckon(t, program, out, files...)
	for name, set := range changes {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(out, name+".xlsx"))
			if err != nil {
				t.Fatal(err)
			}
			sh := works()
			apply(t, sh, set)
			p := planned(t, sh)
			o := priced(t, p, sh)
			asStoodBy(t, sh, &o)
			same(t, open(t, data), p, o)
		})
	}
}

// changed writes a workbook with some inputs changed as a user would.
func changed(t *testing.T, book []byte, dir, name string, set map[string]float64) string {
	t.Helper()
	f := open(t, book)
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

// asStoodBy puts the unchanged plan's minutes of standing by, which the workbook keeps, into an offer.
func asStoodBy(t *testing.T, sh *shell.Shell, o *price.Offer) {
	t.Helper()
	old := works()
	before := priced(t, planned(t, old), old)
	fix := func(v *price.Priced, minutes float64) {
		for k := range v.Lines {
			if l := &v.Lines[k]; l.ID == price.StandingBy {
				l.Each = layout.Cents(minutes * sh.Rates.Labour / 60 * (1 + sh.Rates.Overhead/100))
				l.Total = layout.Times(l.Each, v.Shells)
			}
		}
		*v = price.Sum(*v, sh.Offer)
	}
	fix(&o.Batch, before.Batch.StoodBy)
	for i := range o.Breaks {
		fix(&o.Breaks[i], before.Breaks[i].StoodBy)
	}
}

// input is one of the workbook's and another value for it.
type input struct {
	key   string
	other float64
}

// inputsShaded are the inputs that may be changed, each with another value. Each one alone must change the estimate or a price; those that
// are not shaded must not.
func inputsShaded(t *testing.T) []input {
	t.Helper()
	sh := works()
	p := planned(t, sh)
	f := open(t, workbook(t, p, sh))
	rows, err := f.GetRows("Inputs")
	if err != nil {
		t.Fatal(err)
	}
	figures := func(sh *shell.Shell) string {
		p := planned(t, sh)
		return fmt.Sprint(priced(t, p, sh), p.Cost.CostPerShell, p.Labour.ManMinutesPerShell, p.Flow.ShellsPerWeek, p.Labour.Stations)
	}
	before := figures(sh)
	var out []input
	for i, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		in := input{row[0], math.Round(v*1.1) + 2}
		switch {
		case in.key == "allowances.learning":
			in.other = 0.9
		case in.key == "shifts":
			in.other = 3
		case strings.HasPrefix(in.key, "elements.") && strings.HasSuffix(in.key, "_s") || strings.Contains(in.key, "price"):
			in.other = v*1.25 + 0.1
		}
		other := works()
		apply(t, other, map[string]float64{in.key: in.other})
		style, err := f.GetCellStyle("Inputs", fmt.Sprint("B", i+2))
		if err != nil {
			t.Fatal(err)
		}
		st, err := f.GetStyle(style)
		if err != nil {
			t.Fatal(err)
		}
		live := len(st.Fill.Color) > 0
		if moves := figures(other) != before; moves != live {
			t.Errorf("%s: shaded %v, but changed to %v it changes the estimate: %v", in.key, live, in.other, moves)
		}
		if live {
			out = append(out, in)
		}
	}
	if len(out) < 50 {
		t.Errorf("%d inputs are shaded", len(out))
	}
	return out
}

// apply makes the same changes to the shell, by its keys.
func apply(t *testing.T, sh *shell.Shell, set map[string]float64) {
	t.Helper()
	for key, v := range set {
		if price, ok := strings.CutPrefix(key, "material."); ok {
			words := strings.Fields(price)
			for i := range sh.Material {
				m := &sh.Material[i]
				if m.Grade == words[0] && fmt.Sprint(m.Thickness) == words[1] && (m.Coating == "") == (len(words) == 3) {
					m.PerKilo = v
				}
			}
			continue
		}
		at := reflect.ValueOf(sh).Elem()
		for _, name := range strings.Split(key, ".") {
			if at.Kind() == reflect.Slice {
				k := 0
				for at.Index(k).FieldByName("ID").String() != name {
					k++
				}
				at = at.Index(k)
				continue
			}
			k := 0
			for at.Type().Field(k).Tag.Get("mapstructure") != name {
				k++
			}
			at = at.Field(k)
		}
		if at.Kind() == reflect.Int {
			at.SetInt(int64(v))
		} else {
			at.SetFloat(v)
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
