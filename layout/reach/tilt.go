package reach

import (
	"math"

	"github.com/golang/geo/r3"
)

// tilted looks for poses with the gun leaning to four sides, little first.
func (s *searcher) tilted(w Weld, tools []int) []Pose {
	limit := s.opt.Tilt * math.Pi / 180
	base := s.lookAt(w, tools, 0, 0)
	base = s.lookAt(w, tools, base.up*math.Sin(limit), base.out*math.Sin(limit))
	for _, tilt := range [2]float64{limit / 2, limit} {
		best := make([]*Pose, len(s.tools))
		for quarter := range 4 {
			l := s.lean(base, tilt, float64(quarter)*math.Pi/2)
			for _, i := range tools {
				p, ok := s.pose(l, i)
				if !ok || best[i] != nil && math.Floor(p.Clearance/airStep) <= math.Floor(best[i].Clearance/airStep) {
					continue
				}
				p.Tilt, p.Towards = tilt*180/math.Pi, 90*float64(quarter)
				best[i] = &p
			}
		}
		var out []Pose
		for _, i := range tools {
			if best[i] != nil {
				out = append(out, *best[i])
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// lean is what a gun sees whose electrode above the weld leans by tilt towards an angle about the axis, both
// in radians.
func (s *searcher) lean(base *look, tilt, towards float64) *look {
	sin, cos := math.Sincos(tilt)
	to := r3.Vector{X: math.Cos(towards), Y: math.Sin(towards)}
	up := r3.Vector{Z: cos}.Add(to.Mul(sin))
	x := r3.Vector{X: 1}
	x = x.Sub(up.Mul(x.Dot(up))).Normalize()
	inner := frame{x: x, y: up.Cross(x), z: up} // in the weld's own frame
	l := &look{weld: base.weld, bars: map[bars]barAir{}, out: base.out, up: base.up, near: base.near}
	outer := base.frame
	whole := func(v r3.Vector) r3.Vector { return outer.x.Mul(v.X).Add(outer.y.Mul(v.Y)).Add(outer.z.Mul(v.Z)) }
	l.frame = frame{at: outer.at, x: whole(inner.x), y: whole(inner.y), z: whole(inner.z)}
	l.above, l.below = s.scene.surfaces(base.weld, l.frame)
	shank := 0.0
	for _, t := range s.tools {
		shank = math.Max(shank, math.Max(t.Tip.Shank, t.Tip.ShankLong)/2)
	}
	l.rise = s.opt.Rise + shank*math.Tan(tilt)
	s.leaned = s.leaned[:0]
	for _, t := range base.facets {
		t.a, t.b, t.c = inner.into(t.a), inner.into(t.b), inner.into(t.c)
		t.bound()
		s.leaned = append(s.leaned, t)
	}
	s.lclose = closeTo(s.leaned, l.near, s.lclose[:0])
	l.facets, l.close = s.leaned, s.lclose
	return l
}
