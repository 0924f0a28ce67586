package sheet

import (
	"math"

	"seamwright/layout"
	"seamwright/render/paper"
)

// symbol is a mark that a sheet may use and its legend explains. Marks differ in shape, so that a copy
// in black and white keeps them apart.
type symbol int

const (
	symFill symbol = iota
	symTack
	symReleased
	symThree
	symHidden
	symTilt
	symElsewhere
	symWeldLine
	symCallout
	symShortRun
	symRoller
	symRollerCallout
	symClamp
	symClampOpened
	symDowel
	symHold
	symStart
	symGuns
	symPanels
)

// symbols are those in use on a sheet.
type symbols map[symbol]bool

// Radii of marks in mm on paper: what labels keep clear of.
const (
	weldRadius    = 0.9
	threeRadius   = 1.5
	tiltRadius    = 2.0
	fixtureRadius = 1.7
	clampRadius   = 2.5
	dotRadius     = 0.3
)

// ink holds one layer for each way of drawing marks.
type ink struct {
	white, black, ring, dashed, dots, thick, gap, stroke *paper.Layer
}

func newInk(p *paper.Page, name string) ink {
	return ink{
		ring:   p.Layer(name+" rings", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.White}),
		white:  p.Layer(name+" open marks", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.White}),
		black:  p.Layer(name+" full marks", paper.Style{Stroke: paper.Black, Width: paper.W13, Fill: paper.Black}),
		dashed: p.Layer(name+" hidden marks", paper.Style{Stroke: paper.Black, Width: paper.W25, Dash: []float64{0.6, 0.45}, Fill: paper.White}),
		dots:   p.Layer(name+" dots", paper.Style{Fill: paper.Black}),
		thick:  p.Layer(name+" thick marks", paper.Style{Stroke: paper.Black, Width: paper.W50}),
		gap:    p.Layer(name+" tilt gaps", paper.Style{Stroke: paper.White, Width: paper.W70}),
		stroke: p.Layer(name+" tilt strokes", paper.Style{Stroke: paper.Black, Width: paper.W35}),
	}
}

// weldSymbol is the mark of a weld's step.
func weldSymbol(w layout.Weld) symbol {
	switch w.Step {
	case layout.Tack:
		return symTack
	case layout.Released:
		return symReleased
	}
	return symFill
}

// weldMark draws a weld: a full square for a tack, a ring for a fill weld, a diamond for one that
// follows the release of a clamp; a second outline for three sheets or more.
func (k ink) weldMark(s symbol, at paper.Point, three, hidden bool) {
	if three {
		shape(k.ring, s, at, 0.55)
	}
	l := k.white
	switch {
	case hidden:
		l = k.dashed
	case s == symTack:
		l = k.black
	}
	shape(l, s, at, 0)
}

// tiltMark draws the stroke through a weld whose gun stands off square. White under black keeps it apart from a full
// mark.
func (k ink) tiltMark(at paper.Point) {
	d := paper.Point{X: tiltRadius * 0.7, Y: -tiltRadius * 0.7}
	k.gap.Line(at.Sub(d), at.Add(d))
	k.stroke.Line(at.Sub(d), at.Add(d))
}

// shape draws a weld's outline, grown by more.
func shape(l *paper.Layer, s symbol, at paper.Point, more float64) {
	switch s {
	case symTack:
		h := 0.82 + more
		l.Rect(paper.Box{X0: at.X - h, Y0: at.Y - h, X1: at.X + h, Y1: at.Y + h})
	case symReleased:
		h := 1.2 + more*1.3
		l.Polygon(paper.Point{X: at.X, Y: at.Y - h}, paper.Point{X: at.X + h, Y: at.Y}, paper.Point{X: at.X, Y: at.Y + h},
			paper.Point{X: at.X - h, Y: at.Y})
	default:
		l.Circle(at, weldRadius+more)
	}
}

// clampMark draws two triangles point to point along a way, level where there is none: full for a clamp that stays shut, open
// for one that is opened after tacking.
func (k ink) clampMark(at, way paper.Point, opened bool) {
	l := k.black
	if opened {
		l = k.white
	}
	const w, h = 2.2, 1.6
	u := paper.Point{X: 1}
	if n := way.Norm(); n > 0.1 {
		u = way.Mul(1 / n)
	}
	v := paper.Point{X: -u.Y, Y: u.X}
	for _, side := range []float64{-1, 1} {
		end := at.Add(u.Mul(side * w))
		l.Polygon(end.Add(v.Mul(h)), end.Sub(v.Mul(h)), at)
	}
}

// dowelMark draws a ring with a cross in it.
func (k ink) dowelMark(at paper.Point) {
	const r = 1.3
	k.white.Circle(at, r)
	k.white.Line(paper.Point{X: at.X - r, Y: at.Y}, paper.Point{X: at.X + r, Y: at.Y})
	k.white.Line(paper.Point{X: at.X, Y: at.Y - r}, paper.Point{X: at.X, Y: at.Y + r})
}

// holdMark draws a hexagon with a dot in it.
func (k ink) holdMark(at paper.Point) {
	var p []paper.Point
	for i := range 6 {
		s, c := math.Sincos(float64(i) * math.Pi / 3)
		p = append(p, paper.Point{X: at.X + float64(1.6*c), Y: at.Y + float64(1.6*s)})
	}
	k.white.Polygon(p...)
	k.dots.Circle(at, 0.5)
}

// arrow draws a full arrow head with its tip at tip, flying along the unit vector dir.
func arrow(l *paper.Layer, tip, dir paper.Point, long float64) {
	side := paper.Point{X: -dir.Y, Y: dir.X}.Mul(long * 0.3)
	back := tip.Sub(dir.Mul(long))
	l.Polygon(tip, back.Add(side), back.Sub(side))
}
