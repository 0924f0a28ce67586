package program

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"seamwright/internal/fileset"
)

// Output is files to be written together, by their names below one folder.
type Output map[string][]byte

// WriteFolder makes the folder hold these files and no map of an earlier plan: one of a station that is no more must not
// reach a jig. What else is in the folder stays.
func (p *Call) WriteFolder(ctx context.Context, dir string, files Output) error {
	removed, err := fileset.Write(ctx, dir, files, fileset.Options{Ours: earlierMap})
	if err != nil {
		return Unwritten(err)
	}
	for _, name := range removed {
		p.Warn("note: removed %s, a file of an earlier plan", filepath.Join(dir, filepath.FromSlash(name)))
	}
	return nil
}

func earlierMap(name string) bool {
	dir, ok := strings.CutPrefix(name, "maps/")
	return ok && !strings.Contains(dir, "/") && strings.HasSuffix(name, ".svg")
}

// TryFolder says before the work whether the folder can be written to.
func TryFolder(dir string) error { return Unwritten(fileset.TryFolder(dir)) }

// Destination is the file that a command was asked to write.
type Destination struct {
	Name string // as given; empty: standard output
	to   fileset.Target
}

// Destination says before the work whether the file can be written: its ending, its folder, the room. A name without an
// ending may stand for any kind; so may a device or a pipe.
func (p *Call) Destination(name, kind string, endings ...string) (Destination, error) {
	if name == "" {
		return Destination{}, nil
	}
	to, err := fileset.FileTarget(name)
	if err != nil {
		return Destination{}, Unwritten(err)
	}
	ending := strings.ToLower(filepath.Ext(name))
	if !to.Direct() && ending != "" && !slices.Contains(endings, ending) {
		return Destination{}, Wrong("%s: name a file that ends in %s, as %s is written", name, strings.Join(endings, " or "),
			kind)
	}
	return Destination{name, to}, Unwritten(to.Try())
}

// Put puts the data where they were asked for.
func (p *Call) Put(d Destination, data []byte) error {
	if d.Name == "" {
		_, err := p.Out.Write(data)
		return err
	}
	return Unwritten(d.to.Write(data))
}

// Write puts the data where they were asked for, and names a file once it is there.
func (p *Call) Write(d Destination, data []byte, remark string) error {
	if err := p.Put(d, data); err != nil || d.Name == "" {
		return err
	}
	if !d.to.Direct() { // what goes into a pipe stays clean
		fmt.Fprintf(p.Out, "%s%s\n", d.Name, remark)
	}
	return nil
}

// WriteSeveral puts files of one kind into the folder of the first and names them.
func (p *Call) WriteSeveral(ctx context.Context, d Destination, kind string, data [][]byte) error {
	if len(data) == 1 {
		return p.Write(d, data[0], "")
	}
	if d.Name == "" || d.to.Direct() {
		return Wrong("%s has %d sheets: name a file with -o", kind, len(data))
	}
	files, names := Output{}, make([]string, len(data))
	ending := filepath.Ext(d.to.Path())
	stem := strings.TrimSuffix(filepath.Base(d.to.Path()), ending)
	for i := range data {
		names[i] = stem + ending
		if i > 0 {
			names[i] = fmt.Sprintf("%s-%d%s", stem, i+1, ending)
		}
		files[names[i]] = data[i]
	}
	if err := Unwritten(fileset.WriteInto(ctx, filepath.Dir(d.to.Path()), files)); err != nil {
		return err
	}
	for _, name := range names {
		fmt.Fprintln(p.Out, filepath.Join(filepath.Dir(d.Name), name))
	}
	return nil
}

// Unwritten is the user's to mend where the target is named wrongly.
func Unwritten(err error) error {
	if errors.As(err, new(fileset.Refused)) {
		return inputError{err}
	}
	return err
}
