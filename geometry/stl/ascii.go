package stl

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

// eachText reads an ASCII file of any spelling: upper case, tabs, carriage returns, blank lines, byte-order
// mark, one line or many, several solids. Normals are passed over, as they follow from the corners and some exporters
// write "nan" for them.
func eachText(r io.ReaderAt, size int64, b bounds, take func(*Soup, int)) ([]string, error) {
	t := &text{words: newWords(io.NewSectionReader(r, 0, size)), bounds: b, size: size, take: take}
	t.some.records = make([]byte, 0, recordSize*min(chunk, b.limit))
	err := t.solids()
	if err == nil && t.facets == 0 {
		err = errors.New("ASCII STL without triangles: export the panel again")
	}
	if err != nil {
		return nil, err
	}
	t.giveOut()
	var notes []string
	if t.begun > 1 {
		notes = append(notes, fmt.Sprintf("%d solids in the file, read as one panel", t.begun))
	}
	return notes, nil
}

// text reads triangles from words. Facets as exporters write them are read by skim; what skim leaves, right or wrong,
// is gone through word by word.
type text struct {
	words *words
	bounds
	size   int64
	take   func(some *Soup, about int)
	some   Soup // triangles that are not given out yet
	given  int  // triangles that are
	begun  int  // solids
	facets int  // begun
}

// solids reads all solids of the file.
func (t *text) solids() error {
	if err := t.solid(); err != nil {
		return err
	}
	for {
		if err := t.skim(); err != nil {
			return err
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
				return nil
			} else if err != nil {
				return err
			}
		default:
			return t.fault("\"facet\" or \"endsolid\" expected, found %s", quoted(word))
		}
	}
}

// solid reads the line that begins a solid; io.EOF when another one could begin but the file ends.
func (t *text) solid() error {
	word, err := t.words.next()
	if errors.Is(err, io.EOF) && t.begun == 0 {
		return errors.New("nothing but blanks in the file: export the panel again")
	}
	if err != nil {
		return err
	}
	if !is(word, "solid") {
		return t.fault("\"solid\" expected, found %s: export the panel as STL", quoted(word))
	}
	t.begun++
	return t.words.skipLine()
}

// facet reads one triangle from behind its first word.
func (t *text) facet() error {
	t.facets++
	if t.facets > t.limit {
		return tooMany(int64(t.facets), t.limit)
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
	var triangle [9]float32
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
		if err := t.corner(triangle[3*corners:]); err != nil {
			return err
		}
	}
	if err := t.expect("endfacet"); err != nil {
		return err
	}
	return t.add(&triangle)
}

// corner reads three numbers.
func (t *text) corner(into []float32) error {
	for k := range 3 {
		word, err := t.word()
		if err != nil {
			return err
		}
		x, decimal, ok := slowNumber(word)
		if !decimal {
			return t.fault("triangle %d: %s is not a number: write it with digits and a decimal point", t.facets, quoted(word))
		}
		if !ok {
			return t.fault("triangle %d: %s is too large: check the unit, or export the panel again", t.facets, quoted(word))
		}
		into[k] = x
	}
	return nil
}

// word is the next word within a facet.
func (t *text) word() ([]byte, error) {
	word, err := t.words.next()
	if errors.Is(err, io.EOF) {
		return nil, t.fault("the file ends inside triangle %d: copy or export it again", t.facets)
	}
	return word, err
}

func (t *text) expect(keywords ...string) error {
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

func (t *text) fault(format string, args ...any) error {
	return fmt.Errorf("line %d: "+format, append([]any{t.words.line}, args...)...)
}

func is(word []byte, keyword string) bool {
	return len(word) == len(keyword) && bytes.EqualFold(word, []byte(keyword))
}

// add takes a triangle.
func (t *text) add(corners *[9]float32) error {
	for _, x := range corners {
		if !(x >= -t.reach && x <= t.reach) {
			return fault(*corners, t.given+t.some.Len(), t.reach)
		}
	}
	if t.full() {
		t.giveOut()
	}
	n := len(t.some.records)
	t.some.records = t.some.records[:n+recordSize]
	putTriangle(t.some.records[n:], corners)
	return nil
}

// full reports whether there is no room for another triangle.
func (t *text) full() bool { return len(t.some.records)+recordSize > cap(t.some.records) }

// giveOut makes room. There are as many triangles about as if the rest of the file were like the beginning.
func (t *text) giveOut() {
	t.given += t.some.Len()
	whole := 1.02 * float64(t.given) * float64(t.size) / float64(t.words.passed()+1)
	t.take(&t.some, max(t.given, min(int(whole), t.limit)))
	t.some.records = t.some.records[:0]
}
