package fileset

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
)

// journal makes the files in .next, lists them in its manifest, which makes the step certain, and then moves them one by
// one. A move that fails is taken back with those before it. A run that dies before the manifest is there has changed
// nothing; one that dies after it is finished by recoverJournal. keep leaves the manifest in the folder.
func (s *set) journal(ctx context.Context, keep bool) (err error) {
	next := filepath.Join(s.dir, nextName)
	if err := os.Mkdir(next, 0o700); err != nil {
		return denied(next, err)
	}
	defer func() { _ = os.RemoveAll(next) }() // what is left is cleared by the next run
	if err := s.fill(ctx, next); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	part := filepath.Join(next, manifestName+".part")
	if err := create(part, s.manifest(), 0); err != nil {
		return s.failed(manifestName, err)
	}
	if len(s.names) > 1 || keep { // one file alone needs no list: it is moved or not
		if err := os.Rename(part, filepath.Join(next, manifestName)); err != nil {
			return s.failed(manifestName, err)
		}
		if err := syncFolder(next); err != nil {
			return s.failed(manifestName, err)
		}
	}
	if err := s.move(next); err != nil {
		return err
	}
	for _, name := range s.stale { // before the manifest leaves: a run that dies here is finished by what it lists
		_ = os.Remove(filepath.Join(s.dir, filepath.FromSlash(name)))
	}
	if keep {
		if err := os.Rename(filepath.Join(next, manifestName), filepath.Join(s.dir, manifestName)); err != nil {
			return s.failed(manifestName, err)
		}
	}
	return s.syncAll()
}

// move moves every file into its place; where one fails, those before it are put back.
func (s *set) move(next string) (err error) {
	before := filepath.Join(next, ".before")
	var moved []string
	defer func() {
		if err == nil {
			return
		}
		_ = os.Remove(filepath.Join(next, manifestName)) // nothing is left for the next run to finish
		for _, name := range slices.Backward(moved) {
			at := filepath.Join(s.dir, filepath.FromSlash(name))
			if os.Rename(filepath.Join(before, filepath.FromSlash(name)), at) != nil {
				_ = os.Remove(at) // there was none
			}
		}
	}()
	for _, name := range s.names {
		at := filepath.Join(s.dir, filepath.FromSlash(name))
		kept := filepath.Join(before, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o777), os.MkdirAll(filepath.Dir(kept), 0o777)); err != nil {
			return s.failed(name, err)
		}
		if err := os.Link(at, kept); err != nil && !errors.Is(err, fs.ErrNotExist) {
			if err := copyFile(at, kept); err != nil {
				return s.failed(name, err)
			}
		}
		if err := os.Rename(filepath.Join(next, filepath.FromSlash(name)), at); err != nil {
			return s.failed(name, err)
		}
		moved = append(moved, name)
	}
	return nil
}

// copyFile keeps a file on a file system without hard links.
func copyFile(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return create(to, data, 0)
}

func (s *set) syncAll() error {
	folders := []string{"."}
	for _, name := range s.names {
		if up := path.Dir(name); !slices.Contains(folders, up) {
			folders = append(folders, up)
		}
	}
	for _, at := range folders {
		if err := syncFolder(filepath.Join(s.dir, filepath.FromSlash(at))); err != nil {
			return s.failed(at, err)
		}
	}
	return nil
}

// recoverJournal finishes the moves of a run that died among them, and clears what one left that died before.
func (s *set) recoverJournal() error {
	next := filepath.Join(s.dir, nextName)
	if info, err := os.Lstat(next); err != nil || !info.IsDir() {
		return nil
	}
	listed, whole := readManifest(next)
	if whole {
		earlier, keep := readManifest(s.dir)
		names := make([]string, 0, len(listed))
		for name := range listed {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			from, to := filepath.Join(next, filepath.FromSlash(name)), filepath.Join(s.dir, filepath.FromSlash(name))
			if _, err := os.Lstat(from); errors.Is(err, fs.ErrNotExist) {
				continue // moved by then
			}
			if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
				return s.failed(name, err)
			}
			if err := os.Rename(from, to); err != nil {
				return fmt.Errorf("finish what an earlier run began: %w", s.failed(name, err))
			}
		}
		if keep {
			for name := range earlier {
				if _, still := listed[name]; !still {
					_ = os.Remove(filepath.Join(s.dir, filepath.FromSlash(name)))
				}
			}
			if err := os.Rename(filepath.Join(next, manifestName), filepath.Join(s.dir, manifestName)); err != nil {
				return s.failed(manifestName, err)
			}
		}
	}
	return os.RemoveAll(next)
}
