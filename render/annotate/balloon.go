package annotate

import (
	"fmt"
	"math"
	"slices"

	"seamwright/render/figure"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// Panels are named by balloons: a ring with the panel's number and a line into what is seen of the panel, and a list beside the
// views that says which number is which panel.

// Measures of balloons in mm.
const (
	balloonR   = 3.6
	balloonDot = 0.5 // at the end of the line, within the panel
	leastSpot  = 1.5 // how far the end of the line is from the border of what is seen of the panel, at least
)

// balloons are the labels that name the panels seen in a view.
func (a *annotator) balloons() []*label.Label {
	if a.f.Gauge {
		return nil
	}
	var out []*label.Label
	for _, r := range a.f.Picture.Regions {
		spots := spotsIn(a.f, r)
		if len(spots) == 0 {
			continue
		}
		text := fmt.Sprint(a.set.Number(r.Panel))
		l := &label.Label{W: 2 * balloonR, H: 2 * balloonR, Round: true, Reach: 34, Keen: true}
		for _, s := range spots {
			l.Targets = append(l.Targets, label.Mark{At: s, R: balloonDot})
		}
		l.Paint = func(at label.Placed) {
			c := at.Box.Center()
			a.lines.Circle(c, balloonR-0.2)
			a.words.Text(paper.Point{X: c.X, Y: c.Y + paper.AtJig/2}, paper.AtJig, paper.Middle, text)
			a.dots.Circle(at.Target.At, balloonDot)
			a.Named = append(a.Named, r.Panel)
		}
		out = append(out, l)
	}
	return out
}

// spotsIn are a few places well within what is seen of a panel, the one farthest from its border first, each in another part of it.
func spotsIn(f *figure.Figure, r view.Region) []paper.Point {
	type spot struct {
		at   paper.Point
		room float64
	}
	var loops [][]paper.Point
	box := paper.Box{X0: math.Inf(1), Y0: math.Inf(1), X1: math.Inf(-1), Y1: math.Inf(-1)}
	for _, loop := range r.Loops {
		flat := f.FlatAll(loop)
		loops = append(loops, flat)
		for _, p := range flat {
			box = box.With(p)
		}
	}
	var spots []spot
	const most = 28 // places across, and one above the other: a narrow strip has as many as a square
	across, up := max(1, box.Width()/most), max(1, box.Height()/most)
	for y := box.Y0 + up/2; y < box.Y1; y += up {
		beyond := crossings(y, loops)
		for x := box.X0 + across/2; x < box.X1; x += across {
			for len(beyond) > 0 && beyond[0] <= x {
				beyond = beyond[1:]
			}
			if at := (paper.Point{X: x, Y: y}); len(beyond)%2 == 1 { // it is inside
				if room := roomAt(at, loops); room >= leastSpot {
					spots = append(spots, spot{at, room})
				}
			}
		}
	}
	slices.SortStableFunc(spots, func(a, b spot) int {
		switch {
		case a.room > b.room+1e-9:
			return -1
		case b.room > a.room+1e-9:
			return 1
		}
		return 0
	})
	var out []paper.Point
	for _, s := range spots {
		apart := func(o paper.Point) bool { return o.Sub(s.at).Norm() < 0.2*(box.Width()+box.Height())/2 }
		if len(out) < 5 && !slices.ContainsFunc(out, apart) {
			out = append(out, s.at)
		}
	}
	return out
}

// crossings are the places, in order, at which a line across at height y meets some loops.
func crossings(y float64, loops [][]paper.Point) []float64 {
	var out []float64
	for _, loop := range loops {
		for i, a := range loop {
			if b := loop[(i+1)%len(loop)]; (a.Y > y) != (b.Y > y) {
				out = append(out, a.X+float64((y-a.Y)/(b.Y-a.Y)*(b.X-a.X)))
			}
		}
	}
	slices.Sort(out)
	return out
}

// roomAt is how far a place is from the nearest of some loops. Less than leastSpot may be more than there is: such a place is of no use.
func roomAt(at paper.Point, loops [][]paper.Point) float64 {
	room := math.Inf(1)
	for _, loop := range loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if max(min(a.X, b.X)-at.X, at.X-max(a.X, b.X), min(a.Y, b.Y)-at.Y, at.Y-max(a.Y, b.Y)) < room {
				if room = min(room, label.FromSegment(at, a, b)); room < leastSpot {
					return room
				}
			}
		}
	}
	return room
}
