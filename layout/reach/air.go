package reach

import (
	"math"
	"slices"

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
	only  int       // the one angle looked at; -1: all
}

// armAir is the air that arms and back have at each angle, up to enough, and for each angle that touches the first of the
// panels touched. Of the panels only the parts are looked at that could still take air away at some angle: first what is
// touched, which rules out most angles, then what is near at the others.
//
// Met, if given, is what welds before touched at each angle. It is looked at first and brought up to date. The air does not
// depend on it, but of several panels any may then be the one said to be touched; without, it is the first.
//
// Most, if given, is the air that counts at each angle in place of enough; where it is none, nothing is looked at.
func armAir(v *turned, b bars, f *fan, enough float64, most []float64, met []place) (air []float64, panel []int32) {
	n := len(f.cos)
	g := swing{bars: b, fan: f, only: -1, air: make([]float64, n), panel: make([]int32, n), met: met}
	for k := range g.air {
		g.air[k], g.panel[k] = enough, -1
		if most != nil {
			g.air[k] = most[k]
		}
		if g.air[k] > 0 {
			g.free++
		} else {
			g.air[k] = touch
		}
	}
	g.limit = max(0, slices.Max(g.air))
	before := v.again(met)
	for i := range before {
		g.visit(&before[i])
	}
	g.limit = 0
	v.walk(g.enter, g.visit)
	if g.limit = slices.Max(g.air); g.limit > 0 {
		v.walk(g.enter, g.visit)
	}
	return g.air, g.panel
}

// armAirAt is armAir at one angle.
func armAirAt(v *turned, b bars, f *fan, k int, most float64, met []place) float64 {
	if most <= 0 {
		return touch
	}
	g := &v.swing
	g.bars, g.fan, g.limit, g.met, g.free, g.only = b, f, most, met, 1, k
	if len(g.air) != len(f.cos) {
		g.air, g.panel = make([]float64, len(f.cos)), make([]int32, len(f.cos))
	}
	g.air[k] = most
	before := v.again(met[k : k+1])
	for i := range before {
		g.visit(&before[i])
	}
	v.walkFromNear(g.enter, g.visit)
	return g.air[k]
}

// span is the range of the angles looked at, at which a circle comes within m of a ray from the axis, and maybe others.
func (g *swing) span(c *circle, m float64) (first, last int) {
	if g.only >= 0 {
		return g.only, g.only
	}
	return g.fan.span(c, m)
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
	first, last := g.span(&b.circle, m+g.limit)
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
	first, last := g.span(&t.circle, w)
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

// girth is a round section of an electrode, with the air that it has.
type girth struct {
	roundPart
	roundAir
	low, high float64 // heights over the weld, downwards for the electrode below
}

func girthOf(c section, surface, enough float64, below bool) girth {
	return girth{roundPart{c.from, c.to, c.radius, below}, roundAir{enough, -1}, surface + c.from, surface + c.to}
}

// girthsOf appends an electrode's round sections that are not among those in out.
func girthsOf(sections []section, surface, enough float64, below bool, out []girth) []girth {
	for _, c := range sections {
		g := girthOf(c, surface, enough, below)
		if c.round() && c.to > c.from && !slices.ContainsFunc(out, func(o girth) bool { return o.roundPart == g.roundPart }) {
			out = append(out, g)
		}
	}
	return out
}

// visit takes the air away that a facet takes.
func (g *girth) visit(t *facet) {
	if g.air <= 0 || t.in-g.radius-t.grow >= g.air {
		return
	}
	sh, ok := shadowOf(t, g.low, g.high, g.below)
	if !ok {
		return
	}
	d := sh.fromAxis() - g.radius - t.grow
	if d <= 0 {
		g.air, g.panel = touch, t.panel
		return
	}
	g.air = min(g.air, d)
}

// beside finds the air of all girths. What lies between two heights is no metal beside them. Of several panels touched the
// first is named.
func beside(v *turned, girths []girth, from, to float64) {
	v.walkFromNear(func(b *block, grow float64) bool {
		if b.low >= from && b.high <= to {
			return false
		}
		for i := range girths {
			g := &girths[i]
			if b.in-g.radius-grow >= g.air {
				continue
			}
			low, high := b.low, b.high
			if g.below {
				low, high = -b.high, -b.low
			}
			if low <= g.high && high >= g.low {
				return true
			}
		}
		return false
	}, func(t *facet) {
		if t.low >= from && t.high <= to {
			return
		}
		in := -1.0 // of the whole facet: what is between a section's heights is no nearer
		for i := range girths {
			g := &girths[i]
			if t.in-g.radius-t.grow >= g.air || !t.between(g.low, g.high, g.below) {
				continue
			}
			if in < 0 {
				in = t.fromAxis()
			}
			if in-rounding-g.radius-t.grow < g.air {
				g.visit(t)
			}
		}
	})
}

// sideOf measures an electrode that starts at surface above the weld, or below it, against facets. Round is what was found
// for round sections at this weld before.
func sideOf(sections []section, facets []facet, surface, enough float64, below bool, round map[roundPart]roundAir) side {
	n := len(sections)
	s := side{sections: sections, air: make([]float64, n), panel: make([]int32, n), shadows: make([][]shadow, n)}
	for k, c := range sections {
		s.air[k], s.panel[k] = enough, -1
		if c.to <= c.from {
			continue
		}
		if c.round() {
			g := girthOf(c, surface, enough, below)
			found, ok := round[g.roundPart]
			if !ok {
				for i := range facets {
					g.visit(&facets[i])
				}
				found = g.roundAir
			}
			s.air[k], s.panel[k] = found.air, found.panel
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
