package sheet

import (
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sight"
	"seamwright/render/view"
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
	for i := range j.station.HoldPoints {
		out = append(out, j.holdFixture(i))
	}
	return out
}

// holdFixture is the station's hold point i as it is drawn.
func (j *job) holdFixture(i int) fixture {
	h := j.station.HoldPoints[i]
	return fixture{symHold, words.HoldShort(h), h.At, h.To}
}

// fixtureSlack is how far in front of or behind the sheets' surface a fixture's place may be, in mm.
const fixtureSlack = 8.0

// belongs finds the view that shows a fixture: a dimension belongs where it can be read; others where they are seen, and of
// several such views in the one with most welds near; if nowhere, in the first whose window holds them; nil when none does.
func (j *job) belongs(x fixture) (f *figure, seen bool) {
	if x.to != x.at {
		return j.reads(x)
	}
	best := -1
	for _, c := range append(slices.Clone(j.figures), j.details...) {
		if c.picture == nil || c.gauge {
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
		if f == nil && !c.gauge && c.shows(x.at.R3()) {
			f = c
		}
	}
	return f, seen
}

// reads finds the view in which a dimension is read: it lies within gaugeLimit of the paper, both its ends are seen, and it is
// longest on paper. nil when no view is such.
func (j *job) reads(x fixture) (f *figure, seen bool) {
	most := -1.0
	for _, c := range j.figures {
		if c.picture == nil || !lies(c.dir, x) || !c.shows(x.at.R3()) || !c.shows(x.to.R3()) ||
			!c.picture.Shows(x.at.R3(), fixtureSlack) || !c.picture.Shows(x.to.R3(), fixtureSlack) {
			continue
		}
		if d := c.on(x.to.R3()).Sub(c.on(x.at.R3())).Norm(); d > most+0.01 {
			most, f = d, c
		}
	}
	return f, f != nil
}

// gaugeLimit is how far, in degrees, a dimension may lie out of the paper of the view that it is drawn in. Common practice, no
// source: at 20 degrees it is drawn 6 % short.
const gaugeLimit = 20.0

// lies reports whether a dimension lies near enough to the paper of a view.
func lies(d view.Direction, x fixture) bool {
	way := x.to.R3().Sub(x.at.R3())
	return math.Abs(way.Dot(d.Look)) <= math.Sin(gaugeLimit*math.Pi/180)*way.Norm()+1e-9
}

// gaugeViews adds a view for each dimension that none of the views shows as it is measured, as few as will do. A dimension that
// cannot be seen so from anywhere has none; a table says so.
func (j *job) gaugeViews() {
	var open []fixture
	for _, x := range j.fixtures() {
		if x.to == x.at {
			continue
		}
		if !slices.ContainsFunc(j.figures, func(f *figure) bool { return j.canRead(f.dir, x) }) {
			open = append(open, x)
		}
	}
	for len(open) > 0 {
		var best view.Direction
		var read []fixture
		worth := 0.0
		for _, d := range view.Candidates() {
			var here []fixture
			sum := 0.0
			for _, x := range open {
				if j.canRead(d, x) {
					way := x.to.R3().Sub(x.at.R3()).Normalize()
					here, sum = append(here, x), sum+1-0.5*math.Abs(way.Dot(d.Look))
				}
			}
			if d.Principal {
				sum *= 1.2
			}
			if sum > worth+1e-9 {
				best, read, worth = d, here, sum
			}
		}
		if len(read) == 0 {
			return
		}
		j.figures = append(j.figures, j.gaugeView(best, letters(len(j.figures))))
		open = slices.DeleteFunc(open, func(x fixture) bool { return slices.Contains(read, x) })
	}
}

// canRead reports whether a direction shows a dimension as it is measured.
func (j *job) canRead(d view.Direction, x fixture) bool {
	if !lies(d, x) {
		return false
	}
	ends := []view.Target{{At: x.at.R3(), Stack: 2 * fixtureSlack}, {At: x.to.R3(), Stack: 2 * fixtureSlack}}
	return sight.Sees(j.panels, ends, d)
}

// gaugeSide is the greatest side in mm of a view that shows nothing but where to measure.
const gaugeSide = 110.0

// gaugeView is a small view of all panels, for dimensions alone.
func (j *job) gaugeView(d view.Direction, letter string) *figure {
	f := &figure{letter: letter, dir: d, whole: d.Extent(j.panels), gauge: true}
	f.tight = f.whole
	for _, s := range scales {
		if f.base = s; max(f.whole.X.Length(), f.whole.Y.Length())/float64(s) <= gaugeSide {
			break
		}
	}
	f.own = f.base
	return f
}

// drawFixtures draws the fixtures that belong to the view, where they cover no weld, and asks for their labels.
func (p *page) drawFixtures(f *figure, lab *placing, k ink, used symbols) {
	for _, x := range p.job.fixtures() {
		home, seen := p.job.belongs(x)
		if home != f {
			continue
		}
		ends := []paper.Point{f.on(x.at.R3())}
		if x.to != x.at {
			ends = append(ends, f.on(x.to.R3()))
			p.drawDimension(f, ends[0], ends[1])
			lab.InkLine(ends, 3)
		}
		used[x.sym] = true
		var symbols []label.Mark
		for _, at := range ends {
			place := lab.Beside(at, x.sym.radius(), p.job.across(f, x.at))
			p.drawFixture(f, k, x.sym, at, place)
			lab.Mark(place, x.sym.radius())
			symbols = append(symbols, label.Mark{At: place, R: x.sym.radius()})
		}
		text := x.text
		if !seen {
			text += " (behind)"
		}
		l := p.tag(f, text, symbols[0].At, symbols[0].R)
		l.Targets = symbols
		lab.tags = append(lab.tags, l)
	}
}

// radius is how far a fixture's symbol reaches.
func (s symbol) radius() float64 {
	if s == symClamp || s == symClampOpened {
		return clampRadius
	}
	return fixtureRadius
}

// drawFixture draws a symbol at a place, with a stem to where the fixture is.
func (p *page) drawFixture(f *figure, k ink, s symbol, at, place paper.Point) {
	way := at.Sub(place)
	if way.Norm() > 0.1 {
		stem := p.layerOf("view "+f.letter+" stems", paper.Style{Stroke: paper.Black, Width: paper.W25})
		stem.Line(at, place)
	}
	switch s {
	case symDowel:
		k.dowelMark(place)
	case symHold:
		k.holdMark(place)
	default:
		k.clampMark(place, way, s == symClampOpened)
	}
}

// across is the way on paper square to the weld line nearest to a place, along which symbols are moved off it.
func (j *job) across(f *figure, at layout.Vec) paper.Point {
	best, way := math.Inf(1), paper.Point{X: 0, Y: 1}
	for _, fl := range j.flanges {
		places := fl.Places()
		for i := 1; i < len(places); i++ {
			if d := places[i].R3().Sub(at.R3()).Norm(); d < best {
				if along := f.on(places[i].R3()).Sub(f.on(places[i-1].R3())); along.Norm() > 1e-6 {
					best, way = d, paper.Point{X: -along.Y, Y: along.X}.Mul(1/along.Norm())
				}
			}
		}
	}
	return way
}

// drawDimension joins the two ends of a hold point's dimension, with an arrow at each.
func (p *page) drawDimension(f *figure, a, b paper.Point) {
	d := b.Sub(a)
	if d.Norm() < 4 {
		return
	}
	dir := d.Mul(1 / d.Norm())
	l := p.layerOf("view "+f.letter+" dimension", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	a, b = a.Add(dir.Mul(fixtureRadius)), b.Sub(dir.Mul(fixtureRadius))
	l.Line(a, b)
	arrow(l, b, dir, 2.5)
	arrow(l, a, dir.Mul(-1), 2.5)
}
