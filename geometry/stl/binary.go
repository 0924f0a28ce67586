package stl

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// Sizes of binary STL in bytes: an 80-byte header and a 32-bit count, then the triangles.
const (
	HeaderSize     = 84
	binaryTriangle = 50
)

// eachBinary reads a binary file once its count agrees with its size. Bytes after the
// last triangle are left out with a note, unless they could be triangles that the header does not count.
func eachBinary(r io.ReaderAt, size, count int64, head []byte, b bounds, take func(*Soup, int)) ([]string, error) {
	whole := (size - HeaderSize) / binaryTriangle
	rest := size - HeaderSize - count*binaryTriangle
	switch {
	case count == 0 && whole == 0:
		return nil, errors.New("binary STL without triangles: export the panel again")
	case count == 0:
		return nil, fmt.Errorf("the header counts no triangles, but %d would fit behind it: export the panel again", whole)
	case rest < 0 && count > int64(b.limit):
		return nil, notSTL(head) // those four bytes are hardly a count
	case rest < 0:
		return nil, fmt.Errorf("triangle %d: the file ends here, the header counts %d: %d missing, copy or export the file again",
			whole+1, count, count-whole)
	case count > int64(b.limit):
		return nil, tooMany(count, b.limit)
	}
	var notes []string
	if rest > 0 {
		if rest%binaryTriangle == 0 && !zeros(r, size-rest, rest) {
			return nil, fmt.Errorf("the header counts %d triangles, but %d fill the file: export the panel again", count, whole)
		}
		noun := "bytes"
		if rest == 1 {
			noun = "byte"
		}
		notes = append(notes, fmt.Sprintf("%d %s after the last triangle left out", rest, noun))
	}
	some := &Soup{make([]byte, recordSize*min(chunk, count))}
	buf := make([]byte, binaryTriangle*min(chunk, count))
	for from := 0; from < int(count); from += chunk {
		n := min(chunk, int(count)-from)
		if err := b.chunk(r, from, some, buf[:binaryTriangle*n]); err != nil {
			return nil, err
		}
		take(some, int(count))
	}
	return notes, nil
}

// chunk reads the triangles from one on that fill the buffer.
func (b *bounds) chunk(r io.ReaderAt, from int, into *Soup, buf []byte) error {
	n, failed := r.ReadAt(buf, HeaderSize+binaryTriangle*int64(from))
	whole := n / binaryTriangle
	into.records = into.records[:recordSize*whole]
	if !b.unpack(into.records, buf) {
		for t := range whole {
			if err := fault(into.Triangle(t), from+t, b.reach); err != nil {
				return err
			}
		}
	}
	if binaryTriangle*whole < len(buf) {
		return fmt.Errorf("triangle %d: %w", from+whole+1, cannotRead(failed))
	}
	return nil
}

// unpack takes the corners of triangles out of binary STL. It reports whether all coordinates are numbers no farther than reach.
func (b *bounds) unpack(records, buf []byte) bool {
	// As whole numbers, a greater float32 has greater bits, and what is not a number has greater ones than infinity. So
	// the sum of the bits without their sign and past is 2^31 or more where something is beyond reach.
	const magnitude = 1<<31 - 1
	past := magnitude - math.Float32bits(b.reach)
	beyond := uint32(0)
	for ; len(records) > 0; records = records[recordSize:] {
		r, w := (*[recordSize]byte)(buf[12:48]), (*[recordSize]byte)(records)
		for k := 0; k < recordSize; k += 4 {
			beyond |= binary.LittleEndian.Uint32(r[k:k+4])&magnitude + past
		}
		*w = *r
		buf = buf[binaryTriangle:]
	}
	return beyond < 1<<31
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
