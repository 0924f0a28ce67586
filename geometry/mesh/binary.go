package mesh

import (
	"errors"
	"fmt"
	"io"

	"github.com/hschendel/stl"
)

// Sizes of binary STL in bytes: an 80-byte header and a 32-bit count, then the triangles.
const (
	binaryHeader   = 84
	binaryTriangle = 50
)

// loadBinary hands a binary file to the STL library once its count agrees with its size. Bytes after the
// last triangle are left out with a note, unless they could be triangles that the header does not count.
func loadBinary(r io.ReaderAt, size, count int64, head []byte, g *gather) ([]string, error) {
	whole := (size - binaryHeader) / binaryTriangle
	rest := size - binaryHeader - count*binaryTriangle
	switch {
	case count == 0 && whole == 0:
		return nil, errors.New("binary STL without triangles: export the panel again")
	case count == 0:
		return nil, fmt.Errorf("the header counts no triangles, but %d would fit behind it: export the panel again", whole)
	case rest < 0 && count > int64(g.limit):
		return nil, notSTL(head) // those four bytes are hardly a count
	case rest < 0:
		return nil, fmt.Errorf("triangle %d: the file ends here, the header counts %d: %d missing, copy or export the file again",
			whole+1, count, count-whole)
	case count > int64(g.limit):
		return nil, tooMany(count, g.limit)
	}
	var notes []string
	if rest > 0 {
		if rest%binaryTriangle == 0 && !zeros(r, size-rest, rest) {
			return nil, fmt.Errorf("the header counts %d triangles, but %d fill the file: export the panel again", count, whole)
		}
		notes = append(notes, fmt.Sprintf("%s after the last triangle left out", plural(int(rest), "byte")))
	}
	// The library wants the file to end with the last triangle.
	source := &stopReader{ReadSeeker: io.NewSectionReader(r, 0, size-rest), g: g}
	err := stl.CopyAll(source, g)
	if g.err != nil {
		return nil, g.err
	}
	if err != nil || int64(g.seen) != count {
		return nil, fmt.Errorf("triangle %d: %w", g.seen+1, cannotRead(source.err))
	}
	return notes, nil
}

// hardLimit is the greatest number of triangles whose corners can be numbered with int32.
const hardLimit = (1<<31 - 1) / 3

func tooMany(count int64, limit int) error {
	return fmt.Errorf("%d triangles are more than the limit of %d: export the panel with a coarser mesh or raise the limit", count, limit)
}

// zeros reports whether n bytes from here on are all zero: padding, not triangles.
func zeros(r io.ReaderAt, from, n int64) bool {
	buf := make([]byte, 1<<16)
	for end := from + n; from < end; {
		got, err := r.ReadAt(buf[:min(int64(len(buf)), end-from)], from)
		for _, b := range buf[:got] {
			if b != 0 {
				return false
			}
		}
		if from += int64(got); err != nil {
			return from == end
		}
	}
	return true
}

// stopReader ends the library's reading at the first triangle that was refused, which its writer
// interface cannot, and keeps a reading error, which the library turns into text.
type stopReader struct {
	io.ReadSeeker
	g   *gather
	err error
}

func (s *stopReader) Read(p []byte) (int, error) {
	if s.g.err != nil {
		return 0, s.g.err
	}
	n, err := s.ReadSeeker.Read(p)
	if err != nil {
		s.err = err
	}
	return n, err
}
