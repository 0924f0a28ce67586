package sign

import (
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// Legend is what the legend of a sheet says beside what the signs mean.
type Legend struct {
	Guns      string // letters and names of the guns in use; "" leaves them out
	Panels    string // numbers and names of the panels
	SeamWidth bool   // call-outs of roller seams begin with the weld's width
}

// entry is one line of the legend.
type entry struct {
	draw func(k Ink, at paper.Point)
	text string
}

// entries explain the signs in use.
func (g Legend) entries(p *paper.Page, used Used) []entry {
	weld := func(s Kind, three, hidden bool) func(Ink, paper.Point) {
		return func(k Ink, at paper.Point) { k.Weld(s, at, three, hidden) }
	}
	fixture := func(s Kind) func(Ink, paper.Point) {
		return func(k Ink, at paper.Point) { k.Fixture(s, at, paper.Point{}) }
	}
	on := func(draw func(p *paper.Page, k Ink, at paper.Point)) func(Ink, paper.Point) {
		return func(k Ink, at paper.Point) { draw(p, k, at) }
	}
	seam := "length; seam, last weld before"
	if g.SeamWidth {
		seam = "width, " + seam
	}
	all := []struct {
		kind Kind
		entry
	}{
		{Tack, entry{weld(Tack, false, false), "tack weld"}},
		{Fill, entry{weld(Fill, false, false), "fill weld"}},
		{Released, entry{weld(Released, false, false), "made once a clamp is off"}},
		{Three, entry{weld(Fill, true, false), "three sheets"}},
		{Hidden, entry{weld(Fill, false, true), "weld out of sight"}},
		{Tilt, entry{tiltedWeld, "stroke: gun tilted, see table"}},
		{Elsewhere, entry{Ink.Dot, "numbered in another view"}},
		{WeldLine, entry{on(weldLine), "weld line"}},
		{Callout, entry{on(spotCallout), "diameter, count (pitch); welds, gun, setting"}},
		{ShortRun, entry{nil, "12 A S1: weld, gun, setting"}},
		{Roller, entry{on(rollerSeam), "roller seam: start, way, end; drawn beside spots on it"}},
		{RollerCallout, entry{on(seamCallout), seam}},
		{ClampOpened, entry{fixture(ClampOpened), "clamp, opened after tacks"}},
		{Clamp, entry{fixture(Clamp), "clamp, shut to the end"}},
		{Dowel, entry{fixture(Dowel), "dowel"}},
		{Hold, entry{fixture(Hold), "hold point: measure; mm"}},
		{Start, entry{on(stripStart), "start of a marking strip, and its way"}},
		{Guns, entry{nil, "Guns: " + g.Guns}},
		{Panels, entry{nil, "Panels: " + g.Panels}},
	}
	var out []entry
	for _, e := range all {
		if used[e.kind] {
			out = append(out, e.entry)
		}
	}
	return out
}

// across is a level line about a place.
func across(at paper.Point) (a, b paper.Point) {
	return paper.Point{X: at.X - 4, Y: at.Y}, paper.Point{X: at.X + 4, Y: at.Y}
}

func tiltedWeld(k Ink, at paper.Point) {
	k.Weld(Fill, at, false, false)
	k.Tilt(at)
}

func weldLine(p *paper.Page, _ Ink, at paper.Point) {
	WeldLines(p, "legend weld line").Line(across(at))
}

func stripStart(p *paper.Page, _ Ink, at paper.Point) {
	l := p.Layer("legend start", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	foot := paper.Point{X: at.X - 1, Y: at.Y + 1.8}
	Pennant(l, foot, paper.Point{X: foot.X, Y: at.Y - 1}, paper.Point{X: 1})
}

func spotCallout(p *paper.Page, _ Ink, at paper.Point) { callout(p, at, false) }

func seamCallout(p *paper.Page, _ Ink, at paper.Point) { callout(p, at, true) }

func callout(p *paper.Page, at paper.Point, seam bool) {
	l := p.Layer("legend call-out", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.White})
	l.Line(across(at))
	OnReference(l, at, seam)
}

func rollerSeam(p *paper.Page, k Ink, at paper.Point) {
	l := p.Layer("legend roller seam", paper.Style{Stroke: paper.Black, Width: paper.W35})
	a, b := across(at)
	l.Line(a, b)
	for _, x := range []float64{-2, 2.9} {
		l.Line(paper.Point{X: at.X + x, Y: at.Y - halfTick}, paper.Point{X: at.X + x, Y: at.Y + halfTick})
	}
	k.SeamStart(a)
	Arrow(k.black, paper.Point{X: at.X + 1.6, Y: at.Y}, paper.Point{X: 1}, headLong)
	k.thick.Line(paper.Point{X: b.X, Y: b.Y - SeamEnd}, paper.Point{X: b.X, Y: b.Y + SeamEnd})
}

// Measures of the legend.
const (
	glyphWide = 11.0
	entryAir  = 0.8

	legendPitch = 1.45 * paper.AtJig // between lines
)

// Draw sets the legend in as few columns as its box allows. The lists of panels and guns give way first, as the next sheet and the
// steps have them; it says whether the panels are listed, and how many other signs in use found no room.
func (g Legend) Draw(pen flow.Pen, box paper.Box, used Used) (panels bool, unplaced int) {
	box.Y0 = pen.Title("Legend", paper.TextHeight, box) + 0.5
	list, lists := g.entries(pen.Page, used), 0
	for _, s := range []Kind{Panels, Guns} {
		if used[s] {
			lists++
		}
	}
	for left := range list {
		for columns := 2; columns <= 4; columns++ {
			if at := setOut(list[:len(list)-left], box, columns); at != nil {
				drawEntries(pen, list[:len(list)-left], at, box.Width()/float64(columns))
				return used[Panels] && left == 0, max(0, left-lists)
			}
		}
	}
	return false, max(0, len(list)-lists)
}

// setOut gives each entry its place, column by column; nil when they do not fit.
func setOut(list []entry, box paper.Box, columns int) []paper.Point {
	wide := box.Width() / float64(columns)
	var out []paper.Point
	x, y := box.X0, box.Y0
	for _, e := range list {
		h := float64(len(paper.Wrap(e.text, paper.AtJig, wide-glyphWide-2)))*legendPitch + entryAir
		if y+h > box.Y1 {
			if x, y = x+wide, box.Y0; x > box.X1-wide/2 || y+h > box.Y1 {
				return nil
			}
		}
		out = append(out, paper.Point{X: x, Y: y})
		y += h
	}
	return out
}

func drawEntries(pen flow.Pen, list []entry, at []paper.Point, wide float64) {
	k := NewInk(pen.Page, "legend")
	for i, e := range list {
		if e.draw != nil {
			e.draw(k, paper.Point{X: at[i].X + 5, Y: at[i].Y + 2.7})
		}
		for n, line := range paper.Wrap(e.text, paper.AtJig, wide-glyphWide-2) {
			pen.Words.Text(paper.Point{X: at[i].X + glyphWide, Y: at[i].Y + 4.4 + float64(n)*legendPitch}, paper.AtJig, paper.Start, line)
		}
	}
}
