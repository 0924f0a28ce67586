// Package drawing reads and writes drawings: DXF, text and binary, R12 to 2018, and CSV polylines.
// Every curve comes out as a polyline in millimetres with its true length beside it. Package outline chains loose
// entities into closed outlines and fills them.
//
//	d, err := drawing.ReadFile("floor.dxf", drawing.Options{})
//	if err != nil { … }
//	for _, p := range d.Paths {
//		fmt.Println(p.Layer, p.Kind, p.Closed, p.Length)
//	}
//
// What a drawing holds besides lines and curves is skipped, counted and said in Drawing.Notes; nothing is
// guessed without a note.
package drawing

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"unsafe"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/space"
)

// Path is one entity, or one chain of entities, as a polyline in millimetres.
type Path struct {
	Layer string
	// Kind is the entity's type as the file writes it (LINE, ARC, CIRCLE, ELLIPSE, LWPOLYLINE, POLYLINE,
	// SPLINE), CSV for a polyline from a CSV file, or CHAIN for several pieces that package outline joined.
	Kind string
	// Points lie on the true curve; chords between them leave it by no more than Options.Chord. A closed
	// path does not repeat its first point.
	Points []r3.Vector
	Closed bool
	// Length is the true curve's length in mm, from a closed form for lines, circles, arcs and bulges and
	// by integration to about 1e-11 for ellipses and splines; it is not the length of the chords.
	Length float64
}

// Drawing is what a file holds. Unit is the unit that its numbers were taken to be in, Unstated when that
// is a unit which package space does not name (a note says so); Points are in millimetres all the same.
type Drawing struct {
	Name  string
	Unit  space.Unit
	Paths []Path
	Marks []Mark   // points and words that Write writes; the readers leave them out
	Notes []string // what was skipped, assumed or mended, one line each, in a fixed order

	Source intake.Sum // of the file that ReadFile read it from
}

// Mark is a point in mm, or words at it.
type Mark struct {
	Layer  string
	At     r3.Vector
	Text   string  // empty: the point itself
	Height float64 // of the words, mm
}

// Options steer the readers; the zero value takes the file's unit and the defaults.
type Options struct {
	Unit  space.Unit // when stated it wins over the file's own
	Chord float64    // mm between a curve and its chords; 0 means DefaultChord
	Most  Limits
}

// Limits are what a file may ask for, so that a small broken file cannot fill the memory. Each is far above any drawing
// of a body shell; 0 means the default beside it.
type Limits struct {
	Bytes    int64   // of the file; DefaultBytes
	Entities int     // once blocks are inserted; DefaultEntities
	Points   int     // that curves come out as, control points and knots included; DefaultPoints
	Size     float64 // mm from one side of the drawing to the other; DefaultSize
}

// The defaults of Limits.
const (
	DefaultBytes    = 256 << 20
	DefaultEntities = 25_000
	DefaultPoints   = 100_000
	DefaultSize     = 1e6
)

func (o Options) mostBytes() int64  { return cmp.Or(o.Most.Bytes, DefaultBytes) }
func (o Options) mostEntities() int { return cmp.Or(o.Most.Entities, DefaultEntities) }
func (o Options) mostPoints() int   { return cmp.Or(o.Most.Points, DefaultPoints) }
func (o Options) mostSize() float64 { return cmp.Or(o.Most.Size, DefaultSize) }

// DefaultChord is the greatest distance in mm between a curve and the chords that stand for it: far below
// what can be held when a spot is marked and welded by hand (common practice, no source).
const DefaultChord = 0.02

// Limits that no drawing has reason to pass.
const (
	maxNesting    = 16           // blocks inserted in blocks
	maxInserted   = 200_000      // copies of blocks in one drawing
	maxDegree     = 32           // of a spline
	maxCoordinate = dxf.Farthest // mm
)

// ReadFile reads a drawing. A name that ends in .csv is read as CSV polylines, any other as DXF. Errors that
// lie in the file's content are a *FileError. A file that changes meanwhile is an error; the hash of the bytes that were
// read is in Drawing.Source.
func ReadFile(path string, opt Options) (*Drawing, error) {
	data, sum, err := intake.ReadFile(path, opt.mostBytes())
	var large *intake.TooLargeError
	if errors.As(err, &large) {
		return nil, tooLarge(path, large)
	}
	if err != nil {
		return nil, fmt.Errorf("drawing: %w", err)
	}
	return ReadHeld(data, sum, path, opt)
}

// ReadHeld is ReadFile for a file whose bytes and sum are at hand; they are not to be changed.
func ReadHeld(data []byte, sum intake.Sum, path string, opt Options) (*Drawing, error) {
	if most := opt.mostBytes(); int64(len(data)) > most {
		return nil, tooLarge(path, &intake.TooLargeError{Most: most})
	}
	read := parseDXF
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		read = parseCSV
	}
	// The data is not touched again: a copy of it would double what a large drawing takes.
	d, err := read(unsafe.String(unsafe.SliceData(data), len(data)), path, opt)
	if err != nil {
		return nil, err
	}
	d.Name, d.Source = filepath.Base(path), sum
	return d, nil
}

func tooLarge(name string, err error) error {
	return &FileError{File: name, Fault: intake.Fault{
		Problem: err.Error() + ": purge the drawing, or export the outlines alone, or allow more",
	}}
}

// chord returns the chord tolerance to use.
func (o Options) chord() (float64, error) {
	switch {
	case o.Chord == 0:
		return DefaultChord, nil
	case o.Chord > 0 && o.Chord <= maxCoordinate:
		return o.Chord, nil
	}
	return 0, fmt.Errorf("chord tolerance %v mm is not a length above zero: leave it out for %v mm", o.Chord, DefaultChord)
}
