package shell

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sync"

	"seamwright/geometry/intake"
)

// taken is what was read of the files that a shell file names, by their names; "" is the shell file itself.
type taken struct {
	mu   sync.Mutex
	sums map[string]intake.Sum
}

// Took tells the shell what was read of a file that it names, so that Digest speaks of those very bytes. It is an error
// when other bytes were read of the same file before.
func (sh *Shell) Took(name string, sum intake.Sum) error {
	if sh.taken == nil {
		return nil // a shell that was not read from a file
	}
	sh.taken.mu.Lock()
	defer sh.taken.mu.Unlock()
	if before, ok := sh.taken.sums[name]; ok && before != sum {
		return fmt.Errorf("file %s: changed since it was first read: let it be written to its end, then run again", sh.Path(name))
	}
	sh.taken.sums[name] = sum
	return nil
}

func (sh *Shell) took(name string) (intake.Sum, bool) {
	if sh.taken == nil {
		return intake.Sum{}, false
	}
	sh.taken.mu.Lock()
	defer sh.taken.mu.Unlock()
	sum, ok := sh.taken.sums[name]
	return sum, ok
}

// Digests are the SHA-256, in hexadecimal, of the shell file's bytes and of the name and bytes of every file that it
// names, each once, in the order of their names, and the SHA-256 of each file by its name. The first stays the same when the
// folder moves. The bytes are those that were read (see Took); a file that was not read yet is read now, and it is an error
// when other bytes are read of it later.
func Digests(sh *Shell) (digest string, files map[string][sha256.Size]byte, err error) {
	h := sha256.New()
	var all []string
	if sh.File != "" {
		all = append(all, "")
	}
	for _, f := range sh.files() {
		all = append(all, f.name)
	}
	slices.Sort(all)
	files = map[string][sha256.Size]byte{}
	for _, name := range slices.Compact(all) {
		sum, err := sh.sumOf(name)
		if err != nil {
			return "", nil, fmt.Errorf("digest: %w; check that it is still there", err)
		}
		// The lengths in front keep two sets of files from looking alike.
		fmt.Fprintf(h, "%d:%s %d:%x\n", len(name), name, sum.Size, sum.SHA256)
		files[name] = sum.SHA256
	}
	return hex.EncodeToString(h.Sum(nil)), files, nil
}

func (sh *Shell) sumOf(name string) (intake.Sum, error) {
	if sum, ok := sh.took(name); ok {
		return sum, nil
	}
	path := sh.Path(name)
	if name == "" {
		path = sh.Path(sh.File)
	}
	var sum intake.Sum
	file, err := intake.Open(path)
	if err == nil {
		sum, err = file.Close() // reads it piece by piece
	}
	if err != nil {
		return sum, fmt.Errorf("%s cannot be read: %s", path, reason(err))
	}
	return sum, sh.Took(name, sum)
}

// Stated is what the shell states, without the folder that it lies in and what was read of its files.
func (sh *Shell) Stated() Shell {
	out := *sh
	out.Dir, out.taken = "", nil
	return out
}
