package quote

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"seamwright/geometry/intake"
	"seamwright/layout"
)

// Actual is what one shell took at one station.
type Actual struct {
	Station string
	Shell   int     // number within the batch, from 1
	Minutes float64 // elapsed at the jig, with its crew
	Line    int     // in the file
}

// Bounds on a file of measured times.
const (
	mostBytes = 16 << 20
	mostRows  = 200_000
	mostShell = 100_000
	mostTime  = 100_000.0 // minutes
)

// ReadActuals reads measured times: CSV with the columns station, shell and minutes in any order, others left alone; parted by
// commas, or by semicolons or tabulators with a decimal comma or point; lines that begin with # are remarks.
// Errors name the file, the line and the remedy.
func ReadActuals(path string) ([]Actual, error) {
	file, err := os.Open(path)
	if err != nil {
		reason := err
		var at *os.PathError
		if errors.As(err, &at) {
			reason = at.Err
		}
		return nil, fmt.Errorf("%s: %w: name a CSV file with the columns station, shell, minutes", path, reason)
	}
	defer file.Close()
	rows, err := parseActuals(file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return rows, nil
}

// farOff is by how many times a measured time may be longer or shorter than the planned one. Chosen: beyond it, hours are
// read as minutes, or the job is another.
const farOff = 20.0

// Plausible holds measured times against the plan: each of a shell of the batch, and of a length that the job can have. The
// error names the line.
func Plausible(p *layout.Plan, rows []Actual) error {
	for _, a := range rows {
		if p.Shell.Batch > 0 && a.Shell > p.Shell.Batch {
			return fmt.Errorf("line %d: shell %d of a batch of %d: mend the number, or state the batch", a.Line, a.Shell, p.Shell.Batch)
		}
		for _, s := range p.Labour.Stations {
			if s.Station != a.Station || !(s.Minutes > 0) {
				continue
			}
			if times := a.Minutes / s.Minutes; times > farOff || times < 1/farOff {
				return fmt.Errorf("line %d: %g minutes at %s, where %.3g are planned: write minutes of one shell at this station", a.Line, a.Minutes,
					a.Station, s.Minutes)
			}
		}
	}
	return nil
}

func parseActuals(r io.Reader) ([]Actual, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > mostBytes {
		return nil, fmt.Errorf("the file is larger than %d MB: split it", mostBytes>>20)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	c := csv.NewReader(bytes.NewReader(data))
	c.Comma = intake.Separator(string(data))
	c.Comment, c.TrimLeadingSpace, c.FieldsPerRecord = '#', true, -1
	columns, err := header(c)
	if err != nil {
		return nil, err
	}
	var rows []Actual
	seen := map[string]int{}
	for {
		fields, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: write one row for each station and shell", oneLine(err))
		}
		line, _ := c.FieldPos(0)
		a, err := columns.row(fields, c.Comma != ',')
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		key := fmt.Sprintf("%s/%d", a.Station, a.Shell)
		if first, again := seen[key]; again {
			return nil, fmt.Errorf("line %d: shell %d at %s stands in line %d already: keep one of the two", line, a.Shell, a.Station, first)
		}
		if len(rows) >= mostRows {
			return nil, fmt.Errorf("line %d: more than %d rows: split the file", line, mostRows)
		}
		seen[key], a.Line = line, line
		rows = append(rows, a)
	}
	if len(rows) == 0 {
		return nil, errors.New("no times in the file: write rows of station, shell, minutes below the head")
	}
	return rows, nil
}

func oneLine(err error) string { return strings.ReplaceAll(err.Error(), "\n", " ") }

// columns are where the three figures stand.
type columns struct{ station, shell, minutes int }

func header(c *csv.Reader) (columns, error) {
	head, err := c.Read()
	if errors.Is(err, io.EOF) {
		return columns{}, errors.New("the file is empty: the first line names the columns station, shell, minutes")
	}
	if err != nil {
		return columns{}, fmt.Errorf("%s: the first line names the columns station, shell, minutes", oneLine(err))
	}
	for i := range head {
		head[i] = strings.ToLower(strings.TrimSpace(head[i]))
	}
	at := columns{slices.Index(head, "station"), slices.Index(head, "shell"), slices.Index(head, "minutes")}
	for _, f := range []struct {
		name string
		at   int
	}{{"station", at.station}, {"shell", at.shell}, {"minutes", at.minutes}} {
		if f.at < 0 {
			return columns{}, fmt.Errorf("line 1: no column %s: the first line names the columns station, shell, minutes", f.name)
		}
	}
	return at, nil
}

// row reads one row. Where cells are not parted by commas, a comma may stand for the point.
func (c columns) row(fields []string, commas bool) (Actual, error) {
	if last := max(c.station, c.shell, c.minutes); last >= len(fields) {
		return Actual{}, fmt.Errorf("%d columns, %d are needed: fill the row up", len(fields), last+1)
	}
	a := Actual{Station: strings.TrimSpace(fields[c.station])}
	if a.Station == "" {
		return a, errors.New("no station: write its id in the shell file")
	}
	var err error
	if a.Shell, err = strconv.Atoi(strings.TrimSpace(fields[c.shell])); err != nil || a.Shell < 1 || a.Shell > mostShell {
		return a, fmt.Errorf("%q is no shell number: count the shells of the batch from 1", fields[c.shell])
	}
	minutes := strings.TrimSpace(fields[c.minutes])
	if commas && !strings.Contains(minutes, ".") {
		minutes = strings.Replace(minutes, ",", ".", 1)
	}
	if a.Minutes, err = strconv.ParseFloat(minutes, 64); err != nil || !(a.Minutes > 0 && a.Minutes <= mostTime) {
		return a, fmt.Errorf("%q is no time: write the minutes at the jig, with a point", fields[c.minutes])
	}
	return a, nil
}
