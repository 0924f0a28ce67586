package flow

import (
	"seamwright/render/paper"
)

// Document is pages of one size that are filled from the top, each with a head and a foot.
type Document struct {
	Size    paper.Size
	Name    string    // of its pages
	Box     paper.Box // of each page, for what flows
	Letters float64   // height of capitals; 0: paper.TextHeight
	Dense   bool      // lines of text nearer to each other: where that saves a page

	// Dress draws the head and the foot of a page once it is known how many there are; both counted from 1.
	Dress func(pen Pen, n, of int)

	pens []Pen
	y    float64
}

// Fewest makes a document with its lines apart, or nearer to each other where that takes fewer pages.
func Fewest(set func(dense bool) []*paper.Page) []*paper.Page {
	pages := set(false)
	if len(pages) > 1 {
		if closer := set(true); len(closer) < len(pages) {
			return closer
		}
	}
	return pages
}

// pen is that of the page being filled.
func (d *Document) pen() Pen {
	if len(d.pens) == 0 {
		d.Turn()
	}
	return d.pens[len(d.pens)-1]
}

// Turn starts a new page.
func (d *Document) Turn() {
	p := paper.New(d.Size, d.Name)
	p.Layer("sheet", paper.Style{Fill: paper.White}).Rect(paper.Box{X1: d.Size.Width, Y1: d.Size.Height})
	d.pens = append(d.pens, NewPen(p))
	d.y = d.Box.Y0
}

// fresh says whether nothing is on the page yet.
func (d *Document) fresh() bool { return d.y == d.Box.Y0 }

// Room starts a new page where there are not so many mm left.
func (d *Document) Room(high float64) {
	d.pen()
	if d.y+high > d.Box.Y1 && !d.fresh() {
		d.Turn()
	}
}

// Left is how many mm are left on the page.
func (d *Document) Left() float64 {
	d.pen()
	return d.Box.Y1 - d.y
}

// Skip leaves so many mm blank.
func (d *Document) Skip(high float64) {
	d.pen()
	d.y += high
}

// Draw gives a box of some height to what is no table: a picture, fields.
func (d *Document) Draw(high float64, draw func(pen Pen, box paper.Box)) {
	d.Room(high)
	draw(d.pen(), paper.Box{X0: d.Box.X0, Y0: d.y, X1: d.Box.X1, Y1: d.y + high})
	d.y += high
}

// Title writes the title of a part, where so many mm find room below it.
func (d *Document) Title(text string, below float64) {
	d.Room(Air + TitleHigh(d.letters()) + below)
	if !d.fresh() {
		d.y += Air
	}
	d.y = d.pen().Title(text, d.letters(), paper.Box{X0: d.Box.X0, Y0: d.y, X1: d.Box.X1})
}

// noteAir is the room in mm below a note.
const noteAir = 1.0

// pitch is the way from line to line of a note.
func (d *Document) pitch() float64 { return (&Table{Letters: d.letters(), Dense: d.Dense}).pitch() }

// NoteHigh is the room in mm that a note takes.
func (d *Document) NoteHigh(text string) float64 {
	return float64(len(paper.Wrap(text, d.letters(), d.Box.Width())))*d.pitch() + noteAir
}

// Passage writes a title and notes below it; the title stands on one page with the first of them.
func (d *Document) Passage(title string, notes ...string) {
	d.Title(title, d.NoteHigh(notes[0]))
	for _, n := range notes {
		d.Note(n)
	}
}

// Note writes sentences; short ones stay together, long ones are broken where the page ends.
func (d *Document) Note(text string) {
	const short = 6 // lines
	lines := paper.Wrap(text, d.letters(), d.Box.Width())
	d.Room(float64(min(len(lines), short)) * d.pitch())
	for _, line := range lines {
		d.Room(d.pitch())
		d.y += d.pitch()
		d.pen().Words.Text(paper.Point{X: d.Box.X0, Y: d.y - 0.24*d.letters()}, d.letters(), paper.Start, line)
	}
	d.y += noteAir
}

// Caution writes a sentence in a box.
func (d *Document) Caution(text string) {
	d.Skip(2)
	d.Table(Table{Columns: []Column{{Share: 1}}, Rows: [][]string{{text}}, Framed: true, Whole: true})
}

// Table sets a table, over as many pages as it takes.
func (d *Document) Table(t Table) {
	d.own(&t)
	d.pen()
	if t.Title != "" && !d.fresh() {
		d.y += Air
	}
	for again := true; again || t.Left() > 0; again = false {
		high := t.Draw(d.pen(), paper.Box{X0: d.Box.X0, Y0: d.y, X1: d.Box.X1, Y1: d.Box.Y1}, d.fresh())
		if d.y += high; t.Left() == 0 {
			return
		}
		if high == 0 && d.fresh() {
			return // not even a line fits
		}
		d.Turn()
	}
}

// Together sets tables on one page where they fit onto one, so that the last does not stand there alone.
func (d *Document) Together(tables ...Table) {
	high := 0.0
	for _, t := range tables {
		d.own(&t)
		high += Air + t.WholeHigh(d.Box.Width())
	}
	if high <= d.Box.Height() {
		d.Room(high)
	}
	for _, t := range tables {
		d.Table(t)
	}
}

// own gives a table the document's letters and lines.
func (d *Document) own(t *Table) {
	t.Cut, t.Dense = true, t.Dense || d.Dense
	if t.Letters == 0 {
		t.Letters = d.Letters
	}
}

func (d *Document) letters() float64 {
	if d.Letters == 0 {
		return paper.TextHeight
	}
	return d.Letters
}

// Pages finishes the document.
func (d *Document) Pages() []*paper.Page {
	d.pen()
	out := make([]*paper.Page, len(d.pens))
	for i, pen := range d.pens {
		if d.Dress != nil {
			d.Dress(pen, i+1, len(d.pens))
		}
		out[i] = pen.Page
	}
	return out
}
