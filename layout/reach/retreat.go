package reach

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// way is one way to open the gun at the weld: how far each tip comes off the stack, and how far arms and back move
// along the weld's axis for it, since one electrode is fixed to its arm.
type way struct{ above, below, shift float64 }

// waysOff are the ways looked at, in order: either electrode is the fixed one, as the gun is held, and the operator
// shares the opening between the two sides evenly, or a quarter to one and the rest to the other.
func waysOff(stroke float64) []way {
	var out []way
	for _, share := range [3]float64{0.5, 0.25, 0.75} {
		fixed, moving := share*stroke, (1-share)*stroke
		out = append(out, way{above: moving, below: fixed, shift: -fixed}, way{above: fixed, below: moving, shift: fixed})
	}
	return out
}

// shape is what of a tool decides how it comes off: tips with other faces come off alike.
type shape struct {
	bars                      bars
	stroke                    float64
	shank, shankLong, tipLong float64
}

func shapeOf(t Tool) shape {
	return shape{barsOf(t.Gun), t.Gun.Stroke, t.Tip.Shank, t.Tip.ShankLong, t.Tip.Length}
}

// across is half the shank's size across the throat; along it is half the shank.
func (s shape) across() float64 {
	if s.shankLong > 0 {
		return s.shankLong / 2
	}
	return s.shank / 2
}

// known is what was found out about a shape at a weld.
type known struct {
	done, shut []bool
}

// wayOff takes the air from those of the given angles at which the gun cannot be drawn back.
func (s *searcher) wayOff(l *seen, t Tool, air []float64, angles ...int) {
	n := len(air)
	key := shapeOf(t)
	k, ok := l.ways[key]
	if !ok {
		k = known{make([]bool, n), make([]bool, n)}
		l.ways[key] = k
	}
	if l.met == nil {
		l.met = make([]*facet, n)
	}
	d := s.drawing(key, l.above, l.below)
	for _, i := range angles {
		d.ask(i, air[i] > 0 && !k.done[i])
	}
	if d.count > 0 {
		s.metBefore(l, key, angles)
		d.known, d.last = l.met, s.last[key]
		d.run(l.turned)
		for _, i := range angles {
			if t := d.known[i]; t != nil {
				s.met[key][i] = t.place
			}
			if d.asked[i] {
				k.done[i], k.shut[i] = true, d.open[i]
			}
		}
	}
	for _, i := range angles {
		if air[i] > 0 && k.shut[i] {
			air[i] = touch
		}
	}
}

// metBefore puts what the shape met at welds before at the angles at which nothing was met at this one yet.
func (s *searcher) metBefore(l *seen, key shape, angles []int) {
	if s.met[key] == nil {
		s.met[key], s.last[key] = nowhere(len(l.met)), nowhere(len(l.met))
	}
	var last *facet
	for _, i := range angles {
		at := s.met[key][i]
		if l.met[i] != nil || at.panel < 0 || l.roots[at.panel] < 0 {
			continue
		}
		if last == nil || last.place != at {
			t := l.facet(at)
			last = &t
		}
		l.met[i] = last
	}
}

// inTheWay says for each angle at which there is air, but no way off, which panel is met first on the last way: of several
// the first.
func (s *searcher) inTheWay(l *seen, t Tool, air []float64) []int32 {
	d := newDrawing(s.fan, shapeOf(t), l.above, l.below)
	d.afresh = true
	for i, a := range air {
		d.panel[i] = -1
		d.ask(i, a > 0)
	}
	d.run(l.turned)
	return d.panel
}

// drawing is a gun drawn back from a weld, at many angles at once.
type drawing struct {
	shape
	fan          *fan
	above, below float64
	asked        []bool
	count        int
	only         int       // the angle asked for, where it is a single one; else -1
	travel       []float64 // mm at each angle, until nothing is left between the jaws
	most         float64   // the greatest of them
	open         []bool    // asked, and no way tried so far leads off
	met          []int32   // the panel met on the way that is being tried, -1 for none
	free         int       // angles that met none so far
	known        []*facet  // for each angle what was met there last, by whatever tool on whatever way
	last         []place   // for each angle what is left last between the jaws; at first what was at the weld before
	afresh       bool      // so that the first of the panels met on a way is the one that is named: known is not asked
	panel        []int32   // what was met on the last way
	parts        []part    // of the gun on that way
}

func newDrawing(f *fan, s shape, above, below float64) *drawing {
	n := len(f.cos)
	return &drawing{
		shape: s, fan: f, above: above, below: below, only: -1,
		asked: make([]bool, n), travel: make([]float64, n), open: make([]bool, n), met: make([]int32, n), panel: make([]int32, n),
		known: make([]*facet, n), last: nowhere(n),
	}
}

// drawing is one as new, in the memory of the one before, but for what is known beforehand.
func (s *searcher) drawing(of shape, above, below float64) *drawing {
	if s.drawn == nil {
		s.drawn = newDrawing(s.fan, of, above, below)
	}
	d := s.drawn
	d.shape, d.above, d.below, d.count, d.only = of, above, below, 0, -1
	clear(d.asked)
	clear(d.travel)
	clear(d.open)
	return d
}

// span is the range of the angles asked for at which a circle comes within m of a ray from the axis, and maybe others.
func (d *drawing) span(c *circle, m float64) (first, last int) {
	if d.only >= 0 {
		return d.only, d.only
	}
	return d.fan.span(c, m)
}

// ask says whether an angle is looked at.
func (d *drawing) ask(k int, wanted bool) {
	d.asked[k], d.open[k] = wanted, wanted
	if !wanted {
		return
	}
	if d.count++; d.count == 1 {
		d.only = k
	} else {
		d.only = -1
	}
}

// run draws the gun back, opened one way after another, until a way leads off at every angle asked for.
func (d *drawing) run(v *turned) {
	if d.count == 0 {
		return
	}
	d.measure(v)
	for _, w := range waysOff(d.stroke) {
		if d.try(v, w) == 0 {
			return
		}
	}
}

// measure finds how far the gun has to be drawn back at each angle.
func (d *drawing) measure(v *turned) {
	wide := max(d.bars.radius, max(d.across(), d.shank/2))
	mouth, depth := d.bars.high-d.bars.radius, d.bars.depth
	visit := func(t *facet) {
		if !t.between(-mouth-t.grow, mouth+t.grow, false) {
			return
		}
		var sh shadow
		cut := false
		first, last := d.span(&t.circle, wide+t.grow)
		for k := first; k <= last; k++ {
			i := d.fan.at(k)
			if !d.asked[i] {
				continue
			}
			ahead, aside := d.fan.seen(i, t.mx, t.my)
			if aside > t.size+wide+t.grow || min(ahead+t.size+t.grow, depth)+wide <= d.travel[i] ||
				min(t.ahead(d.fan.cos[i], d.fan.sin[i])+rounding+t.grow, depth)+wide <= d.travel[i] {
				continue
			}
			if !cut {
				if sh, cut = shadowOf(t, -mouth-t.grow, mouth+t.grow, false); !cut {
					return
				}
			}
			from, to, ok := sh.lengthwise(d.fan.cos[i], d.fan.sin[i], wide+t.grow)
			if travel := min(to+t.grow, depth) + wide; ok && from-t.grow <= depth && travel > d.travel[i] {
				d.travel[i] = travel
				d.last[i] = t.place
			}
		}
	}
	last := d.last
	if d.only >= 0 {
		last = d.last[d.only : d.only+1]
	}
	before := v.again(last)
	for i := range before {
		visit(&before[i])
	}
	v.walkFromAfar(func(b *block, grow float64) bool {
		if b.low > mouth+grow || b.high < -mouth-grow || b.in > depth+wide+2*grow {
			return false
		}
		first, last := d.span(&b.circle, wide+grow)
		for k := first; k <= last; k++ {
			i := d.fan.at(k)
			if !d.asked[i] {
				continue
			}
			ahead, aside := d.fan.seen(i, b.mx, b.my)
			if aside <= b.size+wide+grow && min(ahead+b.size+grow, depth)+wide > d.travel[i] {
				return true
			}
		}
		return false
	}, visit)
	d.most = slices.Max(d.travel)
}

// ahead is how far a facet reaches along a direction.
func (t *facet) ahead(cos, sin float64) float64 {
	return max(float64(t.a.X*cos)+float64(t.a.Y*sin), float64(t.b.X*cos)+float64(t.b.Y*sin), float64(t.c.X*cos)+float64(t.c.Y*sin))
}

// part is what a part of the gun passes through on its way: the heights, half the width, and how far it reaches along the
// throat, which grows with the travel where it is drawn.
type part struct {
	low, high float64
	m         float64
	from, to  float64
	drawn     bool
	round     bool    // a round bar of radius m along the throat, in the middle of the heights
	reach     float64 // how far from the axis it comes on the longest travel
}

// near reports whether something between two heights and distances from the axis may be met by the part.
func (p *part) near(low, high, in, out, grow float64) bool {
	return low <= p.high+grow && high >= p.low-grow && out+grow >= p.from && in-grow <= p.reach
}

// try opens the gun one way and draws it back wherever no other way led off, and returns at how many angles none has.
func (d *drawing) try(v *turned, w way) int {
	d.parts, d.free = d.partsOf(w), 0
	for i := range d.met {
		d.met[i] = -1
		if !d.open[i] {
			continue
		}
		if t := d.known[i]; t != nil && !d.afresh && d.meetsAny(t, i) { // what was met on one way is mostly met on the next
			d.met[i] = t.panel
		} else {
			d.free++
		}
	}
	v.walk(d.enter, d.visit)
	left := 0
	for i, panel := range d.met {
		if d.open[i] = d.open[i] && panel >= 0; d.open[i] {
			d.panel[i] = panel
			left++
		}
	}
	return left
}

// enter reports whether something in a block may be met at an angle that is free so far.
func (d *drawing) enter(b *block, grow float64) bool {
	if d.free == 0 {
		return false
	}
	wide := -1.0
	for i := range d.parts {
		if p := &d.parts[i]; p.m > wide && p.near(b.low, b.high, b.in, b.out, grow) {
			wide = p.m
		}
	}
	if wide < 0 {
		return false
	}
	first, last := d.span(&b.circle, wide+grow)
	for k := first; k <= last; k++ {
		i := d.fan.at(k)
		if !d.open[i] || d.met[i] >= 0 {
			continue
		}
		if ahead, aside := d.fan.seen(i, b.mx, b.my); aside <= b.size+wide+grow && ahead >= -b.size-wide-grow {
			return true
		}
	}
	return false
}

// visit finds the angles at which a facet is met.
func (d *drawing) visit(t *facet) {
	for j := range d.parts {
		p := &d.parts[j]
		if !p.near(t.low, t.high, t.in, t.out, t.grow) {
			continue
		}
		var sh shadow
		cut := false
		first, last := d.span(&t.circle, p.m+t.grow)
		for k := first; k <= last; k++ {
			i := d.fan.at(k)
			if !d.open[i] || d.met[i] >= 0 {
				continue
			}
			if _, aside := d.fan.seen(i, t.mx, t.my); aside > p.m+t.grow+t.size {
				continue
			}
			if !cut {
				if sh, cut = shadowOf(t, p.low-t.grow, p.high+t.grow, false); !cut {
					break
				}
			}
			if d.meets(p, t, &sh, i) {
				met := *t
				d.met[i], d.known[i] = t.panel, &met
				d.free--
			}
		}
	}
}

// meetsAny reports whether any part meets a facet at an angle.
func (d *drawing) meetsAny(t *facet, i int) bool {
	return slices.ContainsFunc(d.parts, func(p part) bool {
		if !p.near(t.low, t.high, t.in, t.out, t.grow) {
			return false
		}
		sh, ok := shadowOf(t, p.low-t.grow, p.high+t.grow, false)
		return ok && d.meets(&p, t, &sh, i)
	})
}

// meets reports whether a part meets a facet, of which sh is what lies between the part's heights, at an angle.
func (d *drawing) meets(p *part, t *facet, sh *shadow, i int) bool {
	cos, sin, to, m := d.fan.cos[i], d.fan.sin[i], p.to, p.m+t.grow
	if p.drawn {
		to += d.travel[i]
	}
	if _, aside := d.fan.seen(i, sh.mx, sh.my); aside > m+sh.size {
		return false
	}
	if p.round {
		z := (p.low + p.high) / 2
		return t.fromSegment(r3.Vector{X: p.from * cos, Y: p.from * sin, Z: z}, r3.Vector{X: to * cos, Y: to * sin, Z: z}, m, m) < m
	}
	from, upTo, ok := sh.lengthwise(cos, sin, m)
	return ok && from-t.grow < to && upTo+t.grow > p.from
}

// partsOf are the parts of the gun, opened one way: first arms and back move along the axis, then all is drawn back.
func (d *drawing) partsOf(w way) []part {
	b, along := d.bars, d.shank/2
	low, high := min(w.shift, 0), max(w.shift, 0)
	upper, lower := d.above+w.above, -d.below-w.below
	top, bottom := b.high+w.shift, -b.high+w.shift
	all := []part{
		{low: upper, high: min(upper+d.tipLong, top), m: d.across(), to: along, drawn: true},
		{low: max(lower-d.tipLong, bottom), high: lower, m: d.across(), to: along, drawn: true},
		{low: upper + d.tipLong, high: top, m: b.radius, to: b.radius, drawn: true},
		{low: bottom, high: lower - d.tipLong, m: b.radius, to: b.radius, drawn: true},
		{low: top - b.radius, high: top + b.radius, m: b.radius, to: b.depth, drawn: true, round: true},
		{low: bottom - b.radius, high: bottom + b.radius, m: b.radius, to: b.depth, drawn: true, round: true},
		{low: bottom, high: top, m: b.radius, from: b.depth, to: b.depth + b.radius, drawn: true},
		{low: b.high + low, high: b.high + high, m: b.radius, to: b.depth},
		{low: -b.high + low, high: -b.high + high, m: b.radius, to: b.depth},
		{low: -b.high + low, high: b.high + high, m: b.radius, from: b.depth, to: b.depth + b.radius},
	}
	for j := range all {
		p := &all[j]
		to := p.to
		if p.drawn {
			to += d.most
		}
		if p.reach = math.Hypot(to, p.m); p.round {
			p.reach = to + p.m
		}
	}
	return slices.DeleteFunc(all, func(p part) bool { return p.high <= p.low })
}

// How much more stroke is looked for, mm, where the gun cannot be drawn back: first by so much, then twice that and on.
const (
	farStroke  = 160.0
	strokeStep = 10.0
)

// retreatReason is what keeps a gun that can stand at the weld from being drawn back; false when it cannot stand there.
// The stroke that would do is looked for only where wanted.
func (s *searcher) retreatReason(l *seen, tool int, wanted bool) (Reason, bool) {
	t := s.tools[tool]
	air, stands := s.standing(l, tool)
	if !stands || t.Gun.Stroke <= 0 {
		return Reason{}, false
	}
	free := slices.Clone(air)
	panel := s.inTheWay(l, t, free)
	best := 0
	for k := range air {
		if air[k] > air[best] {
			best = k
		}
	}
	out := Reason{Tool: tool, Kind: Retreat, Value: t.Gun.Stroke, Turn: s.fan.degrees(best), Panel: s.panelName(panel[best])}
	for more := strokeStep; wanted && more <= farStroke; more *= 2 {
		u := t
		u.Gun.Stroke += more
		free = append(free[:0], air...)
		s.wayOff(l, u, free, s.every...)
		for k := range free {
			if free[k] > 0 {
				out.Limit, out.Turn, out.Panel = u.Gun.Stroke, s.fan.degrees(k), s.panelName(panel[k])
				return out, true
			}
		}
	}
	return out, true
}
