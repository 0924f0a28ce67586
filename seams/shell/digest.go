package shell

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"seamwright/geometry/intake"
	"seamwright/internal/cache"
)

// taken is what was read of the files that a shell file names, by their names; "" is the shell file itself.
type taken struct {
	mu   sync.Mutex
	sums map[string]intake.Sum
	held map[string][]byte // panels' files that were read to be hashed, and are not taken apart yet
	room int64             // bytes that may still be held
}

// mostHeld bounds what is held of panels' files between hashing them and taking them apart, bytes: a larger one is read twice.
const mostHeld = 256 << 20

// Opened says that the shell was read from a file, and which bytes that had.
func (sh *Shell) Opened(sum intake.Sum) {
	sh.taken = &taken{sums: map[string]intake.Sum{"": sum}, room: mostHeld}
}

// Held gives the bytes of a panel's file if they are at hand since it was hashed. They are then the caller's.
func (sh *Shell) Held(name string) (data []byte, sum intake.Sum, ok bool) {
	if sh.taken == nil {
		return nil, intake.Sum{}, false
	}
	t := sh.taken
	t.mu.Lock()
	defer t.mu.Unlock()
	if data, ok = t.held[name]; ok {
		delete(t.held, name)
		t.room += int64(len(data))
	}
	return data, t.sums[name], ok
}

// LetGo forgets the bytes of panels' files that nobody asked for.
func (sh *Shell) LetGo() {
	if sh.taken == nil {
		return
	}
	sh.taken.mu.Lock()
	defer sh.taken.mu.Unlock()
	sh.taken.held, sh.taken.room = nil, 0
}

// hold reads a file as a whole if there is room for it.
func (t *taken) hold(name, path string) (intake.Sum, error) {
	t.mu.Lock()
	room := t.room
	t.mu.Unlock()
	data, sum, err := intake.ReadFile(path, room)
	if err != nil {
		return sum, err
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.held == nil {
		t.held = map[string][]byte{}
	}
	t.held[name], t.room = data, t.room-int64(len(data))
	return sum, nil
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
//
// Of panels' files read for it as much as mostHeld is held, so that they need not be read again (Held), until LetGo. A file that
// the cache knows by its name, size and time of change is not read.
func Digests(sh *Shell, c *cache.Cache) (digest string, files map[string][sha256.Size]byte, err error) {
	h := sha256.New()
	var all []string
	if sh.File != "" {
		all = append(all, "")
	}
	for _, f := range sh.Files() {
		all = append(all, f.Name)
	}
	slices.Sort(all)
	files = map[string][sha256.Size]byte{}
	for _, name := range slices.Compact(all) {
		sum, err := sh.sumOf(name, c)
		if err != nil {
			return "", nil, fmt.Errorf("digest: %w; check that it is still there", err)
		}
		// The lengths in front keep two sets of files from looking alike.
		fmt.Fprintf(h, "%d:%s %d:%x\n", len(name), name, sum.Size, sum.SHA256)
		files[name] = sum.SHA256
	}
	return hex.EncodeToString(h.Sum(nil)), files, nil
}

func (sh *Shell) sumOf(name string, c *cache.Cache) (intake.Sum, error) {
	if sum, ok := sh.took(name); ok {
		return sum, nil
	}
	path := sh.Path(name)
	if name == "" {
		path = sh.Path(sh.File)
	}
	sum, err := known(path, c, func() (intake.Sum, error) {
		if c != nil && sh.taken != nil && slices.ContainsFunc(sh.Panels, func(p Panel) bool { return name == p.Mesh || name == p.Outline }) {
			if sum, err := sh.taken.hold(name, path); err == nil {
				return sum, nil
			}
		}
		file, err := intake.Open(path)
		if err != nil {
			return intake.Sum{}, err
		}
		return file.Close() // reads it piece by piece
	})
	if err != nil {
		return sum, fmt.Errorf("%s cannot be read: %s", path, intake.Reason(err))
	}
	return sum, sh.Took(name, sum)
}

// settled is how long ago a file must have changed to be known by when it did: the clocks of file systems may not tell apart
// changes that follow at once.
const settled = 2 * time.Second

// known is a file's sum, from when it was read before and had the same size and time of change.
func known(path string, c *cache.Cache, read func() (intake.Sum, error)) (intake.Sum, error) {
	info, err := os.Stat(path)
	if c == nil || err != nil || !info.Mode().IsRegular() || time.Since(info.ModTime()) < settled {
		return read()
	}
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	var plain *cache.Cache // tests leave inputs out of keys of stages, which this is not
	key := plain.KeyOf("sum of file", cache.Input{Name: "path", Value: path}, cache.Input{Name: "size", Value: info.Size()},
		cache.Input{Name: "changed", Value: info.ModTime().UnixNano()})
	return cache.GetHere(c, key, read)
}

// Stated is what the shell states, without the folder that it lies in and what was read of its files.
func (sh *Shell) Stated() Shell {
	out := *sh
	out.Dir, out.taken = "", nil
	return out
}
