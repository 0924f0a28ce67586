package drawing

import (
	"io"
	"math"
	"strconv"
	"strings"
)

// tag is one group of a DXF file: a code that says what the value means, and the value.
type tag struct {
	text    string // the value as written, or the bytes of a number in a binary file
	at      int64  // line of the value, or byte offset of the group in a binary file
	code    int16
	numeric bool // the text is the bytes of a number
}

// source hands out the groups of a file in order, comments left out. It returns io.EOF after the last and
// errCut when the file ends between a code and its value.
type source interface {
	next() (tag, error)
	position() int64 // line or byte offset last read
}

// is reports whether the tag starts the structure named, as in 0 SECTION.
func (t tag) is(name string) bool { return t.code == 0 && t.name() == name }

// name is the value as a name: blanks around it do not count.
func (t tag) name() string { return strings.TrimSpace(t.text) }

// float is the value as a finite number.
func (t tag) float() (float64, error) {
	var v float64
	if t.numeric {
		v = numberIn([]byte(t.text), int(t.code))
	} else {
		var err error
		v, err = strconv.ParseFloat(strings.TrimSpace(t.text), 64)
		if err != nil {
			return 0, problemAt(t.at, "group %d: %s is not a number that can be read: export the drawing again", t.code, shown(t.text))
		}
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, problemAt(t.at, "group %d: %v is not a finite number: export the drawing again", t.code, v)
	}
	return v, nil
}

// whole is the value as a whole number; some writers put 1.0 where 1 is meant.
func (t tag) whole() (int, error) {
	v, err := t.float()
	if err != nil {
		return 0, err
	}
	if v != math.Trunc(v) || math.Abs(v) > math.MaxInt32 {
		return 0, problemAt(t.at, "group %d: %v is not a whole number: export the drawing again", t.code, v)
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

func (s *textTags) next() (tag, error) {
	for {
		code, err := s.code()
		if err != nil {
			return tag{}, err
		}
		value, ok := s.readLine()
		if !ok {
			return tag{}, errCut
		}
		if len(value) > maxLine {
			return tag{}, problemAt(s.line, "line is longer than %d bytes: this is not a DXF file, or it is damaged", maxLine)
		}
		const comment = 999
		if code != comment {
			return tag{code: int16(code), text: value, at: s.line}, nil
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
			return 0, problemAt(s.line, "%s stands where a group code (a whole number) is due: a line is missing or too many before it; export "+
				"the drawing again", shown(line))
		}
		return int(code), nil
	}
}
