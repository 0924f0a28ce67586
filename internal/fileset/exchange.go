package fileset

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// mostForeign are the files of others that are linked into the new folder; where there are more, files are moved one by
// one.
const mostForeign = 1000

// beside is where the folder's successor is made, and where its predecessor is for a moment.
func beside(dir string) string {
	return filepath.Join(filepath.Dir(dir), "."+filepath.Base(dir)+".next")
}

// exchange makes the whole new folder beside the old one, with hard links to what is not ours, and exchanges the two in one
// step. done is false, and nothing has happened, where that cannot be: on another system, where the folder is the root of
// a file system or one that cannot link, where somebody else's folder holds it and cannot be written to, where too much in
// it is not ours, or where this program was called from within it, whose caller would be left in a folder that is gone.
func (s *set) exchange(ctx context.Context, opt Options) (done bool, err error) {
	if !canExchange || len(s.foreign) > mostForeign || s.calledFromWithin() {
		return false, nil
	}
	next := beside(s.dir)
	if err := os.Mkdir(next, 0o700); err != nil {
		return false, nil
	}
	defer func() {
		if !done {
			clearFolder(next)
		}
	}()
	if s.like(next) != nil || create(filepath.Join(next, manifestName), s.manifest(), 0) != nil {
		return false, nil
	}
	if err := s.fill(ctx, next); err != nil {
		return false, err
	}
	if !s.linkForeign(next) || syncFolder(next) != nil {
		return false, nil
	}
	if err := ctx.Err(); err != nil {
		return false, err
	}
	if exchangeFolders(next, s.dir) != nil {
		return false, nil
	}
	_ = syncFolder(filepath.Dir(s.dir)) // exchanged already: an error changes nothing
	s.rescue(next, opt)
	clearFolder(next)
	return true, nil
}

// calledFromWithin tells whether the working folder is the folder or below it.
func (s *set) calledFromWithin() bool {
	here, err := os.Getwd()
	if err != nil {
		return true
	}
	here, err = filepath.EvalSymlinks(here)
	return err != nil || here == s.dir || strings.HasPrefix(here, s.dir+string(filepath.Separator))
}

// like gives the new folder the old one's mode and owner.
func (s *set) like(next string) error {
	info, err := os.Stat(s.dir)
	if err != nil {
		return err
	}
	if err := likeOwner(next, s.dir); err != nil {
		return err
	}
	return os.Chmod(next, info.Mode().Perm()|info.Mode()&(fs.ModeSetgid|fs.ModeSticky))
}

// linkForeign links what is not ours, and the lock that is held, into the new folder; false where something cannot be.
func (s *set) linkForeign(next string) bool {
	for _, name := range append([]string{lockName}, s.foreign...) {
		from, to := filepath.Join(s.dir, filepath.FromSlash(name)), filepath.Join(next, filepath.FromSlash(name))
		info, err := os.Lstat(from)
		if err != nil {
			return false
		}
		switch {
		case info.IsDir():
			err = os.MkdirAll(to, 0o777)
			if err == nil {
				err = os.Chmod(to, info.Mode().Perm())
			}
		case info.Mode()&fs.ModeSymlink != 0:
			var target string
			if target, err = os.Readlink(from); err == nil {
				_ = os.MkdirAll(filepath.Dir(to), 0o777)
				err = os.Symlink(target, to)
			}
		case info.Mode().IsRegular():
			_ = os.MkdirAll(filepath.Dir(to), 0o777)
			err = os.Link(from, to)
		default:
			return false
		}
		if err != nil {
			return false
		}
	}
	return true
}

// rescue moves to the folder what is not ours in its predecessor: what somebody put there between the linking and the
// exchange.
func (s *set) rescue(old string, opt Options) {
	listed, known := readManifest(old)
	ours := func(name string) bool {
		_, mine := s.files[name]
		_, was := listed[name]
		return mine || was || name == manifestName || name == lockName || !known && opt.Ours != nil && opt.Ours(name)
	}
	_ = filepath.WalkDir(old, func(at string, e fs.DirEntry, err error) error {
		if err != nil || at == old {
			return nil
		}
		rel, err := filepath.Rel(old, at)
		if err != nil {
			return nil
		}
		to := filepath.Join(s.dir, rel)
		if _, err := os.Lstat(to); err == nil || ours(filepath.ToSlash(rel)) {
			return nil
		}
		if e.IsDir() {
			_ = os.Mkdir(to, 0o777)
			return nil
		}
		_ = os.Rename(at, to)
		return nil
	})
}

// recover clears what dead runs left, with the lock held: a folder that was not exchanged, or the old one after it, and a
// journal that was not finished.
func (s *set) recover(opt Options) error {
	if next := beside(s.dir); leftOver(next) {
		s.rescue(next, opt)
		clearFolder(next)
	}
	return s.recoverJournal()
}

// leftOver tells a folder that a dead run left beside ours from one that somebody happened to give the same name: ours
// holds a manifest or a lock before anything else, or nothing at all.
func leftOver(next string) bool {
	if info, err := os.Lstat(next); err != nil || !info.IsDir() {
		return false
	}
	entries, err := os.ReadDir(next)
	for _, e := range entries {
		if e.Name() == manifestName || e.Name() == lockName {
			return true
		}
	}
	return err == nil && len(entries) == 0
}

// clearFolder removes a folder, what tells it as ours last, so that a run that dies meanwhile leaves one that is known.
func clearFolder(next string) {
	entries, err := os.ReadDir(next)
	if err != nil {
		return
	}
	for _, e := range entries {
		if e.Name() != manifestName && e.Name() != lockName {
			_ = os.RemoveAll(filepath.Join(next, e.Name()))
		}
	}
	_ = os.RemoveAll(next)
}
