package planner

import (
	"context"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// seam is one roller seam on its way into the plan.
type seam struct {
	strip   *strip
	station int
	roller  *shell.Roller
	path    []r3.Vector
	normals []r3.Vector
	length  float64
	speed   float64
	seconds float64
	setting string
}

// layRollers lays the roller seams of the joints that ask for them.
func (b *builder) layRollers(context.Context) error {
	for i := range b.plan.Joints {
		if b.plan.Joints[i].Kind == "spot" {
			continue
		}
		for _, s := range b.stripsOf(i) {
			b.layRoller(s, b.stationIndex(b.plan.Joints[i].Station))
		}
	}
	return nil
}

func (b *builder) layRoller(s *strip, station int) {
	if station < 0 || len(b.Shell.Rollers) == 0 {
		return
	}
	out := &seam{strip: s, station: station, roller: &b.Shell.Rollers[0], length: s.flange.Length}
	for _, st := range s.flange.Line {
		out.path, out.normals = append(out.path, st.Point), append(out.normals, st.Axis)
	}
	b.seams = append(b.seams, out)
}

func (b *builder) planRoller(s *seam) layout.Roller {
	out := layout.Roller{
		ID: s.strip.id + "/roll", Station: b.plan.Stations[s.station].ID, Joint: b.plan.Joints[s.strip.joint].ID, Flange: s.strip.id,
		Roller: s.roller.ID, Setting: s.setting, Closed: s.strip.flange.Closed, Length: s.length, Speed: s.speed, Time: s.seconds,
	}
	for i := range s.path {
		out.Path, out.Normals = append(out.Path, vec(s.path[i])), append(out.Normals, vec(s.normals[i]))
	}
	for _, w := range b.welds {
		if w.strip == s.strip {
			out.After = max(out.After, w.number)
		}
	}
	return out
}
