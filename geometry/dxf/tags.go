package dxf

import (
	"io"
	"math"
	"strconv"
	"strings"

	"seamwright/geometry/intake"
)

// Tag is one group of a DXF file: a code that says what the value means, and the value.
type Tag struct {
	Text    string // the value as written, or the bytes of a number in a binary file
	At      int64  // line of the value, or byte offset of the group in a binary file
	Code    int16
	numeric bool // the text is the bytes of a number
}

// source hands out the groups of a file in order, comments left out. It returns io.EOF after the last and
// errCut when the file ends between a code and its value.
type source interface {
	next() (Tag, error)
	position() int64 // line or byte offset last read
}

// Is reports whether the tag starts the structure named, as in 0 SECTION.
func (t Tag) Is(name string) bool { return t.Code == 0 && t.Name() == name }

// Name is the value as a name: blanks around it do not count.
func (t Tag) Name() string { return strings.TrimSpace(t.Text) }

// Float is the value as a finite number.
func (t Tag) Float() (float64, error) {
	var v float64
	if t.numeric {
		v = numberIn([]byte(t.Text), int(t.Code))
	} else {
		var err error
		v, err = strconv.ParseFloat(strings.TrimSpace(t.Text), 64)
		if err != nil {
			return 0, intake.FaultAt(t.At, "group %d: %s is not a number that can be read: export the drawing again", t.Code, intake.Quoted(t.Text))
		}
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, intake.FaultAt(t.At, "group %d: %v is not a finite number: export the drawing again", t.Code, v)
	}
	return v, nil
}

// Whole is the value as a whole number; some writers put 1.0 where 1 is meant.
func (t Tag) Whole() (int, error) {
	v, err := t.Float()
	if err != nil {
		return 0, err
	}
	if v != math.Trunc(v) || math.Abs(v) > math.MaxInt32 {
		return 0, intake.FaultAt(t.At, "group %d: %v is not a whole number: export the drawing again", t.Code, v)
	}
	return int(v), nil
}

// textTags reads the groups of a text DXF file: a line with the code, a line with the value.
type textTags struct {
	rest string
	line int64 // of the line last read
	end  byte  // what ends a line: LF, or CR where the file has no LF
}

func newTextTags(text string) *textTags {
	end := byte('\n')
	if strings.IndexByte(text, '\n') < 0 {
		end = '\r'
	}
	return &textTags{rest: text, end: end}
}

func (s *textTags) position() int64 { return s.line }

// readLine returns the next line without its end; CR CR LF, left by careless conversions, counts as one end.
func (s *textTags) readLine() (string, bool) {
	if s.rest == "" {
		return "", false
	}
	s.line++
	line, rest, _ := strings.Cut(s.rest, string(s.end))
	s.rest = rest
	return strings.TrimRight(line, "\r"), true
}

// padding is what may surround a code or pad the end of a file: blanks, zero bytes, the DOS end mark.
const padding = " \t\r\n\x00\x1a"

func (s *textTags) next() (Tag, error) {
	for {
		code, err := s.code()
		if err != nil {
			return Tag{}, err
		}
		value, ok := s.readLine()
		if !ok {
			return Tag{}, errCut
		}
		if len(value) > maxLine {
			return Tag{}, intake.FaultAt(s.line, "line is longer than %d bytes: this is not a DXF file, or it is damaged", maxLine)
		}
		const comment = 999
		if code != comment {
			return Tag{Code: int16(code), Text: value, At: s.line}, nil
		}
	}
}

// code reads the line of a group code. Blank lines are let pass before the first group only.
func (s *textTags) code() (int, error) {
	first := s.line == 0
	for {
		line, ok := s.readLine()
		if !ok {
			return 0, io.EOF
		}
		digits := strings.Trim(line, padding)
		if digits == "" && (first || strings.Trim(s.rest, padding) == "") {
			continue
		}
		code, err := strconv.ParseInt(digits, 10, 16)
		if err != nil {
			return 0, intake.FaultAt(s.line, "%s stands where a group code (a whole number) is due: a line is missing or too many before it; "+
				"export the drawing again", intake.Quoted(line))
		}
		return int(code), nil
	}
}
