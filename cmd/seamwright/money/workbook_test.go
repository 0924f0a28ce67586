package money

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/xuri/excelize/v2"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/internal/everykey"
	"seamwright/internal/record"
	"seamwright/internal/spreadsheet"
	"seamwright/layout"
	"seamwright/layout/planfile"
	"seamwright/layout/price"
)

// plainInput is a figure of the workbook that may be changed there without a new plan, and another value for it.
type plainInput struct {
	key   string
	row   int
	other float64
}

// inputsOf are the workbook's shaded inputs: those that may be changed there alone, and those that it says to decide the plan, too.
func inputsOf(t *testing.T, f *excelize.File) (plain, deciding []plainInput) {
	t.Helper()
	rows, err := f.GetRows("Inputs", excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows[1:] {
		if len(row) > 4 && strings.HasPrefix(row[4], "nothing in this plan") {
			continue
		}
		v, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		in := plainInput{row[0], i + 2, math.Round(v*1.1) + 2}
		switch {
		case in.key == "allowances.learning":
			in.other = 0.9
		case in.key == "shifts":
			in.other = 3
		case strings.HasPrefix(in.key, "elements.") || strings.Contains(in.key, "price"):
			in.other = v*1.25 + 0.1
		}
		if len(row) > 5 {
			if in.other = 10 * v; in.key == "elements.inspect_every" {
				in.other = 1
			}
			deciding = append(deciding, in)
		} else {
			plain = append(plain, in)
		}
	}
	if len(plain) < 40 || len(deciding) < 5 {
		t.Errorf("%d inputs may be changed without a new plan, %d decide it", len(plain), len(deciding))
	}
	return plain, deciding
}

// What the workbook makes of an input that decides the plan stands in a file beside what a new plan makes of it: how far it may be off is
// known, and beside each such input the workbook says that only a new plan has all that follows.
func TestWorkbookBesideNewPlans(t *testing.T) {
	office := spreadsheet.Needed(t, "THE WORKBOOK IS NOT COMPARED WITH NEW PLANS")
	dir := t.TempDir()
	if err := everykey.Write(dir); err != nil {
		t.Fatal(err)
	}
	file := calls.Put(t, dir, "shell.json", everykey.Works)
	book := filepath.Join(dir, "quote.xlsx")
	seamwright.Must(t, program.ExitDone, "quote", file, "-o", book)
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	_, deciding := inputsOf(t, f)
	var files []string
	for i, in := range deciding {
		files = append(files, workbookWith(t, book, filepath.Join(dir, fmt.Sprint("one-", i, ".xlsx")), []plainInput{in}, 0))
	}
	out := filepath.Join(dir, "reckoned")
	spreadsheet.Reckon(t, office, out, files...)
	said := fmt.Sprintf("EUR a shell, %.2f as planned, of which each input alone makes\n", figureOf(t, f, "Quote", "EUR a shell", "B"))
	for i, in := range deciding {
		g, err := excelize.OpenFile(filepath.Join(out, fmt.Sprint("one-", i, ".xlsx")))
		if err != nil {
			t.Fatal(err)
		}
		here := figureOf(t, g, "Quote", "EUR a shell", "B")
		g.Close()
		anew := layout.Cents(planOf(t, file, filepath.Join(dir, fmt.Sprint("anew-", i)), "--set",
			in.key+"="+strconv.FormatFloat(in.other, 'f', -1, 64)).Cost.CostPerShell)
		said += fmt.Sprintf("%-28s %8g -> %-8g in the workbook %8.2f, by a new plan %8.2f, difference %6.2f\n", in.key,
			numberAt(t, f, in.row), in.other, here, anew, anew-here)
	}
	record.Hold(t, filepath.Join("testdata", "record", "workbook-beside-new-plans.txt"), said)
}

// numberAt is the value of an input as planned.
func numberAt(t *testing.T, f *excelize.File, row int) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(cellOf(t, f, "Inputs", fmt.Sprint("B", row)), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// An estimator changes inputs in the workbook and has LibreOffice reckon it; a new plan by --set of the same keys comes to the same
// minutes and money, and has the same welds, runs and settings.
func TestWorkbookAsPlannedAnew(t *testing.T) {
	office := spreadsheet.Needed(t, "THE WORKBOOK IS NOT HELD AGAINST NEW PLANS")
	file := calls.Offered(t)
	dir := filepath.Dir(file)
	text := strings.Replace(string(calls.Read(t, file)), "people: 2", "people: 9", 1) // crews are to be larger, too
	calls.Put(t, dir, "shell.yaml", text)
	book := filepath.Join(dir, "quote.xlsx")
	seamwright.Must(t, program.ExitDone, "quote", file, "-o", book)
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	before := planOf(t, file, filepath.Join(dir, "before"))
	inputs, _ := inputsOf(t, f)
	sets := map[string][]string{}
	var files []string
	for bit := 0; 1<<bit <= len(inputs); bit++ {
		name := fmt.Sprint("bit-", bit)
		shell := text
		for i, in := range inputs {
			if (i+1)>>bit&1 == 0 {
				continue
			}
			v := strconv.FormatFloat(in.other, 'f', -1, 64)
			if strings.HasPrefix(in.key, "material.") { // no key that --set takes
				shell = strings.Replace(shell, "price_per_kg: 1.137", "price_per_kg: "+v, 1)
				continue
			}
			sets[name] = append(sets[name], "--set", in.key+"="+v)
		}
		calls.Put(t, dir, name+".yaml", shell)
		files = append(files, workbookWith(t, book, filepath.Join(dir, name+".xlsx"), inputs, bit))
	}
	out := filepath.Join(dir, "reckoned")
	spreadsheet.Reckon(t, office, out, files...)
	for name, set := range sets {
		t.Run(name, func(t *testing.T) {
			f, err := excelize.OpenFile(filepath.Join(out, name+".xlsx"))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			file := filepath.Join(dir, name+".yaml")
			anew := planOf(t, file, filepath.Join(dir, name), set...)
			for what, d := range map[string]string{"welds": cmp.Diff(before.Welds, anew.Welds), "runs": cmp.Diff(before.Runs, anew.Runs,
				cmpopts.IgnoreFields(layout.Run{}, "Minutes")),
				"settings": cmp.Diff(before.Settings, anew.Settings)} {
				if d != "" {
					t.Errorf("%v: a new plan has other %s, which the workbook does not say:\n%.2000s", set, what, d)
				}
			}
			var o price.Offer
			if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, append([]string{"quote", file, "--json"}, set...)...)),
				&o); err != nil {
				t.Fatal(err)
			}
			asPlanned(t, f, anew, o)
		})
	}
}

// planOf plans a shell and reads its plan.
func planOf(t *testing.T, file, dir string, args ...string) *layout.Plan {
	t.Helper()
	seamwright.Must(t, program.ExitDone, append([]string{"plan", file, "-o", dir}, args...)...)
	p, err := planfile.Parse(calls.Read(t, filepath.Join(dir, "plan.json")))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// workbookWith is a copy of a workbook with those inputs changed whose number has a bit.
func workbookWith(t *testing.T, book, to string, inputs []plainInput, bit int) string {
	t.Helper()
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for i, in := range inputs {
		if (i+1)>>bit&1 == 0 {
			continue
		}
		if err := f.SetCellFloat("Inputs", fmt.Sprint("B", in.row), in.other, -1, 64); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SaveAs(to); err != nil {
		t.Fatal(err)
	}
	return to
}

func cellOf(t *testing.T, f *excelize.File, sheet, at string) string {
	t.Helper()
	s, err := f.GetCellValue(sheet, at, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// figureOf is the number in a column of the row that has a text in column A.
func figureOf(t *testing.T, f *excelize.File, sheet, text, column string) float64 {
	t.Helper()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		if len(row) == 0 || row[0] != text {
			continue
		}
		v, err := strconv.ParseFloat(cellOf(t, f, sheet, fmt.Sprint(column, i+1)), 64)
		if err != nil {
			t.Fatalf("%s, %s: %v", sheet, text, err)
		}
		return v
	}
	t.Fatalf("sheet %s has no row %q", sheet, text)
	return 0
}

// asPlanned holds a reckoned workbook to a plan and its offer: all minutes and money but for what people stand by, which the workbook
// keeps, and what hangs on it.
func asPlanned(t *testing.T, f *excelize.File, p *layout.Plan, o price.Offer) {
	t.Helper()
	near := func(what string, got, want float64) {
		if !(math.Abs(got-want) <= 1e-6+1e-9*math.Abs(want)) {
			t.Errorf("%s: %v in the workbook, %v by a new plan", what, got, want)
		}
	}
	near("man-minutes a shell", figureOf(t, f, "Quote", "Man-minutes a shell", "B"), p.Labour.ManMinutesPerShell)
	near("minutes, shared", math.Round(1e4*figureOf(t, f, "Quote", "Man-minutes a shell, preparation and changeover shared", "B"))/1e4,
		p.Cost.MinutesPerShell) // the plan's file has four decimals
	near("EUR a shell", figureOf(t, f, "Quote", "EUR a shell", "B"), layout.Cents(p.Cost.CostPerShell))
	near("EUR a batch", figureOf(t, f, "Quote", "EUR for the batch", "B"), p.Cost.CostPerBatch)
	for _, s := range p.Labour.Stations {
		near(s.Station+" man-minutes", figureOf(t, f, "Stations", s.Station, "D"), s.ManMinutes)
		near(s.Station+" money", figureOf(t, f, "Stations", s.Station, "J"), s.Cost)
	}
	for _, j := range p.Labour.Joints {
		near(j.ID+" money", figureOf(t, f, "Joints", j.ID, "E"), j.Cost)
	}
	for i, v := range append([]price.Priced{o.Batch}, o.Breaks...) {
		for _, l := range v.Lines {
			if l.ID != price.StandingBy {
				near(fmt.Sprint(v.Shells, " shells, ", l.ID), figureOf(t, f, "Price", l.What, string(rune('B'+i))), l.Total)
			}
		}
	}
}
