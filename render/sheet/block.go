package sheet

import (
	"seamwright/render/paper"
)

// block is a titled table, or a list of sentences when it has no head. It flows from column to column.
type block struct {
	title   string
	head    []string // nil: no head row
	share   []float64
	rows    [][]string
	note    string                                // below the title
	framed  bool                                  // a box round it: cautions
	whole   bool                                  // not to be cut where a column ends, if it fits into a whole one
	boxes   bool                                  // upright rules between columns: boxes to be filled in by hand
	paint   func(p *page, row int, box paper.Box) // draws a row in place of its text
	high    float64
	started bool
	next    int // first row not yet drawn
}

// Measures of tables in mm.
const (
	linePitch  = 4.1 // between lines of text 2.5 mm high: 3.3 from the top of a letter to the tail of the next, and air
	rowAir     = 1.3
	cellAir    = 2.0 // between columns
	frameAir   = 1.5
	blockAir   = 4.0 // between blocks
	titleText  = 3.5
	titleHigh  = 6.0
	narrowest  = 34.0 // a column without share takes what its longest cell needs, up to this
	shortTable = 10   // rows up to which a table is not cut, if it fits into a column
	headerHigh = linePitch + rowAir
)

func (b *block) rowsLeft() int { return len(b.rows) - b.next }

// widths divides the width among the block's columns: those without a share take what they need, the
// others divide the rest in proportion.
func (b *block) widths(width float64) []float64 {
	out := make([]float64, len(b.share))
	left, shares := width-cellAir*float64(len(out)-1), 0.0
	for c, s := range b.share {
		shares += s
		if s > 0 {
			continue
		}
		if b.head != nil {
			out[c] = paper.Width(b.head[c], paper.TextHeight)
		}
		for _, row := range b.rows {
			out[c] = max(out[c], min(narrowest, paper.Width(row[c], paper.TextHeight)))
		}
		left -= out[c]
	}
	for c, s := range b.share {
		if s > 0 {
			out[c] = max(8, left*s/shares)
		}
	}
	return out
}

// wrapped is a row broken into lines, by column.
func (b *block) wrapped(row []string, widths []float64) (cells [][]string, lines int) {
	indent := 0.0
	if b.framed {
		indent = 2 * frameAir
	}
	for c, text := range row {
		l := paper.Wrap(text, paper.TextHeight, widths[c]-indent)
		cells, lines = append(cells, l), max(lines, len(l))
	}
	return cells, lines
}

func (b *block) rowHigh(lines int) float64 { return max(b.high, float64(lines)*linePitch+rowAir) }

// lead is the height of what stands above the first row.
func (b *block) lead(width float64) float64 {
	h := titleHigh
	if b.note != "" {
		h += float64(len(paper.Wrap(b.note, paper.TextHeight, width))) * linePitch
	}
	if b.head != nil {
		h += headerHigh
	}
	return h
}

// wholeHigh is the height of what is left of the block.
func (b *block) wholeHigh(width float64) float64 {
	widths, high := b.widths(width), b.lead(width)
	for _, row := range b.rows[b.next:] {
		_, lines := b.wrapped(row, widths)
		high += b.rowHigh(lines)
	}
	return high
}

// draw puts as many rows as fit into the box, from its top, and returns the height used; zero when not even
// the title and one row fit. Each line is drawn by its own layer's style.
func (b *block) draw(p *page, box paper.Box) float64 {
	widths := b.widths(box.Width())
	end, high := b.next, b.lead(box.Width())
	for ; end < len(b.rows); end++ {
		_, lines := b.wrapped(b.rows[end], widths)
		if h := b.rowHigh(lines); high+h <= box.Height() {
			high += h
			continue
		}
		break
	}
	whole := end == len(b.rows)
	if !whole && !b.started && !p.fresh && (b.whole || len(b.rows) <= shortTable) {
		return 0
	}
	if end == b.next && !(whole && len(b.rows) == 0) || !whole && !b.started && end-b.next < 2 && b.head != nil {
		return 0
	}
	y := b.drawHead(p, box, widths)
	top := y
	for i := b.next; i < end; i++ {
		if b.paint != nil {
			b.paint(p, i, paper.Box{X0: box.X0, Y0: y, X1: box.X1, Y1: y + b.high})
			y += b.high
			continue
		}
		y = b.drawRow(p, b.rows[i], widths, box.X0, y, box.X1)
	}
	if b.framed {
		p.thinRules.Rect(paper.Box{X0: box.X0, Y0: top, X1: box.X1, Y1: y})
	}
	if b.boxes {
		b.drawUprights(p, widths, box.X0, top, y)
	}
	b.next, b.started = end, true
	return y - box.Y0
}

// drawHead draws title and column names, and returns where the rows begin.
func (b *block) drawHead(p *page, box paper.Box, widths []float64) float64 {
	title := b.title
	if b.started {
		title += " (continued)"
	}
	p.words.Text(paper.Point{X: box.X0, Y: box.Y0 + 4}, titleText, paper.Start, paper.Fit(title, titleText, box.Width()))
	y := box.Y0 + titleHigh
	p.strongRules.Line(paper.Point{X: box.X0, Y: y - 0.6}, paper.Point{X: box.X1, Y: y - 0.6})
	if b.note != "" {
		for _, line := range paper.Wrap(b.note, paper.TextHeight, box.Width()) {
			p.words.Text(paper.Point{X: box.X0, Y: y + linePitch - 0.6}, paper.TextHeight, paper.Start, line)
			y += linePitch
		}
	}
	if b.head != nil {
		x := box.X0
		for c, name := range b.head {
			p.words.Text(paper.Point{X: x, Y: y + linePitch - 0.7}, paper.TextHeight, paper.Start, paper.Fit(name, paper.TextHeight, widths[c]))
			x += widths[c] + cellAir
		}
		y += headerHigh
		p.rules.Line(paper.Point{X: box.X0, Y: y}, paper.Point{X: box.X1, Y: y})
	}
	return y
}

// drawRow draws one row and the rule below it, and returns where the next one begins.
func (b *block) drawRow(p *page, row []string, widths []float64, x, y, x1 float64) float64 {
	cells, lines := b.wrapped(row, widths)
	left := x
	for c, text := range cells {
		indent := 0.0
		if b.framed {
			indent = frameAir
		}
		for i, line := range text {
			p.words.Text(paper.Point{X: x + indent, Y: y + linePitch*float64(i+1) - 0.6}, paper.TextHeight, paper.Start, line)
		}
		x += widths[c] + cellAir
	}
	y += b.rowHigh(lines)
	if !b.framed {
		p.thinRules.Line(paper.Point{X: left, Y: y}, paper.Point{X: x1, Y: y})
	}
	return y
}

// drawUprights rules the columns.
func (b *block) drawUprights(p *page, widths []float64, x, top, bottom float64) {
	for _, w := range widths[:len(widths)-1] {
		x += w + cellAir
		p.thinRules.Line(paper.Point{X: x - cellAir/2, Y: top}, paper.Point{X: x - cellAir/2, Y: bottom})
	}
}
