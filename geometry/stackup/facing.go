package stackup

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
	"seamwright/geometry/surface"
)

// Near is a place where two sheets face each other but are no flange: too far apart, or so near that their metal would
// run into each other.
type Near struct {
	Sheets   [2]int
	Distance float64 // mm between the meshes, least
	Into     float64 // mm of metal that both claim, by their thicknesses; 0 for sheets apart
	Place    r3.Vector
	Area     float64 // mm²
}

// FacingReach is how far apart two sheets may face each other and still be worth a word, mm of air.
const FacingReach = 6.0

// Facing finds sheets that face the host too far apart to be joined, with nothing between them, or run into it.
func (h *Host) Facing() []Near {
	host := h.Index
	p := h.Panels[host]
	var out []Near
	for x := host + 1; x < len(h.Panels); x++ {
		q := h.Panels[x]
		reach := h.Metal(host, x) + FacingReach
		if q.Tree.Box().IsEmpty() || !p.Tree.Box().Grow(reach).Overlaps(q.Tree.Box()) {
			continue
		}
		if n := h.facingPair(host, x, reach); n.Area >= h.LeastFacing {
			out = append(out, n)
		}
	}
	return out
}

// facingPair asks the host's triangles at their centres, and where that says nothing, as with large triangles, the
// other's.
func (h *Host) facingPair(host, x int, reach float64) (n Near) {
	if i := slices.Index(h.around.sheets, x); i >= 0 && h.meetsAny(host, x, h.around.ofHost[i]) {
		n = h.into(host, x, h.around.ofHost[i])
	} else if near := h.Panels[host].Tree.NearTo(h.Panels[x].Tree, reach); len(near) > 0 {
		if n = h.apart(host, x, reach, near); n.Area < h.LeastFacing {
			n = h.facingBack(x, host, reach)
		}
	}
	n.Sheets = [2]int{host, x}
	return n
}

func (h *Host) facingBack(x, host int, reach float64) Near {
	near := h.Panels[x].Tree.NearTo(h.Panels[host].Tree, reach)
	if h.meetsAny(x, host, near) {
		return h.into(x, host, near)
	}
	return h.apart(x, host, reach, near)
}

// Metal is what lies between the mid-surfaces of two sheets on each other, mm.
func (h *Host) Metal(a, b int) float64 { return h.Panels[a].MostMetal() + h.Panels[b].MostMetal() }

// meetsAny says whether the centre of one of a's triangles lies on sheet b.
func (h *Host) meetsAny(a, b int, near []int32) bool {
	p, metal := h.Panels[a], h.Metal(a, b)
	joined := metal + h.MostGap(a, b, metal)
	return slices.ContainsFunc(near, func(t int32) bool {
		_, ok := h.Panels[b].ParallelTo(p.Normals[t], p.Center(t), joined, h.CosLimit)
		return ok
	})
}

// apart is where sheets face each other with air and nothing else between them.
func (h *Host) apart(a, b int, reach float64, near []int32) Near {
	p, q := h.Panels[a], h.Panels[b]
	n := Near{Distance: math.Inf(1)}
	for _, t := range near {
		center := p.Center(t)
		hit, d, ok := p.Facet(t, q, reach, h.CosLimit)
		if ok && !h.between(a, b, center, d) {
			n.take(p, t, hit)
		}
	}
	return n
}

// into is where two sheets of known thickness run into each other, unless they lie on each other anywhere: a thickness, a
// place or what the meshes are taken for is wrong.
func (h *Host) into(a, b int, near []int32) Near {
	p, q, metal := h.Panels[a], h.Panels[b], h.Metal(a, b)
	n := Near{Distance: math.Inf(1)}
	if p.Surface == surface.Solid || q.Surface == surface.Solid || p.Thickness == 0 || q.Thickness == 0 {
		return n
	}
	for _, s := range [2]*surface.Panel{p, q} {
		if s.IsOpen() {
			metal -= s.Thickness // it may lie on the far side
		}
	}
	for _, t := range near {
		hit, _, ok := p.Facet(t, q, metal, h.CosLimit)
		if !ok {
			continue
		}
		if metal-hit.Distance <= h.crossing(a, b, metal) {
			return Near{}
		}
		n.take(p, t, hit)
	}
	n.Into = metal - n.Distance
	return n
}

// take counts a triangle of the sheet in.
func (n *Near) take(p *surface.Panel, t int32, hit near.Hit) {
	a, b, c := p.Mesh.Corners(int(t))
	n.Area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	if hit.Distance < n.Distance {
		n.Distance, n.Place = hit.Distance, p.Center(t)
	}
}

// between says whether another sheet lies on the way d from p.
func (h *Host) between(host, x int, p, d r3.Vector) bool {
	length := d.Norm()
	for _, y := range h.Neighbours[host] {
		if y == x {
			continue
		}
		if _, ok := h.Panels[y].Tree.Ray(p, d.Mul(1/length), length); ok {
			return true
		}
	}
	return false
}
