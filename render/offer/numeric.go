package offer

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// marked is a formula's cell that the writer marks as text. All formulas here give numbers.
var marked = regexp.MustCompile(`(<c r="[A-Z]+[0-9]+"(?: s="[0-9]+")?) t="str"(><f>)`)

// numeric marks the formulas' cells as numbers, so that the values beside them are read as such by programs that do
// not reckon. The parts of the file keep their order and carry no time.
func numeric(book []byte) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		return nil, fmt.Errorf("offer: %w", err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, part := range in.File {
		text, err := contents(part)
		if err != nil {
			return nil, fmt.Errorf("offer: %s: %w", part.Name, err)
		}
		if strings.HasPrefix(part.Name, "xl/worksheets/") {
			text = marked.ReplaceAll(text, []byte("$1$2"))
		}
		to, err := w.Create(part.Name)
		if err != nil {
			return nil, fmt.Errorf("offer: %s: %w", part.Name, err)
		}
		if _, err := to.Write(text); err != nil {
			return nil, fmt.Errorf("offer: %s: %w", part.Name, err)
		}
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("offer: %w", err)
	}
	return out.Bytes(), nil
}

func contents(part *zip.File) ([]byte, error) {
	r, err := part.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}
