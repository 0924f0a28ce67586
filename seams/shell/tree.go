package shell

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"
)

// Bounds on what is read at all; a shell file of a thousand panels stays far below them.
const (
	mostBytes  = 2 << 20
	mostValues = 200_000 // after aliases are written out
	mostDepth  = 100
)

// kind is the kind of a value as its file format sees it.
type kind int

const (
	nothing kind = iota // null, or a key without a value
	text
	whole  // a number without fraction
	number // any other number
	truth
	date
	list
	table
	strange // what no shell file holds: tagged or binary values
)

func (k kind) String() string {
	return [...]string{"nothing", "text", "a whole number", "a number", "true or false", "a date", "a list", "a table", "a tagged value"}[k]
}

// node is one value of a file with the line that it stands in. The format's own library reads the file; the tree
// only keeps what that library's values lose: lines, letter case of keys, repeated keys.
type node struct {
	kind  kind
	line  int
	text  string // a scalar as it is written
	pairs []pair // of a table, in the order of the file
	byKey map[string]*node
	items []*node // of a list
}

type pair struct {
	key   string
	line  int
	value *node
}

// parseFailure is a syntax error with its line, 0 when the library does not tell.
type parseFailure struct {
	line int
	what string
}

func (e *parseFailure) Error() string { return e.what }

// format gives the name of a file's format by its extension.
func format(path string) (string, error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".yaml", ".yml":
		return "yaml", nil
	case ".toml":
		return "toml", nil
	case ".json":
		return "json", nil
	}
	return "", fmt.Errorf("the extension %q is none of .yaml, .yml, .toml and .json", filepath.Ext(path))
}

// parse reads a file's outline.
func parse(format string, data []byte) (*node, error) {
	if err := checkEncoding(data); err != nil {
		return nil, err
	}
	switch format {
	case "yaml":
		return parseYAML(data)
	case "toml":
		return parseTOML(data)
	}
	return parseJSON(data)
}

// checkEncoding refuses what no text editor writes: the parsers' own messages for it lack the line.
func checkEncoding(data []byte) error {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			return &parseFailure{lineAt(data, i), "the text is not UTF-8; save the file as UTF-8"}
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0x7f:
			return &parseFailure{lineAt(data, i), fmt.Sprintf("there is a control character (U+%04X); take it out", r)}
		}
		i += size
	}
	return nil
}

// lineAt is the line, from 1, of the byte at an offset.
func lineAt(data []byte, offset int) int {
	return 1 + bytes.Count(data[:min(max(offset, 0), len(data))], []byte{'\n'})
}

// lineIndex finds lines of many offsets: it holds where each line starts.
type lineIndex []int

func newLineIndex(data []byte) lineIndex {
	starts := lineIndex{0}
	for i, b := range data {
		if b == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// at is the line, from 1, of the byte at an offset.
func (l lineIndex) at(offset int) int {
	n, found := slices.BinarySearch(l, offset)
	if found {
		return n + 1
	}
	return n
}

// put adds a pair to a table; a key may come again, which the check of the structure reports.
func (n *node) put(key string, line int, value *node) {
	n.pairs = append(n.pairs, pair{key, line, value})
	if n.byKey == nil {
		n.byKey = map[string]*node{}
	}
	n.byKey[key] = value
}
