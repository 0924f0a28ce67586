package planner

import (
	"context"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/rollers"
	"seamwright/seams/shell"
)

// runOver is how far a closed seam is rolled on over its start so that the start is tight, mm (common
// practice, no source).
const runOver = 20.0

// seam is one roller seam on its way into the plan.
type seam struct {
	strip   *strip
	station int
	roller  *shell.Roller
	path    []r3.Vector
	normals []r3.Vector
	length  float64
	rolled  float64
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
			if err := b.layRoller(s, b.stationIndex(b.plan.Joints[i].Station)); err != nil {
				return fmt.Errorf("roller seam on flange %s: %w", s.id, err)
			}
		}
	}
	return nil
}

// layRoller takes the roller with which the seam has the fewest problems, the first of equals.
func (b *builder) layRoller(s *strip, station int) error {
	if station < 0 {
		return nil
	}
	var best *shell.Roller
	var path rollers.Path
	for i := range b.Shell.Rollers {
		r := &b.Shell.Rollers[i]
		if at := b.stationRollers(station); len(at) > 0 && !slices.Contains(at, r.ID) {
			continue
		}
		p, err := rollers.Lay(b.rollerRequest(s, r))
		if err != nil {
			return err
		}
		if best == nil || len(p.Problems) < len(path.Problems) {
			best, path = r, p
		}
	}
	if best == nil {
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: "roller.none", Severity: layout.Broken, Where: "flange " + s.id, Flange: s.id, Joint: b.plan.Joints[s.joint].ID, Source: "the shell file asks for a roller seam", Remedy: "give the station a roller",
		})
		return nil
	}
	for _, p := range path.Problems {
		if p.Kind == rollers.Short { // width, turns and hollows are judged on the finished path
			b.plan.Findings = append(b.plan.Findings, layout.Finding{
				Rule: "roller.length", Severity: layout.Broken, Where: p.String(), Value: p.Value, Limit: p.Limit, Unit: "mm", At: vec(p.At), Flange: s.id,
				Joint: b.plan.Joints[s.joint].ID, Source: "the lengths kept from the ends of the line", Remedy: "spot this flange instead",
			})
		}
	}
	b.seams = append(b.seams, &seam{
		strip: s, station: station, roller: best, path: path.Points, normals: path.Normals, length: path.Length, rolled: path.Rolled,
	})
	return nil
}

func (b *builder) stationRollers(station int) []string {
	if st, ok := b.Shell.Station(b.plan.Stations[station].ID); ok {
		return st.Rollers
	}
	return nil
}

func (b *builder) rollerRequest(s *strip, r *shell.Roller) rollers.Request {
	return rollers.Request{
		Line:  rollers.Line{ID: s.id, Stations: s.flange.Line, Closed: s.flange.Closed},
		Wheel: r.Wheel, Diameter: r.Diameter, LeastRadius: r.LeastRadius,
		Edge: s.limits.EdgeDistance.Value, Bend: s.limits.BendClearance.Value, Overlap: runOver,
	}
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
