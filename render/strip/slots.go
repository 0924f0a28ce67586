package strip

import (
	"math"

	"seamwright/render/paper"
)

// taken is a stretch of the strip that is drawn on: a box in length along and distance across, to the left.
type taken struct{ s0, s1, low, high float64 }

func (a taken) overlaps(b taken) bool {
	return a.s0 < b.s1 && b.s0 < a.s1 && a.low < b.high && b.low < a.high
}

// board keeps account of what is drawn on one piece.
type board struct {
	p    *piece
	used []taken
}

// word is a text that looks for a place on the strip.
type word struct {
	text   string
	height float64
	places []spot // the middle of the text, best first
}

// size is the room that a text takes: along, and above and below its middle.
func (w word) size() (half, high float64) {
	b := paper.TextBox(paper.Point{}, w.height, paper.Middle, w.text)
	return b.Width() / 2, b.Height() / 2
}

// wordAir is the room between a word and what is beside it, mm.
const wordAir = 0.35

// put takes the first place where the word is free, on the strip and between from and to along it.
func (b *board) put(w word, from, to float64) (spot, bool) {
	half, high := w.size()
	for _, at := range w.places {
		t := taken{at.s - half - wordAir, at.s + half + wordAir, at.across - high - wordAir, at.across + high + wordAir}
		if t.s0 >= from && t.s1 <= to && b.fits(t) {
			b.used = append(b.used, t)
			return at, true
		}
	}
	return spot{}, false
}

// fits reports whether a box lies on the strip and on nothing else. On a curved strip a straight word
// leaves the line by its sagitta.
func (b *board) fits(t taken) bool {
	bow := b.bow(t.s0, t.s1)
	for _, s := range [3]float64{t.s0, (t.s0 + t.s1) / 2, t.s1} {
		left, right := b.p.f.width(s)
		if t.high+bow > left-b.inset(sideLeft) || t.low-bow < b.inset(sideRight)-right {
			return false
		}
	}
	for _, u := range b.used {
		if t.overlaps(u) {
			return false
		}
	}
	return true
}

// bow is the sagitta of a stretch of the strip.
func (b *board) bow(from, to float64) float64 {
	return math.Abs(math.Remainder(b.p.lean(from)-b.p.lean(to), 2*math.Pi)) * (to - from) / 8
}

// inset is kept free of words along a side, mm: more where ticks stand on it.
func (b *board) inset(which int) float64 {
	if which == b.p.tickSide() {
		return tickLong + 0.1
	}
	return 0.4
}

// Marks along the sides, mm.
const (
	tickShort = 0.6 // every 10 mm
	tickLong  = 1.1 // every 50 mm
	wedgeHigh = 1.2
	wedgeHalf = 0.9
)
