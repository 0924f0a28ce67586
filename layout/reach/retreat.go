package reach

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"
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

// mostShift is the greatest share of the stroke that the gun moves by.
const mostShift = 0.75

// arc is a run of angles that go on free from first, over the last one and on from the first where need be.
type arc struct{ first, count int }

// arcsOf are the runs of angles with air.
func arcsOf(air []float64) []arc {
	n := len(air)
	start := -1
	for k := range n {
		if air[k] > 0 && air[(k+n-1)%n] <= 0 {
			start = k
			break
		}
	}
	if start < 0 {
		if air[0] > 0 {
			return []arc{{0, n}}
		}
		return nil
	}
	var out []arc
	for k := 0; k < n; {
		first := start + k
		count := 0
		for k < n && air[(start+k)%n] > 0 {
			count, k = count+1, k+1
		}
		if count > 0 {
			out = append(out, arc{first % n, count})
		}
		for k < n && air[(start+k)%n] <= 0 {
			k++
		}
	}
	return out
}

// shape is what of a tool decides how it comes off: tips with other faces come off alike.
type shape struct {
	bars                   bars
	stroke                 float64
	shank, shankLong, long float64
}

// known is what was found out about a shape at a weld.
type known struct {
	done, shut []bool
	panel      []int32
}

// wayOff takes the air from the angles at which the gun cannot be drawn back, and says for each of them which panel is
// in the way.
func (s *searcher) wayOff(l *look, t Tool, air []float64) (panel []int32) {
	key := shape{barsOf(t.Gun), t.Gun.Stroke, t.Tip.Shank, t.Tip.ShankLong, t.Tip.Length}
	k, ok := l.ways[key]
	if !ok {
		n := len(air)
		k = known{make([]bool, n), make([]bool, n), make([]int32, n)}
		if l.ways == nil {
			l.ways = map[shape]known{}
		}
		l.ways[key] = k
	}
	open := make([]float64, len(air))
	for i, a := range air {
		open[i] = touch
		if a > 0 && !k.done[i] {
			open[i] = a
		}
	}
	for _, a := range arcsOf(open) {
		s.drawAlong(l, t, a, k)
	}
	panel = make([]int32, len(air))
	for i := range air {
		panel[i] = -1
		if air[i] > 0 && k.shut[i] {
			air[i], panel[i] = touch, k.panel[i]
		}
	}
	return panel
}

// drawAlong finds out about the angles of an arc.
func (s *searcher) drawAlong(l *look, t Tool, a arc, k known) {
	d := s.drawing(l, t, a)
	for _, w := range waysOff(t.Gun.Stroke) {
		if d.try(w) == 0 {
			break
		}
	}
	for i := range d.shut {
		at := (a.first + i) % len(k.done)
		k.done[at], k.shut[at], k.panel[at] = true, d.shut[i], d.panel[i]
	}
}

// drawing is a gun being drawn back at each angle of an arc.
type drawing struct {
	s            *searcher
	tool         Tool
	bars         bars
	arc          arc
	above, below float64
	facets       []*facet
	travel       []float64 // mm at each angle, until nothing is left between the jaws
	shut         []bool    // no way tried so far leads off
	most         float64   // the greatest travel
	panel        []int32   // what was met last
}

// drawing finds out how far the gun has to be drawn back at each angle of the arc, and what it may meet.
func (s *searcher) drawing(l *look, t Tool, a arc) *drawing {
	b := barsOf(t.Gun)
	d := &drawing{
		s: s, tool: t, bars: b, arc: a, above: l.above, below: l.below,
		travel: make([]float64, a.count), shut: make([]bool, a.count), panel: make([]int32, a.count),
	}
	wide := math.Max(b.radius, math.Max(t.Tip.Shank, t.Tip.ShankLong)/2)
	up := b.high + b.radius + mostShift*t.Gun.Stroke
	s.ahead = s.cone(l.facets, a, wide, up, s.ahead[:0])
	d.facets, s.cuts = s.ahead, s.cuts[:0]
	mouth := d.cut(-(b.high - b.radius), b.high-b.radius, 0, b.depth+wide)
	most := 0.0
	for i := range d.travel {
		d.shut[i] = true
		d.each(mouth, i, wide, func(_ *shadow, from, to float64) bool {
			if from <= b.depth {
				d.travel[i] = math.Max(d.travel[i], math.Min(to, b.depth)+wide)
			}
			return true
		})
		most = math.Max(most, d.travel[i])
	}
	d.most = most
	if out := b.depth + most + 2*b.radius; out > l.out || up > l.up {
		s.ahead = s.cone(s.scene.gather(l.frame, l.weld.Absent, out, up, nil), a, wide, up, s.ahead[:0])
		d.facets = s.ahead
	}
	return d
}

// cone appends the facets that a gun drawn back at any angle of the arc may come near.
func (s *searcher) cone(facets []facet, a arc, wide, up float64, out []*facet) []*facet {
	half := float64(a.count-1) / 2 * s.fan.step
	all := half >= 80*math.Pi/180
	sinHalf, cosHalf := math.Sincos(half)
	sin, cos := math.Sincos((float64(a.first) + float64(a.count-1)/2) * s.fan.step)
	for i := range facets {
		t := &facets[i]
		m := wide + t.grow
		if t.low > up+t.grow || t.high < -up-t.grow {
			continue
		}
		if !all {
			ahead := float64(t.mx*cos) + float64(t.my*sin)
			aside := math.Abs(float64(t.my*cos) - float64(t.mx*sin))
			if ahead < -m-t.size || float64(aside*cosHalf)-float64(ahead*sinHalf) > m+t.size {
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// cut is what of the facets that come near some distance from the axis, from one to another, lies between two heights.
func (d *drawing) cut(low, high, from, to float64) []shadow {
	if high <= low {
		return nil
	}
	start := len(d.s.cuts) // all cuts of a drawing share one store
	for _, t := range d.facets {
		if t.low > high+t.grow || t.high < low-t.grow || t.out+t.grow < from || t.in-t.grow > to {
			continue
		}
		if sh, ok := shadowOf(t, low-t.grow, high+t.grow, false); ok {
			d.s.cuts = append(d.s.cuts, sh)
		}
	}
	return d.s.cuts[start:len(d.s.cuts):len(d.s.cuts)]
}

// each visits the parts that lie within m of the gun's middle plane at an angle of the arc, with their extent along the
// throat, until visit says false.
func (d *drawing) each(parts []shadow, i int, m float64, visit func(sh *shadow, from, to float64) bool) {
	k := (d.arc.first + i) % len(d.s.fan.cos)
	cos, sin := d.s.fan.cos[k], d.s.fan.sin[k]
	for j := range parts {
		sh := &parts[j]
		if math.Abs(float64(sh.my*cos)-float64(sh.mx*sin)) > m+sh.grow+sh.size {
			continue
		}
		if from, to, ok := sh.lengthwise(cos, sin, m+sh.grow); ok && !visit(sh, from-sh.grow, to+sh.grow) {
			return
		}
	}
}

// sweep is a stretch of the way that a part of the gun passes through, all of it as wide as m either side.
type sweep struct {
	parts    []shadow
	m        float64
	from, to float64 // along the throat; to grows with the travel
}

// try opens the gun one way and draws it back wherever no other way led off, and returns at how many angles none has.
func (d *drawing) try(w way) int {
	d.s.cuts = d.s.cuts[:0]
	sweeps := d.sweeps(w)
	left := 0
	for i := range d.shut {
		if !d.shut[i] {
			continue
		}
		met := int32(-1)
		for _, s := range sweeps {
			d.each(s.parts, i, s.m, func(sh *shadow, from, to float64) bool {
				if from < s.to+d.travel[i] && to > s.from {
					met = sh.panel
				}
				return met < 0
			})
			if met >= 0 {
				break
			}
		}
		if d.shut[i] = met >= 0; met >= 0 {
			d.panel[i] = met
			left++
		}
	}
	return left
}

// sweeps are the parts of the gun, opened one way, on their way back.
func (d *drawing) sweeps(w way) []sweep {
	b, tip := d.bars, d.tool.Tip
	across, along := tip.Shank/2, tip.Shank/2
	if tip.ShankLong > 0 {
		across = tip.ShankLong / 2
	}
	low, high := math.Min(w.shift, 0), math.Max(w.shift, 0)
	upper, lower := d.above+w.above, d.below+w.below
	var out []sweep
	add := func(low, high, m, from, to float64) {
		out = append(out, sweep{d.cut(low, high, from, math.Hypot(to+d.most, m)), m, from, to})
	}
	add(upper, math.Min(upper+tip.Length, b.high+high), across, 0, along)
	add(math.Max(-lower-tip.Length, -b.high+low), -lower, across, 0, along)
	add(upper+tip.Length, b.high+high, b.radius, 0, b.radius)
	add(-b.high+low, -lower-tip.Length, b.radius, 0, b.radius)
	add(b.high+low-b.radius, b.high+high+b.radius, b.radius, 0, b.depth)
	add(-b.high+low-b.radius, -b.high+high+b.radius, b.radius, 0, b.depth)
	add(-b.high+low-b.radius, b.high+high+b.radius, b.radius, b.depth, b.depth+b.radius)
	return out
}

// How much more stroke is looked for, mm, where the gun cannot be drawn back: first by so much, then twice that and on.
const (
	farStroke  = 160.0
	strokeStep = 10.0
)

// retreatReason is what keeps a gun that can stand at the weld from being drawn back; false when it cannot stand there.
// The stroke that would do is looked for only where wanted.
func (s *searcher) retreatReason(l *look, tool int, wanted bool) (Reason, bool) {
	t := s.tools[tool]
	air, stands := s.standing(l, t)
	if !stands || t.Gun.Stroke <= 0 {
		return Reason{}, false
	}
	free := slices.Clone(air)
	panel := s.wayOff(l, t, free)
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
		s.wayOff(l, u, free)
		for k := range free {
			if free[k] > 0 {
				out.Limit, out.Turn, out.Panel = u.Gun.Stroke, s.fan.degrees(k), s.panelName(panel[k])
				return out, true
			}
		}
	}
	return out, true
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
			from, to = math.Min(from, a.X), math.Max(to, a.X)
		}
		for _, edge := range [2]float64{m, -m} {
			if (a.Y-edge)*(b.Y-edge) < 0 {
				x := a.X + (b.X-a.X)*(edge-a.Y)/(b.Y-a.Y)
				from, to = math.Min(from, x), math.Max(to, x)
			}
		}
	}
	return from, to, to >= 0
}
