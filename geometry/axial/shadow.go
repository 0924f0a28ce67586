package axial

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Shadow is the part of a facet between two heights, looked at along the axis: a convex polygon of up to
// five corners. An upright section between the same heights is as far from that part as the section's
// outline is from the shadow: exactly, since the section spans all of the heights.
type Shadow struct {
	corner [5]r2.Point
	n      int
	Panel  int32
	Grow   float64
	Top    float64 // greatest height of the part

	MX, MY, Size float64 // the facet's middle, and the greatest distance of its points from there
}

// ShadowOf cuts a facet to the heights from low to high; mirrored turns the frame over, for what is below.
func ShadowOf(t *Facet, low, high float64, mirrored bool) (Shadow, bool) {
	if !t.Between(low, high, mirrored) {
		return Shadow{}, false
	}
	if !mirrored && t.Low >= low && t.High <= high { // nothing is cut off
		return Shadow{corner: [5]r2.Point{{X: t.A.X, Y: t.A.Y}, {X: t.B.X, Y: t.B.Y}, {X: t.C.X, Y: t.C.Y}}, n: 3, Panel: t.Panel,
			Grow: t.Grow, Top: max(t.A.Z, t.B.Z, t.C.Z), MX: t.MX, MY: t.MY, Size: t.Size}, true
	}
	sign := 1.0
	if mirrored {
		sign = -1
	}
	tri := [3]r3.Vector{t.A, t.B, t.C}
	var in, out [5]r3.Vector
	n := 0
	for _, v := range tri {
		v.Z *= sign
		in[n] = v
		n++
	}
	n = cut(in[:n], out[:], low, 1)
	if n == 0 {
		return Shadow{}, false
	}
	n = cut(out[:n], in[:], high, -1)
	if n == 0 {
		return Shadow{}, false
	}
	s := Shadow{n: n, Panel: t.Panel, Grow: t.Grow, Top: math.Inf(-1), MX: t.MX, MY: t.MY, Size: t.Size}
	for k := range n {
		s.corner[k] = r2.Point{X: in[k].X, Y: in[k].Y}
		s.Top = max(s.Top, in[k].Z)
	}
	return s, true
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

// FromAxis is the distance of the shadow from the axis, zero when the axis passes through it.
func (s *Shadow) FromAxis() float64 {
	if s.holds(r2.Point{}) {
		return 0
	}
	least := math.Inf(1)
	for k := range s.n {
		least = min(least, toSegment(r2.Point{}, s.corner[k], s.corner[(k+1)%s.n]))
	}
	return least
}

// holds reports whether a point is within the shadow; the corners go round either way.
func (s *Shadow) holds(p r2.Point) bool {
	left, right := false, false
	for k := range s.n {
		a, b := s.corner[k], s.corner[(k+1)%s.n]
		side := float64((b.X-a.X)*(p.Y-a.Y)) - float64((b.Y-a.Y)*(p.X-a.X))
		left, right = left || side > 0, right || side < 0
	}
	return !(left && right) && (left || right)
}

// FromRectangle is the distance of the shadow from the rectangle about the axis whose small half size points
// along the direction (cos, sin).
func (s *Shadow) FromRectangle(small, long, cos, sin float64) float64 {
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
	t := Shadow{corner: turned, n: s.n}
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

// Lengthwise is the extent along a direction of the part of the shadow within m beside the axis; false where that lies
// behind it.
func (s *Shadow) Lengthwise(cos, sin, m float64) (from, to float64, ok bool) {
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
func (s *Shadow) clearOfCorners(small, long float64) bool {
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

// Along is the distance at which a ray from the axis meets the shadow, up to most; infinity where it does not.
func (s *Shadow) Along(cos, sin, most float64) float64 {
	if s.holds(r2.Point{}) {
		return 0
	}
	least := math.Inf(1)
	for k := range s.n {
		a, b := s.corner[k], s.corner[(k+1)%s.n]
		da, db := float64(a.Y*cos)-float64(a.X*sin), float64(b.Y*cos)-float64(b.X*sin)
		if da*db > 0 || da == db {
			continue
		}
		f := da / (da - db)
		x, y := a.X+f*(b.X-a.X), a.Y+f*(b.Y-a.Y)
		if d := float64(x*cos) + float64(y*sin); d >= 0 && d <= most {
			least = min(least, d)
		}
	}
	return least
}
