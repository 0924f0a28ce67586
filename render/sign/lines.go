package sign

import "seamwright/render/paper"

// Arrow draws a full arrow head with its tip at tip, flying along the unit vector dir.
func Arrow(l *paper.Layer, tip, dir paper.Point, long float64) {
	side := paper.Point{X: -dir.Y, Y: dir.X}.Mul(long * 0.3)
	back := tip.Sub(dir.Mul(long))
	l.Polygon(tip, back.Add(side), back.Sub(side))
}

// Pennant draws the start of a marking strip: a stem from at, and at its end a full triangle that flies along a way, a unit vector.
func Pennant(l *paper.Layer, at, place, way paper.Point) {
	l.Line(at, place)
	Arrow(l, place.Add(way.Mul(StartRadius)), way, 2*StartRadius)
}

// WeldLines adds a layer of weld lines to a page: long-dashed dotted narrow lines (line type 04 of ISO 128-2:2020, from memory,
// with dashes shortened to the drawing).
func WeldLines(p *paper.Page, name string) *paper.Layer {
	return p.Layer(name, paper.Style{Stroke: paper.Black, Width: paper.W18, Dash: []float64{4, 0.8, 0.3, 0.8}})
}

// SpotRadius is that of the ring on a call-out's reference line.
const SpotRadius = 1.3

// OnReference draws the symbol on a call-out's reference line after ISO 2553:2019 (from memory): a ring for spots, with two lines
// through it for a roller seam.
func OnReference(l *paper.Layer, at paper.Point, seam bool) {
	l.Circle(at, SpotRadius)
	if !seam {
		return
	}
	for _, d := range []float64{-0.4, 0.4} {
		l.Line(paper.Point{X: at.X - 1.8, Y: at.Y + d}, paper.Point{X: at.X + 1.8, Y: at.Y + d})
	}
}

// How a roller seam is drawn: half a tick, an arrow head, its start and half the bar at its end.
const (
	halfTick   = 0.7
	headLong   = 2.4
	SeamStart  = 1.0
	SeamEnd    = 1.6
	ArrowReach = 1.3 // of an arrow head about its place
)

// Seam ticks a roller seam's line every 2.5 mm and sets an arrow head on every twelfth place; it returns these places.
func (k Ink) Seam(l *paper.Layer, points []paper.Point) (heads []paper.Point) {
	const every = 2.5
	travelled, next, n := 0.0, every/2, 0
	for i := 1; i < len(points); i++ {
		d := points[i].Sub(points[i-1])
		long := d.Norm()
		if long == 0 {
			continue
		}
		dir := d.Mul(1 / long)
		for ; next <= travelled+long; next += every {
			at := points[i-1].Add(dir.Mul(next - travelled))
			if n%12 == 4 {
				Arrow(k.black, at.Add(dir.Mul(headLong/2)), dir, headLong)
				heads = append(heads, at)
			} else {
				side := paper.Point{X: -dir.Y, Y: dir.X}.Mul(halfTick)
				l.Line(at.Sub(side), at.Add(side))
			}
			n++
		}
		travelled += long
	}
	return heads
}

// SeamStart draws the full circle where a roller seam starts.
func (k Ink) SeamStart(at paper.Point) { k.black.Circle(at, SeamStart) }

// SeamEnd draws the bar where a roller seam ends, square to the way there.
func (k Ink) SeamEnd(at, way paper.Point) {
	across := paper.Point{X: -way.Y, Y: way.X}.Mul(SeamEnd / way.Norm())
	k.thick.Line(at.Sub(across), at.Add(across))
}
