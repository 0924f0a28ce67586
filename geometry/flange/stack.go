package flange

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// maxStack is the most sheets that are told apart in one stack-up; welding rules stop at three.
const maxStack = 5

// stack names the sheets that lie on each other at a place, in order; the order that starts with the
// lower index is used, so that both sides of a sheet give the same stack. The zero stack is none.
type stack struct {
	n int8
	s [maxStack]int16
}

func (s stack) sheets() []int {
	out := make([]int, s.n)
	for i := range out {
		out[i] = int(s.s[i])
	}
	return out
}

func (s stack) has(sheet int) bool { return slices.Contains(s.s[:s.n], int16(sheet)) }

// verdict is what lies on the host at one place.
type verdict struct {
	stack    stack
	reversed bool     // the stack's order runs against the normal that was asked with
	short    border   // a sheet of the stack that ends just short of the place, if there is one
	gap      float64  // mm of air, all interfaces together
	widest   float64  // mm of air between two of the sheets
	offset   float64  // mm along the normal from the host to the middle of the faying positions
	why      Edge     // why the host is alone here
	whose    int      // the sheet whose edge or bend it is; -1 for none
	joints   [2]int16 // of the host's skin sides, above and below: number + 1
}

// contact is one sheet near the place, before it is known whether it belongs to the stack.
type contact struct {
	sheet  int
	height float64 // along the host's normal
	facing bool
	ends   border // what of the sheet ends just short of the place, if the place lies within sharpEdge of it
}

// ending is a sheet near the place that ends before it reaches it.
type ending struct {
	why      Edge
	sheet    int
	tri      int32 // of the sheet, with what of it is nearest to the place
	feature  near.Feature
	distance float64 // mm beside the place
}

// shortest is what ends farthest short of the place among the contacts whose sheets belong to the stack.
func shortest(short border, contacts []contact, s stack) border {
	for _, c := range contacts {
		if c.ends.why != UnknownEnd && c.ends.beside.Norm2() > short.beside.Norm2() && s.has(c.sheet) {
			short = c.ends
		}
	}
	return short
}

// scene is what is about one place of the host.
type scene struct {
	contacts [2][]contact
	endings  []ending
	order    []int16
}

// sharpEdge is how far beside a sheet's edge a place may be and still be on the sheet, mm: below what any
// panel is made to, above the cracks of a mesh whose neighbours do not share vertices.
const sharpEdge = 0.005

// classify says which sheets lie on the host at p, a place on its surface with normal n.
func (f *finder) classify(host int, p, n r3.Vector) verdict {
	if f.open != nil {
		return f.open.classify(f, host, p, n)
	}
	return f.sure(host, p, n)
}

// sure says what lies on the host within the finder's own limits.
func (f *finder) sure(host int, p, n r3.Vector) verdict {
	s := f.scene
	if s == nil {
		s = &scene{}
	}
	f.survey(s, host, p, n)
	return f.judge(s, host, p, n)
}

// survey finds what is about p.
func (f *finder) survey(s *scene, host int, p, n r3.Vector) {
	s.contacts[upper], s.contacts[lower], s.endings = s.contacts[upper][:0], s.contacts[lower][:0], s.endings[:0]
	if f.around == nil {
		return // a single panel
	}
	if sights, ok := f.around.about(p); ok {
		for i := range sights {
			f.meetAt(s, host, sights[i].sheet, f.around.nearest(f, &sights[i], p, n), p, n)
		}
		return
	}
	for _, x := range f.around.sheets {
		f.meetAt(s, host, x, hits{f.nearestOn(x, host, upper, p, n), f.nearestOn(x, host, lower, p, n)}, p, n)
	}
}

// meetAt adds sheet x, of which the hits are nearest to p.
func (f *finder) meetAt(s *scene, host, x int, found hits, p, n r3.Vector) {
	if f.panels[x].Surface != Solid && f.sameLayer(host, found, n) {
		farther := upper
		if found[upper].Point.Sub(p).Norm2() <= found[lower].Point.Sub(p).Norm2() {
			farther = lower
		}
		found[farther].Tri = -1
	}
	for side := range found {
		if found[side].Tri < 0 {
			continue
		}
		c, end := f.contact(host, x, found[side], p, n)
		if end.why != UnknownEnd {
			s.endings = append(s.endings, end)
		} else {
			s.contacts[side] = append(s.contacts[side], c)
		}
	}
}

// judge makes the verdict of what has been seen.
func (f *finder) judge(s *scene, host int, p, n r3.Vector) verdict {
	alone, missed := verdict{why: Bend, whose: -1}, math.Inf(1)
	for _, e := range s.endings {
		if e.distance < missed {
			alone.why, alone.whose, missed = e.why, e.sheet, e.distance
		}
	}
	if len(s.contacts[upper])+len(s.contacts[lower]) == 0 {
		return alone
	}
	down, up := f.bothSides(s, host)
	if f.panels[host].Surface == Solid && otherSkin(s.order[1+down.n:], s.order[:down.n]) {
		return alone
	}
	if up.n+down.n == 0 {
		if missed > f.opt.SearchGap {
			alone.why, alone.whose = GapOpens, -1
		}
		return alone
	}
	if f.panels[host].loose && f.clampsBetween(s, host, p, n, up.n > 0) {
		return alone
	}
	v := verdict{gap: up.air + down.air, widest: max(up.widest, down.widest),
		offset: (up.faying + down.faying) / float64(up.n+down.n), whose: -1, joints: [2]int16{up.joint, down.joint}}
	order := s.order[:min(len(s.order), maxStack)]
	if order[0] > order[len(order)-1] {
		slices.Reverse(order)
		v.reversed = true
	}
	v.stack.n = int8(copy(v.stack.s[:], order))
	v.short = shortest(shortest(v.short, s.contacts[upper], v.stack), s.contacts[lower], v.stack)
	return v
}

// clampsBetween says whether the one sheet that lies on the host has another piece of the host on its far side:
// the sheet in the middle then reports the stack, for it alone sees all of it.
func (f *finder) clampsBetween(s *scene, host int, p, n r3.Vector, up bool) bool {
	if len(s.order) != 2 {
		return false
	}
	side, x := lower, int(s.order[0])
	if up {
		side, x = upper, int(s.order[1])
	}
	for _, c := range s.contacts[side] {
		if c.sheet != x {
			continue
		}
		beyond := p.Add(n.Mul(c.height))
		hit := f.nearestOn(host, host, side, beyond, n)
		if hit.Tri < 0 {
			return false
		}
		far, end := f.contact(x, host, hit, beyond, n)
		if end.why != UnknownEnd {
			return false
		}
		other := &scene{}
		other.contacts[side] = []contact{far}
		return f.chain(other, x, side, math.NaN()).n == 1
	}
	return false
}

// otherSkin says that a solid's strip is reported by its other skin: the one that touches another sheet,
// and between two such sheets the one that touches the higher index. Inward is the lowest sheet first.
func otherSkin(outward, inward []int16) bool {
	return len(outward) == 0 || len(inward) > 0 && outward[0] < inward[len(inward)-1]
}

// contact looks at a sheet where it is nearest to p. An ending says that the sheet ends short of p.
func (f *finder) contact(host, x int, hit near.Hit, p, n r3.Vector) (contact, ending) {
	sheet := f.panels[x]
	d := hit.Point.Sub(p)
	c := contact{sheet: x, height: d.Dot(n), facing: sheet.normals[hit.Tri].Dot(n) < 0}
	least := f.leastCosine(host, x)
	facet := sheet.facing(hit, n, least)
	beside := d.Sub(facet.Mul(d.Dot(facet)))
	lateral := beside.Norm()
	if lateral <= onEdge {
		return c, ending{}
	}
	why := sheet.endsAt(hit, n, least)
	switch {
	case why == UnknownEnd:
	case lateral > sharpEdge:
		return contact{}, ending{why: why, sheet: x, tri: hit.Tri, feature: hit.Feature, distance: lateral}
	default:
		c.ends = border{why: why, whose: x, cut: true, beside: beside}
	}
	return c, ending{}
}

// facing is the normal of the sheet at a hit: at a corner, where several facets are equally near, that of all
// that are parallel to a host with normal n together.
func (p *panel) facing(hit near.Hit, n r3.Vector, cosLimit float64) r3.Vector {
	own := p.normals[hit.Tri]
	if hit.Feature < near.CornerA {
		return own
	}
	v := p.Mesh.Triangles[hit.Tri][hit.Feature-near.CornerA]
	sum := r3.Vector{}
	for _, t := range p.around(v) {
		if math.Abs(p.normals[t].Dot(n)) >= cosLimit {
			sum = sum.Add(p.normals[t].Mul(math.Copysign(p.cornerAngle(t, v), p.normals[t].Dot(own))))
		}
	}
	if l := sum.Norm(); l > 0 {
		return sum.Mul(1 / l)
	}
	return own
}

// endsAt says whether the part of the sheet that is parallel to a host with normal n ends at the hit.
func (p *panel) endsAt(hit near.Hit, n r3.Vector, cosLimit float64) Edge {
	switch hit.Feature {
	case near.Face:
		return UnknownEnd
	case near.EdgeAB, near.EdgeBC, near.EdgeCA:
		side := int(hit.Feature - near.EdgeAB)
		if p.ends(hit.Tri, side) == FreeEdge {
			return FreeEdge
		}
		if math.Abs(p.normals[p.topo.Across(hit.Tri, side)].Dot(n)) < cosLimit {
			return Bend
		}
		return UnknownEnd
	}
	v := p.Mesh.Triangles[hit.Tri][hit.Feature-near.CornerA]
	if p.onFree[v] {
		return FreeEdge
	}
	for _, t := range p.around(v) {
		if math.Abs(p.normals[t].Dot(n)) < cosLimit && p.normals[t] != (r3.Vector{}) {
			return Bend
		}
	}
	return UnknownEnd
}

// chained is the sheets that lie on each other on one side of the host.
type chained struct {
	n      int
	air    float64 // between them
	rough  float64 // the same, where sheets run into each other counted as well
	widest float64 // air between two of them
	faying float64 // sum of the heights of the faying positions
	joint  int16   // of the host's skin sides: number + 1
}

// bothSides walks down from the host and up, and leaves the sheets in the scene's order, from the lowest.
func (f *finder) bothSides(s *scene, host int) (down, up chained) {
	walk := func(above, below float64) {
		s.order = s.order[:0]
		down = f.chain(s, host, lower, below)
		slices.Reverse(s.order)
		s.order = append(s.order, int16(host))
		up = f.chain(s, host, upper, above)
	}
	walk(math.NaN(), math.NaN())
	p := f.panels[host]
	if p.Surface != Skin || p.Thickness == 0 || up.n == 0 || down.n == 0 {
		return down, up
	}
	walk(0, p.Thickness) // amid others its metal lies on one side of its mesh, whatever each of them says
	sheets, rough := up.n+down.n, up.rough+down.rough
	if walk(p.Thickness, 0); up.n+down.n < sheets || up.n+down.n == sheets && up.rough+down.rough > rough {
		walk(0, p.Thickness)
	}
	return down, up
}

// fileRounding is what a file's 32-bit floats lose some metres from the origin, mm: a gap that is just the greatest counts.
const fileRounding = 1e-3

// chain walks from the host through the contacts on one side, sheet by sheet, as long as each lies on the one
// before. It adds the sheets to the scene's order. of is how much of the host's metal lies on that side of its mesh, where
// that is decided, or not a number.
func (f *finder) chain(s *scene, host, side int, of float64) (out chained) {
	contacts, sign := s.contacts[side], sides[side]
	if len(contacts) > 1 {
		slices.SortFunc(contacts, func(a, b contact) int {
			return cmp.Or(cmp.Compare(a.height*sign, b.height*sign), cmp.Compare(a.sheet, b.sheet))
		})
	}
	last, at, before := host, 0.0, 0.0
	for i, c := range contacts {
		distance := c.height*sign - at
		near, joint := 0.0, -1
		if last == host {
			before, near, joint = f.metalBetween(host, c, side, distance, of)
		} else {
			near = f.nearMetal(c, side, distance-before, i+1 < len(contacts))
		}
		gap := distance - before - near
		if gap < -f.crossing(last, c.sheet, before+near) {
			continue
		}
		if gap > f.mostGap(last, c.sheet, before+near)+fileRounding {
			break
		}
		s.order = append(s.order, int16(c.sheet))
		if out.n++; joint >= 0 {
			out.joint = int16(joint + 1)
		}
		out.air += gap
		out.rough += math.Abs(gap)
		out.widest = max(out.widest, gap)
		out.faying += sign * (at + before + (distance-before-near)/2)
		last, at, before = c.sheet, c.height*sign, f.panels[c.sheet].farMetal(c, side, near)
	}
	return out
}

// farMetal is how much metal of a sheet lies on the far side of its mesh, with so much on the near one.
func (p *panel) farMetal(c contact, side int, near float64) float64 {
	behind, before := p.metal(c.facing)
	switch {
	case p.Surface == Skin:
		return p.Thickness - near
	case side == lower:
		return behind
	}
	return before
}

// crossing is how far two sheets with so much metal between their meshes may reach into each other and still be taken as
// lying on each other: up to half the thicker one, which leaves no doubt which lies above as long as a quarter of the metal
// is left between mid-surfaces.
func (f *finder) crossing(a, b int, metal float64) float64 {
	half, ta, tb := 0.0, f.panels[a].Thickness, f.panels[b].Thickness
	if ta > 0 && tb > 0 {
		half = min(max(ta, tb)/2, 0.375*(ta+tb))
	}
	return max(0.1, 0.35*metal, half)
}

// leastCosine is that of the angle between a host and another sheet on it.
func (f *finder) leastCosine(host, x int) float64 {
	if f.closing {
		return f.clampCosine(host, x)
	}
	return f.cosLimit
}

// mostGap is the air that still counts as lying on each other between two sheets with so much metal between their
// meshes. Where a thickness is not known what is measured is the meshes' distance: the metal that is known counts in it,
// and of the other sheet as much as of one of the thickest pair that is taken.
func (f *finder) mostGap(a, b int, metal float64) float64 {
	if f.panels[a].Thickness == 0 || f.panels[b].Thickness == 0 {
		return max(f.opt.UnknownReach-metal, f.opt.UnknownReach/2)
	}
	if f.closing {
		return max(f.opt.SearchGap, f.clampGap(a, b))
	}
	return f.opt.SearchGap
}

// reach is how far from the host's mesh the mesh of x can be within one stack of three.
func (f *finder) reach(host, x int) float64 {
	metal := f.panels[host].Thickness + f.panels[x].Thickness + f.thickest
	return metal + 2*f.mostGap(host, x, 0)
}
