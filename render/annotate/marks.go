package annotate

import (
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

// drawFixtures draws the fixtures that belong to the view, where they cover no weld, and asks for their labels.
func (a *annotator) drawFixtures(k sign.Ink) {
	for _, x := range a.set.Fixtures() {
		home, seen := a.set.Belongs(x)
		if home != a.f {
			continue
		}
		ends := []paper.Point{a.f.On(x.At.R3())}
		if x.To != x.At {
			ends = append(ends, a.f.On(x.To.R3()))
			a.drawDimension(ends[0], ends[1])
			a.placer.InkLine(ends, 3)
		}
		a.used[x.Sign] = true
		var marks []label.Mark
		for _, at := range ends {
			place := a.placer.Beside(at, x.Sign.Radius(), a.set.Across(a.f, x.At))
			a.drawFixture(k, x.Sign, at, place)
			a.placer.Mark(place, x.Sign.Radius())
			marks = append(marks, label.Mark{At: place, R: x.Sign.Radius()})
		}
		text := x.Text
		if !seen {
			text += " (behind)"
		}
		l := a.tag(text, marks[0].At, marks[0].R)
		l.Targets = marks
		a.tags = append(a.tags, l)
	}
}

// drawFixture draws a sign at a place, with a stem to where the fixture is.
func (a *annotator) drawFixture(k sign.Ink, s sign.Kind, at, place paper.Point) {
	way := at.Sub(place)
	if way.Norm() > 0.1 {
		a.stems.Line(at, place)
	}
	k.Fixture(s, place, way)
}

// drawDimension joins the two ends of a hold point's dimension, with an arrow at each.
func (a *annotator) drawDimension(p, q paper.Point) {
	d := q.Sub(p)
	if d.Norm() < 4 {
		return
	}
	dir := d.Mul(1 / d.Norm())
	if a.dimensions == nil {
		a.dimensions = a.layer("dimension", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	}
	l := a.dimensions
	p, q = p.Add(dir.Mul(sign.Hold.Radius())), q.Sub(dir.Mul(sign.Hold.Radius()))
	l.Line(p, q)
	sign.Arrow(l, q, dir, 2.5)
	sign.Arrow(l, p, dir.Mul(-1), 2.5)
}

// drawSeams draws roller seams: a line ticked every 2.5 mm of paper, a full circle at its start, arrows
// in the way it is rolled and a bar at its end; dashed where it is out of sight.
func (a *annotator) drawSeams(k sign.Ink) {
	line := a.layer("roller seams", paper.Style{Stroke: paper.Black, Width: paper.W35})
	dashed := a.layer("hidden roller seams", paper.Style{Stroke: paper.Black, Width: paper.W18, Dash: []float64{2, 1}})
	for _, r := range a.set.Here.Seams {
		for _, s := range a.set.Seam(a.f, r) {
			a.used[sign.Roller] = true
			a.placer.InkLine(s.Points, 3)
			if !s.Seen {
				dashed.Polyline(tidy(s.Points))
				continue
			}
			line.Polyline(tidy(s.Points))
			for _, head := range k.Seam(line, s.Points) {
				a.placer.Mark(head, sign.ArrowReach)
			}
			if s.First {
				k.SeamStart(s.Points[0])
				a.placer.Mark(s.Points[0], sign.SeamStart)
				a.tags = append(a.tags, a.tag("START", s.Points[0], sign.SeamStart))
			}
			if n := len(s.Points); s.Last && n > 1 {
				if d := s.Points[n-1].Sub(s.Points[n-2]); d.Norm() > 1e-9 {
					k.SeamEnd(s.Points[n-1], d)
					a.placer.Mark(s.Points[n-1], sign.SeamEnd)
				}
			}
		}
	}
}

// drawStarts marks where marking strips are laid on: a pennant that flies the way of the strip, on a stem to the place.
func (a *annotator) drawStarts() {
	l := a.layer("starts", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	for _, s := range a.set.Starts() {
		if a.set.StartIn(s) != a.f {
			continue
		}
		at, way := a.f.On(s.At.R3()), a.f.On(s.To.R3())
		if way = way.Sub(at); way.Norm() < 1e-6 {
			way = paper.Point{X: 1}
		}
		way = way.Mul(1 / way.Norm())
		place := a.placer.Off(at, sign.StartRadius, paper.Point{X: -way.Y, Y: way.X})
		a.placer.Mark(place, sign.StartRadius)
		a.placer.InkLine([]paper.Point{at, place}, 3)
		sign.Pennant(l, at, place, way)
		a.used[sign.Start] = true
	}
}
