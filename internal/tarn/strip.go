package tarn

import (
	"math"

	"github.com/golang/geo/r3"
)

// strip is the flange of one panel along a seam, with the bend behind it and the way to the panel's body.
// Sections are points from the free edge to the body.
type strip struct {
	seam      *seam
	sheet     layer
	thickness float64

	free float64 // mm from the weld line to the free edge; negative: the free edge is against the across direction
	root float64 // mm from the weld line to the line where the bend starts, on the other side
	rows int     // quads between the two

	bend    float64 // degrees; positive bends towards the normal; 0: the sheet goes straight on
	radius  float64 // mm, of the mid-surface
	facets  int     // of the bend: each turns by bend/facets, which must be 18 to 30 degrees
	leg     float64 // mm straight on after the bend
	bridge  int     // facets of the curve from there to the body
	pull    float64 // how strongly that curve keeps its end directions; 1 suits most
	body    func(u, v float64) r3.Vector
	landing func(f frame) landing
}

// landing is where a strip meets the body, in the body's own two coordinates, and the direction from
// there into the body.
type landing struct{ u, v, du, dv float64 }

// head is the point and direction of travel at the end of a piece of section.
type head struct{ at, ahead r3.Vector }

// flangeAndBend returns the section from the free edge to the end of the bend and its leg.
func (p *strip) flangeAndBend(f frame) ([]r3.Vector, head) {
	side := math.Copysign(1, p.free)
	out := f.across.Mul(side)
	base := f.at.Add(f.normal.Mul(p.seam.offset(p.sheet, p.thickness, f.s)))
	var points []r3.Vector
	for i := range p.rows + 1 {
		d := math.Abs(p.free) - (math.Abs(p.free)+p.root)*float64(i)/float64(p.rows)
		points = append(points, base.Add(out.Mul(d)))
	}
	h := head{points[p.rows], out.Mul(-1)}
	if p.bend != 0 {
		var arc []r3.Vector
		arc, h = turn(h, f.normal.Mul(math.Copysign(1, p.bend)), p.radius, math.Abs(p.bend), p.facets)
		points = append(points, arc...)
	}
	if p.leg > 0 {
		h.at = h.at.Add(h.ahead.Mul(p.leg))
		points = append(points, h.at)
	}
	return points, h
}

// turn bends a direction of travel towards a side: points on the arc, so that the first facet already leaves the
// flange by half a facet's angle.
func turn(h head, side r3.Vector, radius, degrees float64, facets int) ([]r3.Vector, head) {
	var points []r3.Vector
	for j := 1; j <= facets; j++ {
		sin, cos := math.Sincos(degrees * math.Pi / 180 * float64(j) / float64(facets))
		points = append(points, h.at.Add(h.ahead.Mul(radius*sin)).Add(side.Mul(radius*(1-cos))))
	}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return points, head{points[facets-1], h.ahead.Mul(cos).Add(side.Mul(sin))}
}

// section returns the whole section and where it lands on the body.
func (p *strip) section(s float64) ([]r3.Vector, landing) {
	f := p.seam.frame(s)
	points, h := p.flangeAndBend(f)
	l := p.landing(f)
	const h0 = 1e-3
	end := head{p.body(l.u, l.v), p.body(l.u+h0*l.du, l.v+h0*l.dv).Sub(p.body(l.u, l.v)).Normalize()}
	return append(points, bridge(h, end, p.bridge, p.pull)...), l
}

// bridge is a cubic from one head to another, without its first point.
func bridge(a, b head, facets int, pull float64) []r3.Vector {
	k := b.at.Sub(a.at).Norm() * pull
	var points []r3.Vector
	for j := 1; j < facets; j++ {
		t := float64(j) / float64(facets)
		h00, h10 := (1+2*t)*(1-t)*(1-t), t*(1-t)*(1-t)
		h01, h11 := t*t*(3-2*t), t*t*(t-1)
		points = append(points, a.at.Mul(h00).Add(a.ahead.Mul(h10*k)).Add(b.at.Mul(h01)).Add(b.ahead.Mul(h11*k)))
	}
	return append(points, b.at)
}

// inset lands a strip on a body whose coordinates are two of x, y and z: reach mm from the weld line, away from
// the free edge.
func (p *strip) inset(drop func(r3.Vector) (u, v float64), reach float64) {
	p.landing = func(f frame) landing {
		u0, v0 := drop(f.at)
		u1, v1 := drop(f.at.Sub(f.across.Mul(math.Copysign(1, p.free))))
		du, dv := u1-u0, v1-v0
		l := math.Hypot(du, dv)
		du, dv = du/l, dv/l
		return landing{u0 + reach*du, v0 + reach*dv, du, dv}
	}
}

// The three ways to see a body from the side, from the front and from above.
func fromSide(p r3.Vector) (u, v float64)  { return p.X, p.Z }
func fromFront(p r3.Vector) (u, v float64) { return p.Y, p.Z }
func fromAbove(p r3.Vector) (u, v float64) { return p.X, p.Y }
