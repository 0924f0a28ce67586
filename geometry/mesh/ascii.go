package mesh

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/hschendel/stl"
)

// loadASCII hands an ASCII file to the STL library in a plain spelling that the library takes whatever the file's
// own spelling is; see plainText.
func loadASCII(r io.ReaderAt, size int64, g *gather) ([]string, error) {
	text := &plainText{words: newWords(io.NewSectionReader(r, 0, size)), g: g}
	err := stl.CopyAll(text, g)
	switch {
	case text.err != nil:
		return nil, text.err
	case g.err != nil:
		return nil, g.err
	case g.seen == 0 && err == nil:
		return nil, errors.New("ASCII STL without triangles: export the panel again")
	case err != nil || g.seen != text.facets:
		return nil, fmt.Errorf("triangle %d: cannot be read: export the panel as binary STL", g.seen+1)
	}
	var notes []string
	if text.solids > 1 {
		notes = append(notes, fmt.Sprintf("%d solids in the file, read as one panel", text.solids))
	}
	return notes, nil
}

// plainText reads ASCII STL of any spelling (upper case, tabs, carriage returns, blank lines, byte-order
// mark, one line or many, several solids) and gives it out as the one solid that the library reads safely:
// lower case, no blank lines, lines of bounded length. It checks the grammar on the way, because only here
// is the line of the file known. Normals are given out as zeros: they follow from the corners, and
// some exporters write "nan" for them.
type plainText struct {
	words  *words
	g      *gather
	begun  bool // false: the library still looks whether the file is binary, and is shown an empty one
	ended  bool
	out    []byte // text not yet given out, from at on
	at     int
	solids int
	facets int
	err    error
}

// lineSize is where a line of plain text is ended. The library takes 64 KiB; a facet adds less than 1 KiB.
const lineSize = 32 << 10

// Seek serves the one call that the library makes: back to the start, to begin reading.
func (t *plainText) Seek(offset int64, whence int) (int64, error) {
	if t.begun || offset != 0 || whence != io.SeekStart {
		return 0, errors.New("plain text is read once, from its start")
	}
	t.begun = true
	t.out = append(make([]byte, 0, lineSize+1<<10), "solid panel\n"...)
	return 0, nil
}

func (t *plainText) Read(p []byte) (int, error) {
	if !t.begun {
		return 0, io.EOF
	}
	if t.at == len(t.out) {
		if t.ended || t.err != nil || t.g.err != nil {
			return 0, io.EOF
		}
		t.out, t.at = t.out[:0], 0
		t.err = t.line()
	}
	n := copy(p, t.out[t.at:])
	t.at += n
	return n, nil
}

// line fills out with the next facets as one line, or with the end of the solid.
func (t *plainText) line() error {
	for len(t.out) < lineSize {
		if t.solids == 0 {
			if err := t.solid(); err != nil {
				return err
			}
		}
		word, err := t.words.next()
		switch {
		case errors.Is(err, io.EOF):
			return t.fault("the file ends after triangle %d without \"endsolid\": copy or export it again", t.facets)
		case err != nil:
			return err
		case is(word, "facet"):
			if err := t.facet(); err != nil {
				return err
			}
		case is(word, "endsolid"):
			if err := t.words.skipLine(); err != nil {
				return err
			}
			if err := t.solid(); errors.Is(err, io.EOF) {
				t.out = append(t.out, "\nendsolid\n"...)
				t.ended = true
				return nil
			} else if err != nil {
				return err
			}
		default:
			return t.fault("\"facet\" or \"endsolid\" expected, found %s", quoted(word))
		}
	}
	t.out = append(t.out, '\n')
	return nil
}

// solid reads the line that begins a solid; io.EOF when another one could begin but the file ends.
func (t *plainText) solid() error {
	word, err := t.words.next()
	if errors.Is(err, io.EOF) && t.solids == 0 {
		return errors.New("nothing but blanks in the file: export the panel again")
	}
	if err != nil {
		return err
	}
	if !is(word, "solid") {
		return t.fault("\"solid\" expected, found %s: export the panel as STL", quoted(word))
	}
	t.solids++
	return t.words.skipLine()
}

// facet reads one triangle from behind its first word.
func (t *plainText) facet() error {
	t.facets++
	if t.facets > t.g.limit {
		return tooMany(int64(t.facets), t.g.limit)
	}
	if err := t.expect("normal"); err != nil {
		return err
	}
	for range 3 {
		if _, err := t.word(); err != nil {
			return err
		}
	}
	if err := t.expect("outer", "loop"); err != nil {
		return err
	}
	t.out = append(t.out, "facet normal 0 0 0 outer loop "...)
	for corners := 0; ; corners++ {
		word, err := t.word()
		if err != nil {
			return err
		}
		if is(word, "endloop") && corners == 3 {
			break
		}
		if is(word, "endloop") {
			return t.fault("triangle %d has %d corners, not 3: export the panel again", t.facets, corners)
		}
		if !is(word, "vertex") {
			return t.fault("triangle %d: \"vertex\" or \"endloop\" expected, found %s", t.facets, quoted(word))
		}
		if corners == 3 {
			return t.fault("triangle %d has more than 3 corners: STL holds triangles only, export the panel again", t.facets)
		}
		if err := t.corner(); err != nil {
			return err
		}
	}
	t.out = append(t.out, "endloop endfacet "...)
	return t.expect("endfacet")
}

// corner reads three numbers.
func (t *plainText) corner() error {
	t.out = append(t.out, "vertex "...)
	for range 3 {
		word, err := t.word()
		if err != nil {
			return err
		}
		if !isNumber(word) {
			return t.fault("triangle %d: %s is not a number: write it with digits and a decimal point", t.facets, quoted(word))
		}
		if !isSmall(word) {
			return t.fault("triangle %d: %s is too large: check the unit, or export the panel again", t.facets, quoted(word))
		}
		t.out = append(append(t.out, word...), ' ')
	}
	return nil
}

// word is the next word within a facet.
func (t *plainText) word() ([]byte, error) {
	word, err := t.words.next()
	if errors.Is(err, io.EOF) {
		return nil, t.fault("the file ends inside triangle %d: copy or export it again", t.facets)
	}
	return word, err
}

func (t *plainText) expect(keywords ...string) error {
	for _, keyword := range keywords {
		word, err := t.word()
		if err != nil {
			return err
		}
		if !is(word, keyword) {
			return t.fault("triangle %d: %q expected, found %s", t.facets, keyword, quoted(word))
		}
	}
	return nil
}

func (t *plainText) fault(format string, args ...any) error {
	return fmt.Errorf("line %d: "+format, append([]any{t.words.line}, args...)...)
}

func is(word []byte, keyword string) bool {
	return len(word) == len(keyword) && bytes.EqualFold(word, []byte(keyword))
}

// isNumber reports whether the word is a decimal number: sign, digits with at most one point, exponent.
func isNumber(word []byte) bool {
	word = unsigned(word)
	mantissa, exponent := word, []byte(nil)
	if at := bytes.IndexAny(word, "eE"); at >= 0 {
		mantissa, exponent = word[:at], unsigned(word[at+1:])
		if len(exponent) == 0 {
			return false
		}
	}
	whole, part, _ := bytes.Cut(mantissa, []byte("."))
	return len(whole)+len(part) > 0 && digits(whole) && digits(part) && digits(exponent)
}

// isSmall reports whether a decimal number fits a float32. Short ones do without looking.
func isSmall(word []byte) bool {
	if len(word) <= 24 && !bytes.ContainsAny(word, "eE") {
		return true
	}
	_, err := strconv.ParseFloat(string(word), 32)
	return err == nil
}

func unsigned(word []byte) []byte {
	if len(word) > 0 && (word[0] == '+' || word[0] == '-') {
		return word[1:]
	}
	return word
}

func digits(word []byte) bool {
	for _, c := range word {
		if c < '0' || c > '9' {
			return false
		}
	}
	return true
}
