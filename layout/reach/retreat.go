package reach

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
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

// drawing is a gun drawn back from a weld, at many angles at once.
type drawing struct {
	shape
	fan          *axial.Fan
	above, below float64
	asked        []bool
	count        int
	only         int            // the angle asked for, where it is a single one; else -1
	travel       []float64      // mm at each angle, until nothing is left between the jaws
	most         float64        // the greatest of them
	open         []bool         // asked, and no way tried so far leads off
	met          []int32        // the panel met on the way that is being tried, -1 for none
	free         int            // angles that met none so far
	known        []*axial.Facet // for each angle what was met there last, by whatever tool on whatever way
	last         []axial.Place  // for each angle what is left last between the jaws; at first what was at the weld before
	afresh       bool           // so that the first of the panels met on a way is the one that is named: known is not asked
	panel        []int32        // what was met on the last way
	parts        []part         // of the gun on that way
}

func newDrawing(f *axial.Fan, s shape, above, below float64) *drawing {
	n := len(f.Cos)
	return &drawing{
		shape: s, fan: f, above: above, below: below, only: -1,
		asked: make([]bool, n), travel: make([]float64, n), open: make([]bool, n), met: make([]int32, n), panel: make([]int32, n),
		known: make([]*axial.Facet, n), last: axial.Nowhere(n),
	}
}

// span is the range of the angles asked for at which a circle comes within m of a ray from the axis, and maybe others.
func (d *drawing) span(c *axial.Circle, m float64) (first, last int) {
	if d.only >= 0 {
		return d.only, d.only
	}
	return d.fan.Span(c, m)
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
func (d *drawing) run(v *axial.View) {
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
func (d *drawing) measure(v *axial.View) {
	wide := max(d.bars.radius, max(d.across(), d.shank/2))
	mouth, depth := d.bars.high-d.bars.radius, d.bars.depth
	visit := func(t *axial.Facet) {
		if !t.Between(-mouth-t.Grow, mouth+t.Grow, false) {
			return
		}
		var sh axial.Shadow
		cut := false
		first, last := d.span(&t.Circle, wide+t.Grow)
		for k := first; k <= last; k++ {
			i := d.fan.At(k)
			if !d.asked[i] {
				continue
			}
			ahead, aside := d.fan.Seen(i, t.MX, t.MY)
			if aside > t.Size+wide+t.Grow || min(ahead+t.Size+t.Grow, depth)+wide <= d.travel[i] ||
				min(t.Ahead(d.fan.Cos[i], d.fan.Sin[i])+axial.Rounding+t.Grow, depth)+wide <= d.travel[i] {
				continue
			}
			if !cut {
				if sh, cut = axial.ShadowOf(t, -mouth-t.Grow, mouth+t.Grow, false); !cut {
					return
				}
			}
			from, to, ok := sh.Lengthwise(d.fan.Cos[i], d.fan.Sin[i], wide+t.Grow)
			if travel := min(to+t.Grow, depth) + wide; ok && from-t.Grow <= depth && travel > d.travel[i] {
				d.travel[i] = travel
				d.last[i] = t.Place
			}
		}
	}
	last := d.last
	if d.only >= 0 {
		last = d.last[d.only : d.only+1]
	}
	before := v.Again(last)
	for i := range before {
		visit(&before[i])
	}
	v.WalkFromAfar(func(b *axial.Block, grow float64) bool {
		if b.Low > mouth+grow || b.High < -mouth-grow || b.In > depth+wide+2*grow {
			return false
		}
		first, last := d.span(&b.Circle, wide+grow)
		for k := first; k <= last; k++ {
			i := d.fan.At(k)
			if !d.asked[i] {
				continue
			}
			ahead, aside := d.fan.Seen(i, b.MX, b.MY)
			if aside <= b.Size+wide+grow && min(ahead+b.Size+grow, depth)+wide > d.travel[i] {
				return true
			}
		}
		return false
	}, visit)
	d.most = slices.Max(d.travel)
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
func (d *drawing) try(v *axial.View, w way) int {
	d.parts, d.free = d.partsOf(w), 0
	for i := range d.met {
		d.met[i] = -1
		if !d.open[i] {
			continue
		}
		if t := d.known[i]; t != nil && !d.afresh && d.meetsAny(t, i) { // what was met on one way is mostly met on the next
			d.met[i] = t.Panel
		} else {
			d.free++
		}
	}
	v.Walk(d.enter, d.visit)
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
func (d *drawing) enter(b *axial.Block, grow float64) bool {
	if d.free == 0 {
		return false
	}
	wide := -1.0
	for i := range d.parts {
		if p := &d.parts[i]; p.m > wide && p.near(b.Low, b.High, b.In, b.Out, grow) {
			wide = p.m
		}
	}
	if wide < 0 {
		return false
	}
	first, last := d.span(&b.Circle, wide+grow)
	for k := first; k <= last; k++ {
		i := d.fan.At(k)
		if !d.open[i] || d.met[i] >= 0 {
			continue
		}
		if ahead, aside := d.fan.Seen(i, b.MX, b.MY); aside <= b.Size+wide+grow && ahead >= -b.Size-wide-grow {
			return true
		}
	}
	return false
}

// visit finds the angles at which a facet is met.
func (d *drawing) visit(t *axial.Facet) {
	for j := range d.parts {
		p := &d.parts[j]
		if !p.near(t.Low, t.High, t.In, t.Out, t.Grow) {
			continue
		}
		var sh axial.Shadow
		cut := false
		first, last := d.span(&t.Circle, p.m+t.Grow)
		for k := first; k <= last; k++ {
			i := d.fan.At(k)
			if !d.open[i] || d.met[i] >= 0 {
				continue
			}
			if _, aside := d.fan.Seen(i, t.MX, t.MY); aside > p.m+t.Grow+t.Size {
				continue
			}
			if !cut {
				if sh, cut = axial.ShadowOf(t, p.low-t.Grow, p.high+t.Grow, false); !cut {
					break
				}
			}
			if d.meets(p, t, &sh, i) {
				met := *t
				d.met[i], d.known[i] = t.Panel, &met
				d.free--
			}
		}
	}
}

// meetsAny reports whether any part meets a facet at an angle.
func (d *drawing) meetsAny(t *axial.Facet, i int) bool {
	return slices.ContainsFunc(d.parts, func(p part) bool {
		if !p.near(t.Low, t.High, t.In, t.Out, t.Grow) {
			return false
		}
		sh, ok := axial.ShadowOf(t, p.low-t.Grow, p.high+t.Grow, false)
		return ok && d.meets(&p, t, &sh, i)
	})
}

// meets reports whether a part meets a facet, of which sh is what lies between the part's heights, at an angle.
func (d *drawing) meets(p *part, t *axial.Facet, sh *axial.Shadow, i int) bool {
	cos, sin, to, m := d.fan.Cos[i], d.fan.Sin[i], p.to, p.m+t.Grow
	if p.drawn {
		to += d.travel[i]
	}
	if _, aside := d.fan.Seen(i, sh.MX, sh.MY); aside > m+sh.Size {
		return false
	}
	if p.round {
		z := (p.low + p.high) / 2
		return t.FromSegment(r3.Vector{X: p.from * cos, Y: p.from * sin, Z: z}, r3.Vector{X: to * cos, Y: to * sin, Z: z}, m, m) < m
	}
	from, upTo, ok := sh.Lengthwise(cos, sin, m)
	return ok && from-t.Grow < to && upTo+t.Grow > p.from
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
