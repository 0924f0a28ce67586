package drawing

import (
	"fmt"
	"io"
	"strings"

	"seamwright/geometry/intake"
)

// ReadCSV reads a drawing of polylines from a reader; the program reads files.
func ReadCSV(r io.Reader, name string, opt Options) (*Drawing, error) {
	text, err := slurp(r, name, opt)
	if err != nil {
		return nil, err
	}
	return parseCSV(text, name, opt)
}

// ReadDXF reads a DXF drawing from a reader.
func ReadDXF(r io.Reader, name string, opt Options) (*Drawing, error) {
	text, err := slurp(r, name, opt)
	if err != nil {
		return nil, err
	}
	return parseDXF(text, name, opt)
}

// slurp reads all of r, within the limit on a file's size.
func slurp(r io.Reader, name string, opt Options) (string, error) {
	var text strings.Builder
	most := opt.mostBytes()
	n, err := io.Copy(&text, io.LimitReader(r, most+1))
	if err != nil {
		return "", fmt.Errorf("drawing %s: %w", name, err)
	}
	if n > most {
		return "", tooLarge(name, &intake.TooLargeError{Most: most})
	}
	return text.String(), nil
}
