package reach

import (
	"cmp"
	"math"
	"slices"

	"seamwright/geometry/axial"
)

// How far beyond the gun's own size a throat depth or gap is looked for that would reach, mm; and how far
// from the axis a wall still counts as the side of a channel.
const (
	farDepth = 400.0
	farGap   = 300.0
	gapStep  = 10.0
	farWall  = 40.0
)

// tipReason is what keeps a tool's electrodes out at every angle; false when it is not they that touch.
func (s *searcher) tipReason(l *seen, tool int) (Reason, bool) {
	t := s.tools[tool]
	sides := s.sides(l, t)
	tips, panel := tipAir(sides, s.fan, s.opt.Enough)
	if slices.Max(tips) > 0 {
		return Reason{}, false
	}
	r := s.besideTip(l, t, sides)
	if r.Kind == "" {
		r = s.besideBar(l, t, sides)
	}
	if r.Panel == "" {
		r.Panel = s.panelName(panel[0])
	}
	r.Tool, r.Turn = tool, 90
	return r, true
}

// besideTip is metal that a tip itself touches: the sides of a channel, or a wall.
func (s *searcher) besideTip(l *seen, t Tool, sides [2]side) Reason {
	worst := Reason{Value: math.Inf(1)}
	for k, sd := range sides {
		if !s.sectionsTouch(sd, false) {
			continue
		}
		surface := l.above
		if k == 1 {
			surface = l.below
		}
		shadows := s.beside(l, surface+l.rise, surface+t.Tip.Length, k == 1)
		nearest, by := nearestShadow(shadows)
		if width := channel(shadows); nearest > 0 && width < t.Tip.Shank {
			return Reason{Kind: Channel, Value: width, Limit: t.Tip.Shank, Panel: s.panelName(by)}
		}
		if nearest < worst.Value {
			worst = Reason{Kind: Wall, Value: nearest, Limit: t.Tip.Shank / 2, Panel: s.panelName(by)}
		}
	}
	return worst
}

// sectionsTouch reports whether the tip of an electrode, or the bar above it, touches at every angle.
func (s *searcher) sectionsTouch(sd side, bar bool) bool {
	part := side{}
	for k, c := range sd.sections {
		if c.bar == bar {
			part.sections, part.shadows = append(part.sections, c), append(part.shadows, sd.shadows[k])
			part.air, part.panel = append(part.air, sd.air[k]), append(part.panel, sd.panel[k])
		}
	}
	for k := range s.fan.Cos {
		if air, _ := part.at(s.fan.Cos[k], s.fan.Sin[k], s.opt.Enough); air > 0 {
			return false
		}
	}
	return true
}

// besideBar is metal that the bar above a tip touches: a longer tip would pass it, unless it stands as high
// as the arm.
func (s *searcher) besideBar(l *seen, t Tool, sides [2]side) Reason {
	out := Reason{Kind: TipShort, Value: t.Tip.Length, Limit: t.Tip.Length}
	for k, sd := range sides {
		surface := l.above
		if k == 1 {
			surface = l.below
		}
		for _, c := range sd.sections {
			if !c.bar {
				continue
			}
			for _, sh := range s.beside(l, surface+c.from, surface+c.to, k == 1) {
				if high := sh.Top - surface; sh.FromAxis() <= c.radius+sh.Grow && high > out.Limit {
					out.Limit, out.Panel = high, s.panelName(sh.Panel)
				}
				if sh.Top >= surface+c.to-1 {
					out.Kind = Blocked
				}
			}
		}
	}
	if out.Kind == Blocked {
		out.Value, out.Limit = 0, 0
	}
	return out
}

// beside cuts what is near the axis to the heights of a tip.
func (s *searcher) beside(l *seen, low, high float64, below bool) []axial.Shadow {
	var out []axial.Shadow
	l.Walk(func(b *axial.Block, grow float64) bool {
		return b.In <= farWall+grow && b.Low <= l.up && b.High >= -l.up
	}, func(t *axial.Facet) {
		if sh, ok := axial.ShadowOf(t, low, high, below); ok && t.In <= farWall+t.Grow {
			out = append(out, sh)
		}
	})
	return out
}

func nearestShadow(shadows []axial.Shadow) (distance float64, panel int32) {
	distance, panel = math.Inf(1), -1
	for i := range shadows {
		if d := max(0, shadows[i].FromAxis()-shadows[i].Grow); d < distance {
			distance, panel = d, shadows[i].Panel
		}
	}
	return distance, panel
}

// channel is the least clear width through the axis between metal on either side; infinity where there is
// none on one of them.
func channel(shadows []axial.Shadow) float64 {
	const rays = 72
	var hits [rays]float64
	for k := range hits {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / rays)
		hits[k] = math.Inf(1)
		for i := range shadows {
			hits[k] = min(hits[k], shadows[i].Along(cos, sin, farWall)-shadows[i].Grow)
		}
	}
	width := math.Inf(1)
	for k := range rays / 2 {
		width = min(width, max(0, hits[k])+max(0, hits[k+rays/2]))
	}
	return width
}

// metal gathers the facets among which a throat is looked for that would reach: far ones, or no farther than the tools
// at hand go.
func (s *searcher) metal(l *seen, far bool) {
	if l.gathered {
		return
	}
	l.gathered, l.metalOut = true, l.out+s.opt.Enough
	up := l.up + s.opt.Enough
	if far {
		l.metalOut, up = l.metalOut+farDepth, up+farGap/2
	}
	s.facets = l.Gather(l.metalOut, up, s.facets[:0])
	l.facets = s.facets
}

// armReason is what keeps arms and back out where the tips are free: the throat that would reach, or the
// throat gap, whichever misses less. For a weld that another tool reaches, not far, a throat is looked for no deeper than
// the largest tool's.
func (s *searcher) armReason(l *seen, tool int, far bool) Reason {
	s.metal(l, far)
	t := s.tools[tool]
	b := barsOf(t.Gun)
	tips := s.tipsAir(l, tool)
	_, panels := armAir(l.View, b, s.fan, s.opt.Enough, nil, nil) // so that of several panels the first is named
	depth, k := s.depthNeeded(l, b, tips)
	out := Reason{Kind: Blocked, Turn: 90, Panel: s.panelName(mostTouched(panels, tips))}
	if k >= 0 {
		out = Reason{Kind: Throat, Value: t.Gun.ThroatDepth, Limit: depth, Turn: s.fan.Degrees(k), Panel: s.panelName(panels[k])}
	}
	if gap, k := s.gapNeeded(l, t, tips, out.Missing(), far); k >= 0 {
		out = Reason{Kind: Gap, Value: t.Gun.ThroatGap, Limit: gap, Turn: s.fan.Degrees(k), Panel: s.panelName(panels[k])}
	}
	out.Tool = tool
	return out
}

// mostTouched is the panel that is in the way at most of the angles at which the tips are free.
func mostTouched(panel []int32, tips []float64) int32 {
	counts := map[int32]int{}
	best := int32(-1)
	for k, p := range panel {
		if p < 0 || tips[k] <= 0 {
			continue
		}
		counts[p]++
		if best < 0 || counts[p] > counts[best] || counts[p] == counts[best] && p < best {
			best = p
		}
	}
	return best
}

// stripe is a stretch of the throat's direction that the back member cannot be in.
type stripe struct{ from, to float64 }

// depthNeeded is the least throat depth above the gun's that would reach, with its angle; -1 for none. Metal
// is taken as wide as the bar's square, which asks for a little more than a round bar needs.
func (s *searcher) depthNeeded(l *seen, b bars, tips []float64) (depth float64, angle int) {
	n := len(tips)
	own := b.depth - b.radius   // where the back member is
	limit := make([]float64, n) // how far out the arms can go
	taken := make([][]stripe, n)
	for k := range limit {
		limit[k] = l.metalOut
	}
	for i := range l.facets {
		t := &l.facets[i]
		m := b.radius + t.Grow
		if t.Low > b.high+m || t.High < -b.high-m {
			continue
		}
		upper, isUpper := axial.ShadowOf(t, b.high-m, b.high+m, false)
		lower, isLower := axial.ShadowOf(t, -b.high-m, -b.high+m, false)
		if !isUpper && !isLower && t.Circle.Out+t.Grow <= own-1e-6 { // all of it is within the throat
			continue
		}
		middle, isMiddle := axial.ShadowOf(t, -b.high, b.high, false)
		first, last := s.fan.Span(&t.Circle, m)
		for at := first; at <= last; at++ {
			k := s.fan.At(at)
			if tips[k] <= 0 || limit[k] < own+2*b.radius { // the arms go no farther there than they do now
				continue
			}
			cos, sin := s.fan.Cos[k], s.fan.Sin[k]
			if isUpper {
				if from, _, ok := upper.Lengthwise(cos, sin, m); ok {
					limit[k] = min(limit[k], from)
				}
			}
			if isLower {
				if from, _, ok := lower.Lengthwise(cos, sin, m); ok {
					limit[k] = min(limit[k], from)
				}
			}
			if isMiddle {
				if from, to, ok := middle.Lengthwise(cos, sin, m); ok && to+t.Grow > own {
					taken[k] = with(taken[k], stripe{from - t.Grow, to + t.Grow})
				}
			}
		}
	}
	depth, angle = math.Inf(1), -1
	for k := range taken {
		if tips[k] <= 0 {
			continue
		}
		if d := firstRoom(taken[k], own, 2*b.radius); d+2*b.radius <= limit[k] && d < depth-1e-6 {
			depth, angle = d, k
		}
	}
	return depth, angle
}

// with adds a stripe; one that overlaps the last, as facets beside each other do, makes that longer: what is free stays the same.
func with(taken []stripe, s stripe) []stripe {
	if n := len(taken); n > 0 && s.from <= taken[n-1].to && taken[n-1].from <= s.to {
		taken[n-1] = stripe{min(taken[n-1].from, s.from), max(taken[n-1].to, s.to)}
		return taken
	}
	return append(taken, s)
}

// firstRoom is the least place not below from that leaves the width free.
func firstRoom(taken []stripe, from, width float64) float64 {
	slices.SortFunc(taken, func(a, b stripe) int { return cmp.Compare(a.from, b.from) })
	for _, t := range taken {
		if t.from < from+width && t.to > from {
			from = t.to
		}
	}
	return from
}

// gapNeeded is the least throat gap above the gun's that would reach and misses less than given.
func (s *searcher) gapNeeded(l *seen, t Tool, tips []float64, missing float64, far bool) (gap float64, angle int) {
	most := min(farGap, missing-1e-6)
	if !far {
		most = min(most, 2*(l.up-barsOf(t.Gun).radius)-t.Gun.ThroatGap)
	}
	for more := gapStep; more <= most; more += gapStep {
		g := t.Gun
		g.ThroatGap += more
		air := s.airOfOthers(l, barsOf(g))
		best := -1
		for k := range air {
			if tips[k] > 0 && air[k] > 0 && (best < 0 || air[k] > air[best]) {
				best = k
			}
		}
		if best >= 0 {
			return g.ThroatGap, best
		}
	}
	return 0, -1
}
