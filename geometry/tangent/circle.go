package tangent

import (
	"math"

	"github.com/golang/geo/r2"
)

// arcCorners are the corners of a bend from one on, and by how much it turns.
func (f *Finder) arcCorners(rise []r2.Point, first int) (out []r2.Point, turned float64) {
	f.heading = f.heading[:0]
	heading := func(i int) float64 {
		for k := first - 1 + len(f.heading); k <= i; k++ {
			f.heading = append(f.heading, math.Atan2(rise[k+1].Y-rise[k].Y, rise[k+1].X-rise[k].X))
		}
		return f.heading[i-first+1]
	}
	most := 0.0
	last := first
	for ; last+1 < len(rise) && heading(last-1) < mostTurn*math.Pi/180; last++ {
		most = max(most, heading(last)-heading(last-1))
		turned = max(turned, heading(last-1))
	}
	turned = max(turned, heading(last-1))
	if heading(first-1) > sharpCrease*turned {
		return nil, turned // what goes straight on from it is no arc, though rounding may turn it a little
	}
	longest := 0.0
	for i := first; i < last; i++ {
		turn := heading(i) - heading(i-1)
		short := rise[i+1].Sub(rise[i-1]).Norm() < shortFacets
		if !short && turn < -mainTurn*2*most {
			break
		}
		if !short && turn < mainTurn*most {
			continue
		}
		if n := len(out); n > 0 {
			facet := rise[i].Sub(out[n-1]).Norm()
			if n > 1 && facet > max(flatBeyond, flatTimes*longest) {
				break
			}
			longest = max(longest, facet)
		}
		out = append(out, rise[i])
	}
	return out, turned
}

// touching is the circle that touches the x axis and passes through the first of the points, as many as lie on one.
func touching(points []r2.Point) (start, radius float64, ok bool) {
	for n := 2; n <= len(points); n++ {
		s, r, found := touchingAll(points[:n])
		if !found {
			if n > 4 {
				break
			}
			continue
		}
		start, radius, ok = s, r, true
	}
	return start, radius, ok
}

func touchingAll(points []r2.Point) (start, radius float64, ok bool) {
	a, b := points[0], points[len(points)-1]
	// (a.X-s)²/a.Y + a.Y = (b.X-s)²/b.Y + b.Y, both twice the radius
	p, q := 1/a.Y-1/b.Y, a.X/a.Y-b.X/b.Y
	t := a.X*a.X/a.Y - b.X*b.X/b.Y + a.Y - b.Y
	if !(p > 0) || !(q*q-p*t >= 0) {
		return 0, 0, false
	}
	s := (q - math.Sqrt(q*q-p*t)) / p
	r := ((a.X-s)*(a.X-s)/a.Y + a.Y) / 2
	for range 12 {
		var ss, sr, rr, sv, rv float64
		for _, at := range points {
			d := distance(at, s, r)
			if !(d > 0) {
				return 0, 0, false
			}
			e, ds, dr := d-r, -(at.X-s)/d, -(at.Y-r)/d-1
			ss, sr, rr, sv, rv = ss+ds*ds, sr+ds*dr, rr+dr*dr, sv+ds*e, rv+dr*e
		}
		det := ss*rr - sr*sr
		if !(det > 0) {
			break
		}
		ms, mr := (sr*rv-rr*sv)/det, (sr*sv-ss*rv)/det
		s, r = s+ms, r+mr
		if math.Abs(ms)+math.Abs(mr) < 1e-9 {
			break
		}
	}
	for _, at := range points {
		if e := distance(at, s, r) - r; !(math.Abs(e) <= max(offCircle, offRadius*r)) {
			return 0, 0, false
		}
	}
	return s, r, r > 0 && s < a.X
}

// distance from a place. Sections are millimetres long, so that no square overflows.
func distance(p r2.Point, x, y float64) float64 {
	dx, dy := p.X-x, p.Y-y
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}
