package dxf

import (
	"encoding/binary"
	"io"
	"math"
	"strings"

	"seamwright/geometry/intake"
)

// binarySentinel opens every binary DXF file (DXF reference, "Binary DXF files"; read from sample files).
const binarySentinel = "AutoCAD Binary DXF\r\n\x1a\x00"

// binaryTags reads the groups of a binary DXF file: a code of one or two bytes, and a value whose size and
// type follow from the code.
type binaryTags struct {
	data string
	at   int
	wide bool // two-byte codes, R13 and later; R12 and earlier have one byte with 255 as an escape
}

// newBinaryTags tells the two flavours apart by the first group, which is 0 SECTION or a comment.
func newBinaryTags(data string) (*binaryTags, error) {
	s := &binaryTags{data: data, at: len(binarySentinel)}
	head := data[s.at:]
	switch {
	case len(head) < 3:
		return nil, intake.FaultAt(int64(len(data)), "file ends after the binary DXF mark: it was cut off; export it again")
	case strings.HasPrefix(head, "\x00\x00"), strings.HasPrefix(head, "\xe7\x03"):
		s.wide = true
	case head[0] == 0, strings.HasPrefix(head, "\xff\xe7\x03"):
	default:
		return nil, intake.FaultAt(int64(s.at), "binary DXF does not start with a section: the file is damaged; export it again")
	}
	return s, nil
}

func (s *binaryTags) position() int64 { return int64(s.at) }

func (s *binaryTags) next() (Tag, error) {
	for {
		start := s.at
		if start >= len(s.data) {
			return Tag{}, io.EOF
		}
		code, err := s.code()
		if err != nil {
			return Tag{}, err
		}
		t := Tag{Code: int16(code), At: int64(start)}
		if err := s.value(&t); err != nil {
			return Tag{}, err
		}
		const comment = 999
		if code != comment {
			return t, nil
		}
	}
}

// take returns the next n bytes.
func (s *binaryTags) take(n int) (string, error) {
	if len(s.data)-s.at < n {
		s.at = len(s.data)
		return "", errCut
	}
	b := s.data[s.at : s.at+n]
	s.at += n
	return b, nil
}

func (s *binaryTags) code() (int, error) {
	if !s.wide {
		b, err := s.take(1)
		if err != nil || b[0] != 255 {
			return int(firstByte(b)), err
		}
	}
	b, err := s.take(2)
	if err != nil {
		return 0, err
	}
	return int(int16(binary.LittleEndian.Uint16([]byte(b)))), nil
}

func firstByte(b string) byte {
	if b == "" {
		return 0
	}
	return b[0]
}

// value reads the value that the tag's code calls for.
func (s *binaryTags) value(t *Tag) error {
	kind := valueKindOf(int(t.Code))
	switch kind {
	case unknownValue:
		return intake.FaultAt(t.At, "group code %d is not one of DXF: the file is damaged; export it again, or as text", t.Code)
	case textValue:
		return s.text(t)
	case chunkValue:
		n, err := s.take(1)
		if err == nil {
			_, err = s.take(int(n[0]))
		}
		return err
	}
	b, err := s.take(int(kind))
	if err != nil {
		return err
	}
	t.numeric, t.Text = true, b
	return nil
}

func (s *binaryTags) text(t *Tag) error {
	end := strings.IndexByte(s.data[s.at:min(len(s.data), s.at+maxLine)], 0)
	if end < 0 {
		if len(s.data)-s.at < maxLine {
			s.at = len(s.data)
			return errCut
		}
		return intake.FaultAt(t.At, "text is longer than %d bytes: the file is damaged; export it again", maxLine)
	}
	t.Text = s.data[s.at : s.at+end]
	s.at += end + 1
	return nil
}

// numberIn reads a little-endian number; eight bytes are a double except in the range of 64-bit integers.
func numberIn(b []byte, code int) float64 {
	switch len(b) {
	case 1:
		return float64(b[0])
	case 2:
		return float64(int16(binary.LittleEndian.Uint16(b)))
	case 4:
		return float64(int32(binary.LittleEndian.Uint32(b)))
	}
	bits := binary.LittleEndian.Uint64(b)
	if code >= 160 && code <= 169 {
		return float64(int64(bits))
	}
	return math.Float64frombits(bits)
}

// valueKind is the number of bytes of a number, or one of the three kinds below.
type valueKind int

const (
	unknownValue valueKind = 0
	textValue    valueKind = -1
	chunkValue   valueKind = -2
)

// valueRanges are the group codes with the type of their values (DXF reference, "Group code value types";
// from memory, checked against binary sample files of R12, R2000 and R2013).
var valueRanges = []struct {
	from, to int
	kind     valueKind
}{
	{-5, -1, textValue}, {0, 9, textValue}, {10, 59, 8}, {60, 79, 2}, {90, 99, 4}, {100, 109, textValue},
	{110, 149, 8}, {160, 169, 8}, {170, 179, 2}, {210, 239, 8}, {270, 289, 2}, {290, 299, 1},
	{300, 309, textValue}, {310, 319, chunkValue}, {320, 369, textValue}, {370, 389, 2}, {390, 399, textValue},
	{400, 409, 2}, {410, 419, textValue}, {420, 429, 4}, {430, 439, textValue}, {440, 459, 4}, {460, 469, 8},
	{470, 481, textValue}, {999, 1003, textValue}, {1004, 1004, chunkValue}, {1005, 1009, textValue},
	{1010, 1059, 8}, {1060, 1070, 2}, {1071, 1071, 4},
}

func valueKindOf(code int) valueKind {
	for _, r := range valueRanges {
		if code >= r.from && code <= r.to {
			return r.kind
		}
	}
	return unknownValue
}
