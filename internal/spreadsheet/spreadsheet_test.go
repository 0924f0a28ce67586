package spreadsheet_test

import (
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"

	"seamwright/internal/spreadsheet"
)

// A formula's stored value is not believed.
func TestReckon(t *testing.T) {
	program := spreadsheet.Needed(t, "NO FORMULA IS RECKONED")
	dir := t.TempDir()
	f := excelize.NewFile()
	defer f.Close()
	for cell, v := range map[string]float64{"A1": 7, "A2": 5} {
		if err := f.SetCellFloat("Sheet1", cell, v, -1, 64); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.SetCellFormula("Sheet1", "A2", "6*A1"); err != nil {
		t.Fatal(err)
	}
	book := filepath.Join(dir, "book.xlsx")
	if err := f.SaveAs(book); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "reckoned")
	spreadsheet.Reckon(t, program, out, book)
	got, err := excelize.OpenFile(filepath.Join(out, "book.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer got.Close()
	if v, err := got.GetCellValue("Sheet1", "A2"); err != nil || v != "42" {
		t.Errorf("6 times 7 is %q, %v", v, err)
	}
}
