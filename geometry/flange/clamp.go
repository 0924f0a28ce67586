package flange

import (
	"context"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// Pressed sheets spring: a flange may stand open over a part of its length or width and still be one, for clamps draw it
// together. So contact is told with two sets of limits, as in thresholding with hysteresis (Canny, A Computational Approach
// to Edge Detection, 1986; from memory): the search gap and the angle limit say where sheets surely lie on each other, and
// from there a stack goes on over places within what clamps can close. Places that are only within the latter, as a sheet
// that passes at 2 mm, are no flange. All of it costs twice the time, so a host is looked at in this way only when one of its
// stacks ends because the gap opens, or when places lean.

// Clamps is what clamps close between two sheets.
type Clamps struct {
	Sheets [2]int
	Gap    float64 // mm of air; 0: as Options.ClampGap
	Angle  float64 // degrees; 0: as Options.ClampAngle
}

const (
	openBorder = 2.   // mm of border where the gap opens from which a host is looked at again
	steepOpen  = 0.02 // rise per length: sheets that part more steeply, to beyond what clamps close, part for good. Chosen.
)

// ranksOf is the clamps with the sheets named as the finder ranks them.
func ranksOf(clamps []Clamps, order []int) []Clamps {
	out := slices.Clone(clamps)
	for i := range out {
		for k, s := range out[i].Sheets {
			out[i].Sheets[k] = slices.Index(order, s)
		}
	}
	return out
}

// clampGap is the air between two sheets that clamps close.
func (f *finder) clampGap(a, b int) float64 {
	for _, c := range f.opt.Clamps {
		if c.Gap > 0 && (c.Sheets == [2]int{a, b} || c.Sheets == [2]int{b, a}) {
			return c.Gap
		}
	}
	return f.opt.ClampGap
}

// clampGapOf is the widest gap that clamps close between neighbours in a stack.
func (f *finder) clampGapOf(s stack) float64 {
	most := 0.0
	for i := 1; i < int(s.n); i++ {
		most = max(most, f.clampGap(int(s.s[i-1]), int(s.s[i])))
	}
	return most
}

// clampCosine is the cosine of the angle between a host and another sheet that clamps close.
func (f *finder) clampCosine(host, x int) float64 {
	for _, c := range f.opt.Clamps {
		if c.Angle > 0 && (c.Sheets == [2]int{host, x} || c.Sheets == [2]int{x, host}) {
			return min(f.cosLimit, cosDegrees(c.Angle))
		}
	}
	return min(f.cosLimit, f.cosClamp)
}

// widestClamp is the greatest gap that clamps close between any sheets.
func (o Options) widestClamp() float64 {
	most := max(o.ClampGap, o.SearchGap)
	for _, c := range o.Clamps {
		most = max(most, c.Gap)
	}
	return most
}

// places3 is places in space, by cells.
type places3 struct {
	side  float64 // mm
	cells map[[3]int32][]int32
	at    []r3.Vector
}

func (o *places3) cell(p r3.Vector) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / o.side)), int32(math.Floor(p.Y / o.side)), int32(math.Floor(p.Z / o.side))}
}

func (o *places3) add(p r3.Vector) {
	c := o.cell(p)
	o.cells[c] = append(o.cells[c], int32(len(o.at)))
	o.at = append(o.at, p)
}

// anyWithin says whether one of the places that counts lies within a distance, at most a cell's side.
func (o *places3) anyWithin(p r3.Vector, distance float64, counts func(i int32) bool) bool {
	c := o.cell(p)
	for x := c[0] - 1; x <= c[0]+1; x++ {
		for y := c[1] - 1; y <= c[1]+1; y++ {
			for z := c[2] - 1; z <= c[2]+1; z++ {
				for _, i := range o.cells[[3]int32{x, y, z}] {
					if o.at[i].Sub(p).Norm2() <= distance*distance && counts(i) {
						return true
					}
				}
			}
		}
	}
	return false
}

// opened is the places of a host where sheets stand open, and are drawn together by clamps.
type opened struct {
	wide    *finder // with the clamps' limits
	places  places3
	stack   []stack
	about   map[[3]int32]bool // the cells of the places, and those beside
	unasked bool              // the scene is not that of the clamps' limits, which were not asked for
}

func (o *opened) add(p r3.Vector, s stack) {
	o.places.add(p)
	o.stack = append(o.stack, s)
	c := o.places.cell(p)
	for x := c[0] - 1; x <= c[0]+1; x++ {
		for y := c[1] - 1; y <= c[1]+1; y++ {
			for z := c[2] - 1; z <= c[2]+1; z++ {
				o.about[[3]int32{x, y, z}] = true
			}
		}
	}
}

// holds says whether a place lies about the open places of a stack.
func (o *opened) holds(p r3.Vector, s stack) bool {
	return o.places.anyWithin(p, fine, func(i int32) bool { return o.stack[i] == s })
}

// classify is the finder's answer, or at an open place the clamps'.
func (o *opened) classify(f *finder, host int, p, n r3.Vector) verdict {
	sure := f.sure(host, p, n)
	if o.unasked = !o.about[o.places.cell(p)]; o.unasked {
		return sure
	}
	if v := o.wide.sure(host, p, n); v.stack.n > 0 && v.stack != sure.stack && o.holds(p, v.stack) {
		return v
	}
	return sure
}

// endings is the sheets that end short of a place that was classified just now: within the clamps' limits, where they count.
func (f *finder) endings(host int, p, n r3.Vector) []ending {
	if o := f.open; o != nil && o.unasked {
		o.unasked = false
		o.wide.survey(f.scene, host, p, n)
	}
	return f.scene.endings
}

// clamped is the finder with the clamps' limits.
func (f *finder) clamped() *finder {
	wide := *f
	wide.closing = true
	return &wide
}

// isOpening says whether a host's stacks end where a gap opens, over a length that is worth a second look.
func (c *cutter) isOpening() bool {
	length := 0.0
	opens := func(v int32) bool {
		b := &c.borders[v]
		return b.cut && (b.why == GapOpens || b.why == StackEnds)
	}
	for _, s := range c.stacks {
		for _, t := range c.tris[s] {
			for k := range 3 {
				if a, b := t[k], t[(k+1)%3]; opens(a) && opens(b) {
					if length += c.apart(a, b); length > openBorder {
						return true
					}
				}
			}
		}
	}
	return false
}

// openPart is places of a patch that hang together and where clamps close the same sheets.
type openPart struct {
	stack  stack
	places []int32
	from   []int32 // of them, those beside a place where the same sheets surely lie on each other
	gone   []int32 // those beside a place where the gap is wider than what clamps close
	leaves int     // how many lie open beside a place where a sheet leans by more than what clamps close
	leans  int     // how many lean by more than the angle limit
	opens  bool    // the gap is wider than the search gap somewhere
	joins  bool    // somewhere it is not
}

// openParts finds the open places of a patch: those within the clamps' limits only, that hang together with a place where
// the same sheets surely lie on each other, and are not the beginning of a place where the sheets part for good.
func (f *finder) openParts(p *patch, sure, loose []verdict) (out []openPart) {
	r := p.region()
	start, next := r.neighbours()
	isOpen := func(v int32) bool { return loose[v].stack.n > 0 && loose[v].stack != sure[v].stack }
	done := make([]bool, len(p.points))
	for first := range p.points {
		if done[first] || !isOpen(int32(first)) {
			continue
		}
		done[first] = true
		part := openPart{stack: loose[first].stack, places: []int32{int32(first)}}
		for i := 0; i < len(part.places); i++ {
			v := part.places[i]
			about := next[start[v]:start[v+1]]
			part.take(f, v, about, sure, loose)
			for _, w := range about {
				if !done[w] && isOpen(w) && loose[w].stack == part.stack {
					done[w] = true
					part.places = append(part.places, w)
				}
			}
		}
		if part.opens && (part.joins || len(part.from) > 0) && !p.partsForGood(&part, f.clampGapOf(part.stack)-f.opt.SearchGap) {
			out = append(out, part)
		}
	}
	return out
}

// take counts in what lies about one of the places.
func (o *openPart) take(f *finder, v int32, about []int32, sure, loose []verdict) {
	isFrom, isGone, leaves := false, false, false
	wide := loose[v].widest > f.opt.SearchGap
	for _, w := range about {
		isFrom = isFrom || sure[w].stack == o.stack
		isGone = isGone || wide && sure[w].stack.n > o.stack.n // where another sheet comes between, no clamp closes the gap
		if lost := sure[w].stack.n == 0 && loose[w].stack.n == 0; lost {
			isGone, leaves = isGone || sure[w].why == GapOpens, leaves || loose[w].why == Bend && loose[w].whose >= 0
		}
	}
	o.opens, o.joins = o.opens || wide, o.joins || !wide
	if isFrom {
		o.from = append(o.from, v)
	}
	if isGone {
		o.gone = append(o.gone, v)
	}
	if sure[v].why == Bend && sure[v].stack.n == 0 {
		o.leans++
		o.leaves += boolean(leaves && wide)
	}
}

const mostCompared = 400 // places at a part's ends that are held against each other

// partsForGood says whether the sheets part for good: the way from where the gap begins to open to where clamps no longer
// close it is too short for its rise, or a sheet that leans all along turns away.
func (p *patch) partsForGood(o *openPart, rise float64) bool {
	if o.leaves > 0 && 2*o.leans > len(o.places) {
		return true
	}
	longest := rise / steepOpen
	for i := 0; i < len(o.gone); i += 1 + len(o.gone)/mostCompared {
		for k := 0; k < len(o.from); k += 1 + len(o.from)/mostCompared {
			if p.points[o.gone[i]].Sub(p.points[o.from[k]]).Norm2() < longest*longest {
				return true
			}
		}
	}
	return false
}

// opened finds the host's open places. Nil: there are none.
func (f *finder) opened(ctx context.Context, host int, p *patch, wide *finder) (*opened, error) {
	sure, loose := make([]verdict, len(p.points)), make([]verdict, len(p.points))
	for v := range p.points {
		if v%1024 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		sure[v], loose[v] = f.sure(host, p.points[v], p.normals[v]), wide.sure(host, p.points[v], p.normals[v])
	}
	out := &opened{wide: wide, places: places3{side: fine, cells: map[[3]int32][]int32{}}, about: map[[3]int32]bool{}}
	for _, part := range f.openParts(p, sure, loose) {
		for _, v := range part.places {
			out.add(p.points[v], part.stack)
		}
	}
	if len(out.stack) == 0 {
		return nil, nil
	}
	return out, nil
}

// region is the patch as a region, of which only the topology is used.
func (p *patch) region() *region {
	r := &region{mesh: &mesh.Mesh{Vertices: p.points, Triangles: p.tris}}
	r.topo = r.mesh.Topology()
	return r
}

// cutPatch cuts a host's patch along the borders of its stacks, and says whether that calls for a second look, with the
// clamps' limits: where stacks end because the gap opens, or places lean.
func (c *cutter) cutPatch(ctx context.Context, f *finder, host int, patch *patch) (opening bool, err error) {
	c.reset(f, host, patch)
	closing := f.clamped()
	var loose []verdict
	for v := range c.patch.points {
		if v%1024 == 0 && ctx.Err() != nil {
			return false, ctx.Err()
		}
		f.around.leans = false
		p, n := c.patch.points[v], c.patch.normals[v]
		c.verdicts[v] = f.classify(host, p, n)
		if f.open == nil && f.around.leans && c.verdicts[v].stack.n == 0 {
			if loose == nil {
				loose = make([]verdict, len(c.patch.points))
			}
			loose[v] = closing.sure(host, p, n)
		}
	}
	known := len(c.patch.points)
	before := *patch
	before.tris = slices.Clone(patch.tris)
	if err := c.run(ctx); err != nil || f.open != nil {
		return false, err
	}
	opens := c.isOpening()
	if loose == nil && !opens {
		return false, nil
	}
	if loose == nil {
		loose = make([]verdict, known)
	}
	for v := range known {
		if is := &c.verdicts[v]; opens && (is.stack.n > 0 && len(f.around.sheets) > 1 || is.stack.n == 0 && is.why == GapOpens) {
			loose[v] = closing.sure(host, c.patch.points[v], c.patch.normals[v])
		}
	}
	before.points = c.patch.points[:known]
	asked := make([]bool, known)
	for _, t := range before.tris {
		if loose[t[0]].stack.n+loose[t[1]].stack.n+loose[t[2]].stack.n == 0 {
			continue
		}
		for _, v := range t {
			if c.verdicts[v].stack.n == 0 && loose[v].stack.n == 0 && !asked[v] {
				asked[v], loose[v] = true, closing.sure(host, c.patch.points[v], c.patch.normals[v])
			}
		}
	}
	return len(f.openParts(&before, c.verdicts[:known], loose)) > 0, nil
}

// reopen cuts the host once more, with its open places.
func (f *finder) reopen(ctx context.Context, host int, in *room) (*finder, error) {
	wide := f.clamped().on(host, in)
	patch, err := wide.refine(ctx, host)
	if err != nil {
		return nil, err
	}
	wide.skins = wide.tellSides(host, patch)
	own := *wide
	own.closing = false
	if own.open, err = own.opened(ctx, host, patch, wide); err != nil {
		return nil, err
	}
	used := &own
	if own.open == nil {
		used = f.on(host, in)
		if patch, err = used.refine(ctx, host); err != nil {
			return nil, err
		}
		used.skins = used.tellSides(host, patch)
	}
	_, err = in.cutter.cutPatch(ctx, used, host, patch)
	return used, err
}

// canBeClosed says whether clamps draw an end together whose gap rises so far over a length, though it does not end within
// their limits.
func (f *finder) canBeClosed(rise, length float64) bool {
	return f.open != nil && rise > 0 && rise <= steepOpen*length
}

// endAhead is what ends the region ahead of a section.
func (f *finder) endAhead(r *region, s section, dir r3.Vector) Edge {
	t := r.trace(s.at, s.across, dir, widestTrace)
	if !t.ok {
		return UnknownEnd
	}
	return f.edgeEnd(r, t.edge[0], t.edge[1]).why
}

// sideGap is the air at a side of a strip.
type sideGap struct {
	gap   float64
	place r3.Vector
}

const (
	justInside = 0.02 // of a side's length from its end, where the air at the side is asked for
	nearLimit  = 0.9  // of the greatest gap that is taken: a strip that ends at more is cut off by it
)

// atSides is the air at both sides of every section. A side that is no free edge is asked only where there are open places:
// otherwise the sheets part there for good.
func (f *finder) atSides(r *region, sections []section) [][2]sideGap {
	if r.stack.n < 2 {
		return nil
	}
	out := make([][2]sideGap, len(sections))
	for i := range sections {
		for k, t := range [2]*trace{&sections[i].left, &sections[i].right} {
			if !t.ok || len(t.path) < 2 || f.open == nil && f.edgeEnd(r, t.edge[0], t.edge[1]).why != FreeEdge {
				continue
			}
			at := t.along(t.length * (1 - justInside))
			n := r.normalAt(at)
			if v := f.classify(r.host, at.point, n); v.stack == r.stack {
				out[i][k] = sideGap{v.gap, at.point.Add(n.Mul(v.offset))}
			}
		}
	}
	return out
}

// cuts are the ends of a line at which its sheets go on facing each other, too far apart.
func (f *finder) cuts(r *region, sections []section, fl *Flange) []Cut {
	if fl.Closed || r.stack.n != 2 || len(sections) < 4 {
		return nil
	}
	a, b := int(r.stack.s[0]), int(r.stack.s[1])
	limit, known := f.clampGap(a, b), f.thicknessKnown([]int{a, b})
	if !known {
		limit = f.mostGap(a, b, f.metal(a, b))
	}
	var out []Cut
	last := len(sections) - 1
	for _, end := range [2]struct {
		at, inside int
		dir        r3.Vector
	}{{0, 1, sections[1].along.Mul(-1)}, {last, last - 1, sections[last-1].along}} {
		if fl.Line[end.inside].Gap >= nearLimit*limit && f.endAhead(r, sections[end.inside], end.dir) == GapOpens {
			out = append(out, Cut{S: fl.Line[end.at].S, Gap: limit, Place: fl.Line[end.at].Point})
		}
	}
	return out
}
