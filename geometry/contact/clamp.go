package contact

import (
	"context"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
)

const (
	openBorder = 2.   // mm of border where the gap opens from which a host is looked at again
	SteepOpen  = 0.02 // rise per length: sheets that part more steeply, to beyond what clamps close, part for good. Chosen.
)

// isOpening says whether a host's stacks end where a gap opens, over a length that is worth a second look.
func (c *cutter) isOpening() bool {
	length := 0.0
	opens := func(v int32) bool {
		b := &c.borders[v]
		return b.Cut && (b.Why == region.GapOpens || b.Why == region.StackEnds)
	}
	for _, tris := range c.tris {
		for _, t := range tris {
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

// loosely is what matters of a verdict within the clamps' limits: a quarter of it, and all points of a patch may have one.
type loosely struct {
	stack  stackup.Stack
	widest float64 // mm of air between two of the sheets
	leaves bool    // nothing lies there, for a sheet leans by more than what clamps close
}

func looselyOf(v *stackup.Verdict) loosely {
	return loosely{v.Stack, v.Widest, v.Why == region.Bend && v.Whose >= 0}
}

// looselyAt is what a host with the clamps' limits says of a point of a patch.
func looselyAt(closing *stackup.Host, p *region.Patch, point int) loosely {
	v := closing.Sure(p.Points[point], p.Normals[point])
	return looselyOf(&v)
}

// openPart is places of a patch that hang together and where clamps close the same sheets.
type openPart struct {
	stack  stackup.Stack
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
func openParts(h *stackup.Host, p *region.Patch, sure []stackup.Verdict, loose []loosely) (out []openPart) {
	open := make([]int32, len(p.Points)) // numbers + 1
	var places []int32
	for v := range p.Points {
		if loose[v].stack.N > 0 && loose[v].stack != sure[v].Stack {
			places = append(places, int32(v))
			open[v] = int32(len(places))
		}
	}
	beside := besideSome(p.Tris, open, len(places))
	done := make([]bool, len(p.Points))
	for _, first := range places {
		if done[first] {
			continue
		}
		done[first] = true
		part := openPart{stack: loose[first].stack, places: []int32{first}}
		for i := 0; i < len(part.places); i++ {
			v := part.places[i]
			about := beside[open[v]-1]
			part.take(h, v, about, sure, loose)
			for _, w := range about {
				if !done[w] && open[w] > 0 && loose[w].stack == part.stack {
					done[w] = true
					part.places = append(part.places, w)
				}
			}
		}
		if part.opens && (part.joins || len(part.from) > 0) && !partsForGood(p, &part, h.ClosedGapOf(part.stack)-h.SearchGap) {
			out = append(out, part)
		}
	}
	return out
}

// besideSome are the points beside each of some points of triangles, rising. The points are numbered; others have 0.
func besideSome(tris [][3]int32, number []int32, count int) [][]int32 {
	out := make([][]int32, count)
	if count == 0 {
		return out
	}
	for _, t := range tris {
		for k, v := range t {
			if i := number[v] - 1; i >= 0 {
				out[i] = append(out[i], t[(k+1)%3], t[(k+2)%3])
			}
		}
	}
	for i := range out {
		slices.Sort(out[i])
		out[i] = slices.Compact(out[i])
	}
	return out
}

// take counts in what lies about one of the places.
func (o *openPart) take(h *stackup.Host, v int32, about []int32, sure []stackup.Verdict, loose []loosely) {
	isFrom, isGone, leaves := false, false, false
	wide := loose[v].widest > h.SearchGap
	for _, w := range about {
		isFrom = isFrom || sure[w].Stack == o.stack
		isGone = isGone || wide && sure[w].Stack.N > o.stack.N // where another sheet comes between, no clamp closes the gap
		if lost := sure[w].Stack.N == 0 && loose[w].stack.N == 0; lost {
			isGone, leaves = isGone || sure[w].Why == region.GapOpens, leaves || loose[w].leaves
		}
	}
	o.opens, o.joins = o.opens || wide, o.joins || !wide
	if isFrom {
		o.from = append(o.from, v)
	}
	if isGone {
		o.gone = append(o.gone, v)
	}
	if sure[v].Why == region.Bend && sure[v].Stack.N == 0 {
		o.leans++
		o.leaves += kit.CountIf(leaves && wide)
	}
}

const mostCompared = 400 // places at a part's ends that are held against each other

// partsForGood says whether the sheets part for good: the way from where the gap begins to open to where clamps no longer
// close it is too short for its rise, or a sheet that leans all along turns away.
func partsForGood(p *region.Patch, o *openPart, rise float64) bool {
	if o.leaves > 0 && 2*o.leans > len(o.places) {
		return true
	}
	longest := rise / SteepOpen
	for i := 0; i < len(o.gone); i += 1 + len(o.gone)/mostCompared {
		for k := 0; k < len(o.from); k += 1 + len(o.from)/mostCompared {
			if p.Points[o.gone[i]].Sub(p.Points[o.from[k]]).Norm2() < longest*longest {
				return true
			}
		}
	}
	return false
}

// narrowOpening is a way on which the gap opens just before a sheet's edge is passed: its end lies beyond the edge, so that no point of
// the patch tells that the sheets stand open between the two.
type narrowOpening struct {
	w  way
	at float64 // fraction of the way
}

// narrowSteps is in how many parts the rest of such a way is looked at.
const narrowSteps = 8

// isClosed says whether clamps close it: the sheets are within their limits from where the gap opens to the edge.
func (o *narrowOpening) isClosed(closing *stackup.Host) bool {
	for i := range narrowSteps {
		s := o.at + (1-o.at)*float64(i)/narrowSteps
		if i == 0 {
			s += 2 * cutTolerance / o.w.length
		}
		if v := closing.Sure(o.w.at(s)); v.Stack != o.w.want {
			return i > 0 && v.Stack.N == 0 && v.Why == region.FreeEdge
		}
	}
	return true
}

// ajar is a place where a narrow opening begins.
type ajar struct {
	p     r3.Vector
	stack stackup.Stack
}

// openPlaces takes the host's open places, as told beside wide, the same host within the clamps' limits, and narrow ones. It returns
// what surely lies at the patch's points, and h.AnyOpen says whether there are open ones.
func (in *Workspace) openPlaces(ctx context.Context, h, wide *stackup.Host, p *region.Patch, narrow []ajar) ([]stackup.Verdict, error) {
	sure, loose := make([]stackup.Verdict, len(p.Points)), make([]loosely, len(p.Points))
	err := in.each(ctx, wide, len(p.Points), func(wide *stackup.Host, from, to int) {
		h := wide.Within()
		for v := from; v < to; v++ {
			var settled bool
			if sure[v], _, settled = h.ClassifyLeaning(p.Points[v], p.Normals[v]); settled {
				loose[v] = looselyOf(&sure[v])
			} else {
				loose[v] = looselyAt(wide, p, v)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	for _, part := range openParts(h, p, sure, loose) {
		for _, v := range part.places {
			h.Open(wide, p.Points[v], part.stack)
		}
	}
	for _, o := range narrow {
		h.Open(wide, o.p, o.stack)
	}
	return sure, nil
}

// cutOpen cuts a host's patch with its open places, given what surely lies at its points.
func (in *Workspace) cutOpen(ctx context.Context, h *stackup.Host, patch *region.Patch, sure []stackup.Verdict) error {
	c := &in.cutter
	c.reset(h, patch)
	if err := in.each(ctx, h, len(patch.Points), func(h *stackup.Host, from, to int) {
		for v := from; v < to; v++ {
			c.verdicts[v] = h.Reclassify(patch.Points[v], patch.Normals[v], sure[v])
		}
	}); err != nil {
		return err
	}
	return c.run(ctx, in)
}

// firstLook is what some of a patch's points say the first time that they are asked.
type firstLook struct {
	endings []stackup.Ending
	leaning []int32   // points where nothing lies and a facet leans
	loose   []loosely // what lies there within the clamps' limits
}

// classify finds what lies at all points of the cutter's patch, and within the clamps' limits where a facet leans and nothing lies; nil
// where there is no such point.
func (in *Workspace) classify(ctx context.Context, h *stackup.Host) (loose []loosely, err error) {
	c := &in.cutter
	p := c.patch
	n := len(p.Points)
	c.settled, c.missed = kit.Sized(c.settled, n), kit.Sized(c.missed, n)
	looks := make([]firstLook, (n+atOnce-1)/atOnce)
	if err := in.each(ctx, h, n, func(h *stackup.Host, from, to int) {
		closing, look := h.Clamped(), &looks[from/atOnce]
		for v := from; v < to; v++ {
			var leans bool
			c.verdicts[v], leans, c.settled[v] = h.ClassifyLeaning(p.Points[v], p.Normals[v])
			first := int32(len(look.endings))
			look.endings = append(look.endings, h.MissedLast()...)
			c.missed[v] = endings{first, int32(len(look.endings)), true}
			if leans && c.verdicts[v].Stack.N == 0 {
				look.leaning = append(look.leaning, int32(v))
				look.loose = append(look.loose, looselyAt(closing, p, v))
			}
		}
	}); err != nil {
		return nil, err
	}
	for i, look := range looks {
		for v := i * atOnce; v < min(n, (i+1)*atOnce); v++ {
			c.missed[v].from, c.missed[v].to = c.missed[v].from+int32(len(c.endings)), c.missed[v].to+int32(len(c.endings))
		}
		c.endings = append(c.endings, look.endings...)
		if loose == nil && len(look.leaning) > 0 {
			loose = make([]loosely, n)
		}
		for k, v := range look.leaning {
			loose[v] = look.loose[k]
		}
	}
	return loose, nil
}

// cutPatch cuts the patch of a host without open places along the borders of its stacks, and says whether that calls for a second
// look, with the clamps' limits: where stacks end because the gap opens, or places lean.
func (in *Workspace) cutPatch(ctx context.Context, h *stackup.Host, patch *region.Patch) (opening bool, err error) {
	c := &in.cutter
	c.reset(h, patch)
	loose, err := in.classify(ctx, h)
	if err != nil {
		return false, err
	}
	known := len(c.patch.Points)
	before := *patch
	before.Tris = slices.Clone(patch.Tris)
	if err := c.run(ctx, in); err != nil {
		return false, err
	}
	opens := c.isOpening()
	closing := h.Clamped()
	c.ajar = c.ajar[:0]
	for i := range c.narrow {
		if opens && c.narrow[i].isClosed(closing) {
			p, _ := c.narrow[i].w.at(c.narrow[i].at)
			c.ajar = append(c.ajar, ajar{p, c.narrow[i].w.want})
		}
	}
	if loose == nil && !opens {
		return false, nil
	}
	if loose == nil {
		loose = make([]loosely, known)
	}
	if opens {
		if err := in.loosen(ctx, h, loose); err != nil {
			return false, err
		}
	}
	before.Points = c.patch.Points[:known]
	asked := make([]bool, known)
	for _, t := range before.Tris {
		if loose[t[0]].stack.N+loose[t[1]].stack.N+loose[t[2]].stack.N == 0 {
			continue
		}
		for _, v := range t {
			if c.verdicts[v].Stack.N == 0 && loose[v].stack.N == 0 && !asked[v] {
				asked[v], loose[v] = true, looselyAt(closing, c.patch, int(v))
			}
		}
	}
	return len(c.ajar) > 0 || len(openParts(h, &before, c.verdicts[:known], loose)) > 0, nil
}

// loosen finds what lies within the clamps' limits at those of the patch's points where that may be more than within the plain ones.
func (in *Workspace) loosen(ctx context.Context, h *stackup.Host, loose []loosely) error {
	c := &in.cutter
	return in.each(ctx, h, len(loose), func(h *stackup.Host, from, to int) {
		closing := h.Clamped()
		for v := from; v < to; v++ {
			is := &c.verdicts[v]
			switch {
			case (is.Stack.N == 0 || len(h.Others()) == 1) && (is.Stack.N > 0 || is.Why != region.GapOpens):
			case c.settled[v]:
				loose[v] = looselyOf(is)
			default:
				loose[v] = looselyAt(closing, c.patch, v)
			}
		}
	})
}

// reopen cuts the host once more, with its open places.
func (in *Workspace) reopen(ctx context.Context, a *stackup.Assembly, index int) (*stackup.Host, error) {
	wide := a.On(index, true, &in.asked)
	patch, err := in.refine(ctx, wide, true)
	if err != nil {
		return nil, err
	}
	wide.TellSides(patch.Points, patch.Normals)
	h := wide.Within()
	sure, err := in.openPlaces(ctx, h, wide, patch, in.cutter.ajar)
	if err != nil {
		return nil, err
	}
	if h.AnyOpen() {
		return h, in.cutOpen(ctx, h, patch, sure)
	}
	h = a.On(index, false, &in.asked)
	if patch, err = in.refine(ctx, h, false); err != nil {
		return nil, err
	}
	h.TellSides(patch.Points, patch.Normals)
	_, err = in.cutPatch(ctx, h, patch)
	return h, err
}
