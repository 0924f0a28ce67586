// Package sign has the signs of station maps, and the legend that says what each of them means. Signs differ in shape, so that a
// copy in black and white keeps them apart.
//
//	ink, used := sign.NewInk(page, "view A"), sign.Used{}
//	ink.Weld(sign.OfWeld(weld), at, len(weld.Sheets) > 2, false)
//	used[sign.OfWeld(weld)] = true
//	sign.Legend{}.Draw(flow.NewPen(page), box, used)
//
// All measures are mm on paper.
package sign

import (
	"math"

	"seamwright/layout"
	"seamwright/render/paper"
)

// Kind is a sign that a sheet may use and its legend explains.
type Kind int

// The signs, of which some are words or lines.
const (
	Fill Kind = iota
	Tack
	Released
	Three     // the second outline about a weld of three sheets and more
	Hidden    // a weld out of sight
	Tilt      // the stroke through a weld whose gun stands off square
	Elsewhere // a weld that another view numbers
	WeldLine
	Callout  // of a run
	ShortRun // the words beside a run of few welds
	Roller
	RollerCallout
	Clamp
	ClampOpened
	Dowel
	Hold
	Start  // of a marking strip
	Guns   // letters of guns
	Panels // numbers of panels
)

// Used are the signs in use on a sheet.
type Used map[Kind]bool

// Radii of signs: what labels keep clear of.
const (
	WeldRadius  = 0.9 // of most welds
	DotRadius   = 0.3
	StartRadius = 1.6

	threeRadius    = 1.5
	tiltRadius     = 2.0
	releasedRadius = 1.2
)

// OfWeld is the sign of a weld's step.
func OfWeld(w layout.Weld) Kind {
	switch w.Step {
	case layout.Tack:
		return Tack
	case layout.Released:
		return Released
	}
	return Fill
}

// Tilted reports whether a weld's gun stands off square by what a welder would notice: half a degree.
func Tilted(w layout.Weld) bool { return math.Abs(w.Tilt) >= 0.5 }

// Radius is how far a weld's sign reaches.
func Radius(w layout.Weld) float64 {
	switch {
	case Tilted(w):
		return tiltRadius
	case len(w.Sheets) > 2:
		return threeRadius
	case OfWeld(w) == Released:
		return releasedRadius
	}
	return WeldRadius
}

// Radius is how far the sign of a clamp, dowel or hold point reaches.
func (k Kind) Radius() float64 {
	if k == Clamp || k == ClampOpened {
		return 2.5
	}
	return 1.7
}

// Ink holds one layer for each way of drawing signs.
type Ink struct {
	white, black, ring, dashed, dots, thick, gap, stroke *paper.Layer
}

// NewInk adds the layers to a page.
func NewInk(p *paper.Page, name string) Ink {
	return Ink{
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

// Weld draws a weld: a full square for a tack, a ring for a fill weld, a diamond for one that
// follows the release of a clamp; a second outline for three sheets or more.
func (k Ink) Weld(s Kind, at paper.Point, three, hidden bool) {
	if three {
		shape(k.ring, s, at, 0.55)
	}
	l := k.white
	switch {
	case hidden:
		l = k.dashed
	case s == Tack:
		l = k.black
	}
	shape(l, s, at, 0)
}

// Dot draws a weld that another view numbers.
func (k Ink) Dot(at paper.Point) { k.dots.Circle(at, DotRadius) }

// Tilt draws the stroke through a weld whose gun stands off square. White under black keeps it apart from a full
// mark.
func (k Ink) Tilt(at paper.Point) {
	d := paper.Point{X: tiltRadius * 0.7, Y: -tiltRadius * 0.7}
	k.gap.Line(at.Sub(d), at.Add(d))
	k.stroke.Line(at.Sub(d), at.Add(d))
}

// shape draws a weld's outline, grown by more.
func shape(l *paper.Layer, s Kind, at paper.Point, more float64) {
	switch s {
	case Tack:
		h := 0.82 + more
		l.Rect(paper.Box{X0: at.X - h, Y0: at.Y - h, X1: at.X + h, Y1: at.Y + h})
	case Released:
		h := releasedRadius + more*1.3
		l.Polygon(paper.Point{X: at.X, Y: at.Y - h}, paper.Point{X: at.X + h, Y: at.Y}, paper.Point{X: at.X, Y: at.Y + h},
			paper.Point{X: at.X - h, Y: at.Y})
	default:
		l.Circle(at, WeldRadius+more)
	}
}

// Fixture draws a clamp, dowel or hold point. A clamp lies along a way, level where there is none.
func (k Ink) Fixture(s Kind, at, way paper.Point) {
	switch s {
	case Dowel:
		k.dowel(at)
	case Hold:
		k.hold(at)
	default:
		k.clamp(at, way, s == ClampOpened)
	}
}

// clamp draws two triangles point to point: full for a clamp that stays shut, open for one that is opened after tacking.
func (k Ink) clamp(at, way paper.Point, opened bool) {
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

// dowel draws a ring with a cross in it.
func (k Ink) dowel(at paper.Point) {
	const r = 1.3
	k.white.Circle(at, r)
	k.white.Line(paper.Point{X: at.X - r, Y: at.Y}, paper.Point{X: at.X + r, Y: at.Y})
	k.white.Line(paper.Point{X: at.X, Y: at.Y - r}, paper.Point{X: at.X, Y: at.Y + r})
}

// hold draws a hexagon with a dot in it.
func (k Ink) hold(at paper.Point) {
	var p []paper.Point
	for i := range 6 {
		s, c := math.Sincos(float64(i) * math.Pi / 3)
		p = append(p, paper.Point{X: at.X + float64(1.6*c), Y: at.Y + float64(1.6*s)})
	}
	k.white.Polygon(p...)
	k.dots.Circle(at, 0.5)
}
