// Package intake reads input files once: within a bound that is counted while reading, with the SHA-256 of the very bytes
// that were read, and with an error when a file changed meanwhile.
//
//	data, sum, err := intake.ReadFile("points.csv", 16<<20)
//	if err != nil { … } // file points.csv: is larger than 16 MiB: …
//	fmt.Printf("%x\n", sum.SHA256)
package intake

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"sync"
	"time"
)

// Sum is what was read of a file. The zero value is of a file that was not read.
type Sum struct {
	Size   int64 // bytes
	SHA256 [sha256.Size]byte
}

// ErrChanged is the cause of the error for a file that changed while it was read.
var ErrChanged = errors.New("changed while it was read: let it be written to its end, then run again")

// TooLargeError is the cause of the error for a file beyond its bound.
type TooLargeError struct{ Most int64 }

func (e *TooLargeError) Error() string {
	if e.Most < 1<<20 {
		return fmt.Sprintf("is larger than %d bytes", e.Most)
	}
	return fmt.Sprintf("is larger than %d MiB", e.Most>>20)
}

// ReadFile reads a file as a whole, most bytes of it at most. Errors name the file.
func ReadFile(path string, most int64) ([]byte, Sum, error) {
	f, err := Open(path)
	if err != nil {
		return nil, Sum{}, err
	}
	data, err := f.all(most)
	sum, closing := f.Close()
	if err == nil {
		err = closing
	}
	if err != nil {
		return nil, Sum{}, fmt.Errorf("file %s: %w", path, err)
	}
	return data, sum, nil
}

// File is a file open for reading. Its bytes are hashed as they pass, in whatever order and by however many readers at
// once ReadAt is called.
type File struct {
	file    *os.File
	size    int64
	changed time.Time // when last, as the file stood at the start

	mu     sync.Mutex
	hash   hash.Hash        // nil where no sum is asked for
	next   int64            // bytes before this one are hashed
	parked map[int64][]byte // what was read further on, until it is its turn
}

// Open opens a file, not a folder. Errors name the file.
func Open(path string) (*File, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("file %s: cannot be read: %w: check its name and that it may be read", path, bare(err))
	}
	f, err := Of(file)
	if err != nil {
		_ = file.Close()
		return nil, fmt.Errorf("file %s: %w", path, err)
	}
	return f, nil
}

// Of takes over a file that has just been opened.
func Of(file *os.File) (*File, error) {
	info, err := file.Stat()
	if err == nil && info.IsDir() {
		err = errors.New("is a folder: name a file")
	}
	if err != nil {
		return nil, bare(err)
	}
	return &File{file: file, size: info.Size(), changed: info.ModTime(), hash: sha256.New(), parked: map[int64][]byte{}}, nil
}

// Unsummed spares the hash of a file of which nothing has been read yet: its sum is zero. Whether it changed is still told.
func (f *File) Unsummed() { f.hash = nil }

// bare drops the path that the operating system's error repeats.
func bare(err error) error {
	var at *os.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// all reads from the start to the end.
func (f *File) all(most int64) ([]byte, error) {
	if f.size > most {
		return nil, &TooLargeError{most}
	}
	var b bytes.Buffer
	b.Grow(int(f.size) + bytes.MinRead)
	n, err := b.ReadFrom(io.LimitReader(f.file, most+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", bare(err))
	}
	if n > most {
		return nil, &TooLargeError{most}
	}
	f.hash.Write(b.Bytes())
	f.next = n
	return b.Bytes(), nil
}

// ReadAt is io.ReaderAt.
func (f *File) ReadAt(p []byte, at int64) (int, error) {
	n, err := f.file.ReadAt(p, at)
	if f.hash != nil {
		f.mu.Lock()
		defer f.mu.Unlock()
		f.pass(p[:n], at)
	}
	return n, err
}

// parkable is how far ahead of the hash what was read is kept. Readers that share a file out are a few chunks apart; what
// is read further ahead is read again for the hash.
const parkable = 16 << 20

// pass takes bytes that were read into the hash, each once.
func (f *File) pass(p []byte, at int64) {
	end := at + int64(len(p))
	switch {
	case end <= f.next:
		return
	case at > f.next && end <= f.next+parkable:
		f.parked[at] = bytes.Clone(p)
		return
	case at > f.next:
		return
	}
	f.hash.Write(p[f.next-at:])
	f.next = end
	for again := true; again; {
		again = false
		for at, p := range f.parked {
			if at > f.next {
				continue
			}
			delete(f.parked, at)
			if end := at + int64(len(p)); end > f.next {
				f.hash.Write(p[f.next-at:])
				f.next, again = end, true
			}
		}
	}
}

// Close closes the file and gives the sum of its bytes. What was passed over is read for it; a file that is not as it
// was when it was opened is an error.
func (f *File) Close() (Sum, error) {
	defer f.file.Close()
	buf := make([]byte, 1<<16)
	for f.hash != nil && f.next < f.size {
		n, err := f.file.ReadAt(buf[:min(int64(len(buf)), f.size-f.next)], f.next)
		f.pass(buf[:n], f.next)
		if n == 0 && err != nil {
			return Sum{}, ErrChanged // it is shorter than it was
		}
	}
	info, err := f.file.Stat()
	if err != nil {
		return Sum{}, bare(err)
	}
	if info.Mode().IsRegular() && (info.Size() != f.size || f.hash != nil && f.next != f.size || !info.ModTime().Equal(f.changed)) {
		return Sum{}, ErrChanged
	}
	if f.hash == nil {
		return Sum{}, nil
	}
	return Sum{Size: f.next, SHA256: [sha256.Size]byte(f.hash.Sum(nil))}, nil
}

// Reason is the operating system's own word for why a file cannot be read.
func Reason(err error) string {
	for inner := err; inner != nil; inner = errors.Unwrap(inner) {
		err = inner
	}
	return err.Error()
}
