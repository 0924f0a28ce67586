// Package changes holds what was changed on the page: values that stand above the shell file, in a file of their own beside it,
// so that nobody's shell file is ever rewritten. The file of shell.yaml is shell.changes.yaml:
//
//	set:
//	  - {key: joints.door-l.pitch_mm, to: "30", was: "35"}
//
//	c, err := changes.Read("tarn/shell.yaml")
//	sh, notes, err := shellfile.Read("tarn/shell.yaml", c.Overrides())
package changes

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"go.yaml.in/yaml/v3"
)

// mostBytes bounds the file: a thousand times what a person changes on a page.
const mostBytes = 1 << 20

// Change is one value set anew.
type Change struct {
	Key string `yaml:"key" json:"key"` // as in --set: joints.door-l.pitch_mm
	To  string `yaml:"to" json:"to"`
	Was string `yaml:"was,omitempty" json:"was,omitempty"` // what stood there when it was changed, for the reader; empty: nothing
}

// Changes are those of one shell file, in the order in which they were made. A key stands once.
type Changes struct {
	Set     []Change
	Version string // SHA-256 of the file's bytes; empty: there is no file
}

// file is what the YAML holds.
type file struct {
	Set []Change `yaml:"set"`
}

// Path is the file of a shell file's changes.
func Path(shell string) string {
	return strings.TrimSuffix(shell, filepath.Ext(shell)) + ".changes.yaml"
}

// Read reads the changes of a shell file; no file means none. An error names the file and what to mend.
func Read(shell string) (Changes, error) {
	path := Path(shell)
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return Changes{}, nil
	}
	if err != nil {
		return Changes{}, fmt.Errorf("%s cannot be read: %w", path, err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	if err != nil {
		return Changes{}, fmt.Errorf("%s cannot be read: %w", path, err)
	}
	c, err := Parse(text)
	if err != nil {
		return Changes{}, fmt.Errorf("%s: %w", path, err)
	}
	return c, nil
}

// Parse reads the bytes of a file of changes.
func Parse(text []byte) (Changes, error) {
	if len(text) > mostBytes {
		return Changes{}, fmt.Errorf("is larger than %d bytes: it is no file of changes", mostBytes)
	}
	var own file
	d := yaml.NewDecoder(bytes.NewReader(text))
	d.KnownFields(true)
	if err := d.Decode(&own); err != nil && !errors.Is(err, io.EOF) {
		return Changes{}, fmt.Errorf("is no file of changes (%s): mend or delete it", strings.ReplaceAll(err.Error(), "\n", " "))
	}
	seen := map[string]bool{}
	for i, c := range own.Set {
		switch {
		case strings.TrimSpace(c.Key) == "":
			return Changes{}, fmt.Errorf("set[%d] has no key: name it or delete the entry", i)
		case seen[c.Key]:
			return Changes{}, fmt.Errorf("set[%d]: %s is set twice: delete one", i, c.Key)
		}
		seen[c.Key] = true
	}
	sum := sha256.Sum256(text)
	return Changes{Set: own.Set, Version: hex.EncodeToString(sum[:])}, nil
}

// Bytes are the changes as their file holds them.
func (c Changes) Bytes() ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("# Changes made on the local page. They stand above the shell file beside this one; delete the file to drop them.\n")
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := e.Encode(file{c.Set}); err != nil {
		return nil, err
	}
	return b.Bytes(), e.Close()
}

// Overrides are the changes as values that stand above the shell file.
func (c Changes) Overrides() map[string]string {
	out := make(map[string]string, len(c.Set))
	for _, s := range c.Set {
		out[s.Key] = s.To
	}
	return out
}
