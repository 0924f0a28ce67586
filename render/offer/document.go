package offer

import (
	"fmt"
	"strconv"

	"seamwright/layout"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Zones of an upright A4 page, mm: 20 at the filing side, 10 elsewhere (ISO 5457:1999, from memory).
const (
	left, right = 20.0, 200.0
	top, bottom = 10.0, 287.0
)

// document is pages of A4 with the fields of ISO 7200:2004 (from memory) at their head.
func document(plan *layout.Plan, kind, title, id, hash string) *flow.Document {
	sh := plan.Shell
	field := paper.NewField
	return &flow.Document{
		Size: paper.A4, Name: sh.Name + " · " + kind,
		Box: paper.Box{X0: left, Y0: top + 2*paper.FieldHigh + 5, X1: right, Y1: bottom - 4.5},
		Dress: func(pen flow.Pen, n, of int) {
			pen.Page.Fields(paper.Point{X: left, Y: top}, []paper.Field{field("Title", title, 112), field("Identification number", id, 68)})
			pen.Page.Fields(paper.Point{X: left, Y: top + paper.FieldHigh}, []paper.Field{
				field("Document type", kind, 44), field("Status", plan.Standing(), 60), field("Date of issue", sh.Issued, 26),
				field("Rev.", sh.Revision, 12), field("Batch", strconv.Itoa(sh.Batch), 17), field("Page", fmt.Sprintf("%d/%d", n, of), 21),
			})
			pen.Words.Text(paper.Point{X: left, Y: bottom - 1}, paper.TextHeight, paper.Start, paper.Fit("Plan "+hash, paper.TextHeight,
				right-left))
		},
	}
}

// short writes a number with as few decimals as it needs.
func short(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
