package stackup

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
	"seamwright/geometry/region"
	"seamwright/geometry/surface"
)

// Verdict is what lies on the host at one place.
type Verdict struct {
	Stack    Stack
	Reversed bool          // the stack's order runs against the normal that was asked with
	Short    region.Border // a sheet of the stack that ends just short of the place, if there is one
	Gap      float64       // mm of air, all interfaces together
	Widest   float64       // mm of air between two of the sheets
	Offset   float64       // mm along the normal from the host to the middle of the faying positions
	Why      region.Edge   // why the host is alone here
	Whose    int           // the sheet whose edge or bend it is; -1 for none
	Joints   [2]int16      // of the host's skin sides, above and below: number + 1
}

// contact is one sheet near the place, before it is known whether it belongs to the stack.
type contact struct {
	sheet  int
	height float64 // along the host's normal
	facing bool
	ends   region.Border // what of the sheet ends just short of the place, if the place lies within surface.SharpEdge of it
}

// Ending is a sheet near the place that ends before it reaches it.
type Ending struct {
	Why      region.Edge
	Sheet    int
	Tri      int32 // of the sheet, with what of it is nearest to the place
	Feature  near.Feature
	Distance float64 // mm beside the place
}

// shortest is what ends farthest short of the place among the contacts whose sheets belong to the stack.
func shortest(short region.Border, contacts []contact, s Stack) region.Border {
	for _, c := range contacts {
		if c.ends.Why != region.UnknownEnd && c.ends.Beside.Norm2() > short.Beside.Norm2() && s.Has(c.sheet) {
			short = c.ends
		}
	}
	return short
}

// scene is what is about one place of the host.
type scene struct {
	contacts [2][]contact
	endings  []Ending
	order    []int16
	taken    bool // the last verdict was that of the clamps' limits
}

// Classify says which sheets lie on the host at p, a place on its surface with normal n.
func (h *Host) Classify(p, n r3.Vector) Verdict { return h.Reclassify(p, n, h.Sure(p, n)) }

// Reclassify is Classify where it is known what surely lies there.
func (h *Host) Reclassify(p, n r3.Vector, sure Verdict) Verdict {
	o := &h.opened
	if h.scene.taken = false; len(o.stack) == 0 || !o.places.Beside(p) {
		return sure
	}
	v := o.wide.Sure(p, n)
	if h.scene.taken = v.Stack.N > 0 && v.Stack != sure.Stack && o.holds(p, v.Stack); h.scene.taken {
		return v
	}
	return sure
}

// Sure says what lies on the host within its limits, open places or not.
func (h *Host) Sure(p, n r3.Vector) Verdict {
	h.survey(p, n)
	return h.judge(p, n)
}

// survey finds what is about p.
func (h *Host) survey(p, n r3.Vector) {
	s := h.scene
	s.contacts[Upper], s.contacts[Lower], s.endings = s.contacts[Upper][:0], s.contacts[Lower][:0], s.endings[:0]
	if sights, ok := h.around.candidates(p); ok {
		for i := range sights {
			found := h.around.nearest(h, &sights[i], p, n)
			h.meetAt(sights[i].sheet, &found, p, n)
		}
		return
	}
	for _, x := range h.around.sheets {
		found := h.nearestOn(x, h.Index, everywhere, noHints, p, n)
		h.meetAt(x, &found, p, n)
	}
}

// meetAt adds sheet x, of which the hits are nearest to p.
func (h *Host) meetAt(x int, found *hits, p, n r3.Vector) {
	s := h.scene
	if h.Panels[x].Surface != surface.Solid && h.sameLayer(h.Index, found, n) {
		farther := Upper
		if found[Upper].Point.Sub(p).Norm2() <= found[Lower].Point.Sub(p).Norm2() {
			farther = Lower
		}
		found[farther].Tri = -1
	}
	for side := range found {
		if found[side].Tri < 0 {
			continue
		}
		c, end := h.contact(h.Index, x, found[side], p, n)
		if end.Why != region.UnknownEnd {
			s.endings = append(s.endings, end)
		} else {
			s.contacts[side] = append(s.contacts[side], c)
		}
	}
}

// judge makes the verdict of what has been seen.
func (h *Host) judge(p, n r3.Vector) Verdict {
	s := h.scene
	alone, missed := Verdict{Why: region.Bend, Whose: -1}, math.Inf(1)
	for _, e := range s.endings {
		if e.Distance < missed {
			alone.Why, alone.Whose, missed = e.Why, e.Sheet, e.Distance
		}
	}
	if len(s.contacts[Upper])+len(s.contacts[Lower]) == 0 {
		return alone
	}
	down, up := h.bothSides()
	if h.Panels[h.Index].Surface == surface.Solid && otherSkin(s.order[1+down.n:], s.order[:down.n]) {
		return alone
	}
	if up.n+down.n == 0 {
		if missed > h.SearchGap {
			alone.Why, alone.Whose = region.GapOpens, -1
		}
		return alone
	}
	if h.Panels[h.Index].Whole.Loose && h.clampsBetween(p, n, up.n > 0) {
		return alone
	}
	v := Verdict{Gap: up.air + down.air, Widest: max(up.widest, down.widest),
		Offset: (up.faying + down.faying) / float64(up.n+down.n), Whose: -1, Joints: [2]int16{up.joint, down.joint}}
	order := s.order[:min(len(s.order), MaxStack)]
	if order[0] > order[len(order)-1] {
		slices.Reverse(order)
		v.Reversed = true
	}
	v.Stack.N = int8(copy(v.Stack.S[:], order))
	v.Short = shortest(shortest(v.Short, s.contacts[Upper], v.Stack), s.contacts[Lower], v.Stack)
	return v
}

// clampsBetween says whether the one sheet that lies on the host has another piece of the host on its far side:
// the sheet in the middle then reports the stack, for it alone sees all of it.
func (h *Host) clampsBetween(p, n r3.Vector, up bool) bool {
	s, host := h.scene, h.Index
	if len(s.order) != 2 {
		return false
	}
	side, x := Lower, int(s.order[0])
	if up {
		side, x = Upper, int(s.order[1])
	}
	for _, c := range s.contacts[side] {
		if c.sheet != x {
			continue
		}
		beyond := p.Add(n.Mul(c.height))
		hit := h.nearestOn(host, host, everywhere, noHints, beyond, n)[side]
		if hit.Tri < 0 {
			return false
		}
		far, end := h.contact(x, host, hit, beyond, n)
		if end.Why != region.UnknownEnd {
			return false
		}
		other := &scene{}
		other.contacts[side] = []contact{far}
		return h.chain(other, x, side, math.NaN()).n == 1
	}
	return false
}

// otherSkin says that a solid's strip is reported by its other skin: the one that touches another sheet,
// and between two such sheets the one that touches the higher index. Inward is the lowest sheet first.
func otherSkin(outward, inward []int16) bool {
	return len(outward) == 0 || len(inward) > 0 && outward[0] < inward[len(inward)-1]
}

// contact looks at a sheet where it is nearest to p. An ending says that the sheet ends short of p.
func (h *Host) contact(host, x int, hit near.Hit, p, n r3.Vector) (contact, Ending) {
	sheet := h.Panels[x]
	d := hit.Point.Sub(p)
	c := contact{sheet: x, height: d.Dot(n), facing: sheet.Normals[hit.Tri].Dot(n) < 0}
	least := h.leastCosine(host, x)
	facet := sheet.Facing(hit, n, least)
	beside := d.Sub(facet.Mul(d.Dot(facet)))
	lateral := beside.Norm()
	if lateral <= region.OnEdge {
		return c, Ending{}
	}
	why := sheet.EndsAt(hit, n, least)
	switch {
	case why == region.UnknownEnd:
	case lateral > surface.SharpEdge:
		return contact{}, Ending{Why: why, Sheet: x, Tri: hit.Tri, Feature: hit.Feature, Distance: lateral}
	default:
		c.ends = region.Border{Why: why, Whose: x, Cut: true, Beside: beside}
	}
	return c, Ending{}
}

// Endings is the sheets that end short of the place that was classified just now: within the clamps' limits, where they decided.
func (h *Host) Endings() []Ending {
	if h.scene.taken {
		return h.opened.wide.scene.endings
	}
	return h.scene.endings
}

// Missed is the sheets that end short of a place, within the host's own limits.
func (h *Host) Missed(p, n r3.Vector) []Ending {
	h.survey(p, n)
	return h.scene.endings
}

// MissedLast is Missed of the place that was classified just now.
func (h *Host) MissedLast() []Ending { return h.scene.endings }

// ClassifyLeaning is Classify, and says whether a facet within reach leans by more than the angle limit, but can be drawn on. settled
// says that the same stack lies there within the clamps' limits: no facet leans, nothing ends and all that is met is in the stack.
func (h *Host) ClassifyLeaning(p, n r3.Vector) (v Verdict, leans, settled bool) {
	h.around.leans, h.around.leaners = false, false
	v = h.Classify(p, n)
	s := h.scene
	settled = v.Stack.N > 0 && int(v.Stack.N) == len(s.contacts[Upper])+len(s.contacts[Lower])+1 && len(s.endings) == 0 &&
		!h.around.leaners && !h.Panels[h.Index].Whole.Loose && len(h.opened.stack) == 0
	return v, h.around.leans, settled
}

// Others is the sheets that come within reach of the host.
func (h *Host) Others() []int { return h.around.sheets }

// Beside is the host's triangles that the i-th of the others comes near.
func (h *Host) Beside(i int) []int32 { return h.around.ofHost[i] }

// IsNear says whether a place is known to come within reach of another sheet.
func (h *Host) IsNear(p r3.Vector) bool { return h.around.isNear(p) }
