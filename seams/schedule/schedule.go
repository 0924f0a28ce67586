// Package schedule holds the published setting tables for resistance welding as data and reads values out
// of them for any thickness between their rows.
//
//	t, err := schedule.Named("optimum")
//	v, outside := t.At("spacing", 0.9) // mm for 0.9 mm sheet
//
// Tables are kept in the units that they were published in; every value leaves in mm, N, A, s and mm/s.
// A table's source, certainty and the notes that were printed with it travel with it.
package schedule

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"gonum.org/v1/gonum/interp"
)

// Exact conversions.
const (
	Inch       = 25.4            // mm; exact, international inch
	PoundForce = 4.4482216152605 // N; exact: 0.45359237 kg x 9.80665 m/s²
	Ksi        = 6.894757293168361
	Cycle60    = 1.0 / 60 // s
)

// Kind says what a table sets.
type Kind string

// The kinds of table.
const (
	Spot  Kind = "spot"  // face, body, force, weld, current, shear, nugget, spacing, overlap; hold where printed
	Seam  Kind = "seam"  // wheel, force, on, off, speed, current, overlap, welds (per mm)
	Pitch Kind = "pitch" // spacing only
)

// Table is one published table: columns against sheet thickness.
type Table struct {
	Name      string
	Title     string
	Kind      Kind
	Source    string
	Certainty string // read or memory
	Note      string
	Thickness []float64 // mm, rising
	columns   map[string]*column
}

// column is one column in working units. A row without a figure is left out.
type column struct {
	x, y []float64
	fit  interp.FritschButland
}

// Range is the least and greatest thickness of the table, mm.
func (t *Table) Range() (least, greatest float64) {
	return t.Thickness[0], t.Thickness[len(t.Thickness)-1]
}

// Has reports whether the table holds a column that reaches thickness (mm) without going outside its rows.
func (t *Table) Has(name string, thickness float64) bool {
	c := t.columns[name]
	return c != nil && thickness >= c.x[0] && thickness <= c.x[len(c.x)-1]
}

// At reads a column at a thickness in mm by a monotone cubic (Fritsch and Butland 1984): exact at the rows,
// never above or below the two rows on either side. Outside the table the nearest row's value is returned
// and outside is true. A column that the table does not have, or a thickness that is not a number, gives NaN.
func (t *Table) At(name string, thickness float64) (value float64, outside bool) {
	c := t.columns[name]
	if c == nil || math.IsNaN(thickness) {
		return math.NaN(), true
	}
	i, found := slices.BinarySearch(c.x, thickness)
	switch {
	case found:
		return c.y[i], false
	case i == 0:
		return c.y[0], true
	case i == len(c.x):
		return c.y[i-1], true
	}
	// The cubic can leave the rows' range by a rounding error: hold it there.
	v := c.fit.Predict(thickness)
	return min(max(v, min(c.y[i-1], c.y[i])), max(c.y[i-1], c.y[i])), false
}

//go:embed tables/*.csv
var files embed.FS

// The tables never change after they are read, so they are read once.
var all = sync.OnceValues(readAll)

func readAll() ([]*Table, error) {
	entries, err := files.ReadDir("tables")
	if err != nil {
		return nil, err
	}
	var tables []*Table
	for _, e := range entries {
		text, err := files.ReadFile("tables/" + e.Name())
		if err != nil {
			return nil, err
		}
		t, err := parse(strings.TrimSuffix(e.Name(), ".csv"), string(text))
		if err != nil {
			return nil, fmt.Errorf("setting table %s: %w", e.Name(), err)
		}
		tables = append(tables, t)
	}
	return tables, nil
}

// Names lists the tables of one kind, by name.
func Names(kind Kind) []string {
	tables, _ := all() // an unreadable table is reported by Named
	var names []string
	for _, t := range tables {
		if t.Kind == kind {
			names = append(names, t.Name)
		}
	}
	return names
}

// Named returns one table. The error lists the names there are.
func Named(name string) (*Table, error) {
	tables, err := all()
	if err != nil {
		return nil, err
	}
	var names []string
	for _, t := range tables {
		if t.Name == name {
			return t, nil
		}
		names = append(names, t.Name)
	}
	return nil, fmt.Errorf("setting table %q: no such table; choose from %s", name, strings.Join(names, ", "))
}

// parse reads one table: header lines "# key: value", a line of column names with units, then rows.
func parse(name, text string) (*Table, error) {
	t := &Table{Name: name, columns: map[string]*column{}}
	t.header(text)
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	names, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("no line of column names: %w", err)
	}
	for n := 1; ; n++ {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		if err := t.addRow(names, row); err != nil {
			return nil, fmt.Errorf("row %d, %w", n, err)
		}
	}
	return t, t.fit()
}

// header takes title, kind, source, certainty and note from the comment lines.
func (t *Table) header(text string) {
	for line := range strings.Lines(text) {
		key, value, ok := strings.Cut(strings.TrimPrefix(strings.TrimSpace(line), "# "), ": ")
		if !strings.HasPrefix(line, "#") || !ok {
			continue
		}
		switch key {
		case "title":
			t.Title = value
		case "kind":
			t.Kind = Kind(value)
		case "source":
			t.Source = value
		case "certainty":
			t.Certainty = value
		case "note":
			t.Note = value
		}
	}
}

func (t *Table) addRow(names, row []string) error {
	thickness := 0.0
	for i, field := range row {
		if field == "" {
			continue
		}
		raw, err := strconv.ParseFloat(field, 64)
		if err != nil {
			return fmt.Errorf("column %s: %w", names[i], err)
		}
		name, value, err := convert(names[i], raw)
		if err != nil {
			return err
		}
		if i == 0 {
			thickness = value
			t.Thickness = append(t.Thickness, value)
			continue
		}
		c := t.columns[name]
		if c == nil {
			c = &column{}
			t.columns[name] = c
		}
		c.x = append(c.x, thickness)
		c.y = append(c.y, value)
	}
	return nil
}

// units turn the published unit, the last part of a column's name, into the working one.
var units = []struct {
	suffix string
	factor float64
}{
	{"_in_per_min", Inch / 60},
	{"_per_in", 1 / Inch}, // welds per mm
	{"_cycles60", Cycle60},
	{"_lbf", PoundForce},
	{"_kA", 1000},
	{"_A", 1},
	{"_in", Inch},
	{"_mm", 1},
}

func convert(name string, raw float64) (string, float64, error) {
	for _, u := range units {
		if short, ok := strings.CutSuffix(name, u.suffix); ok {
			return short, raw * u.factor, nil
		}
	}
	return "", 0, fmt.Errorf("column %s: unknown unit", name)
}

// fit prepares every column; thickness must rise from row to row.
func (t *Table) fit() error {
	if len(t.Thickness) < 2 {
		return fmt.Errorf("%d rows: two are needed", len(t.Thickness))
	}
	for i := 1; i < len(t.Thickness); i++ {
		if t.Thickness[i] <= t.Thickness[i-1] {
			return fmt.Errorf("row %d: thickness does not rise", i+1)
		}
	}
	for name, c := range t.columns {
		if len(c.x) < 2 {
			return fmt.Errorf("column %s: two figures are needed", name)
		}
		if err := c.fit.Fit(c.x, c.y); err != nil {
			return fmt.Errorf("column %s: %w", name, err)
		}
	}
	return nil
}
