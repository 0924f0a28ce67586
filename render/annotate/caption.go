package annotate

import (
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

// drawCaption writes the view's name, its scale bar and the shell's axes below it.
func (a *annotator) drawCaption() {
	foot := a.f.Foot()
	at := paper.Point{X: math.Max(a.f.Cell.X0+2, a.f.Flat(a.f.Window.Lo()).X), Y: foot - 7.5}
	room := figure.AxesRoom - 6
	if a.f.Parent != nil {
		room = 2
	}
	at.X = math.Max(a.f.Cell.X0+2, math.Min(at.X, a.f.Cell.X1-room-paper.Width(a.f.Caption(), paper.AtJig)))
	words := a.layer("caption", paper.Style{Fill: paper.Black})
	words.Text(at, paper.AtJig, paper.Start, a.f.Caption())
	a.placer.Reserve(paper.TextBox(at, paper.AtJig, paper.Start, a.f.Caption()).Grow(0.8))
	a.placer.Reserve(drawScaleBar(a.paper, paper.Point{X: at.X, Y: foot - 2}, a.f.Scale).Grow(0.8))
	if a.f.Parent == nil {
		a.placer.Reserve(a.drawAxes(at.X + paper.Width(a.f.Caption(), paper.AtJig) + 14).Grow(0.5))
	}
	if a.f.Bordered() {
		border := a.layer("border", paper.Style{Stroke: paper.Black, Width: paper.W13, Dash: []float64{4, 0.8, 0.3, 0.8,
			0.3, 0.8}})
		w := a.f.Window
		border.Rect(paper.Box{X0: a.f.Flat(w.Lo()).X, Y0: a.f.Flat(w.Hi()).Y, X1: a.f.Flat(w.Hi()).X, Y1: a.f.Flat(w.Lo()).Y})
	}
}

// drawAxes draws the shell's axes as seen in the view, not left of least, and returns the paper that they take.
func (a *annotator) drawAxes(least float64) paper.Box {
	const long = 5.5
	right := math.Min(a.f.Cell.X1, a.f.Flat(a.f.Window.Hi()).X+figure.LabelRoom) - 12
	c := paper.Point{X: math.Min(a.f.Cell.X1-12, math.Max(least, right)), Y: a.f.Foot() - 12}
	l := a.layer("axes", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	names := a.layer("axis names", paper.Style{Fill: paper.Black})
	var tips, ways []paper.Point
	var called []string
	for i, name := range []string{"X", "Y", "Z"} {
		var axis layout.Vec
		axis[i] = 1
		at, _ := a.f.Dir.Project(axis.R3())
		d := paper.Point{X: at.X, Y: -at.Y}
		if d.Norm() < 0.05 {
			continue
		}
		tip := c.Add(d.Mul(long))
		unit := d.Mul(1 / d.Norm())
		l.Line(c, tip)
		sign.Arrow(l, tip, unit, math.Min(1.6, long*d.Norm()))
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

// drawDetailFrames frames, in a view, the places that have a detail on these sheets, and names them.
func (a *annotator) drawDetailFrames() {
	l := a.layer("detail frames", paper.Style{Stroke: paper.Black, Width: paper.W25})
	for _, d := range a.set.Details {
		if d.Parent != a.f || d.Picture == nil {
			continue
		}
		lo, hi := a.f.Flat(d.Window.Lo()), a.f.Flat(d.Window.Hi())
		box := paper.Box{X0: lo.X, Y0: hi.Y, X1: hi.X, Y1: lo.Y}
		l.Rect(box)
		corners := []paper.Point{{X: box.X0, Y: box.Y0}, {X: box.X1, Y: box.Y0}, {X: box.X1, Y: box.Y1}, {X: box.X0, Y: box.Y1}}
		a.placer.InkLine(append(corners, corners[0]), 2)
		name := a.tag("Detail "+d.Letter, corners[1], 0.1)
		for _, c := range corners {
			if c != corners[1] {
				name.Targets = append(name.Targets, label.Mark{At: c, R: 0.1})
			}
		}
		a.tags = append(a.tags, name)
	}
}

// drawScaleBar draws a view's own bar, alternately black and white, with its length in millimetres of the shell.
func drawScaleBar(p *paper.Page, at paper.Point, s figure.Scale) paper.Box {
	length := s.Bar() / float64(s)
	black := p.Layer("scale-bar", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	white := p.Layer("scale-bar-gaps", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.White})
	for i := range 5 {
		l := black
		if i%2 == 1 {
			l = white
		}
		x := at.X + length*float64(i)/5
		l.Rect(paper.Box{X0: x, Y0: at.Y - 1.2, X1: x + length/5, Y1: at.Y})
	}
	text := fmt.Sprintf("%g mm", s.Bar())
	said := paper.Point{X: at.X + length + 2, Y: at.Y + 1}
	p.Layer("scale-bar-text", paper.Style{Fill: paper.Black}).Text(said, paper.AtJig, paper.Start, text)
	return paper.Box{X0: at.X, Y0: at.Y - 3, X1: at.X + length + 2 + paper.Width(text, paper.AtJig), Y1: at.Y + 2}
}
