package sheet

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"seamwright/layout"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// tints of panels: light enough to turn white in a copy of black and white (all above 85 % white).
var tints = []paper.Ink{"#f6f6f6", "#eaeaea", "#f0f0f0", "#e2e2e2", "#fafafa", "#dedede"}

// drawFigure draws one view with everything on it, and notes which symbols it uses.
func (p *page) drawFigure(f *figure, used symbols) {
	f.drawPanels(p.paper)
	lab := newPlacing(f)
	if !f.gauge {
		p.drawWeldLines(f, lab, used)
	}
	p.drawDetailFrames(f, lab)
	if !f.gauge {
		p.drawSeams(f, lab, newInk(p.paper, "view "+f.letter+" seams"), used)
	}
	p.layerOf("view "+f.letter+" stems", paper.Style{Stroke: paper.Black, Width: paper.W25})
	marks := newInk(p.paper, "view "+f.letter)
	p.drawWelds(f, lab, marks, used)
	p.drawFixtures(f, lab, newInk(p.paper, "view "+f.letter+" fixtures"), used)
	if !f.gauge {
		p.drawStarts(f, lab, used)
	}
	p.drawCaption(f, lab)
	p.labelFigure(f, lab, used)
}

// drawPanels draws the visible faces and lines of the panels.
func (f *figure) drawPanels(p *paper.Page) {
	widths := map[view.LineKind]float64{view.Outline: paper.W50, view.Edge: paper.W25, view.Crease: paper.W13}
	drawTints(p, "view "+f.letter, f.picture, f.flatAll)
	drawLines(p, "view "+f.letter, f.picture, widths, f.flatAll)
}

// drawTints fills a picture's regions; flat sets its points on paper.
func drawTints(p *paper.Page, name string, picture *view.Picture, flat func([]r2.Point) []paper.Point) {
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

// drawLines draws a picture's lines, the narrowest first.
func drawLines(p *paper.Page, name string, picture *view.Picture, widths map[view.LineKind]float64, flat func([]r2.Point) []paper.Point) {
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

func (f *figure) flatAll(points []r2.Point) []paper.Point {
	out := make([]paper.Point, len(points))
	for i, p := range points {
		out[i] = f.flat(p)
	}
	return out
}

// stretch is a part of a path that is all visible or all hidden.
type stretch struct {
	seen   bool
	points []paper.Point
}

// stretches cuts a path on the shell where it goes into or out of sight, stepping by half a millimetre of
// paper. What lies outside the window is left out.
func (f *figure) stretches(path []layout.Vec, closed bool, slack float64) []stretch {
	var out []stretch
	last := -1
	if closed && len(path) > 0 {
		path = append(append([]layout.Vec(nil), path...), path[0])
	}
	add := func(v layout.Vec) {
		state := 0
		at := v.R3()
		if !f.shows(at) {
			last = -1
			return
		}
		if f.picture.Shows(at, slack) {
			state = 1
		}
		q := f.on(at)
		if state != last {
			if last >= 0 {
				out[len(out)-1].points = append(out[len(out)-1].points, q)
			}
			out = append(out, stretch{seen: state == 1})
		}
		out[len(out)-1].points = append(out[len(out)-1].points, q)
		last = state
	}
	for i, v := range path {
		if i > 0 {
			d := v.R3().Sub(path[i-1].R3())
			n := int(d.Norm() / (0.5 * float64(f.scale)))
			for k := 1; k <= n; k++ {
				m := path[i-1].R3().Add(d.Mul(float64(k) / float64(n+1)))
				add(layout.Vec{m.X, m.Y, m.Z})
			}
		}
		add(v)
	}
	return out
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

// drawWeldLines draws each flange's weld line as a long-dashed dotted narrow line where it is in sight
// (line type 04 of ISO 128-2:2020, from memory, with dashes shortened to the drawing).
func (p *page) drawWeldLines(f *figure, lab *placing, used symbols) {
	l := p.paper.Layer("view "+f.letter+" weld lines", paper.Style{Stroke: paper.Black, Width: paper.W18, Dash: []float64{4, 0.8, 0.3, 0.8}})
	for _, fl := range p.job.flanges {
		for _, s := range f.stretches(fl.Places(), fl.Closed, p.job.stack(fl.Panels)) {
			if s.seen && len(s.points) > 1 {
				l.Polyline(tidy(s.points))
				lab.InkLine(s.points, 1)
				used[symWeldLine] = true
			}
		}
	}
}

// drawWelds draws the welds that belong to the view with their marks, and others in sight as dots.
func (p *page) drawWelds(f *figure, lab *placing, k ink, used symbols) {
	j := p.job
	targets := j.targets()
	for i, w := range j.welds {
		at := f.on(w.Position.R3())
		if j.shown[i] != f {
			if !f.gauge && f.shows(w.Position.R3()) && f.picture.Sees(targets[i]) {
				k.dots.Circle(at, dotRadius)
				lab.Weld(at, dotRadius)
				used[symElsewhere] = true
			}
			continue
		}
		three := len(w.Sheets) > 2
		s := weldSymbol(w)
		k.weldMark(s, at, three, !j.seen[i])
		used[s] = true
		r := weldRadius
		if s == symReleased {
			r = 1.2
		}
		if three {
			r = threeRadius
			used[symThree] = true
		}
		if tilted(w) {
			k.tiltMark(at)
			r = math.Max(r, tiltRadius)
			used[symTilt] = true
		}
		if !j.seen[i] {
			p.labels.Hidden++
			used[symHidden] = true
		}
		lab.Weld(at, r)
	}
}

// drawCaption writes the view's name, its scale bar and the shell's axes below it.
func (p *page) drawCaption(f *figure, lab *placing) {
	foot := f.foot()
	at := paper.Point{X: math.Max(f.cell.X0+2, f.flat(f.window.Lo()).X), Y: foot - 7.5}
	room := axesRoom - 6
	if f.parent != nil {
		room = 2
	}
	at.X = math.Max(f.cell.X0+2, math.Min(at.X, f.cell.X1-room-paper.Width(f.caption(), titleText)))
	words := p.paper.Layer("view "+f.letter+" caption", paper.Style{Fill: paper.Black})
	words.Text(at, titleText, paper.Start, f.caption())
	lab.Reserve(paper.TextBox(at, titleText, paper.Start, f.caption()).Grow(0.8))
	lab.Reserve(drawScaleBar(p.paper, paper.Point{X: at.X, Y: foot - 2}, f.scale).Grow(0.8))
	if f.parent == nil {
		lab.Reserve(drawAxes(p.paper, f, at.X+paper.Width(f.caption(), titleText)+14).Grow(0.5))
	}
	if f.part || f.parent != nil {
		border := p.paper.Layer("view "+f.letter+" border", paper.Style{Stroke: paper.Black, Width: paper.W13, Dash: []float64{4, 0.8, 0.3, 0.8,
			0.3, 0.8}})
		w := f.window
		border.Rect(paper.Box{X0: f.flat(w.Lo()).X, Y0: f.flat(w.Hi()).Y, X1: f.flat(w.Hi()).X, Y1: f.flat(w.Lo()).Y})
	}
}

// foot is where the caption ends: below the picture and the room for its labels, within the cell.
func (f *figure) foot() float64 {
	return math.Min(f.cell.Y1, f.flat(f.window.Lo()).Y+labelRoom+captionRoom+2)
}

// drawAxes draws the shell's axes as seen in the view, not left of least, and returns the paper that they take.
func drawAxes(p *paper.Page, f *figure, least float64) paper.Box {
	const long = 5.5
	right := math.Min(f.cell.X1, f.flat(f.window.Hi()).X+labelRoom) - 12
	c := paper.Point{X: math.Min(f.cell.X1-12, math.Max(least, right)), Y: f.foot() - 12}
	l := p.Layer("view "+f.letter+" axes", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	names := p.Layer("view "+f.letter+" axis names", paper.Style{Fill: paper.Black})
	var tips, ways []paper.Point
	var called []string
	for i, name := range []string{"X", "Y", "Z"} {
		var axis layout.Vec
		axis[i] = 1
		at, _ := f.dir.Project(axis.R3())
		d := paper.Point{X: at.X, Y: -at.Y}
		if d.Norm() < 0.05 {
			continue
		}
		tip := c.Add(d.Mul(long))
		unit := d.Mul(1 / d.Norm())
		l.Line(c, tip)
		arrow(l, tip, unit, math.Min(1.6, long*d.Norm()))
		if k := slices.IndexFunc(ways, func(w paper.Point) bool { return w.Sub(unit).Norm() < 0.3 }); k >= 0 {
			called[k] += " " + name // two axes that fall together in this view
			continue
		}
		tips, ways, called = append(tips, tip), append(ways, unit), append(called, name)
	}
	for k, name := range called {
		beyond := 1 + math.Abs(ways[k].X)*paper.Width(name, paper.AtJig)/2 + math.Abs(ways[k].Y)*paper.AtJig/2
		names.Text(tips[k].Add(ways[k].Mul(beyond)).Add(paper.Point{Y: paper.AtJig / 2}), paper.AtJig, paper.Middle, name)
	}
	return paper.Box{X0: c.X, Y0: c.Y, X1: c.X, Y1: c.Y}.Grow(11)
}
