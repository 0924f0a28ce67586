package stl

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"seamwright/geometry/space"
)

// Soup is the triangles of a file as they stand there: nothing merged, nothing mended, nothing scaled. Every coordinate is a number.
type Soup struct {
	records []byte // 36 bytes a triangle: x, y, z of three corners as binary STL writes them
}

// recordSize is how many bytes a triangle takes in a soup.
const recordSize = 36

// newRecords makes room for n triangles.
func newRecords(n int) []byte {
	return inLargePages(make([]byte, recordSize*n))
}

// Len is the number of triangles.
func (s *Soup) Len() int { return len(s.records) / recordSize }

// Triangle gives x, y, z of the three corners of a triangle, in the file's unit.
func (s *Soup) Triangle(t int) (corners [9]float32) {
	r := (*[recordSize]byte)(s.records[recordSize*t:])
	for k := range corners {
		corners[k] = math.Float32frombits(binary.LittleEndian.Uint32(r[4*k : 4*k+4]))
	}
	return corners
}

func putTriangle(record []byte, corners *[9]float32) {
	r := (*[recordSize]byte)(record)
	for k, x := range corners {
		binary.LittleEndian.PutUint32(r[4*k:4*k+4], math.Float32bits(x))
	}
}

// DefaultMaxTriangles is how many triangles are read when Options does not say.
const DefaultMaxTriangles = 20_000_000

// Options steer the reading. Every zero value means the default beside it.
type Options struct {
	Unit         space.Unit // unit of the file's numbers; millimetres
	MaxTriangles int        // more triangles in the file are an error; DefaultMaxTriangles
	Workers      int        // how many chunks of a binary file are taken apart at once; 1
}

// ReadFile is Read from a file.
func ReadFile(path string, opt Options) (s *Soup, notes []string, err error) {
	file, size, err := Open(path)
	if err != nil {
		return nil, nil, err
	}
	defer file.Close()
	return Read(file, size, path, opt)
}

// Read reads the triangles of size bytes of STL and leaves them as they are: all coordinates are numbers that a panel can have, and
// that is all that is promised. Whether the bytes are binary or ASCII is told from them, not from the name: 84 + 50·count bytes are
// binary even when they begin with "solid". An error is one line that begins with the name.
func Read(r io.ReaderAt, size int64, name string, opt Options) (*Soup, []string, error) {
	unit, err := space.ParseUnit(string(opt.Unit))
	if err == nil {
		opt.Unit = unit
		var s *Soup
		var notes []string
		if s, notes, err = Load(r, size, opt); err == nil {
			return s, notes, nil
		}
	}
	return nil, nil, fmt.Errorf("%s: %w", Printable(name), err)
}

// Open opens a regular file and tells its size.
func Open(path string) (*os.File, int64, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, 0, fmt.Errorf("panel file cannot be opened: %w: check its name and that it may be read", err)
	}
	info, err := file.Stat()
	if err != nil {
		err = fmt.Errorf("panel file cannot be read: %w", err)
	} else if !info.Mode().IsRegular() {
		err = fmt.Errorf("%s: not a file: name an STL file", Printable(path))
	}
	if err != nil {
		file.Close()
		return nil, 0, err
	}
	return file, info.Size(), nil
}

// Farthest is the greatest coordinate that is taken, in mm: a thousand kilometres. No panel is placed
// there; damaged files are. It also keeps every later product and grid cell within range.
const Farthest = 1e9

// bounds is what is taken from a file.
type bounds struct {
	reach   float32 // Farthest in units of the file
	limit   int     // triangles
	workers int
}

// hardLimit is the greatest number of triangles whose corners can be numbered with int32.
const hardLimit = (1<<31 - 1) / 3

func newBounds(unit space.Unit, opt Options) bounds {
	limit := opt.MaxTriangles
	if limit <= 0 {
		limit = DefaultMaxTriangles
	}
	return bounds{reach: float32(Farthest / unit.Millimetres()), limit: min(limit, hardLimit), workers: max(1, opt.Workers)}
}

func tooMany(count int64, limit int) error {
	return fmt.Errorf("%d triangles are more than the limit of %d: export the panel with a coarser mesh or raise the limit", count, limit)
}

// headSize is how much of a file is looked at to tell text from binary: the name of the first solid and
// the first facets, or the header, the count and some twenty triangles.
const headSize = 1024

// countOf is the count in a binary file's header.
func countOf(head []byte) int64 {
	return int64(binary.LittleEndian.Uint32(head[HeaderSize-4 : HeaderSize]))
}

// Load is Read for who names the file in the error.
func Load(r io.ReaderAt, size int64, opt Options) (*Soup, []string, error) {
	b := newBounds(opt.Unit, opt)
	if size <= 0 {
		return nil, nil, errors.New("the file is empty: export the panel again")
	}
	head := make([]byte, min(size, headSize))
	if n, err := r.ReadAt(head, 0); n < len(head) {
		return nil, nil, cannotRead(err)
	}
	if size >= HeaderSize {
		count := countOf(head)
		if HeaderSize+binaryTriangle*count == size || !isText(head) {
			return loadBinary(r, size, count, head, b)
		}
	}
	if !isText(head) {
		return nil, nil, notSTL(head)
	}
	return loadASCII(r, size, b)
}

// fault is what is wrong with the first coordinate of triangle t that a panel cannot have.
func fault(corners [9]float32, t int, reach float32) error {
	for k, x := range corners {
		if x != x {
			return fmt.Errorf("triangle %d: corner %d is not a number: export the panel again", t+1, k/3+1)
		}
		if !(x >= -reach && x <= reach) {
			return fmt.Errorf("triangle %d: corner %d has the coordinate %g, beyond %g mm: check the unit, or export the panel again",
				t+1, k/3+1, x, Farthest)
		}
	}
	return nil
}
