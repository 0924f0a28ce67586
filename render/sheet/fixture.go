package sheet

import (
	"slices"

	"seamwright/layout"
	"seamwright/render/paper"
)

// fixture is a clamp, dowel or hold point as it is drawn and labelled.
type fixture struct {
	sym  symbol
	text string
	at   layout.Vec
	to   layout.Vec // other end of a dimension; at for the rest
}

// fixtures lists what holds and gauges the parts here.
func (j *job) fixtures() []fixture {
	var out []fixture
	for _, c := range j.station.Clamps {
		s := symClampOpened
		if c.Release == layout.AtEnd {
			s = symClamp
		}
		out = append(out, fixture{s, c.ID, c.At, c.At})
	}
	for _, c := range j.station.Dowels {
		out = append(out, fixture{symDowel, c.ID, c.At, c.At})
	}
	for _, h := range j.station.HoldPoints {
		text := h.ID
		if h.Value != 0 {
			text += " " + number(h.Value, 1)
			if h.Tolerance != 0 {
				text += " ±" + number(h.Tolerance, 2)
			}
		}
		out = append(out, fixture{symHold, text, h.At, h.To})
	}
	return out
}

// fixtureSlack is how far in front of or behind the sheets' surface a fixture's place may be, in mm.
const fixtureSlack = 8.0

// belongs finds the view that shows a fixture: a dimension belongs where it looks longest; others where they
// are seen, and of several such views in the one with most welds near; if nowhere, in the first
// whose window holds them; nil when none does.
func (j *job) belongs(x fixture) (f *figure, seen bool) {
	if x.to != x.at {
		return j.longest(x)
	}
	best := -1
	for _, c := range append(slices.Clone(j.figures), j.details...) {
		if c.picture == nil {
			continue
		}
		if !c.shows(x.at.R3()) || !c.picture.Shows(x.at.R3(), fixtureSlack) {
			continue
		}
		near := 0
		for i, w := range j.welds {
			if j.shown[i] == c && w.Position.R3().Sub(x.at.R3()).Norm() < 300 {
				near++
			}
		}
		if near > best {
			best, f, seen = near, c, true
		}
	}
	for _, c := range j.figures {
		if f == nil && c.shows(x.at.R3()) {
			f = c
		}
	}
	return f, seen
}

// longest finds the view in which a dimension is longest on paper.
func (j *job) longest(x fixture) (f *figure, seen bool) {
	most := -1.0
	for _, c := range j.figures {
		if d := c.on(x.to.R3()).Sub(c.on(x.at.R3())).Norm(); c.shows(x.at.R3()) && c.shows(x.to.R3()) && d > most+0.01 {
			most, f = d, c
		}
	}
	return f, f != nil
}

// drawFixtures draws the fixtures that belong to the view and asks for their labels.
func (p *page) drawFixtures(f *figure, lab *placer, k ink, used symbols) {
	for _, x := range p.job.fixtures() {
		home, seen := p.job.belongs(x)
		if home != f {
			continue
		}
		at := f.on(x.at.R3())
		if x.to != x.at {
			p.drawDimension(f, at, f.on(x.to.R3()))
			lab.inkLine([]paper.Point{at, f.on(x.to.R3())}, 3)
		}
		switch x.sym {
		case symDowel:
			k.dowelMark(at)
		case symHold:
			k.holdMark(at)
		default:
			k.clampMark(at, x.sym == symClampOpened)
		}
		used[x.sym] = true
		r := fixtureRadius
		if x.sym == symClamp || x.sym == symClampOpened {
			r = clampRadius
		}
		lab.mark(at, r)
		text := x.text
		if !seen {
			text += " (behind)"
		}
		lab.tags = append(lab.tags, tag(text, at, r))
	}
}

// drawDimension joins the two ends of a hold point's dimension.
func (p *page) drawDimension(f *figure, a, b paper.Point) {
	d := b.Sub(a)
	if d.Norm() < 4 {
		return
	}
	dir := d.Mul(1 / d.Norm())
	l := p.paper.Layer("view "+f.letter+" dimension", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	l.Line(a.Add(dir.Mul(1.7)), b)
	arrow(l, b, dir, 2.5)
}
