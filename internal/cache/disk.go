package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync/atomic"
	"time"
)

// DefaultLimit is the size in bytes up to which a folder of kept results may grow.
const DefaultLimit = 512 << 20

// magic begins every entry; another number is another layout.
const magic = "seamwright kept 1\n"

// disk is a folder with a file for each result: magic, the SHA-256 of what follows, and the result by encoding/gob. Files
// are written beside their places and moved in, so that several runs at once, and one that is cut off, do no harm.
type disk struct {
	dir     string
	limit   int64
	program Key          // results of another program are not looked at
	added   atomic.Int64 // bytes since the folder was last seen to be below its limit
	closed  atomic.Bool  // nothing more is written
}

// Folder is where results are kept between runs: in the user's cache folder. It fails where there is none, as without a home
// folder.
func Folder() (string, error) {
	base, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("there is no cache folder: %w", err)
	}
	return filepath.Join(base, "seamwright"), nil
}

// OnDisk keeps results in a folder too, of up to limit bytes. It is made when the first result is.
func OnDisk(dir string, limit int64) (*Cache, error) {
	program, err := Program()
	if err != nil {
		return nil, err
	}
	c := New()
	c.disk = &disk{dir: dir, limit: limit, program: program}
	return c, nil
}

// Program is the hash of the program that runs.
func Program() (Key, error) {
	path, err := os.Executable()
	if err != nil {
		return Key{}, fmt.Errorf("the running program's file is not known: %w", err)
	}
	f, err := os.Open(path)
	if err != nil {
		return Key{}, fmt.Errorf("the running program cannot be read: %w", err)
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return Key{}, fmt.Errorf("the running program cannot be read: %w", err)
	}
	return Key(h.Sum(nil)), nil
}

func (d *disk) path(key Key) string {
	sum := sha256.Sum256(append(d.program[:], key[:]...))
	name := hex.EncodeToString(sum[:])
	return filepath.Join(d.dir, name[:2], name[2:])
}

// read fills a result from its file, and reports whether it is there and whole.
func (d *disk) read(key Key, result any) bool {
	if d == nil {
		return false
	}
	path := d.path(key)
	data, err := os.ReadFile(path)
	if err != nil {
		return false
	}
	const head = len(magic) + sha256.Size
	if len(data) < head || string(data[:len(magic)]) != magic {
		return false
	}
	if sum := sha256.Sum256(data[head:]); !bytes.Equal(sum[:], data[len(magic):head]) {
		return false
	}
	if gob.NewDecoder(bytes.NewReader(data[head:])).Decode(result) != nil {
		return false
	}
	if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) > time.Hour {
		_ = os.Chtimes(path, time.Time{}, time.Now()) // what was asked for last goes last
	}
	return true
}

// write puts a result into its file. Where that fails nothing is kept: the result is there all the same.
func (d *disk) write(key Key, result any) {
	if d == nil || d.closed.Load() {
		return
	}
	var body bytes.Buffer
	if gob.NewEncoder(&body).Encode(result) != nil {
		return
	}
	sum := sha256.Sum256(body.Bytes())
	path := d.path(key)
	if os.MkdirAll(filepath.Dir(path), 0o700) != nil {
		return
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return
	}
	_, err = f.Write(slices.Concat([]byte(magic), sum[:], body.Bytes()))
	if closed := f.Close(); err != nil || closed != nil || os.Rename(f.Name(), path) != nil {
		_ = os.Remove(f.Name())
		return
	}
	if d.added.Add(int64(body.Len())) > d.limit/8 { // a process that goes on must not wait for its end
		_ = d.trim()
	}
}

// StopWriting keeps what is made from now on in memory only, as where many results are made that no later run asks for.
func (c *Cache) StopWriting() {
	if c != nil && c.disk != nil {
		c.disk.closed.Store(true)
	}
}

// Close brings the folder back below its limit, if something was added: what was asked for longest ago goes first.
func (c *Cache) Close() error {
	if c == nil || c.disk == nil || c.disk.added.Load() == 0 {
		return nil
	}
	return c.disk.trim()
}

func (d *disk) trim() error {
	d.added.Store(0)
	files, size, err := list(d.dir)
	if err != nil {
		return err
	}
	slices.SortFunc(files, func(a, b file) int { return a.used.Compare(b.used) })
	for _, f := range files {
		if size <= d.limit {
			break
		}
		if err := os.Remove(f.path); err == nil || os.IsNotExist(err) {
			size -= f.size
		}
	}
	return nil
}

type file struct {
	path string
	size int64
	used time.Time
}

// list is the files below a folder; none where it is not there. One that goes meanwhile is passed over.
func list(dir string) (files []file, size int64, err error) {
	err = filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if os.IsNotExist(err) {
				return nil
			}
			return err
		}
		if info, err := e.Info(); err == nil {
			files = append(files, file{path, info.Size(), info.ModTime()})
			size += info.Size()
		}
		return nil
	})
	return files, size, err
}

// Size is how many results a folder holds, and how many bytes.
func Size(dir string) (results int, bytes int64, err error) {
	files, size, err := list(dir)
	return len(files), size, err
}

// Clear removes what is kept in a folder, and nothing that is not: only files where results are put.
func Clear(dir string) error {
	entries, err := os.ReadDir(dir)
	if os.IsNotExist(err) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range entries {
		if _, err := hex.DecodeString(e.Name()); err == nil && len(e.Name()) == 2 && e.IsDir() {
			if err := os.RemoveAll(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	if err := os.Remove(dir); err != nil && !os.IsNotExist(err) {
		return nil // something else is in it
	}
	return nil
}
