package mesh

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Soup is the triangles of a file as they stand there: nothing merged, nothing mended, nothing scaled. Read makes a
// mesh of one; who asks only where panels lie near each other (near.Match) needs no more. Every coordinate is a number.
type Soup struct {
	// 36 bytes a triangle: x, y, z of three corners as binary STL writes them. There is room for pad bytes more behind them.
	records []byte
	runs    []Run
}

// RunLength is how many triangles in the file's order share a box that is kept. Exporters write neighbours near
// each other, so the box is small; where they do not, it is merely of no use.
const RunLength = 32

// Run is the box of some triangles, in the file's unit.
type Run struct{ Low, High [3]float32 }

// Runs are the boxes of every RunLength triangles; the last may be of fewer.
func (s *Soup) Runs() []Run { return s.runs }

// closeRun appends the box of the run that begins at a triangle and ends with the last so far.
func (s *Soup) closeRun(from int) {
	var r Run
	r.Low, r.High = s.Box(from, s.Len())
	s.runs = append(s.runs, r)
}

// RecordSize is how many bytes of Records a triangle takes.
const RecordSize = 36

// pad is how many bytes may be read behind the last record.
const pad = 4

// newRecords makes room for n triangles.
func newRecords(n int) []byte {
	room := inLargePages(make([]byte, RecordSize*n+pad))
	return room[:RecordSize*n]
}

func newRuns(triangles int) []Run { return make([]Run, (triangles+RunLength-1)/RunLength) }

// NewSoup makes a soup of triangles: x, y, z of three corners each. One whose coordinates are no numbers, or farther away
// than any panel is, is refused.
func NewSoup(triangles [][9]float32) (*Soup, error) {
	s := &Soup{records: newRecords(len(triangles)), runs: newRuns(len(triangles))}
	for i := range triangles {
		if err := fault(triangles[i], i, farthest); err != nil {
			return nil, err
		}
		putTriangle(s.records[RecordSize*i:], &triangles[i])
	}
	for i := range s.runs {
		r := &s.runs[i]
		r.Low, r.High = s.Box(RunLength*i, min(RunLength*(i+1), s.Len()))
	}
	return s, nil
}

// Len is the number of triangles.
func (s *Soup) Len() int { return len(s.records) / RecordSize }

// Triangle gives x, y, z of the three corners of a triangle, in the file's unit.
func (s *Soup) Triangle(t int) (corners [9]float32) {
	r := (*[RecordSize]byte)(s.records[RecordSize*t:])
	for k := range corners {
		corners[k] = math.Float32frombits(binary.LittleEndian.Uint32(r[4*k : 4*k+4]))
	}
	return corners
}

// Records are the triangles as they stand in memory: RecordSize bytes each, x, y, z of three corners as binary STL writes
// them. Four bytes more may be read behind the last.
func (s *Soup) Records() []byte { return s.records }

// Corners gives the three corners of a triangle, in the file's unit.
func (s *Soup) Corners(t int) (a, b, c r3.Vector) {
	r := (*[RecordSize]byte)(s.records[RecordSize*t:])
	a = r3.Vector{X: coordinate(r[0:4]), Y: coordinate(r[4:8]), Z: coordinate(r[8:12])}
	b = r3.Vector{X: coordinate(r[12:16]), Y: coordinate(r[16:20]), Z: coordinate(r[20:24])}
	c = r3.Vector{X: coordinate(r[24:28]), Y: coordinate(r[28:32]), Z: coordinate(r[32:36])}
	return a, b, c
}

func coordinate(b []byte) float64 {
	return float64(math.Float32frombits(binary.LittleEndian.Uint32(b)))
}

func putTriangle(record []byte, corners *[9]float32) {
	r := (*[RecordSize]byte)(record)
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
	return readSoup(r, size, name, opt, nil)
}

func readSoup(r io.ReaderAt, size int64, name string, opt Options, room []byte) (*Soup, []string, error) {
	unit, err := space.ParseUnit(string(opt.Unit))
	if err == nil {
		b := newBounds(unit, opt)
		b.records = room
		var s *Soup
		var notes []string
		if s, notes, err = load(r, size, b); err == nil {
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
	records []byte // room for a binary file's triangles, if it is large enough
}

// room is room for n triangles.
func (b *bounds) room(n int) []byte {
	if RecordSize*n <= len(b.records) && RecordSize*n+pad <= cap(b.records) {
		return b.records[:RecordSize*n]
	}
	return newRecords(n)
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

// Box is the box of the triangles from one on up to another, at least one, in the file's unit.
func (s *Soup) Box(from, to int) (low, high [3]float32) {
	return box(s.records[RecordSize*from : RecordSize*to])
}

// plainBox is box where it is not written for the processor, and what that is tested with.
func plainBox(records []byte) (low, high [3]float32) {
	// Compared as whole numbers: that is quicker than comparing float32, as minima and maxima need no branches.
	x0, y0, z0 := int32(math.MaxInt32), int32(math.MaxInt32), int32(math.MaxInt32)
	x1, y1, z1 := int32(math.MinInt32), int32(math.MinInt32), int32(math.MinInt32)
	for ; len(records) >= 12; records = records[12:] {
		r := (*[12]byte)(records)
		x, y, z := ordered(binary.LittleEndian.Uint32(r[:4])), ordered(binary.LittleEndian.Uint32(r[4:8])),
			ordered(binary.LittleEndian.Uint32(r[8:]))
		x0, y0, z0 = min(x0, x), min(y0, y), min(z0, z)
		x1, y1, z1 = max(x1, x), max(y1, y), max(z1, z)
	}
	low = [3]float32{fromOrdered(x0), fromOrdered(y0), fromOrdered(z0)}
	return low, [3]float32{fromOrdered(x1), fromOrdered(y1), fromOrdered(z1)}
}

// ordered is a float32's bits as a number that is greater for a greater float32.
func ordered(bits uint32) int32 {
	n := int32(bits)
	return n ^ (n >> 31 & math.MaxInt32)
}

// fromOrdered gives the float32 back.
func fromOrdered(n int32) float32 { return math.Float32frombits(uint32(n ^ (n >> 31 & math.MaxInt32))) }
