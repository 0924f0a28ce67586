// Package table writes a plan as rows: welds and cost lines as CSV and a whole workbook for other programs, and the report as
// plain text for people.
//
//	welds, err := table.Welds(plan)
//	cost, err := table.Cost(plan)
//	book, err := table.Workbook(plan) // XLSX
//	os.Stdout.Write(table.Report(plan))
//
// CSV is UTF-8 with commas, a head row that names units, and a point in decimals (RFC 4180, but lines end
// with a line feed only).
package table

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/words"
)

// Text guards a cell that came from a name against being run as a formula: office programs do that with
// cells that begin with =, +, -, @, a tab or a carriage return. Such a cell gets an apostrophe in front, and
// so does one that begins with an apostrophe: to read names back, drop one leading apostrophe.
func Text(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r'", rune(s[0])) {
		return "'" + s
	}
	return s
}

// number writes a value with at most places decimals, without trailing zeros or a negative zero. What is not
// a number gives an empty cell.
func number(v float64, places int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return words.Number(v, places)
}

// written gives rows as CSV.
func written(what string, rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		return nil, fmt.Errorf("%s: %w", what, err)
	}
	return b.Bytes(), nil
}

// Welds is the CSV of welds: one row for each weld, in the plan's order: by station and number.
func Welds(plan *layout.Plan) ([]byte, error) {
	rows := [][]string{{
		"station", "number", "joint", "flange", "run", "step", "x_mm", "y_mm", "z_mm", "axis_x", "axis_y", "axis_z",
		"sheets", "weld_diameter_mm", "gun", "gun_letter", "tip", "turn_deg", "setting", "waits", "shear_n", "tension_n",
		"accepted_diameter_mm",
	}}
	index := layout.NewIndex(plan)
	for _, v := range plan.Welds {
		row := []string{Text(v.Station), strconv.Itoa(v.Number), Text(v.Joint), Text(v.Flange), strconv.Itoa(v.Run), Text(string(v.Step))}
		for _, c := range v.Position {
			row = append(row, number(c, 3))
		}
		for _, c := range v.Axis {
			row = append(row, number(c, 6))
		}
		rows = append(rows, append(row, Text(strings.Join(v.Sheets, " + ")), number(v.WeldDiameter, 2), Text(v.Gun),
			Text(index.Gun(v.Gun).Letter),
			Text(v.Tip),
			number(v.Turn, 1), Text(v.Setting), Text(v.Waits), number(v.Shear, 0), number(v.Tension, 0),
			number(v.Accepted, 2)))
	}
	return written("welds", rows)
}

// Steel is the sheet steel to buy for a batch: a row for each size of blank, then one for each kind of sheet with its
// kilograms, tolerance and price; money is empty where no price is stated.
func Steel(sheets []layout.Sheet, currency string) ([]byte, error) {
	rows := [][]string{{"grade", "thickness_mm", "coating", "length_mm", "width_mm", "pieces", "kg", "price_per_kg", "cost", "currency", "for",
		"thickness_tolerance", "certainty"}}
	for _, s := range sheets {
		kind := []string{Text(s.Grade), number(s.Thickness, 2), Text(s.Coating)}
		for _, c := range s.Cuts {
			rows = append(rows, append(slices.Clone(kind), number(c.Length, 0), number(c.Width, 0), fmt.Sprint(c.Pieces),
				number(c.Mass*float64(c.Pieces), 2), "", "", "", Text(strings.Join(c.Panels, " + ")), "", buy.Certainty))
		}
		each, cost, unit := "", "", ""
		if s.PerKilo > 0 {
			each, cost, unit = number(s.PerKilo, 4), layout.Money(s.Cost), Text(currency)
		}
		rows = append(rows, append(slices.Clone(kind), "", "", fmt.Sprint(s.Pieces), number(s.Mass, 2), each, cost, unit, "all", s.Tolerance, ""))
	}
	return written("steel to buy", rows)
}

// Cost is the CSV of the lines of work, in seconds, and then those of money, each with what it follows from.
func Cost(plan *layout.Plan) ([]byte, error) {
	rows := [][]string{{"kind", "what", "station", "joint", "quantity", "unit", "each", "total", "total_unit", "from"}}
	add := func(kind, unit string, places int, lines []layout.Line) {
		for _, l := range lines {
			rows = append(rows, []string{kind, Text(l.What), Text(l.Station), Text(l.Joint), number(l.Quantity, 4), Text(l.Unit), number(l.Each, 4),
				number(l.Total, places), unit, Text(l.From)})
		}
	}
	add("time", "s", 2, plan.Labour.Lines)
	add("money", Text(plan.Cost.Currency), 4, plan.Cost.Lines)
	return written("cost", rows)
}
