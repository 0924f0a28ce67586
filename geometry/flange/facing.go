package flange

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
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
	joined := (p.Thickness+q.Thickness)/2 + f.farthest(host, x)
	n := Near{Sheets: [2]int{host, x}, Distance: math.Inf(1)}
	for t := range p.Mesh.Triangles {
		a, b, c := p.Mesh.Corners(t)
		center, normal := a.Add(b).Add(c).Mul(1./3), p.normals[t]
		if !anyIn(q, space.EmptyBox().Add(center).Grow(reach)) {
			continue
		}
		hit, ok := q.tree.ClosestAmong(center, reach, func(tri int32) bool {
			return math.Abs(q.normals[tri].Dot(normal)) >= f.cosLimit
		})
		if !ok {
			continue
		}
		if hit.Distance <= joined {
			return Near{} // they do meet
		}
		d := hit.Point.Sub(center)
		if d.Sub(normal.Mul(d.Dot(normal))).Norm() > 0.2*hit.Distance || f.between(host, x, center, d) {
			continue
		}
		n.Area += b.Sub(a).Cross(c.Sub(a)).Norm() / 2
		if hit.Distance < n.Distance {
			n.Distance, n.Place = hit.Distance, center
		}
	}
	return n
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
