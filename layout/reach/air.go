package reach

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
)

// touch is the air of a touching gun.
const touch = -1.0

// swing is arms and back of a gun turned round a weld.
type swing struct {
	bars
	fan   *axial.Fan
	limit float64       // mm of air that counts
	air   []float64     // at each angle; touch where they touch
	panel []int32       // touched at each angle, -1 for none
	free  int           // angles that do not touch so far
	met   []axial.Place // what is touched at each angle, if that is asked for
	only  int           // the one angle looked at; -1: all
}

// armAir is the air that arms and back have at each angle, up to enough, and for each angle that touches the first of the
// panels touched. Of the panels only the parts are looked at that could still take air away at some angle: first what is
// touched, which rules out most angles, then what is near at the others.
//
// Met, if given, is what welds before touched at each angle. It is looked at first and brought up to date. The air does not
// depend on it, but of several panels any may then be the one said to be touched; without, it is the first.
//
// Most, if given, is the air that counts at each angle in place of enough; where it is none, nothing is looked at.
func armAir(v *axial.View, b bars, f *axial.Fan, enough float64, most []float64, met []axial.Place) (air []float64, panel []int32) {
	n := len(f.Cos)
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
	before := v.Again(met)
	for i := range before {
		g.visit(&before[i])
	}
	g.limit = 0
	v.Walk(g.enter, g.visit)
	if g.limit = slices.Max(g.air); g.limit > 0 {
		v.Walk(g.enter, g.visit)
	}
	return g.air, g.panel
}

// armAirAt is armAir at one angle, in the memory of the swing before.
func armAirAt(g *swing, v *axial.View, b bars, f *axial.Fan, k int, most float64, met []axial.Place) float64 {
	if most <= 0 {
		return touch
	}
	g.bars, g.fan, g.limit, g.met, g.free, g.only = b, f, most, met, 1, k
	if len(g.air) != len(f.Cos) {
		g.air, g.panel = make([]float64, len(f.Cos)), make([]int32, len(f.Cos))
	}
	g.air[k] = most
	before := v.Again(met[k : k+1])
	for i := range before {
		g.visit(&before[i])
	}
	v.WalkFromNear(g.enter, g.visit)
	return g.air[k]
}

// span is the range of the angles looked at, at which a circle comes within m of a ray from the axis, and maybe others.
func (g *swing) span(c *axial.Circle, m float64) (first, last int) {
	if g.only >= 0 {
		return g.only, g.only
	}
	return g.fan.Span(c, m)
}

// enter reports whether a block could take away air at an angle.
func (g *swing) enter(b *axial.Block, grow float64) bool {
	if g.free == 0 {
		return false
	}
	m := g.radius + grow
	outward := max(0, b.In-g.depth)
	up := max(outward, b.Low-g.high, g.high-b.High)
	down := max(outward, b.Low+g.high, -g.high-b.High)
	back := max(outward, g.depth-b.Out, b.Low-g.high, -g.high-b.High)
	least := max(0, min(up, down, back)-m) // and so above the air where the gun touches
	if least > g.limit {
		return false
	}
	first, last := g.span(&b.Circle, m+g.limit)
	for k := first; k <= last; k++ {
		i := g.fan.At(k)
		if air := min(g.air[i], g.limit); air >= least && g.beside(i, b.MX, b.MY, b.Size, b.In) <= m+air {
			return true
		}
	}
	return false
}

// beside is a bound of the distance, seen along the axis at an angle, of arms and back from all that is within size of a
// place, and no nearer to the axis than in.
func (g *swing) beside(i int, x, y, size, in float64) float64 {
	ahead, aside := g.fan.Seen(i, x, y)
	if ahead < -size {
		return in
	}
	return aside - size
}

// visit takes the air away that a facet takes.
func (g *swing) visit(t *axial.Facet) {
	m := g.radius + t.Grow
	w := m + g.limit
	if t.High < -g.high-w || t.Low > g.high+w || t.In > g.depth+w {
		return
	}
	behind := -1.0 // the distance wherever the throat points away: that from the arms' ends
	first, last := g.span(&t.Circle, w)
	for k := first; k <= last; k++ {
		i := g.fan.At(k)
		air := min(g.air[i], g.limit)
		if air < 0 || g.beside(i, t.MX, t.MY, t.Size, t.In) > m+air {
			continue
		}
		cos, sin := g.fan.Cos[i], g.fan.Sin[i]
		d := behind
		switch {
		case float64(t.MX*cos)+float64(t.MY*sin) >= -t.Size:
			d = g.fromFacet(t, cos, sin, m, m+air)
		case behind < 0:
			up, down := r3.Vector{Z: g.high}, r3.Vector{Z: -g.high}
			behind = min(t.FromSegment(up, up, m, w), t.FromSegment(down, down, m, w))
			d = behind
		}
		if d -= m; d <= 0 {
			g.air[i], g.panel[i] = touch, t.Panel
			g.free--
		} else if d < g.air[i] {
			g.air[i] = d
		} else {
			continue
		}
		if g.met != nil {
			g.met[i] = t.Place
		}
	}
}

// fromFacet is the distance of a facet from the middles of arms and back at an angle. Anything beyond the limit may be said
// as infinity, anything up to stop as that.
func (b bars) fromFacet(t *axial.Facet, cos, sin, stop, limit float64) float64 {
	turned := func(v r3.Vector) r3.Vector { // so that the throat points along x
		return r3.Vector{X: float64(v.X*cos) + float64(v.Y*sin), Y: float64(v.Y*cos) - float64(v.X*sin), Z: v.Z}
	}
	f := axial.Facet{A: turned(t.A), B: turned(t.B), C: turned(t.C)}
	if min(f.A.Y, f.B.Y, f.C.Y) > limit || max(f.A.Y, f.B.Y, f.C.Y) < -limit {
		return math.Inf(1)
	}
	d := math.Inf(1)
	if t.High >= b.high-limit {
		d = f.FromSegment(r3.Vector{Z: b.high}, r3.Vector{X: b.depth, Z: b.high}, stop, limit)
	}
	if t.Low <= limit-b.high && d > stop {
		d = min(d, f.FromSegment(r3.Vector{Z: -b.high}, r3.Vector{X: b.depth, Z: -b.high}, stop, limit))
	}
	if max(f.A.X, f.B.X, f.C.X) >= b.depth-limit && d > stop {
		d = min(d, f.FromSegment(r3.Vector{X: b.depth, Z: -b.high}, r3.Vector{X: b.depth, Z: b.high}, stop, limit))
	}
	return d
}

// side is one of the two electrodes with the metal beside its sections.
type side struct {
	sections []section
	air      []float64        // of each round section
	panel    []int32          // touched by it, -1 for none
	shadows  [][]axial.Shadow // beside each rectangular one
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
	counts    float64 // mm of air up to which it decides about any tool, see girths.weigh
}

func girthOf(c section, surface, enough float64, below bool) girth {
	return girth{roundPart{c.from, c.to, c.radius, below}, roundAir{enough, -1}, surface + c.from, surface + c.to, enough}
}

// girths are the round sections of tools' electrodes, each once, and of each tool which ones it has.
type girths struct {
	all   []girth
	tools [][]int
}

// add adds a tool's electrodes over a weld and under it.
func (s *girths) add(upper, lower []section, above, below, enough float64) {
	var own []int
	for _, e := range [2]struct {
		sections []section
		surface  float64
		below    bool
	}{{upper, above, false}, {lower, below, true}} {
		for _, c := range e.sections {
			if !c.round() || c.to <= c.from {
				continue
			}
			g := girthOf(c, e.surface, enough, e.below)
			k := slices.IndexFunc(s.all, func(o girth) bool { return o.roundPart == g.roundPart })
			if k < 0 {
				k, s.all = len(s.all), append(s.all, g)
			}
			own = append(own, k)
		}
	}
	s.tools = append(s.tools, own)
}

// weigh says up to where the air of each section counts. A tool has no more than its closest section, so the others matter only where
// they have less than that; but whatever touches counts.
func (s *girths) weigh() {
	for i := range s.all {
		s.all[i].counts = 0
	}
	for _, own := range s.tools {
		least := math.Inf(1)
		for _, k := range own {
			least = min(least, s.all[k].air)
		}
		for _, k := range own {
			s.all[k].counts = max(s.all[k].counts, least)
		}
	}
}

// matters reports whether something so far from the axis may take air away that counts.
func (g *girth) matters(from, grow float64) bool {
	return g.air > 0 && from-g.radius-grow <= min(g.air, g.counts)
}

// visit takes the air away that a facet takes, and reports whether that was any.
func (g *girth) visit(t *axial.Facet) bool {
	if g.air <= 0 || t.In-g.radius-t.Grow >= g.air {
		return false
	}
	sh, ok := axial.ShadowOf(t, g.low, g.high, g.below)
	if !ok {
		return false
	}
	d := sh.FromAxis() - g.radius - t.Grow
	if d >= g.air {
		return false
	}
	if g.air = d; d <= 0 {
		g.air, g.panel = touch, t.Panel
	}
	return true
}

// measure finds the air of all sections as far as it counts. What lies between two heights is no metal beside them. Of several panels
// touched the first is named.
func (s *girths) measure(v *axial.View, from, to float64) {
	v.WalkFromNear(func(b *axial.Block, grow float64) bool {
		if b.Low >= from && b.High <= to {
			return false
		}
		for i := range s.all {
			g := &s.all[i]
			if !g.matters(b.In, grow) {
				continue
			}
			low, high := b.Low, b.High
			if g.below {
				low, high = -b.High, -b.Low
			}
			if low <= g.high && high >= g.low {
				return true
			}
		}
		return false
	}, func(t *axial.Facet) {
		if t.Low >= from && t.High <= to {
			return
		}
		in, less := -1.0, false // in is of the whole facet: what is between a section's heights is no nearer
		for i := range s.all {
			g := &s.all[i]
			if !g.matters(t.In, t.Grow) || !t.Between(g.low, g.high, g.below) {
				continue
			}
			if in < 0 {
				in = t.FromAxis() - axial.Rounding
			}
			if g.matters(in, t.Grow) && g.visit(t) {
				less = true
			}
		}
		if less {
			s.weigh()
		}
	})
}

// sideOf measures an electrode that starts at surface above the weld, or below it, against facets. Round is what was found
// for round sections at this weld before.
func sideOf(sections []section, facets []axial.Facet, surface, enough float64, below bool, round map[roundPart]roundAir) side {
	n := len(sections)
	s := side{sections: sections, air: make([]float64, n), panel: make([]int32, n), shadows: make([][]axial.Shadow, n)}
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
			if t.In > c.outer()+t.Grow+enough || !t.Between(surface+c.from, surface+c.to, below) {
				continue
			}
			if sh, ok := axial.ShadowOf(t, surface+c.from, surface+c.to, below); ok {
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
			d := sh.FromRectangle(c.small, c.long, cos, sin) - sh.Grow
			if d <= 0 {
				return touch, sh.Panel
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
func tipAir(sides [2]side, f *axial.Fan, enough float64) (air []float64, panel []int32) {
	n := len(f.Cos)
	air, panel = make([]float64, n), make([]int32, n)
	turns := sides[0].turns() || sides[1].turns()
	for k := range n {
		switch {
		case k > 0 && !turns:
			air[k], panel[k] = air[0], panel[0]
			continue
		case n%2 == 0 && k >= n/2: // a rectangle looks the same half a turn on
			air[k], panel[k] = air[k-n/2], panel[k-n/2]
			continue
		}
		air[k], panel[k] = sides[0].at(f.Cos[k], f.Sin[k], enough)
		if a, p := sides[1].at(f.Cos[k], f.Sin[k], enough); a < air[k] {
			air[k], panel[k] = a, p
		}
	}
	return air, panel
}
