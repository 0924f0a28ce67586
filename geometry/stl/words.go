package stl

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

const byteOrderMark = "\xef\xbb\xbf"

// Bounds on words and on the lines that name a solid. A number with more characters than this or a name
// longer than this is not text that an exporter wrote.
const (
	longestWord = 64
	longestName = 4096
)

// textAhead is how far behind a text's end its buffer may be looked at.
const textAhead = 128

// words gives out a text's words and knows the line of each. Lines end with line feed, carriage return or both.
// It holds 256 KiB whatever the text is.
type words struct {
	r       io.Reader
	buf     []byte // textAhead longer than what is ever filled
	gone    int64  // bytes of the text before buf
	at, end int
	line    int  // of the word given out last
	cr      bool // the byte before was a carriage return
	err     error
}

func newWords(r io.Reader) *words {
	w := &words{r: r, buf: make([]byte, 256<<10+textAhead), line: 1}
	w.fill()
	if bytes.HasPrefix(w.buf[:w.end], []byte(byteOrderMark)) {
		w.at = len(byteOrderMark)
	}
	return w
}

// fill moves the rest to the front and reads until the buffer is full or the text ends.
func (w *words) fill() {
	w.gone += int64(w.at)
	w.end = copy(w.buf, w.buf[w.at:w.end])
	w.at = 0
	for w.err == nil && w.end < len(w.buf)-textAhead {
		var n int
		n, w.err = w.r.Read(w.buf[w.end : len(w.buf)-textAhead])
		w.end += n
	}
}

// next returns the next word, good until the next call, or io.EOF.
func (w *words) next() ([]byte, error) {
	if err := w.skipBlanks(); err != nil {
		return nil, err
	}
	if w.end-w.at <= longestWord {
		w.fill()
	}
	from := w.at
	w.cr = false
	for w.at < w.end && !blank(w.buf[w.at]) {
		if w.at-from == longestWord {
			return nil, fmt.Errorf("line %d: a word longer than %d characters, %s: this is not ASCII STL, export the panel again",
				w.line, longestWord, quoted(w.buf[from:w.at]))
		}
		w.at++
	}
	if w.at == w.end && !errors.Is(w.err, io.EOF) {
		return nil, w.failure() // the word may go on
	}
	return w.buf[from:w.at], nil
}

func (w *words) skipBlanks() error {
	for {
		for w.at < w.end {
			c := w.buf[w.at]
			if !blank(c) {
				return nil
			}
			w.count(c)
			w.at++
		}
		if w.fill(); w.at == w.end {
			return w.failure()
		}
	}
}

// skipLine passes over the rest of the line: a solid's name, which can hold any words.
func (w *words) skipLine() error {
	for passed := 0; ; passed++ {
		if w.at == w.end {
			if w.fill(); w.at == w.end {
				if errors.Is(w.err, io.EOF) {
					return nil
				}
				return w.failure()
			}
		}
		if c := w.buf[w.at]; c == '\n' || c == '\r' {
			return nil
		}
		if passed == longestName {
			return fmt.Errorf("line %d: longer than %d characters, the line ends are missing: export the panel again", w.line, longestName)
		}
		w.at++
	}
}

// count keeps the line number over a blank.
func (w *words) count(c byte) {
	if c == '\r' || c == '\n' && !w.cr {
		w.line++
	}
	w.cr = c == '\r'
}

// passed is how many bytes of the text are behind.
func (w *words) passed() int64 { return w.gone + int64(w.at) }

// pass goes past n bytes that were read otherwise, and counts their lines.
func (w *words) pass(n int) {
	part := w.buf[w.at : w.at+n]
	if n == 0 {
		return
	}
	w.line += bytes.Count(part, []byte{'\n'})
	if returns := bytes.Count(part, []byte{'\r'}); returns > 0 {
		w.line += returns - bytes.Count(part, []byte("\r\n"))
	}
	if w.cr && part[0] == '\n' {
		w.line--
	}
	w.cr = part[n-1] == '\r'
	w.at += n
}

func (w *words) failure() error {
	if errors.Is(w.err, io.EOF) {
		return io.EOF
	}
	return fmt.Errorf("line %d: %w", w.line, cannotRead(w.err))
}

func blank(c byte) bool {
	return c == ' ' || c >= '\t' && c <= '\r'
}
