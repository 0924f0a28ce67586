package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/rollers"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// runOver is how far a closed seam is rolled on over its start so that the start is tight, mm (common
// practice, no source).
const runOver = 20.0

// leastRun is the length of seam that is worth starting the roller for, mm; a shorter one is spotted (common practice, no
// source).
const leastRun = 50.0

// seam is one roller seam.
type seam struct {
	id      string
	strip   *strip // that it runs on: of a part of a closed strip an open one
	of      *strip // the strip itself
	station int
	roller  *shell.Roller
	path    []r3.Vector
	normals []r3.Vector
	length  float64
	rolled  float64
}

// rolled is the roller seams, and what they leave to spots.
type rolled struct {
	seams    []*seam
	left     map[*strip][]rollers.Stretch // of a strip with a roller seam: what the roller does not follow
	findings []layout.Finding
}

// rolling is one call of roll.
type rolling struct {
	basis
	means
	at     *placed
	joints []layout.Joint
	out    *rolled
}

func (x *rolling) find(p rule.Problem, about finding.About, where string) {
	x.out.findings = append(x.out.findings, x.make.Of(p, about, where))
}

// roll lays the roller seams of the joints that ask for them.
func roll(ctx context.Context, b basis, m means, at *placed, j *joined) (*rolled, error) {
	x := rolling{basis: b, means: m, at: at, joints: j.joints, out: &rolled{left: map[*strip][]rollers.Stretch{}}}
	for i := range j.joints {
		if j.joints[i].Kind == layout.SpotJoint {
			continue
		}
		for _, s := range j.of(i) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if err := x.layRoller(s, at.index(j.joints[i].Station)); err != nil {
				return nil, fmt.Errorf("roller seam on flange %s: %w", s.id, err)
			}
		}
	}
	return x.out, nil
}

// layRoller takes the roller that can roll the most of the seam; of equals the one with the fewest problems, then the first.
func (x *rolling) layRoller(s *strip, station int) error {
	if station < 0 {
		return nil
	}
	var best *shell.Roller
	var path rollers.Path
	for i := range x.shell.Rollers {
		r := &x.shell.Rollers[i]
		if at := x.stationRollers(station); len(at) > 0 && !slices.Contains(at, r.ID) {
			continue
		}
		p, err := rolledPath(x.means, s, x.rollerRequest(s, r, station))
		if err != nil {
			return err
		}
		if best == nil || p.CanRoll() > path.CanRoll()+1e-6 || p.CanRoll() > path.CanRoll()-1e-6 && len(p.Problems) < len(path.Problems) {
			best, path = r, p
		}
	}
	if best == nil {
		x.find(rule.Problem{Rule: "roller.none"}, s.about(s.flange.Line[0].Point), "flange "+s.id)
		return nil
	}
	for _, p := range path.Problems {
		if p.Kind == rollers.Short { // width, turns and hollows are judged on the finished path
			x.find(rule.Problem{Rule: "roller.length", Value: p.Value, Limit: p.Limit}, s.about(p.At), p.String())
		}
	}
	x.addSeams(s, station, best, path)
	return nil
}

// addSeams adds a seam for every stretch that the roller can follow, and notes what is left to spots.
func (x *rolling) addSeams(s *strip, station int, roller *shell.Roller, path rollers.Path) {
	if len(path.Points) < 2 {
		x.out.left[s] = []rollers.Stretch{{From: s.flange.Line[0].S, To: s.flange.Line[0].S + s.flange.Length}}
		return
	}
	for i, stretch := range path.Rollable {
		part, id, on := path.Part(stretch, 0), s.id+"/roll", s
		if !path.Whole {
			open := *s
			open.flange.Closed = false
			on = &open
			id += fmt.Sprint(i + 1)
		}
		x.out.seams = append(x.out.seams, &seam{
			id: id, strip: on, of: s, station: station, roller: roller, path: part.Points, normals: part.Normals, length: part.Length,
			rolled: part.Rolled,
		})
	}
	x.out.left[s] = path.Unrolled()
	if x.joints[s.joint].Kind != layout.RollerJoint {
		return // it is spotted all along
	}
	for _, u := range x.out.left[s] {
		f := rule.Problem{Rule: "roller.spotted", Value: u.To - u.From,
			Remedy: "too short a stretch to roll: ease the turns beside it, or spot it as planned"}
		where, at := fmt.Sprintf("flange %s: %.0f mm from %.0f mm are spotted", s.id, u.To-u.From, u.From), s.flange.Line[0].Point
		for _, p := range path.Problems {
			if p.Kind != rollers.Narrow && p.From <= u.To && p.To >= u.From {
				where, at, f.Limit = where+", as "+p.String(), p.At, p.Limit
				f.Remedy = "ease the turn, use a roller that gets there, or spot it as planned"
				break
			}
		}
		x.find(f, s.about(at), where)
	}
}

func (x *rolling) stationRollers(station int) []string {
	if st, ok := x.shell.Station(x.at.stations[station].ID); ok {
		return st.Rollers
	}
	return nil
}

func (x *rolling) rollerRequest(s *strip, r *shell.Roller, station int) rollers.Request {
	return rollers.Request{
		Line:  rollers.Line{ID: s.id, Stations: s.flange.Line, Closed: s.flange.Closed},
		Wheel: r.Wheel, Diameter: r.Diameter, LeastRadius: r.LeastRadius,
		Edge: s.limits.EdgeDistance.Value, Bend: s.limits.BendClearance.Value, Overlap: runOver, LeastRun: leastRun,
		KeepOuts: x.rollerKeepOuts(s, station),
	}
}

// rollerKeepOuts is what stands in the roller's way for good: dowels, clamps that stay shut, and stated keep-outs.
func (x *rolling) rollerKeepOuts(s *strip, station int) []rollers.KeepOut {
	var out []rollers.KeepOut
	for _, c := range x.at.stations[station].Clamps {
		if c.Release == layout.AtEnd {
			out = append(out, rollers.KeepOut{ID: "clamp " + c.ID, At: point(c.At), Radius: c.Radius})
		}
	}
	for _, d := range x.at.stations[station].Dowels {
		out = append(out, rollers.KeepOut{ID: "dowel " + d.ID, At: point(d.At), Radius: d.Radius})
	}
	for i, k := range x.shell.Joints[s.joint].KeepOuts {
		out = append(out, rollers.KeepOut{ID: cmp.Or(k.Why, fmt.Sprintf("keep-out %d", i+1)), At: point(k.At), Radius: k.Radius})
	}
	return out
}
