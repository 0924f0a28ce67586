package fileset

import (
	"context"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// journal makes the files in .next, lists them in its manifest, which makes the step certain, and then moves them one by
// one: first all that is to give way, and only then the new ones, so that files of two runs never stand beside each other. A move that
// fails is taken back with those before it. A run that dies before the manifest is there has changed nothing; one that dies after it is
// finished by recoverJournal. keep leaves the manifest in the folder.
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
	if len(s.names) == 1 && !keep { // one file alone needs no list: it is moved or not
		if err := s.move([]step{{nextName + "/" + s.names[0], s.names[0]}}); err != nil {
			return err
		}
		return s.syncAll()
	}
	list := filepath.Join(next, listName(keep))
	if err := os.Rename(part, list); err != nil {
		return s.failed(manifestName, err)
	}
	if err := syncFolder(next); err != nil {
		return s.failed(manifestName, err)
	}
	if err := s.move(s.moves(slices.Concat(s.names, s.stale), s.names, keep)); err != nil {
		_ = os.Remove(list) // nothing is left for the next run to finish
		return err
	}
	return s.syncAll()
}

// step is one file moved to another name; both are below the folder.
type step struct{ from, to string }

const beforeName = nextName + "/.before"

// listName is the journal's list: the manifest that will stay, or one that leaves with the journal.
func listName(keep bool) string {
	if keep {
		return manifestName
	}
	return ".list"
}

// moves puts what gives way aside, then the new files in its place, then their list.
func (s *set) moves(old, names []string, keep bool) []step {
	var out []step
	if keep {
		old, names = append(slices.Clone(old), manifestName), append(slices.Clone(names), manifestName)
	}
	for _, name := range old {
		if info, err := os.Lstat(filepath.Join(s.dir, filepath.FromSlash(name))); err == nil && !info.IsDir() {
			out = append(out, step{name, beforeName + "/" + name})
		}
	}
	for _, name := range names {
		out = append(out, step{nextName + "/" + name, name})
	}
	return out
}

// move takes the steps one by one; where one fails, those before it are taken back.
func (s *set) move(steps []step) error {
	at := func(name string) string { return filepath.Join(s.dir, filepath.FromSlash(name)) }
	for i, step := range steps {
		err := os.MkdirAll(filepath.Dir(at(step.to)), 0o777)
		if err == nil {
			err = os.Rename(at(step.from), at(step.to))
		}
		if err != nil {
			for _, done := range slices.Backward(steps[:i]) {
				_ = os.Rename(at(done.to), at(done.from)) // the error that is told is the first one
			}
			return s.failed(strings.TrimPrefix(step.from, nextName+"/"), err)
		}
	}
	return nil
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
	listed, keep := readManifest(next)
	if !keep {
		var begun bool
		if listed, begun = readList(filepath.Join(next, listName(false))); !begun {
			return os.RemoveAll(next)
		}
	}
	var waiting, old []string
	for name := range listed {
		if _, err := os.Lstat(filepath.Join(next, filepath.FromSlash(name))); err == nil {
			waiting = append(waiting, name) // what stands at its place is the earlier run's
		}
	}
	if keep {
		earlier, _ := readManifest(s.dir) // put aside after all that it lists
		for name := range earlier {
			if _, still := listed[name]; !still {
				old = append(old, name)
			}
		}
	}
	slices.Sort(waiting)
	slices.Sort(old)
	if err := s.move(s.moves(slices.Concat(waiting, old), waiting, keep)); err != nil {
		return fmt.Errorf("finish what an earlier run began: %w", err)
	}
	return os.RemoveAll(next)
}
