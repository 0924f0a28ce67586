package sheet

import (
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/render/paper"
)

// start is where a flange's marking strip is laid on.
type start struct {
	flange string
	at, to layout.Vec // the start, and a place a little along the strip
	stack  float64
}

// headingOver is how far along the strip the way is taken, mm.
const headingOver = 30.0

// starts are those of all flanges that are welded here.
func (j *job) starts() []start {
	var out []start
	for _, fl := range j.flanges {
		fl, _ = layout.Rebase(fl, j.index.Flange(fl.ID).Welds)
		if len(fl.Line) < 2 {
			continue
		}
		k := slices.IndexFunc(fl.Line[1:], func(p layout.LinePoint) bool { return p.Along-fl.Line[0].Along >= headingOver })
		to := fl.Line[len(fl.Line)-1]
		if k >= 0 {
			to = fl.Line[k+1]
		}
		out = append(out, start{fl.ID, fl.Line[0].At, to.At, j.stack(fl.Panels)})
	}
	return out
}

// startsIn finds the view or detail that shows a start, of several the one that numbers most of the flange's welds; nil when none does.
func (j *job) startsIn(s start) *figure {
	var best *figure
	most := -1
	for _, c := range append(slices.Clone(j.figures), j.details...) {
		if c.gauge || c.picture == nil || !c.shows(s.at.R3()) || !c.picture.Shows(s.at.R3(), s.stack+fixtureSlack) {
			continue
		}
		n := 0
		for i, w := range j.welds {
			if w.Flange == s.flange && j.shown[i] == c {
				n++
			}
		}
		if n > most {
			best, most = c, n
		}
	}
	return best
}

// startRadius is how far the mark of a start reaches, mm on paper.
const startRadius = 1.6

// drawStarts marks where marking strips are laid on: a pennant that flies the way of the strip, on a stem to the place.
func (p *page) drawStarts(f *figure, lab *placing, used symbols) {
	l := p.paper.Layer("view "+f.letter+" starts", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	for _, s := range p.job.starts() {
		if p.job.startsIn(s) != f {
			continue
		}
		at, way := f.on(s.at.R3()), f.on(s.to.R3())
		if way = way.Sub(at); way.Norm() < 1e-6 {
			way = paper.Point{X: 1}
		}
		way = way.Mul(1 / way.Norm())
		place := lab.Off(at, startRadius, paper.Point{X: -way.Y, Y: way.X})
		lab.Mark(place, startRadius)
		lab.InkLine([]paper.Point{at, place}, 3)
		pennant(l, at, place, way)
		used[symStart] = true
	}
}

// pennant draws a stem from at, and at its end a full triangle that flies along a way.
func pennant(l *paper.Layer, at, place, way paper.Point) {
	l.Line(at, place)
	arrow(l, place.Add(way.Mul(startRadius)), way, 2*startRadius)
}

// faces tells for each flange welded here the panel on whose outer face the view looks that numbers most of its welds.
func (j *job) faces() map[string]string {
	out := map[string]string{}
	for _, fl := range j.flanges {
		if len(fl.Panels) == 0 || len(fl.Line) == 0 {
			continue
		}
		towards := 0.0 // the last panel, on whose side normals point
		for i, w := range j.welds {
			if w.Flange == fl.ID {
				towards -= normalAt(fl, w.Along).Dot(j.figureOf(i).dir.Look)
			}
		}
		if towards == 0 { // no spots: by the view that looks most squarely
			for _, f := range j.figures {
				if c := normalAt(fl, fl.Length/2).Dot(f.dir.Look); !f.gauge && c*c > towards*towards {
					towards = -c
				}
			}
		}
		out[fl.ID] = fl.Panels[len(fl.Panels)-1]
		if towards < 0 {
			out[fl.ID] = fl.Panels[0]
		}
	}
	return out
}

// normalAt is the normal of a flange's weld line at the measured place nearest to mm along it.
func normalAt(fl layout.Flange, along float64) r3.Vector {
	k, _ := slices.BinarySearchFunc(fl.Line, along, func(p layout.LinePoint, v float64) int {
		if p.Along < v {
			return -1
		}
		return 1
	})
	return fl.Line[min(k, len(fl.Line)-1)].Normal.R3()
}
