// Package fileset writes the files of one result so that all of them are of the same run, whatever happens meanwhile:
// a kill, a full disk, a second run into the same folder.
//
//	err := fileset.Write(ctx, "plan", map[string][]byte{"plan.json": plan, "maps/left-1.svg": left}, fileset.Options{})
//
// A folder of ours carries a list of what is in it, .manifest, in the form that sha256sum -c reads. On Linux the new folder
// is made beside the old one and the two are exchanged in one step (exchange.go). Where that cannot be done, and where a
// few files go into somebody else's folder, they are made in .next within it and then moved one by one, after those that give way,
// so that a run that was cut off among the moves leaves fewer files, never those of two runs; the next run finishes it (journal.go),
// and Check tells a reader meanwhile. Everything is synced
// before it counts. What is not ours in the folder stays.
//
// Errors name the file and the reason, and leave what was there before. Those of type Refused are for the caller's user to
// mend: a folder in the way of a file, or no permission.
package fileset

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

const (
	manifestName = ".manifest" // what a folder of ours holds
	lockName     = ".lock"     // held while a folder is written to
	nextName     = ".next"     // what a journal has not moved yet
)

// Options say what else belongs to a set.
type Options struct {
	// Ours tells whether a file found in a folder without a manifest, by its name below the folder, was written by an
	// earlier run: such files go when the new set does not hold them. Nil: none was.
	Ours func(name string) bool
	// Journal moves the files one by one even where folders can be exchanged.
	Journal bool
}

// Refused is a target that cannot be written as it is named.
type Refused struct {
	Path   string
	Reason string
}

func (r Refused) Error() string { return fmt.Sprintf("write %s: %s", r.Path, r.Reason) }

// Write makes dir, which is created where it does not exist, hold the files, named by slash-separated paths below it, and
// none of an earlier set that this one does not have; those are returned, sorted. It waits for other runs that write there.
func Write(ctx context.Context, dir string, files map[string][]byte, opt Options) (removed []string, err error) {
	dir, err = resolved(dir)
	if err != nil {
		return nil, err
	}
	made, err := makeFolder(dir)
	if err != nil {
		return nil, err
	}
	lock, err := acquire(ctx, dir)
	if err != nil {
		removeEmpty(made)
		return nil, err
	}
	defer func() {
		lock.release()
		if err != nil {
			removeEmpty(made)
		}
	}()
	s := set{dir: dir, files: files, names: sortedNames(files)}
	if err := s.recover(opt); err != nil {
		return nil, err
	}
	if err := s.survey(opt); err != nil {
		return nil, err
	}
	if !opt.Journal {
		done, err := s.exchange(ctx, opt)
		if done || err != nil {
			return s.stale, err
		}
	}
	return s.stale, s.journal(ctx, true)
}

// WriteInto puts the files into a folder that is not ours: nothing else in it is touched and no manifest stays. One file
// alone is moved in with one step.
func WriteInto(ctx context.Context, dir string, files map[string][]byte) (err error) {
	dir, err = resolved(dir)
	if err != nil {
		return err
	}
	made, err := makeFolder(dir)
	if err != nil {
		return err
	}
	lock, err := acquire(ctx, dir)
	if err != nil {
		removeEmpty(made)
		return err
	}
	defer func() {
		lock.release()
		if err != nil {
			removeEmpty(made)
		}
	}()
	s := set{dir: dir, files: files, names: sortedNames(files)}
	if err := s.recoverJournal(); err != nil {
		return err
	}
	if err := s.inTheWay(); err != nil {
		return err
	}
	return s.journal(ctx, false)
}

// set is one folder about to be written.
type set struct {
	dir     string
	files   map[string][]byte
	names   []string // of files, sorted
	stale   []string // files of the earlier set that this one does not have, sorted
	foreign []string // what is not ours, by its name below dir; folders before what is in them
}

func sortedNames(files map[string][]byte) []string {
	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// survey finds what is stale and what is foreign in the folder, and whether anything is in the way.
func (s *set) survey(opt Options) error {
	if err := s.inTheWay(); err != nil {
		return err
	}
	old, known := readManifest(s.dir)
	folders := map[string]bool{}
	for _, name := range s.names {
		for at := path.Dir(name); at != "."; at = path.Dir(at) {
			folders[at] = true
		}
	}
	for name := range old {
		for at := path.Dir(name); at != "."; at = path.Dir(at) {
			folders[at] = true
		}
	}
	err := filepath.WalkDir(s.dir, func(at string, e fs.DirEntry, err error) error {
		name := s.name(at)
		switch {
		case err != nil:
			return fmt.Errorf("look through %s: %w", s.dir, Plain(err))
		case at == s.dir || name == manifestName || name == lockName:
			return nil
		case e.IsDir():
			if !folders[name] {
				s.foreign = append(s.foreign, name)
			}
			return nil
		}
		if _, ours := s.files[name]; ours {
			return nil
		}
		_, listed := old[name]
		if listed || !known && opt.Ours != nil && opt.Ours(name) {
			s.stale = append(s.stale, name)
		} else {
			s.foreign = append(s.foreign, name)
		}
		return nil
	})
	slices.Sort(s.stale)
	return err
}

// inTheWay refuses a folder or a device under the name of a file, and a file under that of a folder.
func (s *set) inTheWay() error {
	for _, name := range s.names {
		at := filepath.Join(s.dir, filepath.FromSlash(name))
		if info, err := os.Lstat(at); err == nil && !info.Mode().IsRegular() {
			what := "a link or device"
			if info.IsDir() {
				what = "a folder"
			}
			return Refused{at, what + " is in the way: move it away, or name another folder"}
		}
		for up := path.Dir(name); up != "."; up = path.Dir(up) {
			at := filepath.Join(s.dir, filepath.FromSlash(up))
			if info, err := os.Stat(at); err == nil && !info.IsDir() {
				return Refused{at, "a file is in the way of a folder: move it away, or name another folder"}
			}
		}
	}
	return nil
}

func (s *set) name(at string) string {
	name, err := filepath.Rel(s.dir, at)
	if err != nil {
		return at
	}
	return filepath.ToSlash(name)
}

// fill writes the files below a folder and syncs them and every folder.
func (s *set) fill(ctx context.Context, into string) error {
	folders := []string{into}
	for _, name := range s.names {
		if err := ctx.Err(); err != nil {
			return err
		}
		at := filepath.Join(into, filepath.FromSlash(name))
		if up := filepath.Dir(at); !slices.Contains(folders, up) {
			if err := os.MkdirAll(up, 0o777); err != nil {
				return s.failed(name, err)
			}
			folders = append(folders, up)
		}
		if err := create(at, s.files[name], s.modeOf(name)); err != nil {
			return s.failed(name, err)
		}
	}
	for _, at := range folders {
		if err := syncFolder(at); err != nil {
			return s.failed(s.name(at), err)
		}
	}
	return nil
}

// modeOf is the mode of the file that is replaced, or what the umask leaves of a new one's.
func (s *set) modeOf(name string) fs.FileMode {
	if info, err := os.Stat(filepath.Join(s.dir, filepath.FromSlash(name))); err == nil && info.Mode().IsRegular() {
		return info.Mode().Perm()
	}
	return 0
}

func (s *set) failed(name string, err error) error {
	return fmt.Errorf("write %s: %w", filepath.Join(s.dir, filepath.FromSlash(name)), Plain(err))
}

// manifest lists the files by hash and name.
func (s *set) manifest() []byte {
	var b bytes.Buffer
	for _, name := range s.names {
		sum := sha256.Sum256(s.files[name])
		fmt.Fprintf(&b, "%s  %s\n", hex.EncodeToString(sum[:]), name)
	}
	return b.Bytes()
}

// readManifest is what the folder's manifest lists, hashes by name; known is false where there is no whole one.
func readManifest(dir string) (files map[string]string, known bool) {
	return readList(filepath.Join(dir, manifestName))
}

func readList(at string) (files map[string]string, whole bool) {
	text, err := os.ReadFile(at)
	if err != nil || len(text) == 0 || text[len(text)-1] != '\n' {
		return nil, false
	}
	files = map[string]string{}
	for line := range strings.Lines(string(text)) {
		hash, name, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  ")
		if !ok || len(hash) != 2*sha256.Size || !fs.ValidPath(name) {
			return nil, false
		}
		files[name] = hash
	}
	return files, true
}

// Check tells whether a file that was read is the one that the manifest beside it lists; nil also where there is no
// manifest or it does not list the file. A run that was cut off among its moves has left some out.
func Check(file string, data []byte) error {
	files, known := readManifest(filepath.Dir(file))
	hash, listed := files[filepath.Base(file)]
	_, err := os.Lstat(filepath.Join(filepath.Dir(file), nextName, manifestName))
	sum := sha256.Sum256(data)
	if err == nil || known && listed && hash != hex.EncodeToString(sum[:]) {
		return fmt.Errorf("%s: not of one run with the files beside it: it was changed, or a run was cut off: plan into that folder again",
			file)
	}
	return nil
}

// makeFolder makes a folder and those above it; it returns those that it made, the innermost first.
func makeFolder(dir string) (made []string, err error) {
	for at := dir; ; at = filepath.Dir(at) {
		info, err := os.Stat(at)
		if err == nil && !info.IsDir() {
			return nil, Refused{at, "it is a file: name a folder"}
		}
		if err == nil || at == filepath.Dir(at) {
			break
		}
		made = append(made, at)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		removeEmpty(made)
		return nil, denied(dir, err)
	}
	return made, nil
}

// removeEmpty takes folders away that were made for nothing.
func removeEmpty(made []string) {
	for _, dir := range made {
		_ = os.Remove(dir)
	}
}

// resolved is the folder itself where a symbolic link names it.
func resolved(dir string) (string, error) {
	absolute, err := filepath.Abs(dir)
	if err != nil {
		return "", fmt.Errorf("folder %s: %w", dir, err)
	}
	if real, err := filepath.EvalSymlinks(absolute); err == nil {
		return real, nil
	}
	return absolute, nil
}

// create writes a new file and syncs it. Mode 0 leaves the mode to the umask.
func create(at string, data []byte, mode fs.FileMode) error {
	file, err := os.OpenFile(at, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	return finish(file, data, mode)
}

// finish writes to a file just made, syncs and closes it.
func finish(file *os.File, data []byte, mode fs.FileMode) error {
	_, err := file.Write(data)
	if err == nil && mode != 0 {
		err = file.Chmod(mode)
	}
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// denied is a Refused where the user has to mend the permission, and a plain failure otherwise.
func denied(at string, err error) error {
	if errors.Is(err, fs.ErrPermission) {
		return Refused{at, Plain(err).Error() + ": name a place that you may write to"}
	}
	return fmt.Errorf("write %s: %w", at, Plain(err))
}

// Plain is the operating system's reason without the path, which the caller names.
func Plain(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
