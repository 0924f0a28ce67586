package stackup

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/space"
	"seamwright/geometry/surface"
)

// Span is a part of the host: it lies within the hull of its corners, and its normals lean from the axis by an angle at most.
type Span struct {
	Corners []r3.Vector
	Axis    r3.Vector
	Lean    float64 // radians
}

// Reports says whether a stack that the host reports may lie anywhere on a part of it, within the plain limits or those of the
// clamps. Yes is no promise; no is sure: of the sheets on each other the host has the lowest number, so that straight over the
// part, as near as the first of a stack, there must be a parallel facet of a higher one, or a lower one on both sides, which then
// does not count (see contact).
//
// Straight over it means: a sheet that goes on beyond the place of it that is nearest lies from there in a direction within the
// angle at which its facets stand to the host, for along any way over the sheet the distance grows. So the facet is no farther
// aside than its height times the tangent of that angle.
func (h *Host) Reports(s *Span) bool {
	box := space.EmptyBox()
	for _, p := range s.Corners {
		box.Hold(p)
	}
	if s.Lean > math.Pi/2 {
		return len(h.around.sheets) > 0
	}
	low, high := s.along(s.Axis)
	sin, cos := 0.0, 1.0
	if s.Lean > 0 {
		sin, cos = math.Sincos(s.Lean)
	}
	var about beside
	for i, x := range slices.Backward(h.around.sheets) { // those of a higher number first, of which one is enough
		o := &h.around.over[i]
		other := h.Panels[x]
		if !box.Grow(o.reach).Overlaps(other.Tree.Box()) {
			continue
		}
		q := prospect{span: s, other: other, cos: o.cos*cos - o.sin*sin - kit.Rounding, low: low, high: high, beside: &about,
			most: o.most + float64(o.reach*s.Lean), enough: x > h.Index}
		if !(q.cos > 0) {
			return true
		}
		q.aside = aside(other.Tilt+s.Lean+o.angle, o.reach, q.most, q.enough)
		high := o.reach
		if q.enough {
			high = min(high, q.most)
		}
		within := s.over(box, high, q.aside)
		if o.last >= 0 && other.BoxOf(o.last).Overlaps(within) && !q.meets(o.last) {
			return true
		}
		other.Tree.Overlapping(within, func(tri int32) bool {
			o.last = tri
			return q.meets(tri)
		})
		if q.found {
			return true
		}
		o.last = -1
	}
	return false
}

// over is what is to be known of another sheet to say whether it may lie over a part of the host.
type over struct {
	reach    float64 // mm within which its facets are asked about
	cos, sin float64 // of the angle that clamps close
	angle    float64 // radians: it
	most     float64 // mm above the host's mesh, or below it, at which it may be the first sheet of a stack
	last     int32   // of its triangles the one that was found last over a part, or -1; it is tried first
}

func (h *Host) overOf(x int) over {
	cos := min(1, h.closedCosine(h.Index, x))
	return over{reach: h.Reach(h.Index, x) + kit.Rounding, cos: cos, sin: math.Sqrt(1 - cos*cos), angle: math.Acos(cos),
		most: h.firstReach(h.Index, x) + kit.Rounding, last: -1}
}

// firstReach is how far above the host's mesh, or below it, that of a sheet can be that is the first of a stack on that side.
func (h *Host) firstReach(host, x int) float64 {
	a, b := h.Panels[host], h.Panels[x]
	metal := a.GreatestMetal() + b.GreatestMetal()
	if a.Thickness == 0 || b.Thickness == 0 {
		return max(h.UnknownReach, metal+h.UnknownReach/2) + fileRounding
	}
	return metal + max(h.SearchGap, h.ClosedGap(host, x)) + fileRounding
}

// along is from where to where a span reaches in a direction.
func (s *Span) along(dir r3.Vector) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range s.Corners {
		d := p.Dot(dir)
		low, high = min(low, d), max(high, d)
	}
	return low, high
}

// beside are two directions square to a span's axis and to each other, and from where to where it reaches in them: told when a facet is
// held against them first.
type beside struct {
	known     bool
	dir       [2]r3.Vector
	low, high [2]float64
}

func (b *beside) tell(s *Span) {
	b.known = true
	b.dir[0] = s.Axis.Ortho()
	b.dir[1] = s.Axis.Cross(b.dir[0])
	for k, d := range b.dir {
		b.low[k], b.high[k] = s.along(d)
	}
}

// aside is how far beside a place a facet of a sheet that goes on beyond it is that is nearest to the place, with an angle
// between the two at most: within a distance, or no higher than the first of a stack.
func aside(angle, reach, most float64, first bool) float64 {
	if angle > math.Pi/3 {
		return math.Inf(1)
	}
	sin, cos := math.Sincos(angle)
	out := float64(reach * sin)
	if first {
		out = min(out, most*sin/cos)
	}
	return out + surface.SharpEdge + kit.Rounding
}

// over is a box about all that lies no higher than by a distance straight over the span, of which a box is given, or below it, and no
// farther aside of that than by another.
func (s *Span) over(box space.Box, high, aside float64) space.Box {
	if aside >= high {
		return box.Grow(high)
	}
	grow := func(axis float64) float64 { return high*math.Abs(axis) + aside*math.Sqrt(max(0, 1-axis*axis)) }
	by := r3.Vector{X: grow(s.Axis.X), Y: grow(s.Axis.Y), Z: grow(s.Axis.Z)}
	return space.Box{Min: box.Min.Sub(by), Max: box.Max.Add(by)}
}

// isOff says whether a triangle lies farther beside a span than by a distance.
func (b *beside) isOff(p, q, r r3.Vector, by float64) bool {
	for k, d := range b.dir {
		i, j, l := p.Dot(d), q.Dot(d), r.Dot(d)
		if min(i, j, l) > b.high[k]+by || max(i, j, l) < b.low[k]-by {
			return true
		}
	}
	return false
}

// prospect is the search for one other sheet's facets over a span.
type prospect struct {
	span      *Span
	other     *surface.Panel
	cos       float64 // of the angle that its facets may be off the span's axis
	low, high float64 // of the span along its axis
	beside    *beside
	aside     float64 // mm beside the span within which a facet is straight over it
	most      float64 // mm above or below it
	enough    bool    // one side of the span is
	sides     [2]bool
	found     bool
}

// meets takes a facet, and says whether others are still to be looked at.
func (q *prospect) meets(tri int32) bool {
	normal := q.other.Normals[tri]
	cos := normal.Dot(q.span.Axis)
	if math.Abs(cos) < q.cos || normal == (r3.Vector{}) {
		return true
	}
	a, b, c := q.other.Mesh.Corners(int(tri))
	i, j, k := a.Dot(q.span.Axis), b.Dot(q.span.Axis), c.Dot(q.span.Axis)
	lowest, highest := min(i, j, k), max(i, j, k)
	if q.enough && !(lowest-q.high <= q.most && q.low-highest <= q.most) {
		return true
	}
	if !q.beside.known {
		q.beside.tell(q.span)
	}
	if q.beside.isOff(a, b, c, q.aside) {
		return true
	}
	if q.enough {
		q.found = true
		return false
	}
	if q.other.Surface == surface.Solid {
		q.sides[Upper], q.sides[Lower] = q.sides[Upper] || cos < 0, q.sides[Lower] || cos > 0
	} else {
		on := a.Dot(normal)
		over, under := true, true
		if !math.IsInf(q.aside, 1) {
			rise := surface.SharpEdge + max(math.Abs(b.Dot(normal)-on), math.Abs(c.Dot(normal)-on)) // of the facet above its plane
			over, under = highest > q.low-rise, lowest < q.high+rise
		}
		if over && !q.sides[Upper] || under && !q.sides[Lower] {
			low, high := q.span.along(normal)
			if cos < 0 {
				over, under = over && on < high+kit.Rounding, under && on > low-kit.Rounding
			} else {
				over, under = over && on > low-kit.Rounding, under && on < high+kit.Rounding
			}
			q.sides[Upper], q.sides[Lower] = q.sides[Upper] || over, q.sides[Lower] || under
		}
	}
	q.found = q.sides[Upper] && q.sides[Lower]
	return !q.found
}
