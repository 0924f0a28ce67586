package tarn

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/geometry/near"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// cab is the demo as a user gets it: written to a folder and read back, every panel in its place.
type cab struct {
	shell  *shell.Shell
	notes  []string
	parts  []parts.Part
	trees  map[string]*near.Tree
	sheets map[string]flange.Sheet
}

var readCab = sync.OnceValues(func() (*cab, error) {
	dir, err := os.MkdirTemp("", "tarn")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	if err := Write(dir); err != nil {
		return nil, err
	}
	c := &cab{trees: map[string]*near.Tree{}, sheets: map[string]flange.Sheet{}}
	if c.shell, c.notes, err = shellfile.Read(filepath.Join(dir, "shell.yaml"), nil); err != nil {
		return nil, err
	}
	if c.parts, err = parts.Load(context.Background(), c.shell, 0, nil); err != nil {
		return nil, err
	}
	for _, p := range c.parts {
		c.trees[p.Panel.ID] = near.New(p.Sheet.Mesh)
		c.sheets[p.Panel.ID] = p.Sheet
	}
	return c, nil
})

func loadCab(t *testing.T) *cab {
	t.Helper()
	c, err := readCab()
	if err != nil {
		t.Fatal(err)
	}
	return c
}
