package flange

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// facingReach is how far apart two sheets may face each other and still be worth a word, mm of air.
const facingReach = 6.0

// facing finds sheets that face the host too far apart to be joined, with nothing between them, or run into it.
func (f *finder) facing(host int) []Near {
	p := f.panels[host]
	var out []Near
	for x := host + 1; x < len(f.panels); x++ {
		q := f.panels[x]
		reach := f.metal(host, x) + facingReach
		if q.tree.Box().IsEmpty() || !p.tree.Box().Grow(reach).Overlaps(q.tree.Box()) {
			continue
		}
		if n := f.facingPair(host, x, reach); n.Area >= f.leastFacing() {
			out = append(out, n)
		}
	}
	return out
}

// facingPair asks the host's triangles at their centres, and where that says nothing, as with large triangles, the
// other's.
func (f *finder) facingPair(host, x int, reach float64) (n Near) {
	if i := slices.Index(f.around.sheets, x); i >= 0 && f.meetsAny(host, x, f.around.ofHost[i]) {
		n = f.into(host, x, f.around.ofHost[i])
	} else if near := f.panels[host].tree.NearTo(f.panels[x].tree, reach); len(near) > 0 {
		if n = f.apart(host, x, reach, near); n.Area < f.leastFacing() {
			n = f.facingBack(x, host, reach)
		}
	}
	n.Sheets = [2]int{host, x}
	return n
}

func (f *finder) facingBack(x, host int, reach float64) Near {
	near := f.panels[x].tree.NearTo(f.panels[host].tree, reach)
	if f.meetsAny(x, host, near) {
		return f.into(x, host, near)
	}
	return f.apart(x, host, reach, near)
}

// leastFacing is the least area that is worth a word, mm².
func (f *finder) leastFacing() float64 { return f.opt.LeastLength * f.opt.LeastWidth }

// metal is what lies between the mid-surfaces of two sheets on each other, mm.
func (f *finder) metal(a, b int) float64 { return f.panels[a].mostMetal() + f.panels[b].mostMetal() }

// mostMetal is what of a sheet's metal may lie before its mesh; of a solid's skin half as much is taken, as of a mid-surface.
func (p *panel) mostMetal() float64 {
	switch {
	case p.Surface == Skin && p.Face == Faying:
		return 0
	case p.Surface == Skin:
		return p.Thickness
	}
	return p.Thickness / 2
}

// meetsAny says whether the centre of one of a's triangles lies on sheet b.
func (f *finder) meetsAny(a, b int, near []int32) bool {
	p, metal := f.panels[a], f.metal(a, b)
	joined := metal + f.mostGap(a, b, metal)
	return slices.ContainsFunc(near, func(t int32) bool {
		_, ok := f.panels[b].parallelTo(p.normals[t], p.center(t), joined, f.cosLimit)
		return ok
	})
}

// apart is where sheets face each other with air and nothing else between them.
func (f *finder) apart(a, b int, reach float64, near []int32) Near {
	p, q := f.panels[a], f.panels[b]
	n := Near{Distance: math.Inf(1)}
	for _, t := range near {
		center := p.center(t)
		hit, d, ok := p.facet(t, q, reach, f.cosLimit)
		if ok && !f.between(a, b, center, d) {
			n.take(p, t, hit)
		}
	}
	return n
}

// into is where two sheets of known thickness run into each other, unless they lie on each other anywhere: a thickness, a
// place or what the meshes are taken for is wrong.
func (f *finder) into(a, b int, near []int32) Near {
	p, q, metal := f.panels[a], f.panels[b], f.metal(a, b)
	n := Near{Distance: math.Inf(1)}
	if p.Surface == Solid || q.Surface == Solid || p.Thickness == 0 || q.Thickness == 0 {
		return n
	}
	for _, s := range [2]*panel{p, q} {
		if s.isOpen() {
			metal -= s.Thickness // it may lie on the far side
		}
	}
	for _, t := range near {
		hit, _, ok := p.facet(t, q, metal, f.cosLimit)
		if !ok {
			continue
		}
		if metal-hit.Distance <= f.crossing(a, b, metal) {
			return Near{}
		}
		n.take(p, t, hit)
	}
	n.Into = metal - n.Distance
	return n
}

// facet is the place of another sheet's parallel facet straight above or below the centre of a triangle, and the way to it.
func (p *panel) facet(t int32, other *panel, within, cosLimit float64) (near.Hit, r3.Vector, bool) {
	center, normal := p.center(t), p.normals[t]
	hit, ok := other.parallelTo(normal, center, within, cosLimit)
	d := hit.Point.Sub(center)
	return hit, d, ok && d.Sub(normal.Mul(d.Dot(normal))).Norm() <= 0.2*hit.Distance+rounding
}

// take counts a triangle of the sheet in.
func (n *Near) take(p *panel, t int32, hit near.Hit) {
	a, b, c := p.Mesh.Corners(int(t))
	n.Area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
	if hit.Distance < n.Distance {
		n.Distance, n.Place = hit.Distance, p.center(t)
	}
}

func (p *panel) center(t int32) r3.Vector {
	a, b, c := p.Mesh.Corners(int(t))
	return a.Add(b).Add(c).Mul(1. / 3)
}

// parallelTo finds the sheet's nearest facet that is parallel to a surface at p with normal n.
func (p *panel) parallelTo(n, at r3.Vector, within, cosLimit float64) (near.Hit, bool) {
	return p.tree.ClosestAmong(at, within, func(tri int32) bool { return math.Abs(p.normals[tri].Dot(n)) >= cosLimit })
}

// between says whether another sheet lies on the way d from p.
func (f *finder) between(host, x int, p, d r3.Vector) bool {
	length := d.Norm()
	for _, y := range f.neighbours[host] {
		if y == x {
			continue
		}
		if _, ok := f.panels[y].tree.Ray(p, d.Mul(1/length), length); ok {
			return true
		}
	}
	return false
}
