package near

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// middlesPlain is middles where it is not written for the processor, and what that is tested with.
func middlesPlain(p *packet, soup *mesh.Soup) {
	const third = 1 / float32(3)
	f := frame{r3.Vector{X: p.corner[0], Y: p.corner[1], Z: p.corner[2]}, p.grain}
	p.low, p.high = nothing.lo, nothing.hi
	far := float32(0)
	for i, t := range p.triangles {
		c := soup.Triangle(int(t))
		m := [3]float32{(c[0] + c[3] + c[6]) * third, (c[1] + c[4] + c[7]) * third, (c[2] + c[5] + c[8]) * third}
		if i == 0 {
			p.origin = m
		}
		at, away := f.place(wide(m)), float32(0)
		for k := range 3 {
			d := m[k] - p.origin[k]
			p.middle[k][i], p.place[k][i], p.at[k][i] = m[k], d, at[k]
			p.low[k], p.high[k] = min(p.low[k], at[k]), max(p.high[k], at[k])
			away += d * d
		}
		far = max(far, away)
	}
	p.radius = float32(math.Sqrt(float64(far)))
}

// pairNearPlain is pairNear likewise.
func pairNearPlain(p *packet, l, r *node) (left, right, rightFirst uint32) {
	for i := range lanes {
		x, y, z := p.at[0][i], p.at[1][i], p.at[2][i]
		a, b := float32(l.gapAt(x, y, z)), float32(r.gapAt(x, y, z))
		limit := p.scale*p.limit[i] + 1
		if !(a > limit) {
			left |= 1 << i
		}
		if !(b > limit) {
			right |= 1 << i
		}
		if b < a {
			rightFirst |= 1 << i
		}
	}
	return left, right, rightFirst
}

// weighPlain is weigh likewise: it reckons in float64 from the start.
func weighPlain(p *packet, soup *mesh.Soup, triangles []int32, rows [][lanes]float32) (near uint64) {
	for k, t := range triangles {
		a, b, c := soup.Corners(int(t))
		for i := range p.places {
			place := p.exactly(i)
			on, _ := ClosestOnTriangle(place, a, b, c)
			d := on.Sub(place).Norm2()
			rows[k][i] = float32(d * (1 - 1e-6))
			p.limit[i] = min(p.limit[i], above(d))
		}
	}
	for k := range triangles {
		for i := range p.places {
			if rows[k][i] <= p.limit[i] {
				near |= 1 << (lanes*k + i)
			}
		}
	}
	return near
}
