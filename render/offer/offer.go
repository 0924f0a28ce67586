// Package offer writes a quote as a workbook (XLSX, Office Open XML) with live formulas: an estimator changes a rate, a
// time or the batch on the sheet Inputs, and every line and total follows.
//
//	book, err := offer.Workbook(plan, basis, q, o)   // basis from layout/labour, q from layout/quote, o from layout/price
//	err = os.WriteFile("quote.xlsx", book, 0o644)
//
// Sheets: Quote (totals and range), Price (from cost to price, for the batch and other quantities), Inputs (what may be changed), Work
// (man-seconds a shell, line by line), Money (money a shell, line by line), Steel, Stations, Joints. Lines and totals are rounded as
// the labour's are, so that all cents agree. What was counted from the plan (welds, metres, parts, what people stand by) stays: it
// needs a new plan. The same input gives the same bytes.
//
// Letter, Workings, Steel and Pictures are the quote, what stands behind it, the steel to buy and the estimate's pictures on paper.
package offer

import (
	"bytes"
	"fmt"

	"github.com/xuri/excelize/v2"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/price"
	"seamwright/layout/quote"
)

// The sheets.
const (
	quoteSheet   = "Quote"
	priceSheet   = "Price"
	steelSheet   = "Steel"
	inputSheet   = "Inputs"
	workSheet    = "Work"
	moneySheet   = "Money"
	stationSheet = "Stations"
	jointSheet   = "Joints"
)

// Workbook writes the quote. An error is a plan whose labour is not known.
func Workbook(plan *layout.Plan, basis *labour.Basis, q quote.Quote, o price.Offer) ([]byte, error) {
	if len(plan.Labour.Stations) != len(plan.Stations) {
		return nil, fmt.Errorf("offer: the plan of %s has labour for %d of %d stations: estimate it first", plan.Shell.Name,
			len(plan.Labour.Stations), len(plan.Stations))
	}
	b := &book{file: excelize.NewFile(), plan: plan, index: layout.NewIndex(plan), basis: basis, input: map[string]string{},
		used: map[string]bool{}, styles: map[style]int{}}
	defer b.file.Close()
	for i, name := range []string{quoteSheet, priceSheet, inputSheet, workSheet, moneySheet, steelSheet, stationSheet, jointSheet} {
		if i == 0 {
			b.keep(b.file.SetSheetName("Sheet1", name))
			continue
		}
		_, err := b.file.NewSheet(name)
		b.keep(err)
	}
	b.places()
	b.quantities(o)
	b.lines(basis.Accounts)
	b.steel(o)
	b.stations()
	b.joints()
	b.prices(o)
	b.totals(q)
	b.inputs()
	return b.bytes()
}

// style is the look of a cell: a number format and what the cell is for.
type style struct {
	format string
	use    use
}

// use is what a cell is for.
type use int

const (
	plain use = iota
	prose     // sentences, broken where the column ends
	head
	title
	entry // to be changed
	sum
)

// book is the workbook being written. Its first error stands.
type book struct {
	file      *excelize.File
	plan      *layout.Plan
	index     *layout.Index
	basis     *labour.Basis
	input     map[string]string // key of the shell file to the cell that holds it
	used      map[string]bool   // keys that a formula follows
	of        []quantity        // the batch, then the other quantities
	boughtRow int               // row of the sheet Steel with the money for all of it
	styles    map[style]int
	err       error
}

func (b *book) keep(err error) {
	if b.err == nil {
		b.err = err
	}
}

// look makes a style, once.
func (b *book) look(s style) int {
	if id, known := b.styles[s]; known {
		return id
	}
	const family = "Calibri" // that of a new workbook
	st := &excelize.Style{Font: &excelize.Font{Family: family, Size: 11}, Alignment: &excelize.Alignment{Vertical: "top"}}
	if s.format != "" {
		st.CustomNumFmt = &s.format
	}
	switch s.use {
	case plain:
		if s.format == "" { // text beside a number
			st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
		}
	case prose:
		st.Alignment.Horizontal, st.Alignment.Indent, st.Alignment.WrapText = "left", 1, true
	case head:
		st.Font.Bold = true
		st.Border = []excelize.Border{{Type: "bottom", Color: "000000", Style: 2}}
		st.Alignment = &excelize.Alignment{WrapText: true, Vertical: "bottom", Horizontal: "center"}
	case title:
		st.Font.Bold, st.Font.Size = true, 14
	case entry:
		st.Border = []excelize.Border{{Type: "left", Color: "000000", Style: 1}, {Type: "right", Color: "000000", Style: 1},
			{Type: "top", Color: "000000", Style: 1}, {Type: "bottom", Color: "000000", Style: 1}}
		st.Fill = excelize.Fill{Type: "pattern", Color: []string{"FFF2CC"}, Pattern: 1}
	case sum:
		st.Font.Bold = true
	}
	id, err := b.file.NewStyle(st)
	b.keep(err)
	b.styles[s] = id
	return id
}

// cell names the cell of a column, A for the first, and a row from 1.
func cell(column string, row int) string { return fmt.Sprintf("%s%d", column, row) }

func (b *book) text(sheet, at, s string, u use) {
	b.keep(b.file.SetCellStr(sheet, at, s))
	b.keep(b.file.SetCellStyle(sheet, at, at, b.look(style{"", u})))
}

func (b *book) number(sheet, at string, v float64, format string, u use) {
	b.keep(b.file.SetCellFloat(sheet, at, v, -1, 64))
	b.keep(b.file.SetCellStyle(sheet, at, at, b.look(style{format, u})))
}

// formula writes a formula with the value that it has as the plan stands, for programs that do not reckon.
func (b *book) formula(sheet, at, formula string, value float64, format string, u use) {
	b.number(sheet, at, value, format, u)
	b.keep(b.file.SetCellFormula(sheet, at, formula))
}

// heads writes the first row of a table, sets the widths and keeps it in sight.
func (b *book) heads(sheet string, row int, names []string, widths []float64) {
	for i, name := range names {
		column, err := excelize.ColumnNumberToName(i + 1)
		b.keep(err)
		b.text(sheet, cell(column, row), name, head)
		b.keep(b.file.SetColWidth(sheet, column, column, widths[i]))
	}
	b.keep(b.file.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: row, TopLeftCell: cell("A", row+1), ActivePane: "bottomLeft"}))
	b.page(sheet, "landscape")
	b.keep(b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: fmt.Sprintf("%s!$%d:$%d", sheet, row, row),
		Scope: sheet}))
}

// page fits a sheet to the width of A4.
func (b *book) page(sheet, orientation string) {
	wide, high, a4, fit := 1, 0, 9, true
	b.keep(b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &a4, Orientation: &orientation, FitToWidth: &wide,
		FitToHeight: &high}))
	b.keep(b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &fit}))
}

// bytes finishes the file.
func (b *book) bytes() ([]byte, error) {
	reckon := true
	b.keep(b.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &reckon}))
	b.keep(b.file.SetDocProps(&excelize.DocProperties{Title: "Quote: " + b.plan.Shell.Name, Identifier: b.plan.Shell.Number,
		Revision: b.plan.Shell.Revision, Creator: b.plan.Shell.Creator}))
	var out bytes.Buffer
	if b.err == nil {
		b.keep(b.file.Write(&out))
	}
	if b.err != nil {
		return nil, fmt.Errorf("offer: %w", b.err)
	}
	return numeric(out.Bytes())
}
