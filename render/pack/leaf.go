package pack

import (
	"fmt"
	"slices"
	"strconv"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Zones of an upright A4 page, mm: 20 at the filing side, 10 elsewhere (ISO 5457:1999, from memory).
const (
	left   = 20.0
	right  = 200.0
	wide   = right - left
	top    = 10 + 2*paper.FieldHigh + 6
	bottom = 281.0
)

// Measures of text, mm.
const (
	small     = paper.TextHeight
	titleText = 3.5
	linePitch = 4.1
)

// work is one document: A4 pages, filled from the top.
type work struct {
	plan  *layout.Plan
	kind  string // document type
	title string
	id    string
	hash  string
	shell int // number within the batch; 0: of none
	leafs []*leaf
	parts int // numbered headings so far
}

// leaf is one page of it.
type leaf struct {
	page *paper.Page
	y    float64 // where the next thing goes
	flow.Pen
}

func (b *binder) work(kind, title, id string) *work {
	w := &work{plan: b.plan, kind: kind, title: title, id: id, hash: b.hash, shell: b.shell}
	w.turn()
	return w
}

// turn starts a new page.
func (w *work) turn() {
	p := paper.New(paper.A4, w.plan.Shell.Name+" · "+w.kind)
	p.Layer("sheet", paper.Style{Fill: paper.White}).Rect(paper.Box{X1: paper.A4.Width, Y1: paper.A4.Height})
	w.leafs = append(w.leafs, &leaf{page: p, y: top, Pen: flow.NewPen(p)})
}

func (w *work) leaf() *leaf { return w.leafs[len(w.leafs)-1] }

// room starts a new page when there are not so many millimetres left; it reports whether it did.
func (w *work) room(high float64) bool {
	l := w.leaf()
	if l.y+high <= bottom || l.y == top {
		return false
	}
	w.turn()
	return true
}

func (l *leaf) text(x float64, anchor paper.Anchor, text string) {
	l.Words.Text(paper.Point{X: x, Y: l.y}, small, anchor, text)
}

// finish draws the head and foot of every page.
func (w *work) finish() []*paper.Page {
	var out []*paper.Page
	for i, l := range w.leafs {
		w.head(l.page, fmt.Sprintf("%d/%d", i+1, len(w.leafs)))
		l.lettersOnTop()
		foot := "Plan " + w.hash
		l.Words.Text(paper.Point{X: left, Y: paper.A4.Height - 11}, small, paper.Start, paper.Fit(foot, small, wide))
		out = append(out, l.page)
	}
	return out
}

// head draws the fields of ISO 7200:2004 (from memory); on a sheet of one shell there is room beside them for its code.
func (w *work) head(p *paper.Page, number string) {
	sh, field := w.plan.Shell, paper.NewField
	first, second := paper.Point{X: left, Y: 10}, paper.Point{X: left, Y: 10 + paper.FieldHigh}
	if w.shell > 0 {
		p.Fields(first, []paper.Field{field("Title", w.title, 92), field("Identification number", w.id, 60)})
		p.Fields(second, []paper.Field{field("Document type", w.kind, 32), field("Status", w.plan.Standing(), 60), field("Rev.", sh.Revision,
			12),
			field("Shell", fmt.Sprintf("%d of %d", w.shell, sh.Batch), 30), field("Page", number, 18)})
		return
	}
	p.Fields(first, []paper.Field{field("Title", w.title, 112), field("Identification number", w.id, 68)})
	p.Fields(second, []paper.Field{field("Document type", w.kind, 44), field("Status", w.plan.Standing(), 60), field("Date of issue",
		sh.Issued, 26),
		field("Rev.", sh.Revision, 12), field("Batch", strconv.Itoa(sh.Batch), 17), field("Page", number, 21)})
}

// lettersOnTop moves the letters of charts above all bars.
func (l *leaf) lettersOnTop() {
	sorted := slices.Clone(l.page.Layers)
	slices.SortStableFunc(sorted, func(a, b *paper.Layer) int {
		rank := func(x *paper.Layer) int {
			switch x.Name {
			case letters:
				return 2
			case letterBacks:
				return 1
			}
			return 0
		}
		return rank(a) - rank(b)
	})
	l.page.Layers = sorted
}

// heading writes the title of a part, with room for some of what follows.
func (w *work) heading(text string, follows float64) {
	if l := w.leaf(); l.y > top {
		l.y += 4
	}
	w.room(8 + follows)
	l := w.leaf()
	l.y += 4
	l.Words.Text(paper.Point{X: left, Y: l.y}, titleText, paper.Start, paper.Fit(text, titleText, wide))
	l.y += 2
	l.Strong.Line(paper.Point{X: left, Y: l.y}, paper.Point{X: right, Y: l.y})
}

// numbered writes a heading with the next number.
func (w *work) numbered(text string, follows float64) {
	w.parts++
	w.heading(fmt.Sprintf("%d %s", w.parts, text), follows)
}

// note writes sentences, broken where the page is full.
func (w *work) note(text string) {
	for _, line := range paper.Wrap(text, small, wide) {
		w.room(linePitch)
		l := w.leaf()
		l.y += linePitch
		l.text(left, paper.Start, line)
	}
	w.leaf().y += 1
}

// caution writes a sentence in a box.
func (w *work) caution(text string) {
	lines := paper.Wrap(text, small, wide-6)
	high := float64(len(lines))*linePitch + 3.5
	w.room(high + 3)
	l := w.leaf()
	l.y += 3
	l.Strong.Rect(paper.Box{X0: left, Y0: l.y, X1: right, Y1: l.y + high})
	for i, line := range lines {
		l.Words.Text(paper.Point{X: left + 3, Y: l.y + 1.2 + linePitch*float64(i+1)}, small, paper.Start, line)
	}
	l.y += high
}

// column is one of a table: its head, its share of the width (0: what its cells need), and whether its cells stand
// to the right.
type column struct {
	head  string
	share float64
	right bool
}

// table is rows under a head that is repeated on every page.
type table struct {
	columns []column
	rows    [][]string
	boxes   bool    // upright rules: to be filled in by hand
	high    float64 // least height of a row
	total   bool    // a rule above the last row
}

// draw writes the table, over as many pages as it takes.
func (w *work) draw(t table) {
	set := &flow.Table{Rows: t.rows, Boxes: t.boxes, High: t.high, Total: t.total, Cut: true, Tight: true}
	for _, c := range t.columns {
		set.Columns = append(set.Columns, flow.Column{Head: c.head, Share: c.share, Right: c.right})
	}
	for first := true; first || set.Left() > 0; first = false {
		l := w.leaf()
		high := set.Draw(l.Pen, paper.Box{X0: left, Y0: l.y, X1: right, Y1: bottom}, l.y <= top+1)
		if l.y += high; set.Left() > 0 {
			w.turn()
		}
	}
}

// number writes a value with places decimals; what is no number becomes a question mark.
func number(v float64, places int) string { return words.Fixed(v, places) }
