// Package flow sets tables, lists of sentences and headings into boxes on a sheet: what finds no room in one box goes on in
// the next, under its title and column names again. Maps and sheets of text are set with it alike.
//
//	t := flow.Table{Title: "Runs", Columns: []flow.Column{{Head: "Welds"}, {Head: "Joint", Share: 1}}, Rows: rows}
//	for t.Left() > 0 {
//		page := paper.New(paper.A4, "Runs")
//		t.Draw(flow.NewPen(page), paper.Box{X0: 20, Y0: 20, X1: 200, Y1: 280}, true)
//	}
//
// All measures are mm on the sheet.
package flow

import (
	"slices"
	"strings"

	"seamwright/render/paper"
)

// Pen is the layers that a sheet's tables are drawn with.
type Pen struct {
	Words, Thin, Rules, Strong *paper.Layer
	Page                       *paper.Page
}

// NewPen adds the layers to a page.
func NewPen(p *paper.Page) Pen {
	return Pen{
		Words:  p.Layer("words", paper.Style{Fill: paper.Black}),
		Thin:   p.Layer("thin-rules", paper.Style{Stroke: paper.Black, Width: paper.W13}),
		Rules:  p.Layer("rules", paper.Style{Stroke: paper.Black, Width: paper.W25}),
		Strong: p.Layer("strong-rules", paper.Style{Stroke: paper.Black, Width: paper.W50}),
		Page:   p,
	}
}

// Column is one of a table: its head, which may have several lines, its share of the width (0: what its cells need), and
// whether its cells stand to the right.
type Column struct {
	Head  string
	Share float64
	Right bool
}

// Columns makes columns of heads and shares.
func Columns(heads []string, shares []float64) []Column {
	out := make([]Column, len(heads))
	for i := range out {
		out[i] = Column{Head: heads[i], Share: shares[i]}
	}
	return out
}

// Heads makes columns of heads alone: those that begin with > stand to the right, those with = share what is left.
func Heads(heads ...string) []Column {
	out := make([]Column, len(heads))
	for i, h := range heads {
		out[i] = Column{Head: strings.TrimLeft(h, ">="), Right: strings.HasPrefix(h, ">")}
		if strings.HasPrefix(h, "=") {
			out[i].Share = 1
		}
	}
	return out
}

// Table is rows under a head that is repeated in every box. Without heads its rows are sentences.
type Table struct {
	Title   string // empty: none, and no line below it
	Note    string // below the title
	Columns []Column
	Rows    [][]string
	Letters float64 // height of capitals; 0: paper.TextHeight

	High   float64 // least height of a row
	Boxes  bool    // upright rules between columns: boxes to be filled in by hand
	Framed bool    // a box round it: cautions
	Whole  bool    // not to be cut where a box ends, if it fits into a whole one
	Cut    bool    // a row too high for a box goes on in the next; else Draw sets nothing
	Total  bool    // a rule above the last row
	Spill  bool    // text takes the room of empty cells at its right too
	Tight  bool    // cut anywhere, but for Whole: where that saves a sheet
	Dense  bool    // lines of text nearer to each other: where that saves a sheet

	Paint func(pen Pen, row int, box paper.Box) // draws a row in place of its text

	Lines Lines // known from tables of the same texts; nil: none

	started bool
	next    int // first row not yet drawn
}

// Lines are texts broken into lines, kept by who sets the same tables over and over to find the way that takes fewest sheets.
type Lines map[broken][]string

// broken is a text at a height of letters in a width.
type broken struct {
	text          string
	letters, wide float64
}

// lines breaks a text into lines, once.
func (t *Table) lines(text string, wide float64) []string {
	if t.Lines == nil {
		return paper.Wrap(text, t.letters(), wide)
	}
	key := broken{text, t.letters(), wide}
	out, known := t.Lines[key]
	if !known {
		out = paper.Wrap(text, t.letters(), wide)
		t.Lines[key] = out
	}
	return out
}

// Measures in mm that do not grow with the letters.
const (
	cellAir    = 2.0 // between columns
	frameAir   = 1.5
	shortTable = 10 // rows up to which a table is not cut, if it fits into a box
)

// Air is the room in mm between two tables.
const Air = 4.0

// Pitch is the way from line to line of letters: at 2.5 mm, 3.3 mm from the top of a letter to the tail of the next, and air.
func Pitch(letters float64) float64 { return 1.64 * letters }

// densePitch is the way from line to line in heights of letters that leaves the least air between them: 0.18 of a letter from the tail
// of one to the top of the next. Our own choice.
const densePitch = 1.5

func (t *Table) letters() float64 {
	if t.Letters == 0 {
		return paper.TextHeight
	}
	return t.Letters
}

func (t *Table) pitch() float64 {
	if t.Dense {
		return densePitch * t.letters()
	}
	return Pitch(t.letters())
}

func (t *Table) rowAir() float64 { return 0.52 * t.letters() }

// widest is what a column without share takes at most.
func (t *Table) widest() float64 { return 18 * t.letters() }

// TitleLetters is the height of the letters of a title above text of some height: the next one of the series.
func TitleLetters(letters float64) float64 {
	if letters > paper.TextHeight {
		return 5
	}
	return 3.5
}

// TitleHigh is the room that a title takes with the line below it.
func TitleHigh(letters float64) float64 { return 1.6*TitleLetters(letters) + 0.4 }

// Title writes a title with a line below it, and returns where what follows begins.
func (pen Pen) Title(text string, letters float64, box paper.Box) float64 {
	high, y := TitleLetters(letters), box.Y0+TitleHigh(letters)
	if paper.Width(text, high) > box.Width() {
		high = max(letters, paper.TextHeight)
	}
	pen.Words.Text(paper.Point{X: box.X0, Y: y - 2}, high, paper.Start, paper.Fit(text, high, box.Width()))
	pen.Strong.Line(paper.Point{X: box.X0, Y: y - 0.6}, paper.Point{X: box.X1, Y: y - 0.6})
	return y
}

// WithRows keeps the tables that have rows, and of those that are nil none.
func WithRows(all ...*Table) []*Table {
	return slices.DeleteFunc(all, func(t *Table) bool { return t == nil || len(t.Rows) == 0 })
}

// Left is how many rows are not drawn yet.
func (t *Table) Left() int { return len(t.Rows) - t.next }

// headLines is how many lines the head takes; a table without names has none.
func (t *Table) headLines() int {
	lines := 0
	for _, c := range t.Columns {
		if c.Head != "" {
			lines = max(lines, strings.Count(c.Head, "\n")+1)
		}
	}
	return lines
}

// widths divides the width among the columns: those without a share take what they need, the others divide the rest in
// proportion. Where the rest is too little, all that was taken is cut down alike.
func (t *Table) widths(width float64) []float64 {
	out := make([]float64, len(t.Columns))
	free := width - cellAir*float64(len(out)-1)
	taken, shares := 0.0, 0.0
	for c, col := range t.Columns {
		if shares += col.Share; col.Share > 0 {
			continue
		}
		out[c] = t.headWide(col)
		for _, row := range t.Rows {
			out[c] = max(out[c], min(t.widest(), paper.Width(row[c], t.letters())))
		}
		taken += out[c]
	}
	least := min(12*shares, free/3) // what the columns with shares must have
	if taken > free-least && taken > 0 {
		for c := range out {
			out[c] *= (free - least) / taken
		}
		taken = free - least
	}
	t.share(out, free-taken, shares)
	return out
}

// share divides the rest of the width among the columns with shares. One whose head is wider than its share takes what its head needs,
// where there is so much for all.
func (t *Table) share(out []float64, rest, shares float64) {
	need, fixed := 0.0, make([]bool, len(out))
	for c, col := range t.Columns {
		if fixed[c] = col.Share == 0; !fixed[c] {
			need += t.headWide(col)
		}
	}
	for again := true; again; {
		again = false
		for c, col := range t.Columns {
			if fixed[c] {
				continue
			}
			if out[c] = rest * col.Share / shares; need <= rest && out[c] < t.headWide(col) {
				out[c] = t.headWide(col)
				rest, shares, need = rest-out[c], shares-col.Share, need-out[c]
				fixed[c], again = true, true
				break
			}
		}
	}
}

// headWide is the width of the longest line of a column's head.
func (t *Table) headWide(c Column) float64 {
	wide := 0.0
	for _, line := range strings.Split(c.Head, "\n") {
		wide = max(wide, paper.Width(line, t.letters()))
	}
	return wide
}

// wrapped is a row broken into lines, by column.
func (t *Table) wrapped(row []string, widths []float64) (cells [][]string, lines int) {
	indent := 0.0
	if t.Framed {
		indent = 2 * frameAir
	}
	for c, text := range row {
		wide := widths[c] - indent
		for k := c + 1; t.Spill && !t.Columns[c].Right && k < len(row) && row[k] == ""; k++ {
			wide += cellAir + widths[k]
		}
		l := t.lines(text, wide)
		cells, lines = append(cells, l), max(lines, len(l))
	}
	return cells, lines
}

func (t *Table) rowHigh(lines int) float64 { return max(t.High, float64(lines)*t.pitch()+t.rowAir()) }

// lead is the height of what stands above the first row.
func (t *Table) lead(width float64) float64 {
	h := 0.0
	if t.Title != "" {
		h = TitleHigh(t.letters())
	}
	if t.Note != "" && !t.started {
		h += float64(len(t.lines(t.Note, width))) * t.pitch()
	}
	if n := t.headLines(); n > 0 {
		h += float64(n)*t.pitch() + t.rowAir()
	}
	return h
}

// WholeHigh is the height of what is left of the table at a width.
func (t *Table) WholeHigh(width float64) float64 {
	widths, high := t.widths(width), t.lead(width)
	for _, row := range t.Rows[t.next:] {
		_, lines := t.wrapped(row, widths)
		high += t.rowHigh(lines)
	}
	return high
}

// Draw sets as many rows as fit into the box, from its top, and returns the height used; 0 when it sets nothing. A table that
// should not be cut waits for the next box unless this one is fresh: empty so far.
func (t *Table) Draw(pen Pen, box paper.Box, fresh bool) float64 {
	widths := t.widths(box.Width())
	end := t.fits(box, widths)
	whole := end == len(t.Rows)
	if !whole && !t.started && !fresh && (t.Whole || !t.Tight && len(t.Rows) <= shortTable) {
		return 0
	}
	if end == t.next && len(t.Rows) > 0 && (!fresh || !t.Cut || !t.cut(box, widths)) {
		return 0
	}
	end = t.fits(box, widths)
	if end < len(t.Rows) && !t.started && end-t.next < 2 && t.headLines() > 0 && !fresh {
		return 0
	}
	y := t.drawHead(pen, box, widths)
	top := y
	for i := t.next; i < end; i++ {
		if t.Total && i == len(t.Rows)-1 {
			pen.Rules.Line(paper.Point{X: box.X0, Y: y}, paper.Point{X: box.X1, Y: y})
		}
		if t.Paint != nil {
			t.Paint(pen, i, paper.Box{X0: box.X0, Y0: y, X1: box.X1, Y1: y + t.High})
			y += t.High
			continue
		}
		y = t.drawRow(pen, t.Rows[i], widths, paper.Box{X0: box.X0, Y0: y, X1: box.X1})
	}
	if t.Framed {
		pen.Thin.Rect(paper.Box{X0: box.X0, Y0: top, X1: box.X1, Y1: y})
	}
	if t.Boxes {
		t.drawUprights(pen, widths, box.X0, top, y)
	}
	t.next, t.started = end, true
	return y - box.Y0
}

// fits is the first row that finds no room in the box.
func (t *Table) fits(box paper.Box, widths []float64) int {
	end, high := t.next, t.lead(box.Width())
	for ; end < len(t.Rows); end++ {
		_, lines := t.wrapped(t.Rows[end], widths)
		if high += t.rowHigh(lines); high > box.Height() {
			break
		}
	}
	return end
}

// cut parts the next row in two, of which the first fits into the box; it reports whether that can be.
func (t *Table) cut(box paper.Box, widths []float64) bool {
	room := int((box.Height() - t.lead(box.Width()) - t.rowAir()) / t.pitch())
	if room < 1 {
		return false
	}
	cells, _ := t.wrapped(t.Rows[t.next], widths)
	first, rest := make([]string, len(cells)), make([]string, len(cells))
	for c, lines := range cells {
		n := min(room, len(lines))
		first[c], rest[c] = strings.Join(lines[:n], " "), strings.Join(lines[n:], " ")
	}
	rows := append([][]string{}, t.Rows[:t.next]...)
	t.Rows = append(append(rows, first, rest), t.Rows[t.next+1:]...)
	return true
}

// drawHead draws title and column names, and returns where the rows begin.
func (t *Table) drawHead(pen Pen, box paper.Box, widths []float64) float64 {
	y := box.Y0
	if t.Title != "" {
		title := t.Title
		if t.started {
			title += " (continued)"
		}
		y = pen.Title(title, t.letters(), box)
	}
	if t.Note != "" && !t.started {
		for _, line := range t.lines(t.Note, box.Width()) {
			y += t.pitch()
			pen.Words.Text(paper.Point{X: box.X0, Y: y - 0.24*t.letters()}, t.letters(), paper.Start, line)
		}
	}
	lines := t.headLines()
	if lines == 0 {
		return y
	}
	x := box.X0
	for c, col := range t.Columns {
		parts := strings.Split(col.Head, "\n")
		for i, part := range parts {
			at := y + t.pitch()*float64(lines-len(parts)+i+1) - 0.24*t.letters()
			t.write(pen, paper.Box{X0: x, X1: x + widths[c], Y1: at}, col.Right, paper.Fit(part, t.letters(), widths[c]))
		}
		x += widths[c] + cellAir
	}
	y += float64(lines)*t.pitch() + t.rowAir()
	pen.Rules.Line(paper.Point{X: box.X0, Y: y}, paper.Point{X: box.X1, Y: y})
	return y
}

// write sets a line of text onto the foot of a box, to its left or right.
func (t *Table) write(pen Pen, box paper.Box, right bool, text string) {
	at, anchor := box.X0, paper.Start
	if right {
		at, anchor = box.X1, paper.End
	}
	pen.Words.Text(paper.Point{X: at, Y: box.Y1}, t.letters(), anchor, text)
}

// drawRow draws one row and the rule below it from the top of a box, and returns where the next one begins.
func (t *Table) drawRow(pen Pen, row []string, widths []float64, box paper.Box) float64 {
	cells, lines := t.wrapped(row, widths)
	x, indent := box.X0, 0.0
	if t.Framed {
		indent = frameAir
	}
	for c, text := range cells {
		for i, line := range text {
			at := box.Y0 + t.pitch()*float64(i+1) - 0.24*t.letters()
			t.write(pen, paper.Box{X0: x + indent, X1: x + widths[c], Y1: at}, t.Columns[c].Right, line)
		}
		x += widths[c] + cellAir
	}
	y := box.Y0 + t.rowHigh(lines)
	if !t.Framed {
		pen.Thin.Line(paper.Point{X: box.X0, Y: y}, paper.Point{X: box.X1, Y: y})
	}
	return y
}

// drawUprights rules the columns.
func (t *Table) drawUprights(pen Pen, widths []float64, x, top, bottom float64) {
	for _, w := range widths[:len(widths)-1] {
		x += w + cellAir
		pen.Thin.Line(paper.Point{X: x - cellAir/2, Y: top}, paper.Point{X: x - cellAir/2, Y: bottom})
	}
}

// Fill flows tables into a box, from its top, and returns what is left over, begun ones included, and the room left below.
// When the next one does not fit, a later one that fits as a whole takes the rest of the box, or one that may be cut anywhere begins
// there.
func Fill(pen Pen, tables []*Table, box paper.Box) ([]*Table, paper.Box) {
	fresh := true
	for len(tables) > 0 {
		at, high := 0, tables[0].Draw(pen, box, fresh)
		if high > 0 && tables[0].Left() > 0 {
			box.Y0 = box.Y1
			break
		}
		if high == 0 {
			if at = thatFits(tables, box); at < 0 {
				box.Y0 += begin(pen, tables, box, fresh)
				break
			}
			high = tables[at].Draw(pen, box, fresh)
		}
		fresh = false
		box.Y0 += high + Air
		tables = append(append([]*Table{}, tables[:at]...), tables[at+1:]...)
	}
	return tables, box
}

// begin sets the first rows of the first table after the next one that may be cut anywhere, and returns the height used.
func begin(pen Pen, tables []*Table, box paper.Box, fresh bool) float64 {
	for _, t := range tables[min(1, len(tables)):] {
		if t.Tight && !t.Whole {
			if high := t.Draw(pen, box, fresh); high > 0 {
				return high
			}
		}
	}
	return 0
}

// thatFits finds a table after the first that fits into a box uncut.
func thatFits(tables []*Table, box paper.Box) int {
	for i := 1; i < len(tables); i++ {
		if tables[i].WholeHigh(box.Width()) <= box.Height() {
			return i
		}
	}
	return -1
}

// mostFilling is how many tables FillUp chooses among: it tries every set of them.
const mostFilling = 10

// FillUp is Fill with what is below the first table left to those later ones that together leave least of the box blank, each as a whole
// and in their order.
func FillUp(pen Pen, tables []*Table, box paper.Box) []*Table {
	if len(tables) == 0 || tables[0].WholeHigh(box.Width()) > box.Height() {
		left, _ := Fill(pen, tables, box)
		return left
	}
	var left []*Table
	chosen := filling(tables[1:], box.Width(), box.Height()-tables[0].WholeHigh(box.Width()))
	for i, t := range tables {
		if i == 0 || i <= mostFilling && chosen[i-1] {
			if high := t.Draw(pen, box, i == 0); high > 0 && t.Left() == 0 {
				box.Y0 += high + Air
				continue
			}
		}
		left = append(left, t)
	}
	return left
}

// filling says which tables together take most of a height, none of them cut; of equals those that come first.
func filling(tables []*Table, wide, high float64) []bool {
	tables = tables[:min(len(tables), mostFilling)]
	heights := make([]float64, len(tables))
	for i, t := range tables {
		heights[i] = Air + t.WholeHigh(wide)
	}
	best, most := 0, 0.0
	for set := range 1 << len(tables) {
		sum := 0.0
		for i, h := range heights {
			if set>>i&1 == 1 {
				sum += h
			}
		}
		if sum <= high && sum > most+1e-9 {
			best, most = set, sum
		}
	}
	out := make([]bool, mostFilling)
	for i := range tables {
		out[i] = best>>i&1 == 1
	}
	return out
}
