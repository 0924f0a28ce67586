package stl

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"sync"
	"sync/atomic"
)

// Sizes of binary STL in bytes: an 80-byte header and a 32-bit count, then the triangles.
const (
	HeaderSize     = 84
	binaryTriangle = 50
)

// loadBinary reads a binary file once its count agrees with its size. Bytes after the
// last triangle are left out with a note, unless they could be triangles that the header does not count.
func loadBinary(r io.ReaderAt, size, count int64, head []byte, b bounds) (*Soup, []string, error) {
	whole := (size - HeaderSize) / binaryTriangle
	rest := size - HeaderSize - count*binaryTriangle
	switch {
	case count == 0 && whole == 0:
		return nil, nil, errors.New("binary STL without triangles: export the panel again")
	case count == 0:
		return nil, nil, fmt.Errorf("the header counts no triangles, but %d would fit behind it: export the panel again", whole)
	case rest < 0 && count > int64(b.limit):
		return nil, nil, notSTL(head) // those four bytes are hardly a count
	case rest < 0:
		return nil, nil, fmt.Errorf("triangle %d: the file ends here, the header counts %d: %d missing, copy or export the file again",
			whole+1, count, count-whole)
	case count > int64(b.limit):
		return nil, nil, tooMany(count, b.limit)
	}
	var notes []string
	if rest > 0 {
		if rest%binaryTriangle == 0 && !zeros(r, size-rest, rest) {
			return nil, nil, fmt.Errorf("the header counts %d triangles, but %d fill the file: export the panel again", count, whole)
		}
		noun := "bytes"
		if rest == 1 {
			noun = "byte"
		}
		notes = append(notes, fmt.Sprintf("%d %s after the last triangle left out", rest, noun))
	}
	d := decoder{r: r, bounds: b, soup: &Soup{newRecords(int(count))}}
	if err := d.all(); err != nil {
		return nil, nil, err
	}
	return d.soup, notes, nil
}

// chunk is how many triangles are read at once: some 200 KB, which stay in the processor's cache while they are taken
// apart.
const chunk = 4096

// decoder takes binary triangles apart, chunk by chunk, on several workers.
type decoder struct {
	r    io.ReaderAt
	soup *Soup
	bounds
	next  atomic.Int64 // the next chunk
	stop  atomic.Bool  // a fault was found: no later chunk is begun
	mu    sync.Mutex
	first int // chunk of the first fault
	err   error
}

// all reads every chunk or gives the fault that comes first in the file.
func (d *decoder) all() error {
	chunks := (d.soup.Len() + chunk - 1) / chunk
	var wait sync.WaitGroup
	for range min(d.workers, chunks) - 1 {
		wait.Go(func() { d.some(chunks) })
	}
	d.some(chunks)
	wait.Wait()
	return d.err
}

func (d *decoder) some(chunks int) {
	buf := make([]byte, binaryTriangle*min(chunk, d.soup.Len()))
	for !d.stop.Load() {
		at := int(d.next.Add(1)) - 1
		if at >= chunks {
			return
		}
		if err := d.chunk(at*chunk, buf); err != nil {
			d.stop.Store(true)
			d.mu.Lock()
			if d.err == nil || at < d.first {
				d.first, d.err = at, err
			}
			d.mu.Unlock()
		}
	}
}

// chunk reads the triangles from one on.
func (d *decoder) chunk(from int, buf []byte) error {
	count := min(chunk, d.soup.Len()-from)
	n, failed := d.r.ReadAt(buf[:binaryTriangle*count], HeaderSize+binaryTriangle*int64(from))
	whole := n / binaryTriangle
	if !d.unpack(from, from+whole, buf) {
		for t := from; t < from+whole; t++ {
			if err := fault(d.soup.Triangle(t), t, d.reach); err != nil {
				return err
			}
		}
	}
	if whole < count {
		return fmt.Errorf("triangle %d: %w", from+whole+1, cannotRead(failed))
	}
	return nil
}

// unpack takes the corners of triangles from one on up to another out of binary STL. It reports whether all coordinates are
// numbers no farther than reach.
func (d *decoder) unpack(from, to int, buf []byte) bool {
	// As whole numbers, a greater float32 has greater bits, and what is not a number has greater ones than infinity. So
	// the sum of the bits without their sign and past is 2^31 or more where something is beyond reach.
	const magnitude = 1<<31 - 1
	past := magnitude - math.Float32bits(d.reach)
	beyond := uint32(0)
	for records := d.soup.records[recordSize*from : recordSize*to]; len(records) > 0; records = records[recordSize:] {
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
