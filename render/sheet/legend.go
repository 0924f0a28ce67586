package sheet

import (
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/render/paper"
)

// entry is one line of the legend.
type entry struct {
	draw func(k ink, at paper.Point)
	text string
}

// entries explain the symbols in use.
func (p *page) entries(used symbols) []entry {
	weld := func(s symbol, three, hidden bool) func(ink, paper.Point) {
		return func(k ink, at paper.Point) { k.weldMark(s, at, three, hidden) }
	}
	all := []struct {
		sym symbol
		entry
	}{
		{symTack, entry{weld(symTack, false, false), "tack weld"}},
		{symFill, entry{weld(symFill, false, false), "fill weld"}},
		{symReleased, entry{weld(symReleased, false, false), "made once a clamp is off"}},
		{symThree, entry{weld(symFill, true, false), "three sheets"}},
		{symHidden, entry{weld(symFill, false, true), "weld out of sight"}},
		{symTilt, entry{p.legendTilt, "stroke: gun tilted, see table"}},
		{symElsewhere, entry{func(k ink, at paper.Point) { k.dots.Circle(at, dotRadius) }, "numbered in another view"}},
		{symWeldLine, entry{p.legendLine, "weld line"}},
		{symCallout, entry{p.legendCallout, "diameter, count (pitch); welds, gun, setting"}},
		{symShortRun, entry{nil, "12 A S1: weld, gun, setting"}},
		{symRoller, entry{p.legendRoller, "roller seam: start, way, end; drawn beside spots on it"}},
		{symRollerCallout, entry{p.legendSeam, p.seamWords()}},
		{symClampOpened, entry{func(k ink, at paper.Point) { k.clampMark(at, paper.Point{}, true) }, "clamp, opened after tacks"}},
		{symClamp, entry{func(k ink, at paper.Point) { k.clampMark(at, paper.Point{}, false) }, "clamp, shut to the end"}},
		{symDowel, entry{ink.dowelMark, "dowel"}},
		{symHold, entry{ink.holdMark, "hold point: measure; mm"}},
		{symStart, entry{p.legendStart, "start of a marking strip, and its way"}},
		{symGuns, entry{nil, "Guns: " + p.guns()}},
		{symPanels, entry{nil, "Panels: " + p.panelNames()}},
	}
	var out []entry
	for _, e := range all {
		if used[e.sym] {
			out = append(out, e.entry)
		}
	}
	return out
}

// seamWords explain the call-out of a roller seam, whose weld's width not every setting knows.
func (p *page) seamWords() string {
	text := "length; seam, last weld before"
	if slices.ContainsFunc(p.job.seams, func(r layout.Seam) bool { return p.job.nugget(r) != "" }) {
		return "width, " + text
	}
	return text
}

// guns names the letters of the guns in use here.
func (p *page) guns() string {
	var out []string
	for _, g := range p.job.plan.Guns {
		for _, r := range p.job.runs {
			if r.Gun == g.ID {
				out = append(out, p.job.letter(g.ID)+" "+g.Name)
				break
			}
		}
	}
	return strings.Join(out, "; ")
}

// panelNames lists the panels that have a balloon here.
func (p *page) panelNames() string {
	var out []string
	for _, id := range p.job.station.Present {
		if slices.Contains(p.named, id) {
			out = append(out, p.job.numbered(id))
		}
	}
	return strings.Join(out, ", ")
}

func (p *page) legendStart(_ ink, at paper.Point) {
	l := p.paper.Layer("legend start", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	foot := paper.Point{X: at.X - 1, Y: at.Y + 1.8}
	pennant(l, foot, paper.Point{X: foot.X, Y: at.Y - 1}, paper.Point{X: 1})
}

func (p *page) legendLine(_ ink, at paper.Point) {
	l := p.paper.Layer("legend weld line", paper.Style{Stroke: paper.Black, Width: paper.W18, Dash: []float64{4, 0.8, 0.3, 0.8}})
	l.Line(paper.Point{X: at.X - 4, Y: at.Y}, paper.Point{X: at.X + 4, Y: at.Y})
}

func (p *page) legendTilt(k ink, at paper.Point) {
	k.weldMark(symFill, at, false, false)
	k.tiltMark(at)
}

func (p *page) legendCallout(_ ink, at paper.Point) {
	l := p.paper.Layer("legend call-out", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.White})
	l.Line(paper.Point{X: at.X - 4, Y: at.Y}, paper.Point{X: at.X + 4, Y: at.Y})
	l.Circle(at, symbolR)
}

func (p *page) legendSeam(k ink, at paper.Point) {
	p.legendCallout(k, at)
	l := p.layer("legend call-out")
	for _, d := range []float64{-0.4, 0.4} {
		l.Line(paper.Point{X: at.X - 1.8, Y: at.Y + d}, paper.Point{X: at.X + 1.8, Y: at.Y + d})
	}
}

func (p *page) legendRoller(k ink, at paper.Point) {
	l := p.paper.Layer("legend roller seam", paper.Style{Stroke: paper.Black, Width: paper.W35})
	a, b := paper.Point{X: at.X - 4, Y: at.Y}, paper.Point{X: at.X + 4, Y: at.Y}
	l.Line(a, b)
	for _, x := range []float64{-2, 2.9} {
		l.Line(paper.Point{X: at.X + x, Y: at.Y - 0.7}, paper.Point{X: at.X + x, Y: at.Y + 0.7})
	}
	k.black.Circle(a, 1)
	arrow(k.black, paper.Point{X: at.X + 1.6, Y: at.Y}, paper.Point{X: 1}, 2.4)
	k.thick.Line(paper.Point{X: b.X, Y: b.Y - 1.6}, paper.Point{X: b.X, Y: b.Y + 1.6})
}

// Measures of the legend in mm.
const (
	glyphWide = 11.0
	entryAir  = 0.8

	legendPitch = 1.45 * paper.AtJig // between lines
)

// drawLegend sets the legend in as few columns as its box allows.
func (p *page) drawLegend(used symbols) {
	box := p.zones.legend
	box.Y0 = p.pen.Title("Legend", paper.TextHeight, box) + 0.5
	list, lists := p.entries(used), 0
	for _, s := range []symbol{symPanels, symGuns} {
		if used[s] {
			lists++
		}
	}
	for left := range len(list) + 1 { // the lists of panels and guns give way first: the next sheet and the steps have them
		for columns := 2; columns <= 4; columns++ {
			if at := setOut(list[:len(list)-left], box, columns); at != nil {
				p.drawEntries(list[:len(list)-left], at, box.Width()/float64(columns))
				p.labels.Unplaced += max(0, left-lists)
				used[symPanels] = used[symPanels] && left == 0
				return
			}
		}
	}
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

func (p *page) drawEntries(list []entry, at []paper.Point, wide float64) {
	k := newInk(p.paper, "legend")
	for i, e := range list {
		if e.draw != nil {
			e.draw(k, paper.Point{X: at[i].X + 5, Y: at[i].Y + 2.7})
		}
		for n, line := range paper.Wrap(e.text, paper.AtJig, wide-glyphWide-2) {
			p.pen.Words.Text(paper.Point{X: at[i].X + glyphWide, Y: at[i].Y + 4.4 + float64(n)*legendPitch}, paper.AtJig, paper.Start, line)
		}
	}
}
