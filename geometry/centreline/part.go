package centreline

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/kit"
	"seamwright/geometry/region"
)

// Where a sheet goes over into a bend of a wide radius, too wide for its circle to be told (package tangent), it leaves the other
// with no edge between: the angle and the gap at which the stack ends come some millimetres after the flange does. The air
// there grows with the square of the way beyond the place where the sheets part, so that its root, run back to nothing,
// says where that is.
const (
	partingAir   = 0.05 // mm of air more than within the strip, from which sheets are taken to part: above what noise makes
	partingStep  = 0.25 // mm between places that are asked
	partingShare = 0.12 // of the most air: below it noise and the facets of the bend say too much
	partingReach = 0.5  // of a side: sheets that part sooner lie on each other nowhere in particular
	rashReach    = 2    // points to both sides that say where a bend begins while the line is still to move
)

// part moves a settled line into the middle between the places where its sheets part, and ends its sections there.
func (c *Line) part(sections []Section) []Section {
	left, right := c.usable(sections, false)
	if left == nil {
		return sections
	}
	points := places(sections)
	for i := range sections {
		k := i
		if nearest := nearestWhole(sections, i); !(sections[i].leftSide && sections[i].rightSide && !sections[i].over) && nearest >= 0 {
			k = nearest
		}
		s := &sections[i]
		t, shift := s.Left, ((sections[k].Right.Length-right[k])-(sections[k].Left.Length-left[k]))/2
		if shift < 0 {
			t, shift = s.Right, -shift
		}
		if t.Ok && shift > 0 { // by as much from the place itself, for the ends' traces set off inside
			points[i] = points[i].Add(t.Along(shift).Point.Sub(t.Path[0].Point))
		}
	}
	if !c.Closed {
		points = c.reachEnds(points, false)
	}
	moved := c.sections(curve.New(points, c.Closed))
	c.shorten(moved)
	c.smoothSides(moved)
	left, right = c.usable(moved, true)
	if left == nil {
		return moved
	}
	wide, kept := 0.0, 0.0
	for i := range moved {
		s := &moved[i]
		wide += s.Left.Raw() + s.Right.Raw()
		s.Left.Length, s.Right.Length = max(0, left[i]), max(0, right[i])
		kept += s.Left.Length + s.Right.Length
	}
	c.Kept = kept / wide
	return moved
}

// usable is how far every section's sides reach until the sheets part; nil where they end as traced. While the line
// still follows the ragged border at a bend a section's own measure counts, then the middle one of those about it.
func (c *Line) usable(sections []Section, quiet bool) (left, right []float64) {
	if len(c.r.Layers) < 2 {
		return nil, nil
	}
	left, right = make([]float64, len(sections)), make([]float64, len(sections))
	some := false
	for k, out := range [2][]float64{left, right} {
		ends, parting := c.sideEnds(sections, k == 1), false
		for i := range sections {
			out[i] = sections[i].side(k == 1).Length
			parting = parting || ends[i].parts
		}
		for i := 0; parting && i < len(sections); i++ {
			at, parts, bent := c.endAbout(ends, i, smoothReach)
			if !parts {
				continue
			}
			t := sections[i].side(k == 1)
			if t.Bent = bent; !quiet && ends[i].bent {
				at, _, _ = c.endAbout(ends, i, rashReach)
			}
			if !math.IsNaN(ends[i].at) || t.Length > at && !sections[i].over && c.nearEnd(i, len(sections), c.step*float64(len(sections)-1)) {
				out[i], some, t.Parts = at, true, true
			}
		}
	}
	if !some {
		return nil, nil
	}
	return left, right
}

// side is the trace to the left, or to the right.
func (s *Section) side(right bool) *region.Trace {
	if right {
		return &s.Right
	}
	return &s.Left
}

// Turn is by how many degrees the surface turns from one side of the section to the other: each quarter of a side counts that lies
// farthest out.
func (s *Section) Turn() float64 {
	out := func(right bool) r3.Vector {
		t := s.side(right)
		return t.Along(t.Length).Point.Sub(t.Along(0.75 * t.Length).Point)
	}
	left, right := out(false), out(true).Mul(-1)
	return math.Atan2(left.Cross(right).Norm(), left.Dot(right)) * 180 / math.Pi
}

const (
	evenStep = 4      // sections from one to the next that is looked at where nothing changes along a line, give or take one
	evenTo   = 0.0005 // mm by which lengths may leave the straight way from one such section to the next
	evenTurn = 0.001  // radians by which the line turns from one to the next: round curves each facet of a bend is another
)

// sideEnds are how the sections of a line end on one side. Where those some steps apart end alike, and what lies between them is as
// long, it ends as they do; only elsewhere is each looked at. The steps are uneven, so that none is that of the mesh.
func (c *Line) sideEnds(sections []Section, right bool) []sideEnd {
	out := make([]sideEnd, len(sections))
	ask := func(i int) {
		s := &sections[i]
		if t := s.side(right); right {
			out[i] = c.sideEnd(s, *t, s.rightSide && !s.over, s.Across.Mul(-1))
		} else {
			out[i] = c.sideEnd(s, *t, s.leftSide && !s.over, s.Across)
		}
	}
	for from, to := -1, 0; from < len(sections)-1; from, to = to, min(to+evenStep-1+to%3, len(sections)-1) {
		ask(to)
		if from < 0 {
			continue
		}
		even := to-from > 1 && c.isEvenBetween(sections[from:to+1], out[from:to+1], right)
		for i := from + 1; i < to; i++ {
			if even {
				sections[i].Nested = sections[i].Nested || sections[from].Nested
				out[i] = out[from].towards(&out[to], float64(i-from)/float64(to-from), sections[i].side(right).Way())
			} else {
				ask(i)
			}
		}
	}
	return out
}

// isEvenBetween says whether the ends of a row of sections are alike, and the sections between are as long as those say.
func (c *Line) isEvenBetween(sections []Section, ends []sideEnd, right bool) bool {
	last := len(sections) - 1
	a, b := &sections[0], &sections[last]
	if !ends[0].isLike(&ends[last]) || a.Along.Sub(b.Along).Norm() > evenTurn || a.Nested != b.Nested {
		return false
	}
	first, end := a.side(right), b.side(right)
	for i := range sections {
		s := &sections[i]
		t := s.side(right)
		would := first.Length + (end.Length-first.Length)*float64(i)/float64(last)
		isSide := s.leftSide
		if right {
			isSide = s.rightSide
		}
		if !isSide || s.over || !(math.Abs(t.Length-would) <= evenTo) || c.r.End(t.Edge[0], t.Edge[1]).Why == region.FreeEdge {
			return false
		}
	}
	return true
}

// sideEnd is how a side of a section ends.
type sideEnd struct {
	at     float64                    // mm along the trace, where no bend ends it; not a number at no side, or at a free edge
	parts  bool                       // the sheets part before the trace's own end
	beyond float64                    // mm of the trace beyond where they part, where no bend ends it
	bends  [region.MostLayers]float64 // mm along the trace to where each sheet of the stack bends away, or not a number
	bent   bool                       // one of them does
}

// isLike says whether two sides end in the same way, as nearly at the same place as it takes for what is between them to do so too.
func (e *sideEnd) isLike(o *sideEnd) bool {
	alike := func(a, b float64) bool { return math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= evenTo }
	for i := range e.bends {
		if !alike(e.bends[i], o.bends[i]) {
			return false
		}
	}
	return e.parts == o.parts && e.bent == o.bent && alike(e.beyond, o.beyond)
}

// towards is the end of a side that is so long, a part of the way from one end to another that is like it.
func (e *sideEnd) towards(o *sideEnd, part, length float64) sideEnd {
	out := *e
	for i := range out.bends {
		out.bends[i] += (o.bends[i] - e.bends[i]) * part
	}
	out.beyond += (o.beyond - e.beyond) * part
	out.at = length - out.beyond
	return out
}

func (c *Line) sideEnd(s *Section, t region.Trace, isSide bool, dir r3.Vector) sideEnd {
	if !isSide || c.r.End(t.Edge[0], t.Edge[1]).Why == region.FreeEdge {
		return sideEnd{at: math.NaN()}
	}
	if bends, bent := c.turnsAway(s, t, dir); bent {
		return sideEnd{at: t.Way(), parts: true, bends: bends, bent: true}
	}
	beyond := c.parting(t, isSide)
	return sideEnd{at: t.Way() - beyond, parts: beyond > 0, beyond: beyond}
}

// endAbout is the middle one of the ends about point i, whether sheets part at any of them, and whether at most of
// these because of a bend.
func (c *Line) endAbout(ends []sideEnd, i, reach int) (at float64, parts, bent bool) {
	known := make([]float64, 0, 2*reach+1)
	var bends [region.MostLayers][]float64
	count := 0
	for k := i - reach; k <= i+reach; k++ {
		j := k
		if c.Closed {
			j = (k + len(ends)) % len(ends)
		}
		if j < 0 || j >= len(ends) || math.IsNaN(ends[j].at) {
			continue
		}
		known = append(known, ends[j].at)
		parts = parts || ends[j].parts
		if !ends[j].bent {
			continue
		}
		count++
		for sheet, start := range ends[j].bends[:len(c.r.Layers)] {
			if !math.IsNaN(start) {
				bends[sheet] = append(bends[sheet], start)
			}
		}
	}
	if len(known) == 0 {
		return 0, false, false
	}
	if 2*count < len(known) {
		return kit.Median(known), parts, false
	}
	at = math.Inf(1)
	for _, starts := range bends {
		if 3*len(starts) > count {
			at = min(at, kit.Median(starts))
		}
	}
	return at, parts, true
}

// parting is how much of a trace lies beyond the place where the sheets part; not a number where it ends at no side.
func (c *Line) parting(t region.Trace, isSide bool) float64 {
	if !isSide {
		return math.NaN()
	}
	if c.r.End(t.Edge[0], t.Edge[1]).Why == region.FreeEdge {
		return 0
	}
	length := t.Way()
	at := length - region.OnEdge
	near, amid, far := c.air(t, 0), c.air(t, length/2), c.air(t, at)
	more := func(x, air float64) float64 { return air - near - 2*(amid-near)*x/length }
	most := more(at, far)
	if !(most > partingAir) {
		return 0
	}
	slope := 0.0
	for x := at - partingStep; x > length/2; x -= partingStep {
		e := more(x, c.air(t, x))
		if !(e > float64(partingShare*most)) {
			break
		}
		slope = max(slope, (math.Sqrt(most)-math.Sqrt(e))/(at-x))
	}
	if beyond := math.Sqrt(most) / slope; beyond < partingReach*length {
		return beyond
	}
	return 0
}

// air is what lies between the sheets at a length along a trace; not a number where there is another stack.
func (c *Line) air(t region.Trace, x float64) float64 {
	p := t.Along(x)
	if air, here := c.r.Air(p.Point, c.r.NormalAt(p)); here {
		return air
	}
	return math.NaN()
}
