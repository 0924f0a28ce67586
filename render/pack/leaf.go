package pack

import (
	"fmt"
	"slices"

	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// small is the height of the letters of trees, mm.
const small = paper.TextHeight

// linePitch is the way from line to line of them.
var linePitch = flow.Pitch(small)

// work is one document: A4 pages, filled from the top.
type work struct {
	*flow.Document
	parts int // numbered headings so far
}

func (b *binder) work(kind, title, id string) *work {
	d := flow.Text(flow.Head{Plan: b.plan, Kind: kind, Title: title, ID: id, Hash: b.hash, Shell: b.shell})
	fields := d.Dress
	d.Dress = func(pen flow.Pen, n, of int) {
		fields(pen, n, of)
		lettersOnTop(pen.Page)
	}
	return &work{Document: d}
}

// lettersOnTop moves the letters of charts above all bars.
func lettersOnTop(p *paper.Page) {
	sorted := slices.Clone(p.Layers)
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
	p.Layers = sorted
}

// number is the next number of a part with its title.
func (w *work) number(title string) string {
	w.parts++
	return fmt.Sprintf("%d %s", w.parts, title)
}

// number writes a value with places decimals; what is no number becomes a question mark.
func number(v float64, places int) string { return words.Fixed(v, places) }
