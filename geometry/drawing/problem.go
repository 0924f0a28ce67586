package drawing

import (
	"errors"
	"fmt"
	"io"
	"strings"
)

// FileError is a fault in the content of a drawing: which file, where in it, and what to do.
type FileError struct {
	File    string
	Binary  bool   // At counts bytes from the start of the file; otherwise lines from 1
	At      int64  // 0 in a text file: the file as a whole
	Problem string // what is wrong and how to mend it
}

func (e *FileError) Error() string {
	switch {
	case e.Binary:
		return fmt.Sprintf("%s: byte %d: %s", e.File, e.At, e.Problem)
	case e.At > 0:
		return fmt.Sprintf("%s: line %d: %s", e.File, e.At, e.Problem)
	}
	return fmt.Sprintf("%s: %s", e.File, e.Problem)
}

// problemAt reports a fault at a line or byte; the reader of the whole file adds which file and which of the two.
func problemAt(at int64, format string, args ...any) error {
	return &FileError{At: at, Problem: fmt.Sprintf(format, args...)}
}

// inFile completes an error from within a file with the file's name and kind.
func inFile(err error, name string, binary bool) error {
	var fault *FileError
	if errors.As(err, &fault) && fault.File == "" {
		fault.File, fault.Binary = name, binary
	}
	return err
}

// faultIn is the error's text without the file's name, for a note.
func faultIn(err error) string {
	var fault *FileError
	if errors.As(err, &fault) {
		return fault.Problem
	}
	return err.Error()
}

// errCut marks a file that ends between a group code and its value.
var errCut = errors.New("ends in the middle of a pair")

// ended reports whether the input ran out, cleanly or not.
func ended(err error) bool { return errors.Is(err, io.EOF) || errors.Is(err, errCut) }

// shown shortens a text from a file for an error message and makes it printable.
func shown(s string) string {
	const most = 40
	if len(s) > most {
		s = s[:most] + "…"
	}
	return fmt.Sprintf("%q", s)
}

// typeName is an entity's type as it stands in the file, quoted where that is not a name.
func typeName(kind string) string {
	if strings.ContainsFunc(kind, func(r rune) bool { return !('A' <= r && r <= 'Z' || '0' <= r && r <= '9' || r == '_') }) {
		return shown(kind)
	}
	return kind
}
