package stl

import (
	"encoding/binary"
	"math/bits"
)

// Keywords as eight bytes read them, the first in the lowest.
const (
	wordFacet    = 't'<<32 | 'e'<<24 | 'c'<<16 | 'a'<<8 | 'f'
	wordNormal   = 'l'<<40 | 'a'<<32 | 'm'<<24 | 'r'<<16 | 'o'<<8 | 'n'
	wordOuter    = 'r'<<32 | 'e'<<24 | 't'<<16 | 'u'<<8 | 'o'
	wordLoop     = 'p'<<24 | 'o'<<16 | 'o'<<8 | 'l'
	wordVertex   = 'x'<<40 | 'e'<<32 | 't'<<24 | 'r'<<16 | 'e'<<8 | 'v'
	wordEndloop  = 'p'<<48 | 'o'<<40 | 'o'<<32 | 'l'<<24 | 'd'<<16 | 'n'<<8 | 'e'
	wordEndfacet = 't'<<56 | 'e'<<48 | 'c'<<40 | 'a'<<32 | 'f'<<24 | 'd'<<16 | 'n'<<8 | 'e'
)

// skim reads facets for as long as they are whole in the buffer and written in the way of nearly all exporters, whatever
// their case and blanks. It stops before the first that is not, which is then read word by word, and any fault in it told.
func (t *text) skim() error {
	w := t.words
	if w.end-w.at < 1<<10 {
		w.fill()
	}
	buf := w.buf[:min(len(w.buf), w.end+textAhead)]
	var triangle [9]float32
	at := w.at
	for t.facets < t.limit {
		next := facetAt(buf, at, &triangle)
		if next < 0 || next > w.end {
			break // behind the end is what was read before
		}
		at = next
		t.facets++
		if t.full() {
			w.pass(at - w.at)
			t.giveOut()
		}
		if err := t.add(&triangle); err != nil {
			return err
		}
	}
	w.pass(at - w.at)
	return nil
}

// facetAt reads a facet from i on and gives the place behind it and one blank, or -1.
func facetAt(buf []byte, i int, triangle *[9]float32) int {
	i = keyword(buf, skipBlanks(buf, i), wordFacet, 5)
	if i = keyword(buf, i, wordNormal, 6); i < 0 {
		return -1
	}
	for range 3 {
		if i = skipWord(buf, i); i < 0 {
			return -1
		}
	}
	i = keyword(buf, i, wordOuter, 5)
	i = keyword(buf, i, wordLoop, 4)
	for k := 0; k < 9; k += 3 {
		if i = keyword(buf, i, wordVertex, 6); i < 0 {
			return -1
		}
		for c := range 3 {
			x, n := number(buf[i:])
			if n == 0 || n > longestWord {
				return -1
			}
			triangle[k+c] = x
			if i = blanks(buf, i+n); i < 0 {
				return -1
			}
		}
	}
	i = keyword(buf, i, wordEndloop, 7)
	if i < 0 || i+9 > len(buf) || binary.LittleEndian.Uint64(buf[i:])|lowerCase != wordEndfacet || !blank(buf[i+8]) {
		return -1
	}
	return i + 9
}

const lowerCase = 0x2020202020202020

// keyword passes a word of n letters in either case, and blanks behind it; -1 where something else stands.
func keyword(buf []byte, i int, word uint64, n int) int {
	if i < 0 || i+8 > len(buf) {
		return -1
	}
	if (binary.LittleEndian.Uint64(buf[i:])|lowerCase)<<(64-8*n) != word<<(64-8*n) {
		return -1
	}
	return blanks(buf, i+n)
}

// blanks passes one blank or more; -1 where there is none.
func blanks(buf []byte, i int) int {
	if i >= len(buf) || !blank(buf[i]) {
		return -1
	}
	return skipBlanks(buf, i+1)
}

func skipBlanks(buf []byte, i int) int {
	for i < len(buf) && blank(buf[i]) {
		i++
	}
	return i
}

// skipWord passes a word and the blanks behind it, or gives -1.
func skipWord(buf []byte, i int) int {
	for from := i; i+8 <= len(buf) && i-from <= longestWord-8; i += 8 {
		word := binary.LittleEndian.Uint64(buf[i:])
		// The lowest byte below '!' has its highest bit set here: none before it can have borrowed.
		if below := (word - 0x2121212121212121) &^ word & 0x8080808080808080; below != 0 {
			if i += bits.TrailingZeros64(below) >> 3; i == from {
				return -1
			}
			return blanks(buf, i)
		}
	}
	return -1
}
