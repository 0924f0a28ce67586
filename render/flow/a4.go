package flow

import (
	"fmt"
	"strconv"

	"seamwright/layout"
	"seamwright/render/paper"
)

// Head is what the fields at the head of a page of text say, and what its foot.
type Head struct {
	Plan            *layout.Plan
	Kind, Title, ID string // kind of document; what it is about; identification number
	Hash            string // of the plan
	Shell           int    // number within the batch that the pages are of; 0: none
}

// CodeSide is the side in mm of the QR code with its white that a page of one shell has room for, beside its head.
const CodeSide = 24.0

// Zones of an upright A4 page, mm: 20 at the filing side, 10 elsewhere (ISO 5457:1999, from memory).
var onA4 = paper.Box{X0: 20, Y0: 10, X1: 200, Y1: 287}

// Text is pages of A4 with the fields of ISO 7200:2004 (from memory) at their head, and the plan's hash at their foot.
func Text(h Head) *Document {
	return &Document{
		Size: paper.A4, Name: h.Plan.Shell.Name + " · " + h.Kind,
		Box: paper.Box{X0: onA4.X0, Y0: onA4.Y0 + 2*paper.FieldHigh + 5, X1: onA4.X1, Y1: onA4.Y1 - 4.5},
		Dress: func(pen Pen, n, of int) {
			first, second := h.fields(fmt.Sprintf("%d/%d", n, of))
			pen.Page.Fields(paper.Point{X: onA4.X0, Y: onA4.Y0}, first)
			pen.Page.Fields(paper.Point{X: onA4.X0, Y: onA4.Y0 + paper.FieldHigh}, second)
			pen.Words.Text(paper.Point{X: onA4.X0, Y: onA4.Y1 - 1}, paper.TextHeight, paper.Start, paper.Fit("Plan "+h.Hash, paper.TextHeight,
				onA4.Width()))
		},
	}
}

// fields are the two rows of a page's head.
func (h Head) fields(page string) (first, second []paper.Field) {
	sh, field := h.Plan.Shell, paper.NewField
	if h.Shell > 0 { // the code stands beside them
		return []paper.Field{field("Title", h.Title, 92), field("Identification number", h.ID, 60)},
			[]paper.Field{field("Document type", h.Kind, 32), field("Status", h.Plan.Standing(), 60).Whole(), field("Rev.", sh.Revision, 12),
				field("Shell", fmt.Sprintf("%d of %d", h.Shell, sh.Batch), 30), field("Page", page, 18)}
	}
	return []paper.Field{field("Title", h.Title, 112), field("Identification number", h.ID, 68)},
		[]paper.Field{field("Document type", h.Kind, 44), field("Status", h.Plan.Standing(), 60).Whole(), field("Date of issue", sh.Issued, 26),
			field("Rev.", sh.Revision, 12), field("Batch", strconv.Itoa(sh.Batch), 17), field("Page", page, 21)}
}
