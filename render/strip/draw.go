package strip

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

// ink holds one layer for each way of drawing on a page.
type ink struct {
	hatch, cut, free, other, centre, ticks, seams, rings, thick, cross, full, dots, captions, words *paper.Layer
}

func newInk(p *paper.Page) ink {
	line := func(name string, width float64, dash ...float64) *paper.Layer {
		return p.Layer(name, paper.Style{Stroke: paper.Black, Width: width, Dash: dash})
	}
	return ink{
		hatch: line("tabs", paper.W13), cut: line("cuts", paper.W35),
		free: line("free edges", paper.W50), other: line("other sides", paper.W25, 4, 1),
		centre: line("centre line", paper.W18, 8, 1, 0.4, 1), ticks: line("ticks", paper.W18),
		seams: line("roller seams", paper.W25), rings: line("weld rings", paper.W25), thick: line("tack squares", paper.W50),
		cross:    line("weld crosses", paper.W13),
		full:     p.Layer("wedges and arrows", paper.Style{Fill: paper.Black}),
		dots:     p.Layer("weld centres", paper.Style{Fill: paper.Black}),
		captions: p.Layer("captions", paper.Style{Fill: paper.Black}),
		words:    p.Layer("words", paper.Style{Fill: paper.Black}),
	}
}

// draw makes one page. The strip is of several pieces, or of one.
func (f *Flat) draw(plan *layout.Plan, set []*piece, number, of int, several bool) *paper.Page {
	p := paper.New(paper.Size{Name: "A4", Width: pageWide, Height: pageHigh}, "Marking strip of flange "+f.Flange.ID)
	p.Layer("sheet", paper.Style{Fill: paper.White}).Rect(paper.Box{X1: pageWide, Y1: pageHigh})
	f.drawHead(p, plan, number, of, several)
	k := newInk(p)
	for _, c := range set {
		c.draw(k)
	}
	p.CheckBar(paper.Point{X: rim, Y: pageHigh - rim}, false)
	p.CheckBar(paper.Point{X: pageWide - rim, Y: pageHigh - rim}, true)
	p.Desc = fmt.Sprintf("flange %s laid flat at full size, page %d of %d", f.Flange.ID, number, of)
	return p
}

// draw draws one piece: lines first, then what is on the strip, then words where there is room.
func (p *piece) draw(k ink) {
	b := &board{p: p}
	caption := fmt.Sprintf("%s, piece %d of %d: %s to %s mm", p.f.Flange.ID, p.number, p.of, words.Fixed(p.f.onFace(p.from), 0),
		words.Fixed(p.f.onFace(p.to), 0))
	room := math.Max(p.box.Width(), paper.Width(caption, paper.TextHeight))
	k.captions.Text(p.move.Add(paper.Point{X: p.box.X0, Y: p.box.Y0 - 1.8}), paper.TextHeight, paper.Start,
		paper.Fit(caption, paper.TextHeight, room))
	p.drawTab(k)
	b.drawSides(k)
	k.centre.Polyline(p.line(p.from, p.end, centre))
	b.drawHoles(k)
	b.drawSeams(k)
	b.drawWelds(k)
	b.nameCuts(k)
	b.numberWelds(k)
	b.nameSides(k)
	b.drawTicks(k)
	b.drawArrows(k)
}

// across draws a straight line across the strip, longer than it by more on both sides.
func (p *piece) across(l *paper.Layer, s, more float64) {
	left, right := p.f.width(s)
	l.Line(p.place(spot{s, left + more}), p.place(spot{s, -right - more}))
}

// drawTab hatches the tab, on which the next piece is pasted, and draws the ends.
func (p *piece) drawTab(k ink) {
	p.across(k.cut, p.from, 0)
	p.across(k.cut, p.end, 0)
	if p.end == p.to {
		return
	}
	p.across(k.cut, p.to, 1.5)
	left, right := p.f.width((p.to + p.end) / 2)
	const step = 2.0
	for c := p.to - left - right + step; c < p.end; c += step {
		from, to := math.Max(c, p.to), math.Min(c+left+right, p.end)
		if to > from {
			k.hatch.Line(p.place(spot{from, from - c - right}), p.place(spot{to, to - c - right}))
		}
	}
}

// stretch is a length of one side with one name.
type stretch struct {
	from, to float64
	edge     layout.Edge
}

// stretches are the side's parts that lie on the piece.
func (p *piece) stretches(which int) []stretch {
	sides := p.f.sides
	if len(sides) == 0 {
		sides = []layout.Side{{To: p.f.total()}}
	}
	var out []stretch
	for i, s := range sides {
		edge := s.Left
		if which == sideRight {
			edge = s.Right
		}
		from, to := math.Max(s.From, p.from), math.Min(s.To, p.end)
		if i == len(sides)-1 {
			to = p.end // a plan is written with rounded lengths
		}
		if n := len(out) - 1; n >= 0 && out[n].edge == edge {
			out[n].to = to
		} else if to > from {
			out = append(out, stretch{from, to, edge})
		}
	}
	return out
}

// drawSides draws free edges thick with wedges that point to them, other sides thin and broken.
func (b *board) drawSides(k ink) {
	for _, which := range []int{sideLeft, sideRight} {
		for _, st := range b.p.stretches(which) {
			l := k.other
			if st.edge == layout.FreeEdge {
				l = k.free
				b.drawWedges(k, st, which)
			}
			l.Polyline(b.p.line(st.from, st.to, which))
		}
	}
}

func (b *board) drawWedges(k ink, st stretch, which int) {
	const every, ends = 40.0, 16.0 // none where START, END and the letters of joints stand, unless there is no other
	p := b.p
	for s := math.Ceil((st.from-25)/every)*every + 25; s < st.to-wedgeHalf; s += every {
		atEnd := s < p.from+ends || s > p.to-ends
		if s < st.from+wedgeHalf || atEnd && p.to-p.from > 2*every {
			continue
		}
		left, right := p.f.width(s)
		tip, foot := left, left-wedgeHigh
		if which == sideRight {
			tip, foot = -right, wedgeHigh-right
		}
		k.full.Polygon(p.place(spot{s, tip}), p.place(spot{s - wedgeHalf, foot}), p.place(spot{s + wedgeHalf, foot}))
		b.used = append(b.used, taken{s - wedgeHalf, s + wedgeHalf, math.Min(tip, foot), math.Max(tip, foot)})
	}
}

func (b *board) drawHoles(k ink) {
	for _, h := range b.p.f.holes {
		if h.s+h.radius < b.p.from || h.s-h.radius > b.p.end {
			continue
		}
		if left, right := b.p.f.width(h.s); h.across > left || h.across < -right {
			continue // a notch from beyond the side: the outline shows it
		}
		at := b.p.place(h.spot)
		k.rings.Circle(at, h.radius)
		d := h.radius * math.Sqrt2 / 2
		k.cross.Line(at.Add(paper.Point{X: -d, Y: -d}), at.Add(paper.Point{X: d, Y: d}))
		k.cross.Line(at.Add(paper.Point{X: -d, Y: d}), at.Add(paper.Point{X: d, Y: -d}))
		b.used = append(b.used, taken{h.s - h.radius, h.s + h.radius, h.across - h.radius, h.across + h.radius})
	}
}

const (
	weldAir = 0.2  // kept free of words round a weld, mm
	second  = 0.8  // between the two outlines of a weld through three sheets, mm
	longer  = 1.25 // half the diagonal of a diamond over the weld's radius, so that both look alike in size
)

// drawWelds draws each weld at its true diameter: a ring for a fill weld, a thick square for a tack, a
// diamond for one that waits for a clamp; a second outline for three sheets; always a cross and a dot.
func (b *board) drawWelds(k ink) {
	for _, w := range b.p.f.welds {
		r, room := w.radius(), w.room()
		if w.s < b.p.from-room || w.s > b.p.end+room {
			continue
		}
		b.used = append(b.used, taken{w.s - room, w.s + room, w.across - room, w.across + room})
		if w.s < b.p.from || !b.p.owns(w.s) && w.s+room > b.p.end {
			continue // the neighbouring piece has it
		}
		b.p.outline(k, w, r)
		if w.sheets > 2 {
			b.p.outline(k, w, r+second)
		}
		arm := r + 1.2
		k.cross.Line(b.p.place(spot{w.s - arm, w.across}), b.p.place(spot{w.s + arm, w.across}))
		k.cross.Line(b.p.place(spot{w.s, w.across - arm}), b.p.place(spot{w.s, w.across + arm}))
		if b.p.owns(w.s) {
			k.dots.Circle(b.p.place(w.spot), 0.25)
		}
	}
}

// radius is half the weld's diameter; a weld without one is drawn 5 mm wide.
func (w mark) radius() float64 {
	if w.diameter > 0 {
		return w.diameter / 2
	}
	return 2.5
}

// room is how far the weld's outline reaches from its centre, with the air about it.
func (w mark) room() float64 {
	r := w.radius()
	if w.sheets > 2 {
		r += second
	}
	if w.step == layout.Released {
		r *= longer
	}
	return r + weldAir
}

func (p *piece) outline(k ink, w mark, r float64) {
	corner := func(ds, da float64) paper.Point { return p.place(spot{w.s + ds, w.across + da}) }
	switch w.step {
	case layout.Tack:
		k.thick.Polygon(corner(-r, -r), corner(r, -r), corner(r, r), corner(-r, r))
	case layout.Released:
		d := r * longer
		k.rings.Polygon(corner(-d, 0), corner(0, -d), corner(d, 0), corner(0, d))
	default:
		k.rings.Circle(p.place(w.spot), r)
	}
}

// drawSeams draws a roller seam as a line with even ticks, an arrow head at its start and a bar at its end.
func (b *board) drawSeams(k ink) {
	const every, half, band = 5.0, 0.7, 0.8
	for _, seam := range b.p.f.seams {
		for _, part := range b.p.seamParts(seam) {
			var points []paper.Point
			for i, at := range part {
				points = append(points, b.p.place(at))
				if i > 0 {
					a, z := math.Min(part[i-1].s, at.s), math.Max(part[i-1].s, at.s)
					b.used = append(b.used, taken{a, z, at.across - band, at.across + band})
				}
			}
			k.seams.Polyline(points)
		}
		if len(seam.path) > 0 {
			first, last := seam.path[0], seam.path[len(seam.path)-1]
			b.p.seamEnd(k, seam, first, true)
			if !b.p.f.Flange.Closed {
				b.p.seamEnd(k, seam, last, false)
			}
		}
		for s := math.Ceil(b.p.from/every) * every; s < b.p.end; s += every {
			if at, ok := seam.beside(s); ok && !b.p.f.onWeld(s) {
				k.seams.Line(b.p.place(spot{s, at - half}), b.p.place(spot{s, at + half}))
			}
		}
	}
}

// onWeld reports whether s lies within a weld's outline, where a tick could be taken for its centre.
func (f *Flat) onWeld(s float64) bool {
	return f.any(func(w mark) bool { return math.Abs(w.s-s) < w.room() })
}

// seamParts are the stretches of a seam that lie on the piece; a closed seam is cut where the strip is.
func (p *piece) seamParts(s seam) [][]spot {
	var out [][]spot
	var part []spot
	flush := func() {
		if len(part) > 1 {
			out = append(out, part)
		}
		part = nil
	}
	for _, at := range s.path {
		jump := len(part) > 0 && math.Abs(at.s-part[len(part)-1].s) > p.f.total()/2
		if jump || at.s < p.from || at.s > p.end {
			flush()
		}
		if at.s >= p.from && at.s <= p.end {
			part = append(part, at)
		}
	}
	flush()
	return out
}

// seamEnd marks a seam's start by an arrow head in its way, clear of a weld that lies there, its end by a bar.
func (p *piece) seamEnd(k ink, s seam, at spot, start bool) {
	if at.s < p.from || at.s > p.end {
		return
	}
	if !start {
		k.thick.Line(p.place(spot{at.s, at.across - 1.5}), p.place(spot{at.s, at.across + 1.5}))
		return
	}
	way := 1.0
	if len(s.path) > 1 && s.path[1].s < s.path[0].s {
		way = -1
	}
	const long = 3.0
	for range 20 {
		if !p.f.onWeld(at.s) && !p.f.onWeld(at.s+way*long) {
			break
		}
		at.s += way
	}
	k.full.Polygon(p.place(spot{at.s + way*long, at.across}), p.place(spot{at.s, at.across + 1.1}), p.place(spot{at.s, at.across - 1.1}))
}

// beside is how far from the weld line the seam runs at s.
func (s seam) beside(at float64) (across float64, ok bool) {
	for i := 1; i < len(s.path); i++ {
		a, b := s.path[i-1], s.path[i]
		if a.s > b.s {
			a, b = b, a
		}
		if at >= a.s && at <= b.s && b.s-a.s < 50 && b.s > a.s {
			return a.across + (b.across-a.across)*(at-a.s)/(b.s-a.s), true
		}
	}
	return 0, false
}
