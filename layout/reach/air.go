package reach

import (
	"math"

	"github.com/golang/geo/r3"
)

// touch is the air of a touching gun.
const touch = -1.0

// fan is the angles looked at, with their directions.
type fan struct {
	cos, sin []float64
	step     float64 // radians
}

func newFan(n int) *fan {
	f := &fan{step: 2 * math.Pi / float64(n)}
	for k := range n {
		sin, cos := math.Sincos(float64(k) * f.step)
		f.cos, f.sin = append(f.cos, cos), append(f.sin, sin)
	}
	return f
}

func (f *fan) degrees(k int) float64 { return 360 * float64(k) / float64(len(f.cos)) }

// around calls visit for every angle within half of the middle, both in radians.
func (f *fan) around(middle, half float64, visit func(k int)) {
	n := len(f.cos)
	if half >= math.Pi-f.step {
		for k := range n {
			visit(k)
		}
		return
	}
	first := int(math.Ceil((middle - half) / f.step))
	last := int(math.Floor((middle + half) / f.step))
	for k := first; k <= last; k++ {
		visit(((k % n) + n) % n)
	}
}

// swing is arms and back of a gun turned round a weld.
type swing struct {
	bars
	fan    *fan
	enough float64
	air    []float64 // at each angle, up to enough; touch where they touch
	panel  []int32   // touched at each angle, -1 for none
	free   int       // angles that do not touch so far
}

// armAir is the air that arms and back have at each angle, up to enough, and for each angle that touches the first of the
// panels touched. Of the panels only the parts are looked at that could still take air away at some angle.
func armAir(s *Scene, fr frame, absent []int, b bars, f *fan, enough float64) (air []float64, panel []int32) {
	n := len(f.cos)
	g := swing{bars: b, fan: f, enough: enough, air: make([]float64, n), panel: make([]int32, n), free: n}
	for k := range g.air {
		g.air[k], g.panel[k] = enough, -1
	}
	s.walk(fr, absent, g.enter, g.visit)
	return g.air, g.panel
}

// enter reports whether a block could take away air at an angle.
func (g *swing) enter(b *block, grow float64) bool {
	if g.free == 0 {
		return false
	}
	outward := max(0, b.in-g.depth)
	up := max(outward, max(b.low-g.high, g.high-b.high))
	down := max(outward, max(b.low+g.high, -g.high-b.high))
	back := max(max(outward, g.depth-b.out), max(b.low-g.high, -g.high-b.high))
	least := min(up, min(down, back)) - g.radius - grow
	if least >= g.enough {
		return false
	}
	first, last := g.fan.span(b.mx, b.my, b.middle, b.size+g.radius+grow+g.enough)
	for k := first; k <= last; k++ {
		if air := g.air[g.fan.at(k)]; air > 0 && air > least {
			return true
		}
	}
	return false
}

// visit takes the air away that a facet takes.
func (g *swing) visit(t *facet) {
	m := g.radius + t.grow + g.enough
	up := t.high >= g.high-m && t.low <= g.high+m
	down := t.high >= -g.high-m && t.low <= -g.high+m
	back := t.high >= -g.high-m && t.low <= g.high+m && t.out >= g.depth-m && t.in <= g.depth+m
	if !up && !down && !back || t.in > g.depth+m {
		return
	}
	middle, half := t.angles(m)
	g.fan.around(middle, half, func(k int) {
		if g.air[k] < 0 {
			return
		}
		d := t.fromBars(g.bars, g.fan.cos[k], g.fan.sin[k], up, down, back, g.air[k]+g.radius+t.grow) - g.radius - t.grow
		if d < g.air[k] {
			g.air[k] = d
		}
		if d <= 0 {
			g.air[k], g.panel[k] = touch, t.panel
			g.free--
		}
	})
}

// fromBars is the distance of a facet from the middles of the bars that can come near it.
func (t *facet) fromBars(b bars, cos, sin float64, up, down, back bool, limit float64) float64 {
	top := r3.Vector{X: b.depth * cos, Y: b.depth * sin, Z: b.high}
	bottom := r3.Vector{X: top.X, Y: top.Y, Z: -b.high}
	d := math.Inf(1)
	if up {
		d = t.fromSegment(r3.Vector{Z: b.high}, top, limit)
	}
	if down {
		d = min(d, t.fromSegment(r3.Vector{Z: -b.high}, bottom, limit))
	}
	if back {
		d = min(d, t.fromSegment(bottom, top, limit))
	}
	return d
}

// angles is the range of angles, middle and half of it, at which a ray from the axis passes the facet within
// m, seen along the axis.
func (t *facet) angles(m float64) (middle, half float64) {
	s := shadow{n: 3}
	s.corner[0].X, s.corner[0].Y = t.a.X, t.a.Y
	s.corner[1].X, s.corner[1].Y = t.b.X, t.b.Y
	s.corner[2].X, s.corner[2].Y = t.c.X, t.c.Y
	near := s.fromAxis()
	if near <= m {
		return 0, math.Pi
	}
	middle = math.Atan2(t.a.Y, t.a.X)
	low, high := 0.0, 0.0
	for _, v := range [2]r3.Vector{t.b, t.c} {
		d := math.Remainder(math.Atan2(v.Y, v.X)-middle, 2*math.Pi)
		low, high = min(low, d), max(high, d)
	}
	return middle + (low+high)/2, (high-low)/2 + math.Asin(m/near) + 1e-9
}

// side is one of the two electrodes: the facets near the axis, cut to its sections.
type side struct {
	sections []section
	shadows  [][]shadow // for each section
}

// sideOf cuts facets to the sections of an electrode that starts at surface above the weld, or below it.
func sideOf(sections []section, facets []facet, surface, enough float64, below bool) side {
	s := side{sections: sections, shadows: make([][]shadow, len(sections))}
	for k, c := range sections {
		if c.to <= c.from {
			continue
		}
		for i := range facets {
			t := &facets[i]
			if t.in > c.outer()+t.grow+enough {
				continue
			}
			if sh, ok := shadowOf(t, surface+c.from, surface+c.to, below); ok {
				s.shadows[k] = append(s.shadows[k], sh)
			}
		}
	}
	return s
}

// air is the air of the electrode at the direction, up to enough, and the panel that it touches.
func (s side) air(cos, sin, enough float64) (air float64, panel int32) {
	air, panel = enough, -1
	for k, c := range s.sections {
		for i := range s.shadows[k] {
			sh := &s.shadows[k][i]
			d := 0.0
			if c.round() {
				d = sh.fromAxis() - c.radius - sh.grow
			} else {
				d = sh.fromRectangle(c.small, c.long, cos, sin) - sh.grow
			}
			if d <= 0 {
				return touch, sh.panel
			}
			air = min(air, d)
		}
	}
	return air, panel
}

// turns reports whether the electrode's air depends on the angle.
func (s side) turns() bool {
	for k, c := range s.sections {
		if !c.round() && len(s.shadows[k]) > 0 {
			return true
		}
	}
	return false
}

// tipAir is the air of both electrodes at each angle, up to enough, and the panel touched.
func tipAir(sides [2]side, f *fan, enough float64) (air []float64, panel []int32) {
	n := len(f.cos)
	air, panel = make([]float64, n), make([]int32, n)
	for k := range n {
		switch {
		case k > 0 && !sides[0].turns() && !sides[1].turns():
			air[k], panel[k] = air[0], panel[0]
			continue
		case n%2 == 0 && k >= n/2: // a rectangle looks the same half a turn on
			air[k], panel[k] = air[k-n/2], panel[k-n/2]
			continue
		}
		air[k], panel[k] = sides[0].air(f.cos[k], f.sin[k], enough)
		if a, p := sides[1].air(f.cos[k], f.sin[k], enough); a < air[k] {
			air[k], panel[k] = a, p
		}
	}
	return air, panel
}
