package reach

import (
	"math"

	"seamwright/geometry/axial"
)

// tilted looks for poses with the gun leaning to four sides, little first.
func (s *searcher) tilted(w Weld, tools []int) []Pose {
	for _, tilt := range s.tilts() {
		best := make([]*Pose, len(s.tools))
		for quarter := range 4 {
			l := s.lookAt(w, tools, frameOf(w).Lean(tilt, float64(quarter)*math.Pi/2), tilt)
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
func (s *searcher) leaning(f axial.Frame, p Pose) axial.Frame {
	tilt := p.Tilt * math.Pi / 180
	for _, tried := range s.tilts() {
		if inDegrees(tried) == p.Tilt {
			tilt = tried
		}
	}
	return f.Lean(tilt, p.Towards/90*math.Pi/2)
}
