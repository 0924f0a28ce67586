// Package variants plans and reckons many variants of a shell, each a row of a list, and keeps each row's result in a file of
// its own, so that the work can be split over processes and machines, stopped and gone on with. A row's result depends on
// the row, the shell file and the program alone, never on how the work was split.
//
//	list, err := variants.ReadList("list.csv", limit)
//	for _, row := range list.Part(part) { … }        // each planned, and its Result put into the Folder
//	results, missing, err := folder.Gather()
package variants

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"unicode/utf8"

	"seamwright/geometry/intake"
)

// Bounds on a list.
const (
	MostBytes = 16 << 20
	mostRows  = 100_000
	mostName  = 200
	mostParts = 100_000
)

// Row is one variant.
type Row struct {
	Number   int      // from 1, among the variants of the list
	Name     string   // as stated, or the settings
	Settings []string // key=value of the shell file
	Line     int      // in the file
}

// List is a list of variants.
type List struct {
	File string
	Text []byte
	Rows []Row
}

// ReadList reads a CSV file of variants. With a first line that names columns, each further column is a key of the shell file
// (as batch or stations.main-jig.crew) and an empty cell leaves it as stated; the column name names the variant, and the column set
// holds whole settings, key=value, as a list without a first line does in all cells. Lines that begin with # are remarks. Errors
// name file, line and remedy.
func ReadList(path string) (*List, error) {
	data, _, err := intake.ReadFile(path, MostBytes)
	if err != nil {
		return nil, err
	}
	rows, err := parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return &List{File: path, Text: data, Rows: rows}, nil
}

func parse(data []byte) ([]Row, error) {
	if !utf8.Valid(data) {
		return nil, errors.New("not text in UTF-8: save it as CSV in UTF-8")
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	c := csv.NewReader(bytes.NewReader(data))
	c.Comment, c.TrimLeadingSpace, c.FieldsPerRecord = '#', true, -1
	c.Comma = intake.Separator(string(data))
	var out []Row
	var head []string
	for {
		cells, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: write one variant a line", strings.ReplaceAll(err.Error(), "\n", " "))
		}
		line, _ := c.FieldPos(0)
		if head == nil && len(out) == 0 && !strings.Contains(strings.Join(cells, ""), "=") {
			if head, err = headOf(cells); err != nil {
				return nil, fmt.Errorf("line %d: %w", line, err)
			}
			continue
		}
		row, err := rowOf(head, cells)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if len(out) == mostRows {
			return nil, fmt.Errorf("line %d: more than %d variants: split the list", line, mostRows)
		}
		row.Number, row.Line = len(out)+1, line
		out = append(out, row)
	}
	if len(out) == 0 {
		return nil, errors.New("no variant in the list: write a line of settings for each, such as batch=12,rates.labour=40")
	}
	return out, nil
}

func headOf(cells []string) ([]string, error) {
	head := make([]string, len(cells))
	seen := map[string]bool{}
	for i, c := range cells {
		c = strings.TrimSpace(c)
		if c == "" {
			return nil, fmt.Errorf("column %d has no name: write a key of the shell file, or name, or set", i+1)
		}
		if seen[c] {
			return nil, fmt.Errorf("column %s stands there twice: keep one", c)
		}
		head[i], seen[c] = c, true
	}
	return head, nil
}

func rowOf(head, cells []string) (Row, error) {
	var r Row
	for i, c := range cells {
		c = strings.TrimSpace(c)
		switch {
		case c == "":
		case head == nil:
			r.Settings = append(r.Settings, c)
		case i >= len(head):
			return r, fmt.Errorf("%d cells below %d columns: put quotes round a cell with a comma in it", len(cells), len(head))
		case head[i] == "name":
			r.Name = c
		case head[i] == "set":
			r.Settings = append(r.Settings, c)
		default:
			r.Settings = append(r.Settings, head[i]+"="+c)
		}
	}
	for _, s := range r.Settings {
		if key, _, ok := strings.Cut(s, "="); !ok || strings.TrimSpace(key) == "" {
			return r, fmt.Errorf("%q is no setting: write key=value, or name the columns in the first line", short(s))
		}
	}
	if r.Name == "" {
		r.Name = strings.Join(r.Settings, ",")
	}
	if r.Name == "" {
		r.Name = "as stated"
	}
	r.Name = short(r.Name)
	return r, nil
}

// short cuts what nobody reads to the end.
func short(s string) string {
	if runes := []rune(s); len(runes) > mostName {
		return string(runes[:mostName-1]) + "…"
	}
	return s
}

// Part is one of several shares of a list: of 3 parts the second has the rows 2, 5, 8 and so on, so that rows that take long, which
// often stand together, are spread. The zero value is the whole list.
type Part struct{ Index, Of int }

// ParsePart reads a part as it is written on the command line, 2/3.
func ParsePart(s string) (Part, error) {
	if s == "" {
		return Part{}, nil
	}
	index, of, ok := strings.Cut(s, "/")
	i, err1 := strconv.Atoi(index)
	n, err2 := strconv.Atoi(of)
	if !ok || err1 != nil || err2 != nil || n < 1 || n > mostParts || i < 1 || i > n {
		return Part{}, fmt.Errorf("part %q: write i/n, such as 2/3 for the second of three", short(s))
	}
	return Part{i, n}, nil
}

// Part is a share of the rows.
func (l *List) Part(p Part) []Row {
	if p.Of <= 1 {
		return l.Rows
	}
	var out []Row
	for _, r := range l.Rows {
		if r.Number%p.Of == p.Index%p.Of {
			out = append(out, r)
		}
	}
	return out
}
