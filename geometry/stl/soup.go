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

// Corner gives x, y, z of corner k, 0 to 2, of a triangle, in the file's unit.
func (s *Soup) Corner(t, k int) (x, y, z float32) {
	r := (*[12]byte)(s.records[recordSize*t+12*k:])
	return math.Float32frombits(binary.LittleEndian.Uint32(r[:4])), math.Float32frombits(binary.LittleEndian.Uint32(r[4:8])),
		math.Float32frombits(binary.LittleEndian.Uint32(r[8:]))
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
		all := &Soup{}
		var notes []string
		if notes, err = Each(r, size, opt, all.add); err == nil {
			return all, notes, nil
		}
	}
	return nil, nil, fmt.Errorf("%s: %w", Printable(name), err)
}

// add puts triangles behind those that are there, of about so many.
func (s *Soup) add(more *Soup, about int) {
	if s.records == nil {
		s.records = make([]byte, 0, recordSize*about)
	}
	s.records = append(s.records, more.records...)
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
	reach float32 // Farthest in units of the file
	limit int     // triangles
}

// hardLimit is the greatest number of triangles whose corners can be numbered with int32.
const hardLimit = (1<<31 - 1) / 3

func newBounds(unit space.Unit, opt Options) bounds {
	limit := opt.MaxTriangles
	if limit <= 0 {
		limit = DefaultMaxTriangles
	}
	return bounds{reach: float32(Farthest / unit.Millimetres()), limit: min(limit, hardLimit)}
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

// Each is Read for who names the file in the error, and takes the triangles as they come: some thousand at a time, in the order of the
// file, which hold until the next. It says with them how many there are about, all together. Where it ends in an error, what has been
// taken is worth nothing.
func Each(r io.ReaderAt, size int64, opt Options, take func(some *Soup, about int)) (notes []string, err error) {
	b := newBounds(opt.Unit, opt)
	if size <= 0 {
		return nil, errors.New("the file is empty: export the panel again")
	}
	head := make([]byte, min(size, headSize))
	if n, err := r.ReadAt(head, 0); n < len(head) {
		return nil, cannotRead(err)
	}
	if size >= HeaderSize {
		count := countOf(head)
		if HeaderSize+binaryTriangle*count == size || !isText(head) {
			return eachBinary(r, size, count, head, b, take)
		}
	}
	if !isText(head) {
		return nil, notSTL(head)
	}
	return eachText(r, size, b, take)
}

// chunk is how many triangles are given out at once: some 200 KB of a binary file, which stay in the processor's cache while they are
// looked at.
const chunk = 4096

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
