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

// verdict is what lies on the host at one place.
type verdict struct {
	stack    stack
	reversed bool     // the stack's order runs against the normal that was asked with
	gap      float64  // mm of air, all interfaces together
	offset   float64  // mm along the normal from the host to the middle of the faying positions
	why      Edge     // why the host is alone here
	whose    int      // the sheet whose edge or bend it is; -1 for none
	lost     []border // sheets near the place that end before they reach it
}

// lostSheet says why a sheet of the stack want is not in the verdict's stack, if it is known.
func (v verdict) lostSheet(want stack) (border, bool) {
	for _, b := range v.lost {
		if slices.Contains(want.sheets(), b.whose) && !slices.Contains(v.stack.sheets(), b.whose) {
			return b, true
		}
	}
	return border{}, false
}

// contact is one sheet near the place, before it is known whether it belongs to the stack.
type contact struct {
	sheet  int
	height float64 // along the host's normal
	facing bool
}

// sharpEdge is how far beside a sheet's edge a place may be and still be on the sheet, mm: below what any
// panel is made to, above the cracks of a mesh whose neighbours do not share vertices.
const sharpEdge = 0.005

// classify says which sheets lie on the host at p, a place on its surface with normal n.
func (f *finder) classify(host int, p, n r3.Vector) verdict {
	var above, below []contact
	alone := verdict{why: Bend, whose: -1}
	missed := math.Inf(1)
	var lost []border
	for _, x := range f.neighbours[host] {
		for _, side := range [2]float64{1, -1} {
			c, why, distance := f.contact(x, host, p, n, side)
			if why != UnknownEnd {
				lost = append(lost, border{why: why, whose: x, cut: true})
				if distance < missed {
					alone.why, alone.whose, missed = why, x, distance
				}
				continue
			}
			if c.sheet < 0 {
				continue
			}
			if side > 0 {
				above = append(above, c)
			} else {
				below = append(below, c)
			}
		}
	}
	up, upGap, upFaying := f.chain(host, above, 1)
	down, downGap, downFaying := f.chain(host, below, -1)
	if f.panels[host].Surface == Solid && otherSkin(up, down) {
		return alone
	}
	if len(up)+len(down) == 0 {
		if len(above)+len(below) > 0 && missed > f.opt.SearchGap {
			alone.why, alone.whose = GapOpens, -1
		}
		return alone
	}
	if f.panels[host].loose && f.clampsBetween(host, p, n, up, down, append(above, below...)) {
		return alone
	}
	v := verdict{gap: upGap + downGap, offset: (upFaying + downFaying) / float64(len(up)+len(down)), whose: -1, lost: lost}
	slices.Reverse(down)
	order := append(append(down, int16(host)), up...)
	if len(order) > maxStack {
		order = order[:maxStack]
	}
	if order[0] > order[len(order)-1] {
		slices.Reverse(order)
		v.reversed = true
	}
	v.stack.n = int8(copy(v.stack.s[:], order))
	return v
}

// clampsBetween says whether the one sheet that lies on the host has another piece of the host on its far side:
// the sheet in the middle then reports the stack, for it alone sees all of it.
func (f *finder) clampsBetween(host int, p, n r3.Vector, up, down []int16, contacts []contact) bool {
	if len(up)+len(down) != 1 {
		return false
	}
	side, x := 1.0, 0
	if len(up) == 1 {
		x = int(up[0])
	} else {
		side, x = -1, int(down[0])
	}
	for _, c := range contacts {
		if c.sheet != x || c.height*side < 0 {
			continue
		}
		far, why, _ := f.contact(host, host, p.Add(n.Mul(c.height)), n, side)
		if why != UnknownEnd || far.sheet < 0 {
			return false
		}
		sheets, _, _ := f.chain(x, []contact{far}, side)
		return len(sheets) == 1
	}
	return false
}

// otherSkin says that a solid's strip is reported by its other skin: the one that touches another sheet,
// and between two such sheets the one that touches the higher index.
func otherSkin(outward, inward []int16) bool {
	return len(outward) == 0 || len(inward) > 0 && outward[0] < inward[0]
}

// contact looks for sheet x on one side of the host. A why other than UnknownEnd says what of x ends
// short of p, and how far away.
func (f *finder) contact(x, host int, p, n r3.Vector, side float64) (contact, Edge, float64) {
	sheet := f.panels[x]
	parallel := func(tri int32) bool { return math.Abs(sheet.normals[tri].Dot(n)) >= f.cosLimit }
	accept := func(tri int32) bool {
		c := sheet.normals[tri].Dot(n)
		if math.Abs(c) < f.cosLimit {
			return false
		}
		if sheet.Surface == Solid {
			return c*side < 0
		}
		a := sheet.Mesh.Vertices[sheet.Mesh.Triangles[tri][0]]
		height := a.Sub(p).Dot(sheet.normals[tri]) * math.Copysign(1, c)
		return height >= 0 && side > 0 || height < 0 && side < 0
	}
	none := contact{sheet: -1}
	hit, ok := sheet.tree.ClosestAmong(p, f.reach(host, x), accept)
	if !ok {
		return none, UnknownEnd, 0
	}
	d := hit.Point.Sub(p)
	facet := sheet.normals[hit.Tri]
	lateral := d.Sub(facet.Mul(d.Dot(facet))).Norm()
	if lateral > sharpEdge {
		if why := sheet.endsAt(hit, parallel); why != UnknownEnd {
			return none, why, lateral
		}
	}
	return contact{sheet: x, height: d.Dot(n), facing: sheet.normals[hit.Tri].Dot(n) < 0}, UnknownEnd, 0
}

// endsAt says whether the part of the sheet that is parallel to the host ends at the hit.
func (p *panel) endsAt(hit near.Hit, parallel func(int32) bool) Edge {
	switch hit.Feature {
	case near.Face:
		return UnknownEnd
	case near.EdgeAB, near.EdgeBC, near.EdgeCA:
		side := int(hit.Feature - near.EdgeAB)
		if p.ends(hit.Tri, side) == FreeEdge {
			return FreeEdge
		}
		if !parallel(p.topo.Across(hit.Tri, side)) {
			return Bend
		}
		return UnknownEnd
	}
	v := p.Mesh.Triangles[hit.Tri][hit.Feature-near.CornerA]
	if p.onFree[v] {
		return FreeEdge
	}
	for _, t := range p.around(v) {
		if !parallel(t) && p.normals[t] != (r3.Vector{}) {
			return Bend
		}
	}
	return UnknownEnd
}

// chain walks from the host through the contacts on one side, sheet by sheet, as long as each lies on the
// one before. It returns the sheets, the air between them, and the sum of the heights of the faying positions.
func (f *finder) chain(host int, contacts []contact, side float64) (sheets []int16, air, faying float64) {
	slices.SortFunc(contacts, func(a, b contact) int {
		return cmp.Or(cmp.Compare(a.height*side, b.height*side), cmp.Compare(a.sheet, b.sheet))
	})
	last, at := host, 0.0
	behind, before := f.panels[host].metal(false)
	if side < 0 {
		before = behind
	}
	for _, c := range contacts {
		near, far := f.panels[c.sheet].metal(c.facing)
		if side < 0 {
			near, far = far, near
		}
		distance := c.height*side - at
		gap := gapBetween(distance, before.lo+near.lo, before.hi+near.hi)
		nominal := (before.lo + near.lo + before.hi + near.hi) / 2
		if gap < -f.crossing(nominal) {
			continue
		}
		if gap > f.farthest(last, c.sheet) {
			break
		}
		sheets = append(sheets, int16(c.sheet))
		air += gap
		faying += side * (at + (before.lo+before.hi)/2 + (distance-nominal)/2)
		last, at, before = c.sheet, c.height*side, far
	}
	return sheets, air, faying
}

// gapBetween is the air between two sheets whose surfaces are d apart when lo to hi of that is metal.
func gapBetween(d, lo, hi float64) float64 {
	if d > hi {
		return d - hi
	}
	return math.Min(0, d-lo)
}

// crossing is how far meshes may reach into each other and still be taken as lying on each other: pressed
// panels spring, and a third of the sheets' thickness still leaves no doubt which lies above.
func (f *finder) crossing(nominal float64) float64 { return math.Max(0.1, 0.35*nominal) }

// farthest is the air that still counts as lying on each other.
func (f *finder) farthest(a, b int) float64 {
	if f.panels[a].Thickness == 0 || f.panels[b].Thickness == 0 {
		return f.opt.UnknownReach
	}
	return f.opt.SearchGap
}

// reach is how far from the host's mesh the mesh of x can be within one stack of three.
func (f *finder) reach(host, x int) float64 {
	metal := f.panels[host].Thickness + f.panels[x].Thickness + f.thickest
	return metal + 2*f.farthest(host, x)
}
