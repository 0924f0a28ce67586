package tarn

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seamwright/geometry/mesh"
)

// File is one file of the demo; Name is relative, with forward slashes.
type File struct {
	Name string
	Data []byte
}

//go:embed shell.yaml
var shellFile []byte

// Files returns the demo's files sorted by name.
func Files() ([]File, error) {
	l := newLines()
	files := []File{{"shell.yaml", shellFile}, {"panels/floor.dxf", floorBlank().dxf()}}
	truth, err := truthFile(Truth())
	if err != nil {
		return nil, fmt.Errorf("tarn: %w", err)
	}
	files = append(files, File{"truth/weld-lines.json", truth})
	panels, err := meshes(l)
	if err != nil {
		return nil, err
	}
	for _, m := range panels {
		var b bytes.Buffer
		if err := mesh.WriteSTL(&b, m); err != nil {
			return nil, fmt.Errorf("tarn: %w", err)
		}
		files = append(files, File{"panels/" + m.Name + ".stl", b.Bytes()})
	}
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
	return files, nil
}

// Write writes the demo's files into a folder, which it makes when there is none. A file that is there already and
// differs is never replaced: then nothing is written at all. Every file is written beside its place and renamed,
// so that none is ever half there.
func Write(dir string) error {
	files, err := Files()
	if err != nil {
		return err
	}
	var missing []File
	for _, f := range files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		old, err := os.ReadFile(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			missing = append(missing, f)
		case err != nil:
			return fmt.Errorf("demo: %w", err)
		case !bytes.Equal(old, f.Data):
			return fmt.Errorf("demo: %s is there already and differs from the demo's; move it away or name another folder", path)
		}
	}
	for _, f := range missing {
		if err := writeBeside(filepath.Join(dir, filepath.FromSlash(f.Name)), f.Data); err != nil {
			return fmt.Errorf("demo: %w", err)
		}
	}
	return nil
}

func writeBeside(path string, data []byte) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if _, err := f.Write(data); err != nil {
		f.Close()
		return err
	}
	if err := f.Chmod(0o644); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
