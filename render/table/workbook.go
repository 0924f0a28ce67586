package table

import (
	"bytes"
	"fmt"
	"math"
	"reflect"

	"github.com/xuri/excelize/v2"

	"seamwright/layout"
)

// Workbook is the plan as an XLSX workbook (Office Open XML): a summary, then one sheet each for welds, runs,
// roller seams, joints, settings, stations, lines of work, lines of money and findings. Cells hold values,
// never formulas, so that a name that looks like a formula stays a name. Numbers are numbers, with their units
// in the head. The same plan gives the same bytes.
func Workbook(plan *layout.Plan) ([]byte, error) {
	f := excelize.NewFile() // held in memory: no file to close
	b := book{file: f, formats: map[string]int{}}
	for _, s := range sheets(plan) {
		if err := b.add(s); err != nil {
			return nil, fmt.Errorf("workbook: sheet %s: %w", s.name, err)
		}
	}
	if err := b.finish(plan); err != nil {
		return nil, fmt.Errorf("workbook: %w", err)
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, fmt.Errorf("workbook: %w", err)
	}
	return out.Bytes(), nil
}

// grid is one sheet of the workbook.
type grid struct {
	name    string
	columns []column
	rows    [][]any
}

// column is a head, a width in characters and a number format; text columns have none.
type column struct {
	head   string
	width  float64
	format string
}

type book struct {
	file    *excelize.File
	formats map[string]int
}

// style returns the style of a number format, made once.
func (b *book) style(format string) (int, error) {
	if id, known := b.formats[format]; known {
		return id, nil
	}
	st := &excelize.Style{Alignment: &excelize.Alignment{Vertical: "top"}}
	switch format {
	case "head":
		st.Font = &excelize.Font{Bold: true}
		st.Border = []excelize.Border{{Type: "bottom", Color: "000000", Style: 2}}
		st.Alignment = &excelize.Alignment{WrapText: true, Vertical: "bottom"}
	case "":
	case "wrap":
		st.Alignment.WrapText = true
	default:
		st.CustomNumFmt = &format
	}
	id, err := b.file.NewStyle(st)
	b.formats[format] = id
	return id, err
}

// add writes one sheet: heads frozen and filtered, set to print on lying A4, one page wide.
func (b *book) add(g grid) error {
	f := b.file
	if _, err := f.NewSheet(g.name); err != nil {
		return err
	}
	if err := b.columns(g); err != nil {
		return err
	}
	for r, row := range g.rows {
		for c, v := range row {
			if err := b.cell(g.name, c+1, r+2, v); err != nil {
				return err
			}
		}
	}
	if err := f.SetPanes(g.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	last, err := excelize.CoordinatesToCellName(len(g.columns), max(2, len(g.rows)+1))
	if err != nil {
		return err
	}
	if err := f.AutoFilter(g.name, "A1:"+last, nil); err != nil {
		return err
	}
	return b.page(g.name)
}

func (b *book) columns(g grid) error {
	head, err := b.style("head")
	if err != nil {
		return err
	}
	for c, col := range g.columns {
		letter, err := excelize.ColumnNumberToName(c + 1)
		if err != nil {
			return err
		}
		style, err := b.style(col.format)
		if err != nil {
			return err
		}
		for _, step := range []error{
			b.file.SetColWidth(g.name, letter, letter, col.width),
			b.file.SetColStyle(g.name, letter, style),
			b.file.SetCellStr(g.name, letter+"1", col.head),
			b.file.SetCellStyle(g.name, letter+"1", letter+"1", head),
		} {
			if step != nil {
				return step
			}
		}
	}
	return nil
}

// cell writes a value; what is not a number stays empty.
func (b *book) cell(sheet string, column, row int, v any) error {
	name, err := excelize.CoordinatesToCellName(column, row)
	if err != nil {
		return err
	}
	switch v := v.(type) {
	case int:
		return b.file.SetCellInt(sheet, name, int64(v))
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil
		}
		return b.file.SetCellFloat(sheet, name, v, -1, 64)
	}
	if word := reflect.ValueOf(v); word.Kind() == reflect.String { // text, or one of the plan's few words, such as a step
		return b.file.SetCellStr(sheet, name, plain(word.String()))
	}
	return fmt.Errorf("cell %s: %T cannot be written", name, v)
}

func (b *book) page(sheet string) error {
	lying, a4, one, none := "landscape", 9, 1, 0
	fit := true
	return firstError(
		b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Orientation: &lying, Size: &a4, FitToWidth: &one, FitToHeight: &none}),
		b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &fit}),
		b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: "'" + sheet + "'!$1:$1", Scope: sheet}),
	)
}

// finish drops the library's own sheet and fixes what it would fill in.
func (b *book) finish(plan *layout.Plan) error {
	const fixed = "2000-01-01T00:00:00Z"
	b.file.SetActiveSheet(1)
	return firstError(
		b.file.DeleteSheet("Sheet1"),
		b.file.SetDocProps(&excelize.DocProperties{
			Title: plain(plan.Shell.Name), Creator: plain(plan.Shell.Creator), Revision: plain(plan.Shell.Revision), Created: fixed, Modified: fixed,
		}),
		b.file.SetAppProps(&excelize.AppProperties{Application: "seamwright"}),
	)
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
