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

	perRadian float64 // angles
}

func newFan(n int) *fan {
	f := &fan{step: 2 * math.Pi / float64(n), perRadian: float64(n) / (2 * math.Pi)}
	for k := range n {
		sin, cos := math.Sincos(float64(k) * f.step)
		f.cos, f.sin = append(f.cos, cos), append(f.sin, sin)
	}
	return f
}

func (f *fan) degrees(k int) float64 { return 360 * float64(k) / float64(len(f.cos)) }

// swing is arms and back of a gun turned round a weld.
type swing struct {
	bars
	fan   *fan
	limit float64   // mm of air that counts
	air   []float64 // at each angle; touch where they touch
	panel []int32   // touched at each angle, -1 for none
	free  int       // angles that do not touch so far
	met   []place   // what is touched at each angle, if that is asked for
}

// armAir is the air that arms and back have at each angle, up to enough, and for each angle that touches the first of the
// panels touched. Of the panels only the parts are looked at that could still take air away at some angle: first what is
// touched, which rules out most angles, then what is near at the others.
//
// Met, if given, is what welds before touched at each angle. It is looked at first and brought up to date. The air does not
// depend on it, but of several panels any may then be the one said to be touched; without, it is the first.
func armAir(v *turned, b bars, f *fan, enough float64, met []place) (air []float64, panel []int32) {
	n := len(f.cos)
	g := swing{bars: b, fan: f, limit: enough, air: make([]float64, n), panel: make([]int32, n), free: n, met: met}
	for k := range g.air {
		g.air[k], g.panel[k] = enough, -1
	}
	before := v.again(met)
	for i := range before {
		g.visit(&before[i])
	}
	g.limit = 0
	v.walk(g.enter, g.visit)
	g.limit = enough
	v.walk(g.enter, g.visit)
	return g.air, g.panel
}

// enter reports whether a block could take away air at an angle.
func (g *swing) enter(b *block, grow float64) bool {
	if g.free == 0 {
		return false
	}
	m := g.radius + grow
	outward := max(0, b.in-g.depth)
	up := max(outward, b.low-g.high, g.high-b.high)
	down := max(outward, b.low+g.high, -g.high-b.high)
	back := max(outward, g.depth-b.out, b.low-g.high, -g.high-b.high)
	least := max(0, min(up, down, back)-m) // and so above the air where the gun touches
	if least > g.limit {
		return false
	}
	first, last := g.fan.span(&b.circle, m+g.limit)
	for k := first; k <= last; k++ {
		i := g.fan.at(k)
		if air := min(g.air[i], g.limit); air >= least && g.beside(i, b.mx, b.my, b.size, b.in) <= m+air {
			return true
		}
	}
	return false
}

// beside is a bound of the distance, seen along the axis at an angle, of arms and back from all that is within size of a
// place, and no nearer to the axis than in.
func (g *swing) beside(i int, x, y, size, in float64) float64 {
	ahead, aside := g.fan.seen(i, x, y)
	if ahead < -size {
		return in
	}
	return aside - size
}

// visit takes the air away that a facet takes.
func (g *swing) visit(t *facet) {
	m := g.radius + t.grow
	w := m + g.limit
	if t.high < -g.high-w || t.low > g.high+w || t.in > g.depth+w {
		return
	}
	behind := -1.0 // the distance wherever the throat points away: that from the arms' ends
	first, last := g.fan.span(&t.circle, w)
	for k := first; k <= last; k++ {
		i := g.fan.at(k)
		air := min(g.air[i], g.limit)
		if air < 0 || g.beside(i, t.mx, t.my, t.size, t.in) > m+air {
			continue
		}
		cos, sin := g.fan.cos[i], g.fan.sin[i]
		d := behind
		switch {
		case float64(t.mx*cos)+float64(t.my*sin) >= -t.size:
			d = t.fromBars(g.bars, cos, sin, m, m+air)
		case behind < 0:
			up, down := r3.Vector{Z: g.high}, r3.Vector{Z: -g.high}
			behind = min(t.fromSegment(up, up, m, w), t.fromSegment(down, down, m, w))
			d = behind
		}
		if d -= m; d <= 0 {
			g.air[i], g.panel[i] = touch, t.panel
			g.free--
		} else if d < g.air[i] {
			g.air[i] = d
		} else {
			continue
		}
		if g.met != nil {
			g.met[i] = t.place
		}
	}
}

// fromBars is the distance of a facet from the middles of arms and back at an angle. Anything beyond the limit may be said
// as infinity, anything up to stop as that.
func (t *facet) fromBars(b bars, cos, sin, stop, limit float64) float64 {
	turned := func(v r3.Vector) r3.Vector { // so that the throat points along x
		return r3.Vector{X: float64(v.X*cos) + float64(v.Y*sin), Y: float64(v.Y*cos) - float64(v.X*sin), Z: v.Z}
	}
	f := facet{a: turned(t.a), b: turned(t.b), c: turned(t.c)}
	if min(f.a.Y, f.b.Y, f.c.Y) > limit || max(f.a.Y, f.b.Y, f.c.Y) < -limit {
		return math.Inf(1)
	}
	d := math.Inf(1)
	if t.high >= b.high-limit {
		d = f.fromSegment(r3.Vector{Z: b.high}, r3.Vector{X: b.depth, Z: b.high}, stop, limit)
	}
	if t.low <= limit-b.high && d > stop {
		d = min(d, f.fromSegment(r3.Vector{Z: -b.high}, r3.Vector{X: b.depth, Z: -b.high}, stop, limit))
	}
	if max(f.a.X, f.b.X, f.c.X) >= b.depth-limit && d > stop {
		d = min(d, f.fromSegment(r3.Vector{X: b.depth, Z: -b.high}, r3.Vector{X: b.depth, Z: b.high}, stop, limit))
	}
	return d
}

// side is one of the two electrodes with the metal beside its sections.
type side struct {
	sections []section
	air      []float64  // of each round section
	panel    []int32    // touched by it, -1 for none
	shadows  [][]shadow // beside each rectangular one
}

// roundPart is a round section of an electrode above or below a weld, and roundAir what was found for it. Most tools at hand
// share theirs.
type roundPart struct {
	from, to, radius float64
	below            bool
}

type roundAir struct {
	air   float64
	panel int32
}

// sideOf measures an electrode that starts at surface above the weld, or below it, against facets. Round, if given, is what
// was found at this weld before, and is added to.
func sideOf(sections []section, facets []facet, surface, enough float64, below bool, round map[roundPart]roundAir) side {
	n := len(sections)
	s := side{sections: sections, air: make([]float64, n), panel: make([]int32, n), shadows: make([][]shadow, n)}
	for k, c := range sections {
		s.air[k], s.panel[k] = enough, -1
		if c.to <= c.from {
			continue
		}
		if c.round() {
			key := roundPart{c.from, c.to, c.radius, below}
			if found, ok := round[key]; ok {
				s.air[k], s.panel[k] = found.air, found.panel
				continue
			}
			s.measure(k, facets, surface, below)
			if round != nil {
				round[key] = roundAir{s.air[k], s.panel[k]}
			}
			continue
		}
		for i := range facets {
			t := &facets[i]
			if t.in > c.outer()+t.grow+enough || !t.between(surface+c.from, surface+c.to, below) {
				continue
			}
			if sh, ok := shadowOf(t, surface+c.from, surface+c.to, below); ok {
				s.shadows[k] = append(s.shadows[k], sh)
			}
		}
	}
	return s
}

// measure finds the air of a round section.
func (s *side) measure(k int, facets []facet, surface float64, below bool) {
	c := s.sections[k]
	low, high := surface+c.from, surface+c.to
	for i := range facets {
		t := &facets[i]
		if t.in-c.radius-t.grow >= s.air[k] || !t.between(low, high, below) {
			continue
		}
		sh, ok := shadowOf(t, low, high, below)
		if !ok {
			continue
		}
		d := sh.fromAxis() - c.radius - t.grow
		if d <= 0 {
			s.air[k], s.panel[k] = touch, t.panel
			return
		}
		s.air[k] = min(s.air[k], d)
	}
}

// at is the air of the electrode at the direction, up to enough, and the panel that it touches.
func (s side) at(cos, sin, enough float64) (air float64, panel int32) {
	air = enough
	for k, c := range s.sections {
		if c.round() {
			if s.air[k] <= 0 {
				return touch, s.panel[k]
			}
			air = min(air, s.air[k])
			continue
		}
		for i := range s.shadows[k] {
			sh := &s.shadows[k][i]
			d := sh.fromRectangle(c.small, c.long, cos, sin) - sh.grow
			if d <= 0 {
				return touch, sh.panel
			}
			air = min(air, d)
		}
	}
	return air, -1
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
		air[k], panel[k] = sides[0].at(f.cos[k], f.sin[k], enough)
		if a, p := sides[1].at(f.cos[k], f.sin[k], enough); a < air[k] {
			air[k], panel[k] = a, p
		}
	}
	return air, panel
}
