// Package annotate draws a station's figures on a sheet with all that is noted in them: welds and their numbers, roller seams, clamps,
// hold points, starts of strips, call-outs, and balloons with the panels' numbers.
//
//	drawn := annotate.Draw(page, set, set.Figures[0], used)
//	fmt.Println(drawn.Labels.Unplaced, drawn.Lost)
//
// What finds no room is counted, and told where it must be said. All measures are mm on paper.
package annotate

import (
	"fmt"

	"github.com/golang/geo/r2"

	"seamwright/render/figure"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sign"
	"seamwright/render/view"
)

// Drawn is what became of what a figure says.
type Drawn struct {
	Labels Labels
	Named  []string   // panels that have a balloon in it
	Lost   [][]string // the figure, and what found no room in it
}

// Labels counts labels.
type Labels struct {
	Placed   int
	Dropped  int // welds that are numbered only by their run's call-out, for want of room
	Unplaced int // call-outs and ids for which there is no room: 0 on a good sheet
	Hidden   int // welds that no view shows: drawn dashed
}

// Add takes what became of another figure to it.
func (d *Drawn) Add(o Drawn) {
	l, m := &d.Labels, o.Labels
	l.Placed, l.Dropped, l.Unplaced, l.Hidden = l.Placed+m.Placed, l.Dropped+m.Dropped, l.Unplaced+m.Unplaced, l.Hidden+m.Hidden
	d.Named, d.Lost = append(d.Named, o.Named...), append(d.Lost, o.Lost...)
}

// annotator draws one figure.
type annotator struct {
	Drawn

	set    *figure.Set
	f      *figure.Figure
	paper  *paper.Page
	used   sign.Used
	placer *label.Placer
	tags   []*label.Label // that fixtures, starts and details have asked for

	stems, dimensions, words, lines, dots *paper.Layer // dimensions: nil until there is one
}

// newAnnotator is for a figure whose lines, if its picture is drawn already, labels are to keep clear of.
func newAnnotator(set *figure.Set, f *figure.Figure) *annotator {
	a := &annotator{set: set, f: f, placer: label.New(f.Cell)}
	weights := map[view.LineKind]int32{view.Outline: 2, view.Edge: 2, view.Crease: 1}
	if f.Picture != nil {
		for _, l := range f.Picture.Lines {
			a.placer.InkLine(f.FlatAll(l.Points), weights[l.Kind])
		}
	}
	return a
}

// Draw draws a figure, of which the picture is drawn, with everything on it, and notes which signs it uses.
func Draw(p *paper.Page, set *figure.Set, f *figure.Figure, used sign.Used) Drawn {
	a := newAnnotator(set, f)
	a.paper, a.used = p, used
	a.drawPanels()
	if !f.Gauge {
		a.drawWeldLines()
	}
	a.drawDetailFrames()
	if !f.Gauge {
		a.drawSeams(sign.NewInk(p, a.name("seams")))
	}
	a.stems = a.layer("stems", paper.Style{Stroke: paper.Black, Width: paper.W25})
	a.drawWelds(sign.NewInk(p, "view "+f.Letter))
	a.drawFixtures(sign.NewInk(p, a.name("fixtures")))
	if !f.Gauge {
		a.drawStarts()
	}
	a.drawCaption()
	a.drawLabels()
	return a.Drawn
}

// name is what a layer of the figure is called.
func (a *annotator) name(what string) string { return "view " + a.f.Letter + " " + what }

func (a *annotator) layer(what string, style paper.Style) *paper.Layer {
	return a.paper.Layer(a.name(what), style)
}

// tints of panels: light enough to turn white in a copy of black and white (all above 85 % white).
var tints = []paper.Ink{"#f6f6f6", "#eaeaea", "#f0f0f0", "#e2e2e2", "#fafafa", "#dedede"}

func (a *annotator) drawPanels() {
	widths := map[view.LineKind]float64{view.Outline: paper.W50, view.Edge: paper.W25, view.Crease: paper.W13}
	DrawTints(a.paper, "view "+a.f.Letter, a.f.Picture, a.f.FlatAll)
	DrawLines(a.paper, "view "+a.f.Letter, a.f.Picture, widths, a.f.FlatAll)
}

// DrawTints fills a picture's regions; flat sets its points on paper, name begins the names of layers.
func DrawTints(p *paper.Page, name string, picture *view.Picture, flat func([]r2.Point) []paper.Point) {
	for t, tint := range tints {
		l := p.Layer(fmt.Sprintf("%s tint %d", name, t), paper.Style{Fill: tint})
		for _, r := range picture.Regions {
			if r.Tint%len(tints) == t {
				var loops [][]paper.Point
				for _, loop := range r.Loops {
					loops = append(loops, flat(loop))
				}
				l.Region(loops)
			}
		}
	}
}

// DrawLines draws a picture's lines, the narrowest first, as DrawTints draws its regions.
func DrawLines(p *paper.Page, name string, picture *view.Picture, widths map[view.LineKind]float64, flat func([]r2.Point) []paper.Point) {
	names := map[view.LineKind]string{view.Outline: "outline", view.Edge: "edges", view.Crease: "bends"}
	for _, kind := range []view.LineKind{view.Crease, view.Edge, view.Outline} {
		l := p.Layer(name+" "+names[kind], paper.Style{Stroke: paper.Black, Width: widths[kind]})
		for _, line := range picture.Lines {
			if line.Kind == kind {
				l.Polyline(flat(line.Points))
			}
		}
	}
}

// tidy simplifies points on paper.
func tidy(points []paper.Point) []paper.Point {
	flat := make([]r2.Point, len(points))
	for i, p := range points {
		flat[i] = r2.Point{X: p.X, Y: p.Y}
	}
	var out []paper.Point
	for _, p := range view.Simplify(flat, 0.05) {
		out = append(out, paper.Point{X: p.X, Y: p.Y})
	}
	return out
}

// drawWeldLines draws each flange's weld line where it is in sight.
func (a *annotator) drawWeldLines() {
	l := sign.WeldLines(a.paper, a.name("weld lines"))
	for _, fl := range a.set.Here.Flanges {
		for _, s := range a.f.Stretches(fl.Places(), fl.Closed, a.set.Stack(fl.Panels)) {
			if s.Seen && len(s.Points) > 1 {
				l.Polyline(tidy(s.Points))
				a.placer.InkLine(s.Points, 1)
				a.used[sign.WeldLine] = true
			}
		}
	}
}

// drawWelds draws the welds that belong to the figure with their signs, and others in sight as dots.
func (a *annotator) drawWelds(k sign.Ink) {
	targets := a.set.Targets()
	for i, w := range a.set.Here.Welds {
		at := a.f.On(w.Position.R3())
		if a.set.Shown(i) != a.f {
			if !a.f.Gauge && a.f.Shows(w.Position.R3()) && a.f.Picture.Sees(targets[i]) {
				k.Dot(at)
				a.placer.Weld(at, sign.DotRadius)
				a.used[sign.Elsewhere] = true
			}
			continue
		}
		three, kind := len(w.Sheets) > 2, sign.OfWeld(w)
		k.Weld(kind, at, three, !a.set.Seen(i))
		a.used[kind] = true
		if three {
			a.used[sign.Three] = true
		}
		if sign.Tilted(w) {
			k.Tilt(at)
			a.used[sign.Tilt] = true
		}
		if !a.set.Seen(i) {
			a.Labels.Hidden++
			a.used[sign.Hidden] = true
		}
		a.placer.Weld(at, sign.Radius(w))
	}
}
