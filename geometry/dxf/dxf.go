// Package dxf reads DXF files, text and binary, R12 to 2018, down to their records, and writes such files, R2000, round the entities
// that it is given. What an entity means is not its business: package drawing knows that.
//
//	r, err := dxf.Open(data)
//	if err != nil { … }
//	for err = r.Advance(); err == nil && !r.Cur.Is("EOF"); {
//		record, err = r.Record(100_000) // a type, and its groups up to the next type
//	}
//
// A group is a code that says what its value means, and the value. Faults are an *intake.Fault at the line, or at the byte of a binary
// file; Ended tells a file that ran out. No count in a file is believed before its content is there.
package dxf

import (
	"errors"
	"io"
	"strings"

	"seamwright/geometry/intake"
)

// Limits that no drawing has reason to pass.
const (
	Farthest = 1e12    // of a coordinate, in whatever unit
	maxLine  = 1 << 20 // bytes of one line or text
)

// Reader reads a file tag by tag, one ahead, or record by record.
type Reader struct {
	Cur  Tag // the next tag, not yet used up
	src  source
	tags []Tag // of the last record
}

// IsBinary says whether a file is binary DXF; places in it are bytes.
func IsBinary(data string) bool { return strings.HasPrefix(data, binarySentinel) }

// Open picks the reader for the file's flavour and turns away what only looks like a drawing. Advance goes to the first tag.
func Open(data string) (*Reader, error) {
	if IsBinary(data) {
		src, err := newBinaryTags(data)
		return &Reader{src: src}, err
	}
	switch {
	case strings.Trim(data, padding) == "":
		return nil, intake.FaultAt(0, "file is empty: export the drawing again")
	case strings.HasPrefix(data, "AC10") && !strings.ContainsAny(data[:min(len(data), 12)], "\r\n"):
		return nil, intake.FaultAt(0, "is a drawing in a program's own format, not DXF: save it as DXF, R12 to 2018")
	case strings.HasPrefix(data, "\xff\xfe"), strings.HasPrefix(data, "\xfe\xff"):
		return nil, intake.FaultAt(0, "is UTF-16 text: save it as DXF, which is ASCII or UTF-8")
	}
	return &Reader{src: newTextTags(strings.TrimPrefix(data, "\ufeff"))}, nil
}

// Advance goes on to the next tag; io.EOF after the last. Comments are passed over.
func (p *Reader) Advance() error {
	t, err := p.src.next()
	if err != nil {
		return err
	}
	p.Cur = t
	return nil
}

// Position is the line or byte that was read last.
func (p *Reader) Position() int64 { return p.src.position() }

// errCut marks a file that ends between a group code and its value.
var errCut = errors.New("ends in the middle of a pair")

// Ended reports whether the input ran out, cleanly or not.
func Ended(err error) bool { return errors.Is(err, io.EOF) || errors.Is(err, errCut) }

// TypeName is an entity's type as it stands in the file, quoted where that is not a name.
func TypeName(kind string) string {
	if strings.ContainsFunc(kind, func(r rune) bool { return !('A' <= r && r <= 'Z' || '0' <= r && r <= '9' || r == '_') }) {
		return intake.Quoted(kind)
	}
	return kind
}
