package fileset

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Target is where one file goes.
type Target struct {
	path   string // with symbolic links followed
	direct bool   // what is there already is written to: a device, a pipe, an open file of this process
}

// FileTarget follows the symbolic links of a name, whose last part need not exist. It refuses a folder.
func FileTarget(name string) (Target, error) {
	at := name
	for range 40 { // as many links as Linux follows
		clean := filepath.Clean(at)
		if strings.HasPrefix(clean, "/dev/") || strings.HasPrefix(clean, "/proc/") {
			if _, err := os.Stat(at); err != nil {
				return Target{}, fmt.Errorf("write %s: %w", name, Plain(err))
			}
			return Target{at, true}, nil
		}
		info, err := os.Lstat(at)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return Target{at, false}, nil
		case err != nil:
			return Target{}, denied(name, err)
		case info.IsDir():
			return Target{}, Refused{name, "it is a folder: name a file"}
		case info.Mode()&fs.ModeSymlink == 0:
			return Target{at, !info.Mode().IsRegular()}, nil
		}
		to, err := os.Readlink(at)
		if err != nil {
			return Target{}, denied(name, err)
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(at), to)
		}
		at = to
	}
	return Target{}, Refused{name, "its symbolic links lead nowhere: name a file"}
}

// Direct tells whether the data go into something that stays, such as a device or a pipe, rather than into a new file.
func (t Target) Direct() bool { return t.direct }

// Write puts the data into the target: a regular file is made beside its place, synced and moved in, and keeps its mode.
func (t Target) Write(data []byte) error {
	if t.direct {
		// Standard output by one of its names: opened anew it would have a place of its own in the file behind it.
		if there, err := os.Stat(t.path); err == nil {
			if out, err := os.Stdout.Stat(); err == nil && os.SameFile(there, out) {
				_, err := os.Stdout.Write(data)
				return wrap(t.path, err)
			}
		}
		file, err := os.OpenFile(t.path, os.O_WRONLY|os.O_APPEND, 0)
		if err != nil {
			return denied(t.path, err)
		}
		_, err = file.Write(data)
		return wrap(t.path, errors.Join(err, file.Close()))
	}
	made, err := makeFolder(filepath.Dir(t.path))
	if err != nil {
		return err
	}
	if err := t.replace(data); err != nil {
		removeEmpty(made)
		return err
	}
	return nil
}

func (t Target) replace(data []byte) error {
	dir := filepath.Dir(t.path)
	t.clear()
	mode := fs.FileMode(0)
	if info, err := os.Stat(t.path); err == nil {
		mode = info.Mode().Perm()
	}
	file, err := t.part()
	if err != nil {
		return denied(t.path, err)
	}
	// The lock tells others that this run is alive; it goes with the file, which by then has its own name.
	defer file.Close()
	_, err = file.Write(data)
	if err == nil && mode != 0 {
		err = file.Chmod(mode)
	}
	if err == nil {
		err = file.Sync()
	}
	if err == nil && !movesOpen {
		err = file.Close()
	}
	if err == nil {
		err = os.Rename(file.Name(), t.path)
	}
	if err != nil {
		_ = os.Remove(file.Name())
		return wrap(t.path, err)
	}
	return wrap(t.path, syncFolder(dir))
}

func wrap(at string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("write %s: %w", at, Plain(err))
}

// part makes a locked file beside the target, under a name of its own.
func (t Target) part() (*os.File, error) {
	for n := os.Getpid(); ; n++ {
		file, err := os.OpenFile(t.partName(strconv.Itoa(n)), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		held, err := tryLock(file)
		mine, err1 := file.Stat()
		there, err2 := os.Lstat(file.Name())
		if err == nil && !held || err1 != nil || err2 != nil || !os.SameFile(mine, there) { // another run took it for a dead one's
			file.Close()
			continue
		}
		return file, nil
	}
}

func (t Target) partName(n string) string {
	return filepath.Join(filepath.Dir(t.path), "."+filepath.Base(t.path)+"."+n+".part")
}

// clear takes away what dead runs left beside the target: parts that nobody holds.
func (t Target) clear() {
	entries, err := os.ReadDir(filepath.Dir(t.path))
	if err != nil {
		return
	}
	for _, e := range entries {
		n, ours := strings.CutPrefix(e.Name(), "."+filepath.Base(t.path)+".")
		n, ended := strings.CutSuffix(n, ".part")
		if _, err := strconv.Atoi(n); !ours || !ended || err != nil || !e.Type().IsRegular() {
			continue
		}
		file, err := os.OpenFile(t.partName(n), os.O_RDWR, 0)
		if err != nil {
			continue
		}
		if held, err := tryLock(file); err == nil && held {
			_ = os.Remove(file.Name())
		}
		file.Close()
	}
}

// least is the room that a target's file system must have before the work begins, in bytes: twice what a plan of a
// thousand welds takes with its maps.
const least = 32 << 20

// TryFolder says before the work whether files can be written to a folder, which need not exist: a file in its place, no
// permission, no room. It changes nothing.
func TryFolder(dir string) error {
	at, err := resolved(dir)
	if err != nil {
		return err
	}
	for named := dir; ; named = filepath.Dir(named) {
		info, err := os.Stat(at)
		if err == nil && !info.IsDir() {
			return Refused{named, "it is a file: name a folder"}
		}
		if err == nil || at == filepath.Dir(at) {
			break
		}
		at = filepath.Dir(at)
	}
	if err := writable(at); err != nil {
		return Refused{dir, Plain(err).Error() + ": name a place that you may write to"}
	}
	if room, known := free(at); known && room < least {
		return fmt.Errorf("write %s: %d MiB are free there, %d are wanted: make room, or name another place", dir, room>>20, least>>20)
	}
	return nil
}

// Try says before the work whether the target can be written. It changes nothing.
func (t Target) Try() error {
	if t.direct {
		return nil
	}
	return TryFolder(filepath.Dir(t.path))
}

// Path is where the file will be, with symbolic links followed.
func (t Target) Path() string { return t.path }
