package reach

import (
	"math"

	"github.com/golang/geo/r3"
)

// tilted looks for poses with the gun leaning to four sides, little first.
func (s *searcher) tilted(w Weld, tools []int) []Pose {
	for _, tilt := range s.tilts() {
		best := make([]*Pose, len(s.tools))
		for quarter := range 4 {
			l := s.lookAt(w, tools, frameOf(w).lean(tilt, float64(quarter)*math.Pi/2), tilt)
			for _, i := range tools {
				p, ok := s.pose(l, i, s.opt.WayOff)
				if !ok || best[i] != nil && math.Floor(p.Clearance/airStep) <= math.Floor(best[i].Clearance/airStep) {
					continue
				}
				p.Tilt, p.Towards = inDegrees(tilt), 90*float64(quarter)
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

// tilts are those that are tried, in radians.
func (s *searcher) tilts() [2]float64 {
	limit := s.opt.Tilt * math.Pi / 180
	return [2]float64{limit / 2, limit}
}

func inDegrees(radians float64) float64 { return radians * 180 / math.Pi }

// leaning is the frame of a tilted pose, to the last digit that in which it was found.
func (s *searcher) leaning(f frame, p Pose) frame {
	tilt := p.Tilt * math.Pi / 180
	for _, tried := range s.tilts() {
		if inDegrees(tried) == p.Tilt {
			tilt = tried
		}
	}
	return f.lean(tilt, p.Towards/90*math.Pi/2)
}

// lean is the frame of a gun whose electrode above the weld leans by tilt towards an angle about the axis, both in
// radians.
func (f frame) lean(tilt, towards float64) frame {
	sin, cos := math.Sincos(tilt)
	to := r3.Vector{X: math.Cos(towards), Y: math.Sin(towards)}
	up := r3.Vector{Z: cos}.Add(to.Mul(sin)) // in the weld's own frame, as x
	x := r3.Vector{X: 1}
	x = x.Sub(up.Mul(x.Dot(up))).Normalize()
	y := up.Cross(x)
	whole := func(v r3.Vector) r3.Vector { return f.x.Mul(v.X).Add(f.y.Mul(v.Y)).Add(f.z.Mul(v.Z)) }
	return frame{at: f.at, x: whole(x), y: whole(y), z: whole(up)}
}
