package drawing

import (
	"errors"
	"fmt"

	"seamwright/geometry/intake"
)

// FileError is a fault in the content of a drawing: which file, where in it, and what to do.
type FileError struct {
	File   string
	Binary bool // At counts bytes from the start of the file; otherwise lines from 1
	intake.Fault
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

// inFile completes a fault within a file with the file's name and kind.
func inFile(err error, name string, binary bool) error {
	var fault *intake.Fault
	if errors.As(err, &fault) {
		return &FileError{File: name, Binary: binary, Fault: *fault}
	}
	return err
}
