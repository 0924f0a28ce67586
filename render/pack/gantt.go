package pack

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/render/chart"
	"seamwright/render/paper"
)

// slot is a stretch of a chart's row, in minutes.
type slot struct {
	from, to float64
	letter   string
	tint     paper.Ink
}

// row is a line of a chart.
type row struct {
	name  string
	slots []slot
}

const (
	nameWide = 44.0
	rowHigh  = 6.0

	// Layers of what stands in bars.
	letters     = "letters"
	letterBacks = "letter backs"
)

// ganttHigh is the room that a chart takes with its legend.
func ganttHigh(rows []row) float64 { return float64(len(rows))*rowHigh + 22 }

// chart writes a heading and a chart below it, on one page where they fit onto one.
func (w *work) chart(title, note string, rows []row) {
	follows := ganttHigh(rows) + 2*linePitch
	if follows > bottom-top-20 {
		follows = 40
	}
	w.heading(title, follows)
	if note != "" {
		w.note(note)
	}
	w.gantt(rows)
}

// gantt draws rows of slots over a common scale of minutes.
func (w *work) gantt(rows []row) {
	end := 0.0
	for _, r := range rows {
		for _, s := range r.slots {
			end = math.Max(end, s.to)
		}
	}
	if !(end > 0) || math.IsInf(end, 0) {
		return
	}
	step := chart.Step(end, 8)
	scale := (wide - nameWide) / end
	if whole := ganttHigh(rows); whole < bottom-top {
		w.room(whole)
	}
	for i := 0; i < len(rows); {
		w.room(3*rowHigh + 8)
		n := min(len(rows)-i, max(1, int((bottom-w.leaf().y-8)/rowHigh)))
		w.ganttPart(rows[i:i+n], scale, step, end)
		if i += n; i < len(rows) {
			w.turn()
		}
	}
}

// ganttPart draws as many rows as fit onto the page, with the scale above them.
func (w *work) ganttPart(rows []row, scale, step, end float64) {
	l := w.leaf()
	p := l.page
	l.y += 6
	head, foot := l.y, l.y+float64(len(rows))*rowHigh
	for k := 0; float64(k)*step <= end+1e-9; k++ {
		x := left + nameWide + float64(k)*step*scale
		l.Thin.Line(paper.Point{X: x, Y: head}, paper.Point{X: x, Y: foot})
		anchor := paper.Middle
		if x > right-6 {
			anchor = paper.End
		}
		text := number(float64(k)*step, 0)
		if k == 0 {
			text = "0 min"
			anchor = paper.Start
		}
		l.Words.Text(paper.Point{X: x, Y: head - 1.2}, small, anchor, text)
	}
	for i, r := range rows {
		y := head + float64(i)*rowHigh
		l.Words.Text(paper.Point{X: left, Y: y + rowHigh/2 + small/2}, small, paper.Start, paper.Fit(r.name, small, nameWide-2))
		for _, s := range r.slots {
			if s.to > s.from {
				drawSlot(p, s, paper.Box{X0: left + nameWide + s.from*scale, Y0: y + 0.8, X1: left + nameWide + s.to*scale, Y1: y + rowHigh - 0.8})
			}
		}
	}
	l.Rules.Line(paper.Point{X: left + nameWide, Y: head}, paper.Point{X: left + nameWide, Y: foot})
	l.y = foot + 2
}

// drawSlot draws a bar with its letter, where that fits.
func drawSlot(p *paper.Page, s slot, box paper.Box) {
	layerFor(p, s.tint).Rect(box)
	if paper.Width(s.letter, small)+0.6 <= box.Width() {
		c, half := box.Center(), paper.Width(s.letter, small)/2+0.2
		if s.tint != paper.White { // so that a copier's dots leave the letter alone
			layer(p, letterBacks, paper.Style{Fill: paper.White}).Rect(paper.Box{X0: c.X - half, Y0: c.Y - 1.6, X1: c.X + half, Y1: c.Y + 1.6})
		}
		layer(p, letters, paper.Style{Fill: paper.Black}).Text(paper.Point{X: c.X, Y: c.Y + small/2}, small, paper.Middle, s.letter)
	}
}

// layerFor is the layer of bars of a tint, made when first asked for.
func layerFor(p *paper.Page, tint paper.Ink) *paper.Layer {
	return layer(p, "bars "+string(tint), paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: tint})
}

func layer(p *paper.Page, name string, style paper.Style) *paper.Layer {
	for _, l := range p.Layers {
		if l.Name == name {
			return l
		}
	}
	return p.Layer(name, style)
}

// legend explains the letters in use.
func (w *work) legend(used []bool) {
	w.room(2 * rowHigh)
	l := w.leaf()
	x := left
	l.y += 4.5
	for i, p := range phases {
		if !used[i] {
			continue
		}
		width := 7 + paper.Width(p.name, small) + 4
		if x+width > right {
			x = left
			l.y += 5.5
		}
		drawSlot(l.page, slot{letter: p.letter, tint: p.tint, to: 1}, paper.Box{X0: x, Y0: l.y - 3.3, X1: x + 5.5, Y1: l.y + 0.9})
		l.Words.Text(paper.Point{X: x + 7, Y: l.y}, small, paper.Start, p.name)
		x += width
	}
	l.y += 2
}

// bar is one line of a bar chart.
type bar struct {
	name  string
	value float64
	text  string
}

// bars draws values as bars from one zero; values below zero go to the left of it.
func (w *work) bars(list []bar) {
	const name, figure = 58.0, 34.0
	least, greatest := 0.0, 0.0
	for _, b := range list {
		least, greatest = math.Min(least, b.value), math.Max(greatest, b.value)
	}
	if !(greatest-least > 0) || math.IsInf(greatest-least, 0) {
		return
	}
	scale := (wide - name - figure) / (greatest - least)
	zero := left + name - least*scale
	w.leaf().y += 2
	for _, b := range list {
		w.room(5.6)
		l := w.leaf()
		l.Words.Text(paper.Point{X: left, Y: l.y + 4}, small, paper.Start, paper.Fit(b.name, small, name-2))
		box := paper.Box{X0: zero, Y0: l.y + 0.7, X1: zero + b.value*scale, Y1: l.y + 4.9}
		tint := paper.Ink("#c4c4c4")
		if b.value < 0 {
			box.X0, box.X1, tint = box.X1, box.X0, "#ffffff"
		}
		if box.Width() > 0 {
			layerFor(l.page, tint).Rect(box)
		}
		l.Words.Text(paper.Point{X: right, Y: l.y + 4}, small, paper.End, b.text)
		l.Rules.Line(paper.Point{X: zero, Y: l.y}, paper.Point{X: zero, Y: l.y + 5.6})
		l.y += 5.6
	}
}

// crewRows are one row for each person at a station, by its schedule; where that is blank they wait.
func crewRows(here *layout.AtStation, at float64) []row {
	st := here.Station
	var out []row
	for n, own := range st.Persons() {
		r := row{name: st.ID}
		if st.Crew > 1 {
			r.name = fmt.Sprintf("%s, person %d", st.ID, n+1)
		}
		for _, v := range own {
			if v.Step > 0 {
				p := phases[phaseOfStep(v.Do)]
				r.slots = append(r.slots, slot{at + v.From, at + v.To, p.letter, p.tint})
			}
		}
		out = append(out, r)
	}
	return out
}
