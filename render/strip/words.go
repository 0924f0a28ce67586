package strip

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

const small = paper.TextHeight

// write puts a word onto the strip between from and to, if it finds room.
func (b *board) write(k ink, w word, from, to float64) bool {
	at, ok := b.put(w, from, to)
	if ok {
		b.set(k, w, at)
	}
	return ok
}

// set writes a word about a spot, turned with the strip.
func (b *board) set(k ink, w word, at spot) {
	box := paper.TextBox(paper.Point{}, w.height, paper.Middle, w.text)
	at.across -= (box.Y0 + box.Y1) / -2 // from the middle of the letters to the line they stand on
	k.words.TextTurned(b.p.place(at), -b.p.lean(at.s)*180/math.Pi, w.height, paper.Middle, w.text)
}

// besideSide is the middle of a word that stands along a side.
func (b *board) besideSide(w word, s float64, which int) float64 {
	half, high := w.size()
	left, right := b.p.f.width(s)
	away := b.inset(which) + high + 1.5*wordAir + b.bow(s-half-wordAir, s+half+wordAir)
	if which == sideRight {
		return away - right
	}
	return left - away
}

// beside lists places for a word with its near end at s, after it or before it: along the whole width, and
// up to most farther away.
func (b *board) beside(w word, s float64, after bool, most float64) []spot {
	half, high := w.size()
	way := 1.0
	if !after {
		way = -1
	}
	var out []spot
	for d := 0.0; d <= most; d += 2.5 {
		at := s + way*(half+0.8+d)
		out = append(out, spot{at, b.besideSide(w, at, sideLeft)}, spot{at, b.besideSide(w, at, sideRight)})
		for _, up := range []float64{0.6 + high, 1.25 + high} {
			out = append(out, spot{at, up}, spot{at, -up})
		}
	}
	return out
}

// letter names a joint of pieces: A to Z, then AA.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// nameCuts writes the letters by which pieces are joined, and START and END.
func (b *board) nameCuts(k ink) {
	p := b.p
	write := func(text string, s float64, after bool) {
		from, to := p.from, p.to
		if s == p.to && after {
			from, to = p.to, p.end
		}
		for _, most := range []float64{5, 40} {
			for _, height := range []float64{3.5, small} {
				w := word{text: text, height: height}
				if w.places = b.beside(w, s, after, most); b.write(k, w, from, to) {
					return
				}
			}
		}
		p.crowded++
	}
	before, after := letter((p.number+p.of-2)%p.of), letter(p.number-1)
	if p.number > 1 || p.f.Flange.Closed {
		write(before, p.from, true)
	}
	if p.number == 1 {
		write("START", p.from, true)
	}
	if p.number < p.of {
		write(after, p.to, false)
		write("tab", p.to, true)
		return
	}
	if p.f.Flange.Closed {
		write(after, p.to, false)
	}
	write("END", p.to, false)
}

// numberWelds writes each weld's number after it, or above, below or before it where there is no room.
func (b *board) numberWelds(k ink) {
	for _, w := range b.p.f.welds {
		if !b.p.owns(w.s) {
			continue
		}
		t := word{text: fmt.Sprint(w.number), height: small}
		half, high := t.size()
		out := w.room() + wordAir
		after, before := w.s+out+half+0.1, w.s-out-half-0.1
		for _, up := range []float64{0.45 + high, 1.2 + high} {
			for _, s := range []float64{after, before} {
				t.places = append(t.places, spot{s, w.across + up}, spot{s, w.across - up})
			}
		}
		far := out + high + 0.1
		t.places = append(t.places, spot{w.s, w.across + far}, spot{w.s, w.across - far})
		if !b.write(k, t, b.p.from, b.p.to) {
			b.p.crowded++
			b.set(k, t, t.places[0])
		}
	}
}

// sideNames are the words for what ends a strip.
var sideNames = map[layout.Edge]string{layout.FreeEdge: "free edge", layout.Bend: "bend", layout.GapOpens: "sheets part",
	layout.StackEnds: "other sheets go on"}

// nameSides writes what the sides are: once on each stretch, and again every 150 mm.
func (b *board) nameSides(k ink) {
	const again = 150.0
	for _, which := range []int{sideLeft, sideRight} {
		for _, st := range b.p.stretches(which) {
			w := word{text: sideNames[st.edge], height: small}
			if w.text == "" {
				continue
			}
			n := max(1, math.Round((st.to-st.from)/again))
			for i := range int(n) {
				middle := st.from + (st.to-st.from)*(float64(i)+0.5)/n
				w.places = b.along(w, st, middle, which)
				b.write(k, w, b.p.from, b.p.to)
			}
		}
	}
}

// along lists places near a side, from a middle outwards.
func (b *board) along(w word, st stretch, middle float64, which int) []spot {
	var out []spot
	for d := 0.0; d < 70; d += 1 {
		for _, s := range []float64{middle + d, middle - d} {
			if s >= st.from && s <= st.to {
				out = append(out, spot{s, b.besideSide(w, s, which)})
			}
		}
	}
	return out
}

// tickSide is the side that carries the ticks: the right, unless that is the only free edge.
func (p *piece) tickSide() int {
	free := func(side func(layout.Side) layout.Edge) bool {
		for _, s := range p.f.sides {
			if side(s) == layout.FreeEdge {
				return true
			}
		}
		return false
	}
	if free(func(s layout.Side) layout.Edge { return s.Right }) && !free(func(s layout.Side) layout.Edge { return s.Left }) {
		return sideLeft
	}
	return sideRight
}

// drawTicks marks every 10 mm along the face on one side, and writes every 100 mm where there is room.
func (b *board) drawTicks(k ink) {
	p, which := b.p, b.p.tickSide()
	for mm := math.Ceil(p.f.onFace(p.from)/10) * 10; mm <= p.f.onFace(p.end); mm += 10 {
		s := p.f.fromFace(mm)
		long := tickShort
		if math.Mod(mm, 50) == 0 {
			long = tickLong
		}
		left, right := p.f.width(s)
		a, z := left, left-long
		if which == sideRight {
			a, z = -right, long-right
		}
		k.ticks.Line(p.place(spot{s, a}), p.place(spot{s, z}))
		if math.Mod(mm, 100) != 0 || mm == 0 || !p.owns(s) {
			continue
		}
		w := word{text: words.Fixed(mm, 0), height: small}
		half, _ := w.size()
		for _, d := range []float64{0, half, -half} {
			w.places = append(w.places, spot{s + d, b.besideSide(w, s+d, which)})
		}
		b.write(k, w, p.from, p.to)
	}
}

// drawArrows shows the way of the weld line about every 60 mm, where the line is free.
func (b *board) drawArrows(k ink) {
	const every, long, half = 60.0, 3.0, 0.8
	for s := b.p.from + every/2; s < b.p.to; s += every {
		for d := 0.0; d < every/2; d += 2 {
			t := taken{s + d - 1, s + d + long + 1, -half - 0.2, half + 0.2}
			if t.s0 < b.p.from || t.s1 > b.p.to || !b.fits(t) {
				continue
			}
			b.used = append(b.used, t)
			k.full.Polygon(b.p.place(spot{s + d + long, 0}), b.p.place(spot{s + d, half}), b.p.place(spot{s + d, -half}))
			break
		}
	}
}
