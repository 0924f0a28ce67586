package contact

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

const (
	cutTolerance = 5e-4 // mm: how closely the border of a region is found along an edge before it is reckoned
	cutFinest    = 1e-6 // mm: how closely a border is found that is no sheet's edge
	secondLook   = 0.01 // mm beyond, where the distance to a crooked edge is taken once more
	leastGrowth  = 0.05 // of that distance with the way: below, the way runs along the edge
)

// way is the straight way from a patch point to another along which a stack ends.
type way struct {
	*stackup.Host
	c      *cutter
	a, b   r3.Vector
	na, nb r3.Vector
	length float64
	want   stackup.Stack    // lies at a
	in     float64          // fraction of the way up to which it is known to lie
	out    float64          // fraction from which it is known not to
	beyond stackup.Verdict  // at out
	short  []stackup.Ending // the sheets that end before out
	looked bool             // short is known
	ends   [2]int32         // patch points
}

// ending is where on a way the stack ends, and what ends it.
type ending struct {
	at     float64 // fraction of the way
	p, n   r3.Vector
	border region.Border
}

// at is a place on the way, with the surface's normal.
func (w *way) at(s float64) (p, n r3.Vector) {
	n = w.na.Mul(1 - s).Add(w.nb.Mul(s))
	if l := n.Norm(); l > 0 {
		n = n.Mul(1 / l)
	}
	return w.a.Mul(1 - s).Add(w.b.Mul(s)), n
}

// wayOf is the way between two patch points, to be asked of the host by one who may write over short.
func (c *cutter) wayOf(h *stackup.Host, from, to int32, short []stackup.Ending) way {
	w := way{Host: h, c: c, a: c.patch.Points[from], b: c.patch.Points[to], na: c.patch.Normals[from], nb: c.patch.Normals[to],
		want: c.verdicts[from].Stack, out: 1, beyond: c.verdicts[to], short: short, ends: [2]int32{from, to}}
	w.length = w.a.Sub(w.b).Norm()
	return w
}

// find finds where the stack at the beginning of the way ends.
func (w *way) find() (e ending) {
	w.narrow()
	s, exact := w.exact()
	if !exact {
		s = w.halve()
	}
	e.at = s
	e.p, e.n = w.at(s)
	e.border = w.border()
	return e
}

// cut finds where the stack at point from ends on the way to point to.
func (c *cutter) cut(from, to int32) int32 {
	key := kit.WayKey(from, to)
	if i, known := c.cuts.Get(key); known {
		return i
	}
	w := c.wayOf(c.Host, from, to, c.short)
	var e ending
	if i, known := c.foreseen.Get(key); known {
		e = c.ends[i]
	} else {
		e = w.find()
		c.short = w.short
	}
	p := c.weld(w.a, w.b, e.p)
	if p.Sub(w.b).Norm2() < bentBorder*bentBorder {
		c.graze(to)
	}
	if e.border.Why == region.GapOpens && c.verdicts[to].Why == region.FreeEdge {
		c.narrow = append(c.narrow, narrowOpening{w: w, at: e.at})
	}
	i := c.add(p, e.n, e.border)
	c.cuts.Set(key, i)
	return i
}

func (c *cutter) graze(v int32) {
	if len(c.grazed) < len(c.patch.Points) {
		c.grazed = append(c.grazed, make([]bool, len(c.patch.Points)-len(c.grazed))...)
	}
	c.grazed[v] = true
}

// border says what ends the stack at the end of the way that is left. Where another stack follows, it is the
// sheet that is no longer in it.
func (w *way) border() region.Border {
	if w.beyond.Stack.N == 0 {
		return region.Border{Why: w.beyond.Why, Whose: w.beyond.Whose, Cut: true}
	}
	for _, e := range w.shortOfOut() {
		if w.want.Has(e.Sheet) && !w.beyond.Stack.Has(e.Sheet) {
			return region.Border{Why: e.Why, Whose: e.Sheet, Cut: true}
		}
	}
	return region.Border{Why: region.StackEnds, Whose: -1, Cut: true}
}

// misses is how often a foreseen end may be wrong before the way is only halved.
const misses = 3

// narrow closes in on the end: it tries both sides of where a sheet's edge is foreseen, and halves otherwise.
func (w *way) narrow() {
	half := 0.45 * cutTolerance / w.length
	missed := 0
	foreseen, known := w.foresee()
	for (w.out-w.in)*w.length > cutTolerance {
		s, short, long := (w.in+w.out)/2, false, false
		if known {
			if short = foreseen-half > w.in && foreseen-half < w.out; short {
				s = foreseen - half
			} else if long = foreseen+half < w.out && foreseen+half > w.in; long {
				s = foreseen + half
			}
		}
		inside := w.ask(s)
		if known && (!short && !long || short && !inside || long && inside) {
			if missed++; missed > misses {
				known = false
			} else {
				foreseen, known = w.foresee()
			}
		}
	}
}

// ask finds out whether the stack lies at s.
func (w *way) ask(s float64) bool {
	p, n := w.at(s)
	v := w.Classify(p, n)
	if v.Stack == w.want {
		w.in = s
		return true
	}
	w.out, w.beyond = s, v
	w.short, w.looked = append(w.short[:0], w.Endings()...), true
	return false
}

// shortOfOut is the sheets that end before out.
func (w *way) shortOfOut() []stackup.Ending {
	if !w.looked {
		w.short, w.looked = append(w.short[:0], w.missedAt(w.out)...), true
	}
	return w.short
}

// foresee says where on the way the first edge is passed of a sheet that is in one of the two stacks only.
func (w *way) foresee() (float64, bool) {
	first := math.Inf(1)
	for _, e := range w.shortOfOut() {
		if w.want.Has(e.Sheet) && !w.beyond.Stack.Has(e.Sheet) {
			first = math.Min(first, w.passes(e, surface.SharpEdge))
		}
	}
	if w.beyond.Stack.N > 0 {
		for _, e := range w.missedAt(w.in) {
			if !w.want.Has(e.Sheet) && w.beyond.Stack.Has(e.Sheet) {
				first = math.Min(first, w.passes(e, surface.SharpEdge))
			}
		}
	}
	return first, first > w.in && first < w.out
}

// exact says where the edge itself lies at which a sheet ends, or begins: until surface.SharpEdge beside it the sheet counts
// as present, so that the way was narrowed down to there.
func (w *way) exact() (float64, bool) {
	at, dir := w.out, 1.0
	e := missing(w.shortOfOut(), w.want, w.beyond.Stack)
	if e.Why == region.UnknownEnd {
		at, dir = w.in, -1
		if e = w.missingAt(w.in, w.beyond.Stack, w.want); e.Why == region.UnknownEnd {
			return 0, false
		}
	}
	felt, edge := w.passes(e, surface.SharpEdge), w.passes(e, 0)
	if math.IsInf(felt, 0) {
		second := w.missingAt(at+dir*secondLook/w.length, only(e), stackup.Stack{})
		growth := (second.Distance - e.Distance) / secondLook * w.length
		if second.Why != e.Why || !(growth > leastGrowth*w.length) {
			return 0, false
		}
		felt, edge = at-dir*(e.Distance-surface.SharpEdge)/growth, at-dir*e.Distance/growth
	}
	if slack := 0.1 * cutTolerance / w.length; !(felt >= w.in-slack && felt <= w.out+slack &&
		math.Abs(felt-edge)*w.length <= surface.SharpEdge/leastGrowth) {
		return 0, false
	}
	return math.Min(math.Max(edge, -region.BeyondWay/w.length), 1+region.BeyondWay/w.length), true
}

// only is a stack of the sheet alone.
func only(e stackup.Ending) stackup.Stack {
	return stackup.Stack{N: 1, S: [stackup.MaxStack]int16{int16(e.Sheet)}}
}

// missingAt is the nearest ending, at s, of a sheet that is in one stack and not in the other.
func (w *way) missingAt(s float64, in, not stackup.Stack) stackup.Ending {
	return missing(w.missedAt(s), in, not)
}

// missedAt is the sheets that end short of s.
func (w *way) missedAt(s float64) []stackup.Ending {
	if s == 0 || s == 1 {
		return w.c.missedAt(w.Host, w.ends[int(s)])
	}
	return w.Missed(w.at(s))
}

func missing(endings []stackup.Ending, in, not stackup.Stack) (nearest stackup.Ending) {
	for _, e := range endings {
		if in.Has(e.Sheet) && !not.Has(e.Sheet) && (nearest.Why == region.UnknownEnd || e.Distance < nearest.Distance) {
			nearest = e
		}
	}
	return nearest
}

// halve closes in on an end that is no sheet's edge.
func (w *way) halve() float64 {
	for (w.out-w.in)*w.length > cutFinest {
		s := (w.in + w.out) / 2
		if s <= w.in || s >= w.out {
			break // no number lies between the two
		}
		w.ask(s)
	}
	return w.in
}

// passes is where on the way the edge at which a sheet ends is passed by a distance, or infinite where it is a corner.
func (w *way) passes(e stackup.Ending, by float64) float64 {
	if e.Feature < near.EdgeAB || e.Feature > near.EdgeCA {
		return math.Inf(1)
	}
	sheet := w.Panels[e.Sheet]
	k := int(e.Feature - near.EdgeAB)
	tri := sheet.Mesh.Triangles[e.Tri]
	p, q, third := sheet.Mesh.Vertices[tri[k]], sheet.Mesh.Vertices[tri[(k+1)%3]], sheet.Mesh.Vertices[tri[(k+2)%3]]
	out := q.Sub(p).Cross(sheet.Normals[e.Tri])
	if out.Dot(third.Sub(p)) > 0 {
		out = out.Mul(-1)
	}
	out = out.Normalize()
	from, to := w.a.Sub(p).Dot(out), w.b.Sub(p).Dot(out)
	return (by - from) / (to - from)
}
