package drawing

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/space"
)

// parseCSV reads polylines from text with the columns x,y or x,y,z; a semicolon or a tab may stand for the
// comma. The first line may be a header, which may state the unit: "x_mm,y_mm" or "x [inch],y [inch]". A
// blank line or a line that starts with # ends a polyline; "# layer: NAME" also names the layer of those
// that follow. A polyline whose last point repeats its first is closed. Faults are a *FileError.
//
//	x,y
//	0,0
//	1200,0
//	1200,800
//	0,0
//
//	# layer: hole
//	…
func parseCSV(text, name string, opt Options) (*Drawing, error) {
	c := csvReader{layer: "0", most: opt.mostPoints(), rest: strings.TrimPrefix(text, "\ufeff")}
	if err := c.read(); err != nil {
		return nil, inFile(err, name, false)
	}
	factor, unit, notes := c.scale(opt.Unit)
	for i := range c.paths {
		if err := c.finish(&c.paths[i], factor, c.starts[i]); err != nil {
			return nil, inFile(err, name, false)
		}
	}
	if err := checkSize(c.paths, opt.mostSize()); err != nil {
		return nil, inFile(err, name, false)
	}
	return &Drawing{Name: name, Unit: unit, Paths: c.paths, Notes: notes}, nil
}

// csvReader gathers polylines line by line.
type csvReader struct {
	rest    string
	line    int64
	layer   string
	unit    space.Unit // as the header states it
	begun   bool       // a header or a point has been seen
	columns int        // of the polyline being read; 0 between polylines
	open    []r3.Vector
	first   int64 // line of the first point of the polyline being read
	points  int
	most    int // points
	paths   []Path
	starts  []int64 // first line of each path
}

func (c *csvReader) read() error {
	switch {
	case strings.HasPrefix(c.rest, "\xff\xfe"), strings.HasPrefix(c.rest, "\xfe\xff"):
		return intake.FaultAt(0, "is UTF-16 text: save it as CSV in UTF-8")
	case !strings.Contains(c.rest, "\n"):
		c.rest = strings.ReplaceAll(c.rest, "\r", "\n")
	}
	for c.rest != "" {
		line, rest, _ := strings.Cut(c.rest, "\n")
		c.rest = rest
		c.line++
		if err := c.oneLine(strings.TrimSpace(line)); err != nil {
			return err
		}
	}
	if err := c.end(); err != nil {
		return err
	}
	if len(c.paths) == 0 {
		return intake.FaultAt(0, "holds no points: write one point x,y or x,y,z on each line")
	}
	return nil
}

func (c *csvReader) oneLine(line string) error {
	switch {
	case strings.IndexByte(line, 0) >= 0:
		return intake.FaultAt(c.line, "holds a zero byte: this is not a text file; save it as CSV")
	case line == "", line[0] == '#':
		if err := c.end(); err != nil {
			return err
		}
		label, name, ok := strings.Cut(strings.TrimPrefix(line, "#"), ":")
		if ok && strings.EqualFold(strings.TrimSpace(label), "layer") {
			c.layer = strings.TrimSpace(name)
		}
		return nil
	}
	fields := fieldsOf(line)
	if !c.begun {
		c.begun = true
		if isHeader(fields) {
			return c.header(fields)
		}
	}
	return c.point(fields)
}

// fieldsOf splits a line at semicolons, tabs or commas, whichever of the three it has first in this order.
func fieldsOf(line string) []string {
	separator := ","
	for _, s := range []string{";", "\t"} {
		if strings.Contains(line, s) {
			separator = s
			break
		}
	}
	fields := strings.Split(line, separator)
	for i, f := range fields {
		fields[i] = strings.Trim(strings.TrimSpace(f), `"`)
	}
	return fields
}

// isHeader reports whether no field is a number.
func isHeader(fields []string) bool {
	for _, f := range fields {
		if _, err := strconv.ParseFloat(f, 64); err == nil {
			return false
		}
	}
	return !strings.ContainsAny(fields[0], "0123456789")
}

var headerField = regexp.MustCompile(`^([xyz])(?:[ _]*[\[(]?(mm|cm|m|inch|in|foot|ft)[\])]?)?$`)

// header checks that the columns are x, y and z in this order and takes the unit that they state.
func (c *csvReader) header(fields []string) error {
	if len(fields) < 2 || len(fields) > 3 {
		return intake.FaultAt(c.line, "header has %d columns: it must be x,y or x,y,z", len(fields))
	}
	for i, f := range fields {
		parts := headerField.FindStringSubmatch(strings.ToLower(f))
		if parts == nil || parts[1] != string("xyz"[i]) {
			return intake.FaultAt(c.line, "header names column %d %s: it must be x,y or x,y,z, with a unit if you like, as in x_mm", i+1,
				intake.Quoted(f))
		}
		unit, err := space.ParseUnit(parts[2])
		if err != nil || i > 0 && unit != c.unit {
			return intake.FaultAt(c.line, "header states different units: give all columns one unit")
		}
		c.unit = unit
	}
	return nil
}

func (c *csvReader) point(fields []string) error {
	if len(fields) < 2 || len(fields) > 3 {
		return intake.FaultAt(c.line, "%d values where x,y or x,y,z is due: write one point on each line", len(fields))
	}
	if c.columns != 0 && len(fields) != c.columns {
		return intake.FaultAt(c.line, "%d values, but the polyline began with %d: give all its points the same columns", len(fields), c.columns)
	}
	var p r3.Vector
	for i, f := range fields {
		v, err := strconv.ParseFloat(f, 64)
		switch {
		case err != nil:
			return intake.FaultAt(c.line, "%s is not a number: write it with a decimal point, as in 12.5", intake.Quoted(f))
		case math.IsNaN(v) || math.Abs(v) > maxCoordinate:
			return intake.FaultAt(c.line, "%s is not a coordinate within ±%v: mend or leave out the point", f, maxCoordinate)
		}
		*dxf.Component(&p, i) = v
	}
	if c.points++; c.points > c.most {
		return intake.FaultAt(c.line, "holds more than %d points: thin them out, or allow more", c.most)
	}
	if c.columns == 0 {
		c.columns, c.first = len(fields), c.line
	}
	if n := len(c.open); n == 0 || c.open[n-1] != p {
		c.open = append(c.open, p)
	}
	return nil
}

// end closes the polyline being read.
func (c *csvReader) end() error {
	if c.columns == 0 {
		return nil
	}
	if len(c.open) < 2 {
		return intake.FaultAt(c.first, "polyline of a single point: give it two points or more, or take out the blank line")
	}
	c.paths = append(c.paths, Path{Layer: c.layer, Kind: "CSV", Points: c.open})
	c.starts = append(c.starts, c.first)
	c.open, c.columns = nil, 0
	return nil
}

// scale decides the unit as for a DXF drawing: as told, else as the header says, else millimetres with a note.
func (c *csvReader) scale(stated space.Unit) (float64, space.Unit, []string) {
	switch {
	case stated != space.Unstated && c.unit != space.Unstated && stated != c.unit:
		return stated.Millimetres(), stated, []string{fmt.Sprintf("unit: taken as %s as told, though the header says %s", stated, c.unit)}
	case stated != space.Unstated:
		return stated.Millimetres(), stated, nil
	case c.unit != space.Unstated:
		return c.unit.Millimetres(), c.unit, nil
	}
	return 1, space.Millimetre, []string{"unit: the file states none: millimetres assumed; state the unit if that is wrong"}
}

// finish brings a path to millimetres, closes it where its ends meet and measures it.
func (c *csvReader) finish(p *Path, factor float64, line int64) error {
	for i, v := range p.Points {
		p.Points[i] = v.Mul(factor)
	}
	p.Points, p.Closed = closedUp(p.Points, false)
	p.Length = polylineLength(p.Points, p.Closed)
	if !usable(p.Points, p.Length) {
		return intake.FaultAt(line, "polyline reaches beyond %v mm: check the unit", maxCoordinate)
	}
	return nil
}

// polylineLength is the length of the chords between points.
func polylineLength(points []r3.Vector, closed bool) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += points[i].Sub(points[i-1]).Norm()
	}
	if closed && len(points) > 1 {
		sum += points[0].Sub(points[len(points)-1]).Norm()
	}
	return sum
}
