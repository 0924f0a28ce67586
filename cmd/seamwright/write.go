package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seamwright/internal/fileset"
)

// output is files to be written together, by their names below one folder.
type output map[string][]byte

// writeFolder makes the folder hold these files and no map of an earlier plan: one of a station that is no more must not
// reach a jig. What else is in the folder stays.
func (p *program) writeFolder(ctx context.Context, dir string, files output) error {
	removed, err := fileset.Write(ctx, dir, files, fileset.Options{Ours: earlierMap})
	if err != nil {
		return unwritten(err)
	}
	for _, name := range removed {
		p.warn("note: removed %s, a file of an earlier plan", filepath.Join(dir, filepath.FromSlash(name)))
	}
	return nil
}

func earlierMap(name string) bool {
	dir, ok := strings.CutPrefix(name, "maps/")
	return ok && !strings.Contains(dir, "/") && strings.HasSuffix(name, ".svg")
}

// tryFolder says before the work whether the folder can be written to.
func tryFolder(dir string) error { return unwritten(fileset.TryFolder(dir)) }

// destination is the file that a command was asked to write.
type destination struct {
	name string // as given; empty: standard output
	to   fileset.Target
}

// destination says before the work whether the file can be written: its ending, its folder, the room. A name without an
// ending may stand for any kind; so may a device or a pipe.
func (p *program) destination(name, kind string, endings ...string) (destination, error) {
	if name == "" {
		return destination{}, nil
	}
	to, err := fileset.FileTarget(name)
	if err != nil {
		return destination{}, unwritten(err)
	}
	ending := strings.ToLower(filepath.Ext(name))
	if !to.Direct() && ending != "" && !slices.Contains(endings, ending) {
		return destination{}, inputError{fmt.Errorf("%s: name a file that ends in %s, as %s is written", name, strings.Join(endings, " or "),
			kind)}
	}
	return destination{name, to}, unwritten(to.Try())
}

// put puts the data where they were asked for.
func (p *program) put(d destination, data []byte) error {
	if d.name == "" {
		_, err := p.out.Write(data)
		return err
	}
	return unwritten(d.to.Write(data))
}

// write puts the data where they were asked for, and names a file once it is there.
func (p *program) write(d destination, data []byte, remark string) error {
	if err := p.put(d, data); err != nil || d.name == "" {
		return err
	}
	if !d.to.Direct() { // what goes into a pipe stays clean
		fmt.Fprintf(p.out, "%s%s\n", d.name, remark)
	}
	return nil
}

// writeSeveral puts files of one kind into the folder of the first and names them.
func (p *program) writeSeveral(ctx context.Context, d destination, kind string, data [][]byte) error {
	if len(data) == 1 {
		return p.write(d, data[0], "")
	}
	if d.name == "" || d.to.Direct() {
		return inputError{fmt.Errorf("%s has %d sheets: name a file with -o", kind, len(data))}
	}
	files, names := output{}, make([]string, len(data))
	ending := filepath.Ext(d.to.Path())
	stem := strings.TrimSuffix(filepath.Base(d.to.Path()), ending)
	for i := range data {
		names[i] = stem + ending
		if i > 0 {
			names[i] = fmt.Sprintf("%s-%d%s", stem, i+1, ending)
		}
		files[names[i]] = data[i]
	}
	if err := unwritten(fileset.WriteInto(ctx, filepath.Dir(d.to.Path()), files)); err != nil {
		return err
	}
	for _, name := range names {
		fmt.Fprintln(p.out, filepath.Join(filepath.Dir(d.name), name))
	}
	return nil
}

// unwritten is the user's to mend where the target is named wrongly.
func unwritten(err error) error {
	if errors.As(err, new(fileset.Refused)) {
		return inputError{err}
	}
	return err
}

// plain is the operating system's reason without the path, which the caller names.
func plain(err error) error {
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
