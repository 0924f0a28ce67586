package pack

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/render/chart"
	"seamwright/render/flow"
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
	nameWide = 50.0
	rowHigh  = 7.5

	// Layers of what stands in bars.
	letters     = "letters"
	letterBacks = "letter backs"
)

// Room in mm of a chart above its first row, with the scale, and below its last.
const (
	ganttHead = 6.5
	ganttFoot = 2.0
)

// ganttHigh is the room that a chart takes with its legend.
func ganttHigh(rows []row) float64 { return ganttHead + float64(len(rows))*rowHigh + ganttFoot + 14 }

// chart writes a heading and a chart below it, on one page where they fit onto one.
func (w *work) chart(title, note string, rows []row) {
	follows := ganttHigh(rows)
	if note != "" {
		follows += w.NoteHigh(note)
	}
	if follows > w.Box.Height()-20 {
		follows = 40
	}
	w.Title(title, follows)
	if note != "" {
		w.Note(note)
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
	if whole := ganttHigh(rows); whole < w.Box.Height() {
		w.Room(whole)
	}
	for i := 0; i < len(rows); {
		w.Room(ganttHead + ganttFoot + 3*rowHigh)
		n := min(len(rows)-i, max(1, int((w.Left()-ganttHead-ganttFoot)/rowHigh)))
		w.Draw(ganttHead+float64(n)*rowHigh+ganttFoot, func(pen flow.Pen, box paper.Box) { ganttPart(pen, box, rows[i:i+n], end) })
		i += n
	}
}

// ganttPart draws rows from 0 min to an end into a box, with the scale above them.
func ganttPart(pen flow.Pen, box paper.Box, rows []row, end float64) {
	zero := box.X0 + nameWide
	step, scale := chart.Step(end, 8), (box.X1-zero)/end
	head, foot := box.Y0+ganttHead, box.Y1-ganttFoot
	for k := 0; float64(k)*step <= end+1e-9; k++ {
		x := zero + float64(k)*step*scale
		pen.Thin.Line(paper.Point{X: x, Y: head}, paper.Point{X: x, Y: foot})
		anchor := paper.Middle
		if x > box.X1-6 {
			anchor = paper.End
		}
		text := number(float64(k)*step, 0)
		if k == 0 {
			text = "0 min"
			anchor = paper.Start
		}
		pen.Words.Text(paper.Point{X: x, Y: head - 1.2}, paper.AtJig, anchor, text)
	}
	for i, r := range rows {
		y := head + float64(i)*rowHigh
		name, letters := paper.Shrink(r.name, paper.AtJig, nameWide-2)
		pen.Words.Text(paper.Point{X: box.X0, Y: y + rowHigh/2 + paper.AtJig/2}, letters, paper.Start, name)
		for _, s := range r.slots {
			if s.to > s.from {
				drawSlot(pen.Page, s, paper.Box{X0: zero + s.from*scale, Y0: y + 0.8, X1: zero + s.to*scale, Y1: y + rowHigh - 0.8})
			}
		}
	}
	pen.Rules.Line(paper.Point{X: zero, Y: head}, paper.Point{X: zero, Y: foot})
}

// drawSlot draws a bar with its letter, where that fits.
func drawSlot(p *paper.Page, s slot, box paper.Box) {
	layerFor(p, s.tint).Rect(box)
	if paper.Width(s.letter, paper.AtJig)+0.6 <= box.Width() {
		c, half := box.Center(), paper.Width(s.letter, paper.AtJig)/2+0.2
		if s.tint != paper.White { // so that a copier's dots leave the letter alone
			back := paper.Box{X0: c.X - half, Y0: c.Y - paper.AtJig/2 - 0.3, X1: c.X + half, Y1: c.Y + paper.AtJig/2 + 0.3}
			layer(p, letterBacks, paper.Style{Fill: paper.White}).Rect(back)
		}
		layer(p, letters, paper.Style{Fill: paper.Black}).Text(paper.Point{X: c.X, Y: c.Y + paper.AtJig/2}, paper.AtJig, paper.Middle, s.letter)
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
	const lineHigh = 7.0
	var lines [][]phase
	x := 0.0
	for i, p := range phases {
		if !used[i] {
			continue
		}
		if x += p.legendWide(); len(lines) == 0 || x > w.Box.Width() {
			lines = append(lines, nil)
			x = p.legendWide()
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], p)
	}
	w.Draw(float64(len(lines))*lineHigh+1, func(pen flow.Pen, box paper.Box) {
		for k, line := range lines {
			x, y := box.X0, box.Y0+float64(k)*lineHigh+5.3
			for _, p := range line {
				drawSlot(pen.Page, slot{letter: p.letter, tint: p.tint, to: 1}, paper.Box{X0: x, Y0: y - 4.5, X1: x + 6.5, Y1: y + 1})
				pen.Words.Text(paper.Point{X: x + 8, Y: y}, paper.AtJig, paper.Start, p.name)
				x += p.legendWide()
			}
		}
	})
}

// legendWide is the width that a phase takes in a legend.
func (p phase) legendWide() float64 { return 8 + paper.Width(p.name, paper.AtJig) + 4 }

// bars draws values as bars from one zero.
func (w *work) bars(list []chart.Bar) {
	w.Skip(2)
	w.Draw(chart.BarsHigh(list), func(pen flow.Pen, box paper.Box) { chart.Bars(pen.Page, box, list) })
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
