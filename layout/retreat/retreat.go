// Package retreat finds out whether a gun that stands at a weld can be drawn back from it, and so come on, the same way back.
//
// The tips open by the gun's stroke, and the gun is drawn straight back along the throat until nothing is left between its jaws; where it
// goes from there is not looked at. One electrode is fixed to its arm, so arms and back move along the weld's axis by what that one comes
// off the stack. Six ways are tried, and one that is free will do: either electrode the fixed one, with a half, a quarter or three
// quarters of the stroke on its side. What the parts pass through is tested whole, not in steps: the drawn arms as round bars, all else as
// boxes that hold it, so that the answer errs to the safe side.
//
//	trial := retreat.New(fan)
//	trial.Begin(gun, above, below) // of the stack, over the weld and under it
//	for k := range fan.Cos {
//		trial.Ask(k, stands[k])
//	}
//	trial.Run(view)
//	fmt.Println(trial.Shut) // by angle
//
// In go the panels as the weld sees them (geometry/axial) and the gun as bars; of welds, tools and air it knows nothing. Millimetres in the
// weld's frame.
package retreat

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

// Gun is what of a gun with its tips decides how it comes off, mm: tips with other faces come off alike.
type Gun struct {
	Radius             float64 // of arms and back, which are round bars
	High               float64 // of the arms' middles above and below the weld
	Depth              float64 // from the axis to the back's middle
	Stroke             float64 // by which the tips open
	Shank              float64 // of the tips: across the throat too where ShankLong is zero
	ShankLong, TipLong float64
}

// across is half the shank's size across the throat; along it is half the shank.
func (s Gun) across() float64 {
	if s.ShankLong > 0 {
		return s.ShankLong / 2
	}
	return s.Shank / 2
}

// Trial is a gun drawn back from a weld, at many angles at once.
type Trial struct {
	Asked []bool  // by angle
	Shut  []bool  // by angle: asked, and no way leads off
	Panel []int32 // by angle: met on the last way, where none leads off; -1: not asked, or not shut

	// What is likely to be met, so that it is looked at first. It changes nothing but which of several panels is the one that is met.
	Known  []*axial.Facet // for each angle what was met there last, by whatever gun on whatever way
	Last   []axial.Place  // for each angle what was left last between the jaws; at first what was at the weld before
	Afresh bool           // so that the first of the panels met on a way is the one that is named: Known is not asked

	Gun
	fan          *axial.Fan
	above, below float64
	count        int       // of angles asked for
	only         int       // the angle asked for, where it is a single one; else -1
	travel       []float64 // mm at each angle, until nothing is left between the jaws
	most         float64   // the greatest of them
	met          []int32   // the panel met on the way that is being tried, -1 for none
	free         int       // angles that met none so far
	parts        []part    // of the gun on that way
}

// New is a trial at the angles of a fan.
func New(f *axial.Fan) *Trial {
	n := len(f.Cos)
	return &Trial{
		fan: f, only: -1,
		Asked: make([]bool, n), travel: make([]float64, n), Shut: make([]bool, n), met: make([]int32, n), Panel: slices.Repeat([]int32{-1}, n),
		Known: make([]*axial.Facet, n), Last: axial.Nowhere(n),
	}
}

// Begin begins with a gun at a weld above and below whose place the stack reaches so many mm: nothing is asked yet. Known and Last stay.
func (d *Trial) Begin(gun Gun, above, below float64) {
	d.Gun, d.above, d.below, d.count, d.only = gun, above, below, 0, -1
	clear(d.Asked)
	clear(d.travel)
	clear(d.Shut)
}

// Any reports whether any angle is asked for.
func (d *Trial) Any() bool { return d.count > 0 }

// span is the range of the angles asked for at which a circle comes within m of a ray from the axis, and maybe others.
func (d *Trial) span(c *axial.Circle, m float64) (first, last int) {
	if d.only >= 0 {
		return d.only, d.only
	}
	return d.fan.Span(c, m)
}

// Ask says of an angle, once between Begin and Run, whether it is to be looked at.
func (d *Trial) Ask(k int, wanted bool) {
	d.Asked[k], d.Shut[k] = wanted, wanted
	if !wanted {
		return
	}
	if d.count++; d.count == 1 {
		d.only = k
	} else {
		d.only = -1
	}
}

// Run draws the gun back, opened one way after another, until a way leads off at every angle asked for.
func (d *Trial) Run(v *axial.View) {
	if d.count == 0 {
		return
	}
	d.measure(v)
	for _, w := range waysOff(d.Stroke) {
		if d.try(v, w) == 0 {
			return
		}
	}
}

// measure finds how far the gun has to be drawn back at each angle.
func (d *Trial) measure(v *axial.View) {
	wide := max(d.Radius, max(d.across(), d.Shank/2))
	mouth, depth := d.High-d.Radius, d.Depth
	visit := func(t *axial.Facet) {
		if !t.Between(-mouth-t.Grow, mouth+t.Grow, false) {
			return
		}
		var sh axial.Shadow
		cut := false
		first, last := d.span(&t.Circle, wide+t.Grow)
		for k := first; k <= last; k++ {
			i := d.fan.At(k)
			if !d.Asked[i] {
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
				d.Last[i] = t.Place
			}
		}
	}
	last := d.Last
	if d.only >= 0 {
		last = d.Last[d.only : d.only+1]
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
			if !d.Asked[i] {
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
func (d *Trial) try(v *axial.View, w way) int {
	d.parts, d.free = d.partsOf(w), 0
	for i := range d.met {
		d.met[i] = -1
		if !d.Shut[i] {
			continue
		}
		if t := d.Known[i]; t != nil && !d.Afresh && d.meetsAny(t, i) { // what was met on one way is mostly met on the next
			d.met[i] = t.Panel
		} else {
			d.free++
		}
	}
	v.Walk(d.enter, d.visit)
	left := 0
	for i, panel := range d.met {
		if d.Shut[i] = d.Shut[i] && panel >= 0; d.Shut[i] {
			d.Panel[i] = panel
			left++
		}
	}
	return left
}

// enter reports whether something in a block may be met at an angle that is free so far.
func (d *Trial) enter(b *axial.Block, grow float64) bool {
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
		if !d.Shut[i] || d.met[i] >= 0 {
			continue
		}
		if ahead, aside := d.fan.Seen(i, b.MX, b.MY); aside <= b.Size+wide+grow && ahead >= -b.Size-wide-grow {
			return true
		}
	}
	return false
}

// visit finds the angles at which a facet is met.
func (d *Trial) visit(t *axial.Facet) {
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
			if !d.Shut[i] || d.met[i] >= 0 {
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
				d.met[i], d.Known[i] = t.Panel, &met
				d.free--
			}
		}
	}
}

// meetsAny reports whether any part meets a facet at an angle.
func (d *Trial) meetsAny(t *axial.Facet, i int) bool {
	return slices.ContainsFunc(d.parts, func(p part) bool {
		if !p.near(t.Low, t.High, t.In, t.Out, t.Grow) {
			return false
		}
		sh, ok := axial.ShadowOf(t, p.low-t.Grow, p.high+t.Grow, false)
		return ok && d.meets(&p, t, &sh, i)
	})
}

// meets reports whether a part meets a facet, of which sh is what lies between the part's heights, at an angle.
func (d *Trial) meets(p *part, t *axial.Facet, sh *axial.Shadow, i int) bool {
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
func (d *Trial) partsOf(w way) []part {
	b, along := d.Gun, d.Shank/2
	low, high := min(w.shift, 0), max(w.shift, 0)
	upper, lower := d.above+w.above, -d.below-w.below
	top, bottom := b.High+w.shift, -b.High+w.shift
	all := []part{
		{low: upper, high: min(upper+d.TipLong, top), m: d.across(), to: along, drawn: true},
		{low: max(lower-d.TipLong, bottom), high: lower, m: d.across(), to: along, drawn: true},
		{low: upper + d.TipLong, high: top, m: b.Radius, to: b.Radius, drawn: true},
		{low: bottom, high: lower - d.TipLong, m: b.Radius, to: b.Radius, drawn: true},
		{low: top - b.Radius, high: top + b.Radius, m: b.Radius, to: b.Depth, drawn: true, round: true},
		{low: bottom - b.Radius, high: bottom + b.Radius, m: b.Radius, to: b.Depth, drawn: true, round: true},
		{low: bottom, high: top, m: b.Radius, from: b.Depth, to: b.Depth + b.Radius, drawn: true},
		{low: b.High + low, high: b.High + high, m: b.Radius, to: b.Depth},
		{low: -b.High + low, high: -b.High + high, m: b.Radius, to: b.Depth},
		{low: -b.High + low, high: b.High + high, m: b.Radius, from: b.Depth, to: b.Depth + b.Radius},
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
