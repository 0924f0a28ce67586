package reach

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// shadow is the part of a facet between two heights, looked at along the axis: a convex polygon of up to
// five corners. An upright section between the same heights is as far from that part as the section's
// outline is from the shadow: exactly, since the section spans all of the heights.
type shadow struct {
	corner [5]r2.Point
	n      int
	panel  int32
	grow   float64
	top    float64 // greatest height of the part

	mx, my, size float64 // the facet's middle, and the greatest distance of its points from there
}

// shadowOf cuts a facet to the heights from low to high; mirrored turns the frame over, for what is below.
func shadowOf(t *facet, low, high float64, mirrored bool) (shadow, bool) {
	if !t.between(low, high, mirrored) {
		return shadow{}, false
	}
	if !mirrored && t.low >= low && t.high <= high { // nothing is cut off
		return shadow{corner: [5]r2.Point{{X: t.a.X, Y: t.a.Y}, {X: t.b.X, Y: t.b.Y}, {X: t.c.X, Y: t.c.Y}}, n: 3, panel: t.panel,
			grow: t.grow, top: max(t.a.Z, t.b.Z, t.c.Z), mx: t.mx, my: t.my, size: t.size}, true
	}
	sign := 1.0
	if mirrored {
		sign = -1
	}
	tri := [3]r3.Vector{t.a, t.b, t.c}
	var in, out [5]r3.Vector
	n := 0
	for _, v := range tri {
		v.Z *= sign
		in[n] = v
		n++
	}
	n = cut(in[:n], out[:], low, 1)
	if n == 0 {
		return shadow{}, false
	}
	n = cut(out[:n], in[:], high, -1)
	if n == 0 {
		return shadow{}, false
	}
	s := shadow{n: n, panel: t.panel, grow: t.grow, top: math.Inf(-1), mx: t.mx, my: t.my, size: t.size}
	for k := range n {
		s.corner[k] = r2.Point{X: in[k].X, Y: in[k].Y}
		s.top = max(s.top, in[k].Z)
	}
	return s, true
}

// between reports whether part of a facet may lie between two heights; mirrored as in shadowOf.
func (t *facet) between(low, high float64, mirrored bool) bool {
	if mirrored {
		return -t.high <= high && -t.low >= low
	}
	return t.low <= high && t.high >= low
}

// cut keeps the part of a convex polygon on the side of height z that sign points to.
func cut(in, out []r3.Vector, z, sign float64) int {
	n := 0
	for k, v := range in {
		w := in[(k+1)%len(in)]
		dv, dw := sign*(v.Z-z), sign*(w.Z-z)
		if dv >= 0 {
			out[n] = v
			n++
		}
		if (dv > 0 && dw < 0 || dv < 0 && dw > 0) && n < len(out) {
			out[n] = v.Add(w.Sub(v).Mul(dv / (dv - dw)))
			n++
		}
	}
	return n
}

// fromAxis is the distance of the shadow from the axis, zero when the axis passes through it.
func (s *shadow) fromAxis() float64 {
	if s.holds(r2.Point{}) {
		return 0
	}
	least := math.Inf(1)
	for k := range s.n {
		least = min(least, toSegment(r2.Point{}, s.corner[k], s.corner[(k+1)%s.n]))
	}
	return least
}

// fromAxis is the distance of the facet from the axis.
func (t *facet) fromAxis() float64 {
	s := shadow{n: 3}
	for k, v := range [3]r3.Vector{t.a, t.b, t.c} {
		s.corner[k] = r2.Point{X: v.X, Y: v.Y}
	}
	return s.fromAxis()
}

// holds reports whether a point is within the shadow; the corners go round either way.
func (s *shadow) holds(p r2.Point) bool {
	left, right := false, false
	for k := range s.n {
		a, b := s.corner[k], s.corner[(k+1)%s.n]
		side := float64((b.X-a.X)*(p.Y-a.Y)) - float64((b.Y-a.Y)*(p.X-a.X))
		left, right = left || side > 0, right || side < 0
	}
	return !(left && right) && (left || right)
}

// fromRectangle is the distance of the shadow from the rectangle about the axis whose small half size points
// along the direction (cos, sin).
func (s *shadow) fromRectangle(small, long, cos, sin float64) float64 {
	var turned [5]r2.Point
	low, high := r2.Point{X: math.Inf(1), Y: math.Inf(1)}, r2.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for k := range s.n {
		c := s.corner[k]
		p := r2.Point{X: float64(c.X*cos) + float64(c.Y*sin), Y: float64(c.Y*cos) - float64(c.X*sin)}
		turned[k] = p
		low = r2.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = r2.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	// The gap of the shadow's own rectangle is exact where it is beside one face of the section.
	gapX := max(low.X-small, -small-high.X)
	gapY := max(low.Y-long, -long-high.Y)
	t := shadow{corner: turned, n: s.n}
	if gapX <= 0 && gapY <= 0 && !t.clearOfCorners(small, long) {
		return 0
	}
	least := math.Inf(1)
	corners := [4]r2.Point{{X: small, Y: long}, {X: -small, Y: long}, {X: -small, Y: -long}, {X: small, Y: -long}}
	for k := range t.n {
		a, b := turned[k], turned[(k+1)%t.n]
		x := max(0, math.Abs(a.X)-small)
		y := max(0, math.Abs(a.Y)-long)
		least = min(least, math.Hypot(x, y))
		for _, c := range corners {
			least = min(least, toSegment(c, a, b))
		}
	}
	return least
}

// lengthwise is the extent along a direction of the part of the shadow within m beside the axis; false where that lies
// behind it.
func (s *shadow) lengthwise(cos, sin, m float64) (from, to float64, ok bool) {
	var turned [5]r2.Point
	left, right, ahead := true, true, false
	for k := range s.n {
		c := s.corner[k]
		p := r2.Point{X: float64(c.X*cos) + float64(c.Y*sin), Y: float64(c.Y*cos) - float64(c.X*sin)}
		turned[k] = p
		left, right, ahead = left && p.Y > m, right && p.Y < -m, ahead || p.X >= 0
	}
	if left || right || !ahead {
		return 0, 0, false
	}
	from, to = math.Inf(1), math.Inf(-1)
	for k := range s.n {
		a, b := turned[k], turned[(k+1)%s.n]
		if math.Abs(a.Y) <= m {
			from, to = min(from, a.X), max(to, a.X)
		}
		for _, edge := range [2]float64{m, -m} {
			if (a.Y-edge)*(b.Y-edge) < 0 {
				x := a.X + (b.X-a.X)*(edge-a.Y)/(b.Y-a.Y)
				from, to = min(from, x), max(to, x)
			}
		}
	}
	return from, to, to >= 0
}

// clearOfCorners reports whether one of the shadow's edges has the whole rectangle on its outer side, given
// that neither of the rectangle's own edges parts the two.
func (s *shadow) clearOfCorners(small, long float64) bool {
	for k := range s.n {
		a, b := s.corner[k], s.corner[(k+1)%s.n]
		n := r2.Point{X: b.Y - a.Y, Y: a.X - b.X}
		rect := math.Abs(n.X)*small + math.Abs(n.Y)*long
		least, most := math.Inf(1), math.Inf(-1)
		for m := range s.n {
			d := float64(n.X*s.corner[m].X) + float64(n.Y*s.corner[m].Y)
			least, most = min(least, d), max(most, d)
		}
		if least > rect || most < -rect {
			return true
		}
	}
	return false
}

func toSegment(p, a, b r2.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	l2 := float64(dx*dx) + float64(dy*dy)
	f := 0.0
	if l2 > 0 {
		f = min(1, max(0, (float64((p.X-a.X)*dx)+float64((p.Y-a.Y)*dy))/l2))
	}
	return math.Hypot(p.X-a.X-float64(f*dx), p.Y-a.Y-float64(f*dy))
}
