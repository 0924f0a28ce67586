package flange

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// facingReach is how far apart two sheets may face each other and still be worth a word, mm of air.
const facingReach = 6.0

// facing finds sheets that face the host too far apart to be joined, with nothing between them. The host's
// triangles are asked at their centres.
func (f *finder) facing(host int) []Near {
	p := f.panels[host]
	var out []Near
	for x := host + 1; x < len(f.panels); x++ {
		q := f.panels[x]
		reach := (p.Thickness+q.Thickness)/2 + facingReach
		if q.tree.Box().IsEmpty() || !p.tree.Box().Grow(reach).Overlaps(q.tree.Box()) {
			continue
		}
		if n := f.facingPair(host, x, reach); n.Area >= f.opt.LeastLength*f.opt.LeastWidth {
			out = append(out, n)
		}
	}
	return out
}

func (f *finder) facingPair(host, x int, reach float64) Near {
	p, q := f.panels[host], f.panels[x]
	metal := (p.Thickness + q.Thickness) / 2
	joined := metal + f.mostGap(host, x, metal)
	n := Near{Sheets: [2]int{host, x}, Distance: math.Inf(1)}
	if f.meetsAny(host, x, joined) {
		return n
	}
	for _, t := range p.tree.NearTo(q.tree, reach) {
		center, normal := p.center(t), p.normals[t]
		hit, ok := q.parallelTo(normal, center, reach, f.cosLimit)
		if !ok {
			continue
		}
		d := hit.Point.Sub(center)
		if d.Sub(normal.Mul(d.Dot(normal))).Norm() > 0.2*hit.Distance || f.between(host, x, center, d) {
			continue
		}
		a, b, c := p.Mesh.Corners(int(t))
		n.Area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		if hit.Distance < n.Distance {
			n.Distance, n.Place = hit.Distance, center
		}
	}
	return n
}

// meetsAny says whether the centre of one of the host's triangles lies on sheet x.
func (f *finder) meetsAny(host, x int, joined float64) bool {
	i := slices.Index(f.around.sheets, x)
	if i < 0 {
		return false
	}
	p := f.panels[host]
	return slices.ContainsFunc(f.around.ofHost[i], func(t int32) bool {
		_, ok := f.panels[x].parallelTo(p.normals[t], p.center(t), joined, f.cosLimit)
		return ok
	})
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
