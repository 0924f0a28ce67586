package money

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/layout"
	"seamwright/layout/price"
)

// The same cents stand in cost, quote, workbook, letter and pack.
func TestCentsAgree(t *testing.T) {
	file := calls.Offered(t)
	dir := filepath.Dir(file)
	for _, labour := range []string{"40", "41.37", "43.219"} {
		set := []string{"--set", "rates.labour_per_hour=" + labour}
		with := func(args ...string) []string { return append(append([]string{args[0], file}, args[1:]...), set...) }
		cost := costOf(t, file, set[0], set[1])
		shell, batch := layout.Money(cost.CostPerShell), layout.Money(cost.CostPerBatch)
		if cost.CostPerBatch != layout.Times(cost.CostPerShell, 10) {
			t.Errorf("%s a shell, %s for ten", shell, batch)
		}
		var o price.Offer
		if err := json.Unmarshal([]byte(seamwright.Must(t, program.ExitDone, with("quote", "--json")...)), &o); err != nil {
			t.Fatal(err)
		}
		if layout.Money(o.Batch.Lines[0].Each) != shell || layout.Money(o.Batch.Lines[0].Total) != batch || o.Breaks[1].Net != o.Batch.Net {
			t.Errorf("quote %+v, cost %s and %s", o.Batch.Lines[0], shell, batch)
		}
		book, letter, pack := filepath.Join(dir, "q.xlsx"), filepath.Join(dir, "q.pdf"), filepath.Join(dir, "pack.pdf")
		said := seamwright.Must(t, program.ExitDone, with("quote", "-o", book)...)
		seamwright.Must(t, program.ExitDone, with("quote", "-o", letter, "--workings")...)
		seamwright.Must(t, program.ExitDone, with("pack", "-o", pack)...)
		net := layout.Money(o.Batch.Net)
		has(t, "quote", said, net, batch, layout.Money(o.Batch.Gross))
		has(t, "cost", seamwright.Must(t, program.ExitDone, with("cost")...), shell, batch)
		has(t, "workbook", cells(t, book), shell, batch, net)
		has(t, "letter", pdfText(t, letter), net, batch, shell, layout.Money(o.Batch.Each))
		has(t, "pack", pdfText(t, pack), shell, batch)
	}
}

func has(t *testing.T, where, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%s: no %s", where, w)
		}
	}
}

// cells are all that stand in a workbook, as they are shown.
func cells(t *testing.T, path string) string {
	t.Helper()
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []string
	for _, sheet := range []string{"Quote", "Price"} {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			out = append(out, r...)
		}
	}
	return strings.Join(out, "\n")
}

// pdfText is what a PDF says.
func pdfText(t *testing.T, path string) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is missing: install the Debian package poppler-utils")
		}
		t.Skip("SKIPPED: THE CENTS ON PAPER ARE NOT COMPARED: pdftotext is missing, apt-get install poppler-utils")
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
