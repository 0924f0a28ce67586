package mesh

import (
	"os"
	"sync"
	"sync/atomic"

	"seamwright/geometry/space"
)

// SoupFile is what ReadSoupFiles read from one file.
type SoupFile struct {
	Soup  *Soup
	Notes []string
	Err   error
}

// ReadSoupFiles is ReadSoupFile for many files, Options.Workers at a time. The triangles of all lie in one block of
// memory, which is freed when none of the soups is used any more.
func ReadSoupFiles(paths []string, opt Options) []SoupFile {
	read := make([]SoupFile, len(paths))
	rooms := roomFor(paths, opt)
	one := opt
	workers := max(1, min(opt.Workers, len(paths)))
	if workers < opt.Workers || len(paths) < 2*workers {
		workers = 1 // few files: all workers on each
	} else {
		one.Workers = 1
	}
	var next atomic.Int64
	work := func() {
		for i := next.Add(1) - 1; i < int64(len(paths)); i = next.Add(1) - 1 {
			read[i] = readInto(paths[i], one, rooms[i])
		}
	}
	var wait sync.WaitGroup
	for range workers - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
	return read
}

func readInto(path string, opt Options, room []byte) (f SoupFile) {
	file, size, err := open(path)
	if err != nil {
		f.Err = err
		return f
	}
	defer file.Close()
	f.Soup, f.Notes, f.Err = readSoup(file, size, path, opt, room)
	return f
}

// roomFor is room for the triangles of each file, should it be binary, in one block. A file of which nothing is known gets
// none, and says why when it is read.
func roomFor(paths []string, opt Options) [][]byte {
	limit := newBounds(space.Millimetre, opt).limit
	counts := make([]int, len(paths))
	all := 0
	for i, path := range paths {
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() && isBinary(path, info.Size()) {
			if n := int((info.Size() - binaryHeader) / binaryTriangle); n <= limit {
				counts[i] = n
				all += n
			}
		}
	}
	block := newRecords(all)
	rooms := make([][]byte, len(paths))
	for i, n := range counts {
		rooms[i], block = block[:RecordSize*n], block[RecordSize*n:]
	}
	return rooms
}

// isBinary reports whether a file's count of triangles agrees with its size.
func isBinary(path string, size int64) bool {
	file, err := os.Open(path)
	if err != nil {
		return false
	}
	defer file.Close()
	head := make([]byte, binaryHeader)
	if _, err := file.ReadAt(head, 0); err != nil {
		return false
	}
	return binaryHeader+binaryTriangle*countOf(head) == size
}
