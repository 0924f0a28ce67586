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

func newFan(n int) fan {
	f := fan{step: 2 * math.Pi / float64(n)}
	for k := range n {
		sin, cos := math.Sincos(float64(k) * f.step)
		f.cos, f.sin = append(f.cos, cos), append(f.sin, sin)
	}
	return f
}

func (f fan) degrees(k int) float64 { return 360 * float64(k) / float64(len(f.cos)) }

// around calls visit for every angle within half of the middle, both in radians.
func (f fan) around(middle, half float64, visit func(k int)) {
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

// armAir is the air that arms and back have at each angle, up to enough, and for each angle that touches the
// panel met first. Only facets near the path that a bar can sweep are looked at, and each only at the angles
// at which a bar can come near it.
func armAir(b bars, f fan, facets []facet, enough float64) (air []float64, panel []int32) {
	n := len(f.cos)
	air, panel = make([]float64, n), make([]int32, n)
	for k := range air {
		air[k], panel[k] = enough, -1
	}
	for i := range facets {
		t := &facets[i]
		m := b.radius + t.grow + enough
		up := t.high >= b.high-m && t.low <= b.high+m
		down := t.high >= -b.high-m && t.low <= -b.high+m
		back := t.high >= -b.high-m && t.low <= b.high+m && t.out >= b.depth-m && t.in <= b.depth+m
		if !up && !down && !back || t.in > b.depth+m {
			continue
		}
		middle, half := t.angles(m)
		f.around(middle, half, func(k int) {
			if air[k] < 0 {
				return
			}
			d := t.fromBars(b, f.cos[k], f.sin[k], up, down, back, m) - b.radius - t.grow
			if d < air[k] {
				air[k] = d
			}
			if d <= 0 {
				air[k], panel[k] = touch, t.panel
			}
		})
	}
	return air, panel
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
		d = math.Min(d, t.fromSegment(r3.Vector{Z: -b.high}, bottom, limit))
	}
	if back {
		d = math.Min(d, t.fromSegment(bottom, top, limit))
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
		low, high = math.Min(low, d), math.Max(high, d)
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
			air = math.Min(air, d)
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
func tipAir(sides [2]side, f fan, enough float64) (air []float64, panel []int32) {
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
