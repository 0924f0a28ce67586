package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
)

// output is files to be written together, by their names below one folder.
type output map[string][]byte

// write writes every file beside its place first and then moves them all in, so that a failure leaves what
// was there before.
func (o output) write(dir string) (err error) {
	names := make([]string, 0, len(o))
	for name := range o {
		names = append(names, name)
	}
	sort.Strings(names)
	var staged [][2]string
	defer func() {
		if err != nil {
			for _, s := range staged {
				_ = os.Remove(s[0])
			}
		}
	}()
	for _, name := range names {
		path := filepath.Join(dir, filepath.FromSlash(name))
		temporary, err := stage(path, o[name])
		if err != nil {
			return fmt.Errorf("write %s: %w", path, plain(err))
		}
		staged = append(staged, [2]string{temporary, path})
	}
	for _, s := range staged {
		if err := os.Rename(s[0], s[1]); err != nil {
			return fmt.Errorf("write %s: %w", s[1], plain(err))
		}
	}
	return nil
}

func stage(path string, data []byte) (string, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return "", err
	}
	file, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return "", err
	}
	_, err = file.Write(data)
	err = errors.Join(err, file.Chmod(0o644), file.Close())
	if err != nil {
		_ = os.Remove(file.Name())
		return "", err
	}
	return file.Name(), nil
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
