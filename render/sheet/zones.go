package sheet

import (
	"math"

	"seamwright/render/figure"
	"seamwright/render/paper"
)

// zones say what goes where on one sheet.
type zones struct {
	frame  paper.Box
	title  paper.Box // title block, with the check bar on top of it
	aside  paper.Box // beside the title block, above it on a narrow sheet: QR code, and above it the shell's axes
	views  paper.Box
	legend paper.Box
	tables []paper.Box
}

// Measures of a sheet in mm. 180 mm is the title block's width of ISO 7200:2004 (from memory); the rest is
// our own.
const (
	titleWidth  = 180.0
	titleHeight = 50.6
	barBand     = 9.0 // above the title block: the check bar
	gutter      = 6.0
	linePitch   = 4.1 // between lines of text 2.5 mm high
	// on the first sheet of a plan that is not for production: letters that say so, and the band above the check bar for them
	standingHeight = 7.0
	standingBand   = 10.0
	inset          = 3.0 // between the frame and what is within
	legendHigh     = 64.0
	legendTall     = 84.0 // on a narrow sheet
	codeSide       = 32.5 // of the QR code
	axesHigh       = 25.0 // of the shell's axes above it
)

// columnsOf is how many table columns a sheet has.
func columnsOf(size paper.Size) int {
	return max(1, int((size.Frame().Width()+gutter)/(titleWidth+gutter)))
}

// column is the box of table column i, counted from the left.
func column(size paper.Size, i int) paper.Box {
	f := size.Frame()
	n := float64(columnsOf(size))
	w := (f.Width() - 2*inset - (n-1)*gutter) / n
	x := f.X0 + inset + float64(i)*(w+gutter)
	return paper.Box{X0: x, Y0: f.Y0 + inset, X1: x + w, Y1: f.Y1 - inset}
}

func blank(size paper.Size, band float64) zones {
	f := size.Frame()
	z := zones{frame: f, title: paper.Box{X0: f.X1 - titleWidth, Y0: f.Y1 - titleHeight - barBand - band, X1: f.X1, Y1: f.Y1}}
	corner := paper.Point{X: z.title.X0 - 1, Y: z.title.Y1 - 1}
	if columnsOf(size) == 1 {
		corner = paper.Point{X: f.X1 - 1, Y: z.title.Y0}
	}
	z.aside = paper.Box{X0: corner.X - codeSide, Y0: corner.Y - codeSide - axesHigh, X1: corner.X, Y1: corner.Y}
	return z
}

// tablesOnly sets out a sheet without views.
func (a *arrangement) tablesOnly() zones {
	band := a.band
	if len(a.pages) > 0 { // it stands on the first sheet, which has views
		band = 0
	}
	z := blank(a.size, band)
	z.aside.Y0 += axesHigh                   // no views, no axes
	if columnsOf(a.size) == 1 && band == 0 { // the code finds room beside the check bar
		z.aside.Y0, z.aside.Y1 = z.aside.Y0+barBand-1, z.aside.Y1+barBand-1
	}
	for i := range columnsOf(a.size) {
		z.tables = append(z.tables, z.above(column(a.size, i)))
	}
	return z
}

// above cuts a box off above the title block and what is beside it, where they overlap.
func (z zones) above(b paper.Box) paper.Box {
	if b.X1 > z.title.X0 {
		b.Y1 = math.Min(b.Y1, z.title.Y0-inset)
	}
	if b.X1 > z.aside.X0 && b.X0 < z.aside.X1 {
		b.Y1 = math.Min(b.Y1, z.aside.Y0-inset)
	}
	return b
}

// zones sets out the sheet with the views of page i.
func (a *arrangement) zones(i int) zones {
	columns, band := a.columns, 0.0
	if i == 0 {
		band = a.band
	}
	z := blank(a.size, band)
	n := columnsOf(a.size)
	for k := n - columns; k < n; k++ {
		z.tables = append(z.tables, z.above(column(a.size, k)))
	}
	left := paper.Box{X0: z.frame.X0 + inset, Y0: z.frame.Y0 + inset, X1: column(a.size, n-1-columns).X1, Y1: z.frame.Y1 - inset}
	z.views, z.legend = left, left
	top := z.title.Y0 - inset
	switch {
	case columns == 0 && n > 1: // the legend stands beside the title block
		z.legend.X1 = z.aside.X0 - inset
		z.legend.Y0, z.views.Y1 = top, top
	case columns == 0: // and above it on a narrow sheet
		z.legend.Y1 = top
		z.legend.Y0 = top - legendTall
		z.legend.X1 = z.aside.X0 - inset
		z.views.Y1 = z.legend.Y0
	default:
		z.legend.X1 = math.Min(z.legend.X1, z.aside.X0-inset)
		z.legend.Y0 = z.legend.Y1 - legendHigh
		z.views.Y1 = math.Min(z.legend.Y0, z.aside.Y0-inset)
	}
	if a.under && i == len(a.pages)-1 {
		a.tablesBelow(&z, a.pages[i])
	}
	return z
}

// leastBelow is the height in mm from which on tables below the views are worth their place.
const leastBelow = 50.0

// tablesBelow gives the views of a sheet a little more than they need, and the rest to tables.
func (a *arrangement) tablesBelow(z *zones, figures []*figure.Figure) {
	_, need := a.rows(figures, z.views.Width())
	need = need*1.2 + 10
	if z.views.Height()-need < leastBelow {
		return
	}
	bottom := z.views.Y1
	z.views.Y1 = z.views.Y0 + need
	for k := range columnsOf(a.size) {
		c := column(a.size, k)
		z.tables = append(z.tables, paper.Box{X0: c.X0, Y0: z.views.Y1 + inset, X1: c.X1, Y1: bottom - inset})
	}
}
