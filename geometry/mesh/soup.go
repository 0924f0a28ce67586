package mesh

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"seamwright/geometry/space"
)

// Soup is the triangles of a file as they stand there: nothing merged, nothing mended, nothing scaled. Read makes a
// mesh of one. Every coordinate is a number.
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

// ReadSoupFile is ReadSoup from a file.
func ReadSoupFile(path string, opt Options) (s *Soup, notes []string, err error) {
	file, size, err := open(path)
	if err != nil {
		return nil, nil, err
	}
	defer file.Close()
	return ReadSoup(file, size, path, opt)
}

// ReadSoup reads the triangles of size bytes of STL, as Read does, and leaves them as they are: all coordinates are
// numbers that a panel can have, and that is all that is promised. Options.MergeWithin is not used.
func ReadSoup(r io.ReaderAt, size int64, name string, opt Options) (*Soup, []string, error) {
	unit, err := space.ParseUnit(string(opt.Unit))
	if err == nil {
		var s *Soup
		var notes []string
		if s, notes, err = load(r, size, newBounds(unit, opt)); err == nil {
			return s, notes, nil
		}
	}
	return nil, nil, fmt.Errorf("%s: %w", printable(name), err)
}

// open opens a regular file and tells its size.
func open(path string) (*os.File, int64, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, 0, fmt.Errorf("panel file cannot be opened: %w: check its name and that it may be read", err)
	}
	info, err := file.Stat()
	if err != nil {
		err = fmt.Errorf("panel file cannot be read: %w", err)
	} else if !info.Mode().IsRegular() {
		err = fmt.Errorf("%s: not a file: name an STL file", printable(path))
	}
	if err != nil {
		file.Close()
		return nil, 0, err
	}
	return file, info.Size(), nil
}

// farthest is the greatest coordinate that is taken, in mm: a thousand kilometres. No panel is placed
// there; damaged files are. It also keeps every later product and grid cell within range.
const farthest = 1e9

// bounds is what is taken from a file.
type bounds struct {
	reach   float32 // farthest in units of the file
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
	return bounds{reach: float32(farthest / unit.Millimetres()), limit: min(limit, hardLimit), workers: max(1, opt.Workers)}
}

func tooMany(count int64, limit int) error {
	return fmt.Errorf("%d triangles are more than the limit of %d: export the panel with a coarser mesh or raise the limit", count, limit)
}

// headSize is how much of a file is looked at to tell text from binary: the name of the first solid and
// the first facets, or the header, the count and some twenty triangles.
const headSize = 1024

// countOf is the count in a binary file's header.
func countOf(head []byte) int64 {
	return int64(binary.LittleEndian.Uint32(head[binaryHeader-4 : binaryHeader]))
}

// load tells the format and reads the file's triangles.
func load(r io.ReaderAt, size int64, b bounds) (*Soup, []string, error) {
	if size <= 0 {
		return nil, nil, errors.New("the file is empty: export the panel again")
	}
	head := make([]byte, min(size, headSize))
	if n, err := r.ReadAt(head, 0); n < len(head) {
		return nil, nil, cannotRead(err)
	}
	if size >= binaryHeader {
		count := countOf(head)
		if binaryHeader+binaryTriangle*count == size || !isText(head) {
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
				t+1, k/3+1, x, farthest)
		}
	}
	return nil
}
