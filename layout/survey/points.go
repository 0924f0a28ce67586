package survey

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/intake"
	"seamwright/geometry/space"
)

// Point is one weld measured on an original part.
type Point struct {
	ID    string // as the file names it; otherwise its line
	Line  int    // of the file
	At    r3.Vector
	Joint string // where the file names one
}

// mostBytes bounds a file of points, and mostPoints what is in it: far above any shell.
const (
	mostBytes  = 16 << 20
	mostPoints = 100_000
)

// ReadFile reads measured points from a CSV file; see Read. The second result is what was read of the file.
func ReadFile(path string, unit space.Unit) (points []Point, sum intake.Sum, notes []string, err error) {
	data, sum, err := intake.ReadFile(path, mostBytes)
	if err != nil {
		return nil, sum, nil, err
	}
	points, notes, err = Read(bytes.NewReader(data), filepath.Base(path), unit)
	return points, sum, notes, err
}

// Read reads measured points: one a line, with a header that names the columns x, y and z, with their unit where it is
// stated ("x_mm", "y [inch]"), and id and joint where they are known; other columns are left alone. Without a header
// the first three columns are x, y, z. Comma, semicolon or tab parts columns; a line that starts with # is a remark.
// Points come back in mm. A unit given stands above the header's; without either they are taken as mm, which a note says.
func Read(r io.Reader, name string, unit space.Unit) ([]Point, []string, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, nil, fmt.Errorf("file %s: %w", name, err)
	}
	if len(data) > mostBytes {
		return nil, nil, fmt.Errorf("file %s: it is larger than %d MiB: name a file of measured points", name, mostBytes>>20)
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if strings.ContainsRune(text, 0) {
		return nil, nil, fmt.Errorf("file %s: this is not text: save the points as CSV in UTF-8", name)
	}
	p := pointReader{unit: unit}
	if err := p.read(text); err != nil {
		return nil, nil, fmt.Errorf("file %s: %w", name, err)
	}
	if len(p.points) == 0 {
		return nil, nil, fmt.Errorf("file %s: no point is in it: write x,y,z of one weld on each line", name)
	}
	return p.points, p.notes(), nil
}

// pointReader reads one file.
type pointReader struct {
	unit    space.Unit
	stated  space.Unit // by the header
	columns map[string]int
	points  []Point
}

func (p *pointReader) read(text string) error {
	c := csv.NewReader(strings.NewReader(text))
	c.Comma, c.Comment, c.FieldsPerRecord, c.TrimLeadingSpace, c.ReuseRecord = intake.Separator(text), '#', -1, true, true
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			p.scale()
			return nil
		}
		if err != nil {
			var at *csv.ParseError
			if errors.As(err, &at) {
				return fmt.Errorf("line %d: %w: put quotes round the whole field or leave them out", at.Line, at.Err)
			}
			return err
		}
		line, _ := c.FieldPos(0)
		if p.columns == nil {
			isHeader, err := p.header(row)
			if err != nil {
				return fmt.Errorf("line %d: %w", line, err)
			}
			if isHeader {
				continue
			}
		}
		if err := p.row(row, line); err != nil {
			return fmt.Errorf("line %d: %w", line, err)
		}
	}
}

var columnWords = regexp.MustCompile(`^\s*([A-Za-z]+)\s*(?:[_\s(\[]+([A-Za-z]+)[)\]]?)?\s*$`)

// header takes the columns' names from the first row; a row of numbers is none.
func (p *pointReader) header(row []string) (bool, error) {
	p.columns = map[string]int{"x": 0, "y": 1, "z": 2}
	if len(row) > 2 && allNumbers(row[:3]) {
		return false, nil
	}
	p.columns = map[string]int{}
	for i, field := range row {
		m := columnWords.FindStringSubmatch(field)
		if m == nil {
			continue
		}
		name := strings.ToLower(m[1])
		if !slices.Contains([]string{"x", "y", "z", "id", "joint"}, name) {
			continue
		}
		if _, twice := p.columns[name]; twice {
			return false, fmt.Errorf("two columns are named %s: keep one", name)
		}
		p.columns[name] = i
		if len(name) == 1 && m[2] != "" {
			if err := p.headerUnit(m[2]); err != nil {
				return false, err
			}
		}
	}
	for _, name := range []string{"x", "y", "z"} {
		if _, ok := p.columns[name]; !ok {
			return false, fmt.Errorf("no column %s among %s: begin with the header x,y,z", name, quoted(row))
		}
	}
	return true, nil
}

func (p *pointReader) headerUnit(word string) error {
	unit, err := space.ParseUnit(word)
	if err != nil {
		return err
	}
	if p.stated != "" && p.stated != unit {
		return fmt.Errorf("the header states two units, %s and %s", p.stated, unit)
	}
	p.stated = unit
	return nil
}

func quoted(row []string) string {
	s := strings.Join(row, ",")
	if r := []rune(s); len(r) > 60 {
		s = string(r[:60]) + "…"
	}
	return strconv.Quote(s)
}

func allNumbers(fields []string) bool {
	for _, f := range fields {
		if _, err := strconv.ParseFloat(strings.TrimSpace(f), 64); err != nil {
			return false
		}
	}
	return true
}

func (p *pointReader) row(row []string, line int) error {
	field := func(name string) (string, bool) {
		i, ok := p.columns[name]
		if !ok || i >= len(row) {
			return "", ok && i < len(row)
		}
		return strings.TrimSpace(row[i]), true
	}
	out := Point{Line: line, ID: "line " + strconv.Itoa(line)}
	to := []*float64{&out.At.X, &out.At.Y, &out.At.Z}
	for i, name := range []string{"x", "y", "z"} {
		text, ok := field(name)
		if !ok || text == "" {
			return fmt.Errorf("%s is missing: write x, y and z of the weld", name)
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return fmt.Errorf("%s is %s: write a number with a decimal point", name, quoted([]string{text}))
		}
		if math.IsNaN(v) || math.Abs(v) > 1e7 {
			return fmt.Errorf("%s is %s: that is no place", name, text)
		}
		*to[i] = v
	}
	if id, _ := field("id"); id != "" {
		out.ID = id
	}
	out.Joint, _ = field("joint")
	if len(p.points) >= mostPoints {
		return fmt.Errorf("more than %d points: split the file", mostPoints)
	}
	p.points = append(p.points, out)
	return nil
}

// scale brings the points to mm; an unstated unit is mm.
func (p *pointReader) scale() {
	unit := p.unit
	if unit == "" {
		unit = p.stated
	}
	for i := range p.points {
		p.points[i].At = p.points[i].At.Mul(unit.Millimetres())
	}
}

// twice is how near in mm two points are that are one weld measured twice. Chosen: half of what a hand-held probe errs by.
const twice = 0.5

func (p *pointReader) notes() []string {
	var notes []string
	if p.unit == "" && p.stated == "" {
		notes = append(notes, "no unit is stated: the points are taken as millimetres")
	}
	h := newHash(nil, twice)
	count, example := 0, ""
	var lines []int
	for _, q := range p.points {
		if i, _, ok := h.nearest(q.At); ok {
			if count++; example == "" {
				example = fmt.Sprintf("lines %d and %d", lines[i], q.Line)
			}
			continue
		}
		h.add(q.At)
		lines = append(lines, q.Line)
	}
	if count > 0 {
		notes = append(notes, fmt.Sprintf("%d points lie within %g mm of an earlier one, such as %s: measured twice?", count, twice, example))
	}
	return notes
}
