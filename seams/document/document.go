// Package document reads YAML, TOML and JSON into one tree that keeps the line of each value, the letter case of keys and keys that come
// twice, so that whoever checks a file can name the place.
//
//	format, err := document.Format("shell.yaml")
//	root, err := document.Parse(format, data)
//	line := root.ByKey["batch"].Line
package document

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
	MostValues = 200_000 // after aliases are written out
	mostDepth  = 100
)

// Kind is the kind of a value as its file format sees it.
type Kind int

const (
	Nothing Kind = iota // null, or a key without a value
	Text
	Whole  // a number without fraction
	Number // any other number
	Truth
	Date
	List
	Table
	Strange // what no shell file holds: tagged or binary values
)

func (k Kind) String() string {
	return [...]string{"nothing", "text", "a whole number", "a number", "true or false", "a date", "a list", "a table", "a tagged value"}[k]
}

// Node is one value of a file with the line that it stands in, from 1. The format's own library reads the file; the tree
// only keeps what that library's values lose: lines, letter case of keys, repeated keys.
type Node struct {
	Kind  Kind
	Line  int
	Text  string // a scalar as it is written
	Pairs []Pair // of a table, in the order of the file
	ByKey map[string]*Node
	Items []*Node // of a list
}

// Pair is a key of a table with its value.
type Pair struct {
	Key   string
	Line  int
	Value *Node
}

// Failure is a syntax error with its line, 0 when the library does not tell.
type Failure struct {
	Line int
	What string
}

func (e *Failure) Error() string { return e.What }

// Format gives the name of a file's format by its extension.
func Format(path string) (string, error) {
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

// Parse reads a file's outline. What is no text, or not of the format, is a *Failure.
func Parse(format string, data []byte) (*Node, error) {
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
			return &Failure{lineAt(data, i), "the text is not UTF-8; save the file as UTF-8"}
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0x7f:
			return &Failure{lineAt(data, i), fmt.Sprintf("there is a control character (U+%04X); take it out", r)}
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
func (n *Node) put(key string, line int, value *Node) {
	n.Pairs = append(n.Pairs, Pair{key, line, value})
	if n.ByKey == nil {
		n.ByKey = map[string]*Node{}
	}
	n.ByKey[key] = value
}

// OneLine keeps a message on one line whatever text from a file it carries.
func OneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\u2028' || r == '\u2029' || r < ' ' || (r >= 0x7f && r < 0xa0) {
			return ' '
		}
		return r
	}, s)
}
