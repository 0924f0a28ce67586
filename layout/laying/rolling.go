package laying

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
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

// Seam is one roller seam.
type Seam struct {
	ID      string
	Strip   *joining.Strip // that it runs on: of a part of a closed strip an open one
	Of      *joining.Strip // the strip itself
	Station int
	Roller  *shell.Roller
	Path    []r3.Vector
	Normals []r3.Vector
	Length  float64
	rolled  float64
}

// Rolled is the roller seams, and what they leave to spots.
type Rolled struct {
	Seams    []*Seam
	left     map[*joining.Strip][]rollers.Stretch // of a strip with a roller seam: what the roller does not follow
	Findings []layout.Finding
}

// rolling is one call of roll.
type rolling struct {
	joining.Basis
	joining.Means
	at     *joining.Placed
	joints []layout.Joint
	out    *Rolled
}

func (x *rolling) find(p rule.Problem, about finding.About, where string) {
	x.out.Findings = append(x.out.Findings, x.Make.Of(p, about, where))
}

// Roll lays the roller seams of the joints that ask for them.
func Roll(ctx context.Context, b joining.Basis, m joining.Means, at *joining.Placed, j *joining.Joined) (*Rolled, error) {
	x := rolling{Basis: b, Means: m, at: at, joints: j.Joints, out: &Rolled{left: map[*joining.Strip][]rollers.Stretch{}}}
	for i := range j.Joints {
		if j.Joints[i].Kind == layout.SpotJoint {
			continue
		}
		for _, s := range j.Of(i) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if err := x.layRoller(s, at.Index(j.Joints[i].Station)); err != nil {
				return nil, fmt.Errorf("roller seam on flange %s: %w", s.ID, err)
			}
		}
	}
	return x.out, nil
}

// layRoller takes the roller that can roll the most of the seam; of equals the one with the fewest problems, then the first.
func (x *rolling) layRoller(s *joining.Strip, station int) error {
	if station < 0 {
		return nil
	}
	var best *shell.Roller
	var path rollers.Path
	for i := range x.Shell.Rollers {
		r := &x.Shell.Rollers[i]
		if at := x.stationRollers(station); len(at) > 0 && !slices.Contains(at, r.ID) {
			continue
		}
		p, err := rolledPath(x.Means, s, x.rollerRequest(s, r, station))
		if err != nil {
			return err
		}
		if best == nil || p.CanRoll() > path.CanRoll()+1e-6 || p.CanRoll() > path.CanRoll()-1e-6 && len(p.Problems) < len(path.Problems) {
			best, path = r, p
		}
	}
	if best == nil {
		x.find(rule.Problem{Rule: "roller.none"}, s.About(s.Flange.Line[0].Point), "flange "+s.ID)
		return nil
	}
	for _, p := range path.Problems {
		if p.Kind == rollers.Short { // width, turns and hollows are judged on the finished path
			x.find(rule.Problem{Rule: "roller.length", Value: p.Value, Limit: p.Limit}, s.About(p.At), p.String())
		}
	}
	x.addSeams(s, station, best, path)
	return nil
}

// addSeams adds a seam for every stretch that the roller can follow, and notes what is left to spots.
func (x *rolling) addSeams(s *joining.Strip, station int, roller *shell.Roller, path rollers.Path) {
	if len(path.Points) < 2 {
		x.out.left[s] = []rollers.Stretch{{From: s.Flange.Line[0].S, To: s.Flange.Line[0].S + s.Flange.Length}}
		return
	}
	for i, stretch := range path.Rollable {
		part, id, on := path.Part(stretch, 0), s.ID+"/roll", s
		if !path.Whole {
			open := *s
			open.Flange.Closed = false
			on = &open
			id += fmt.Sprint(i + 1)
		}
		x.out.Seams = append(x.out.Seams, &Seam{
			ID: id, Strip: on, Of: s, Station: station, Roller: roller, Path: part.Points, Normals: part.Normals, Length: part.Length,
			rolled: part.Rolled,
		})
	}
	x.out.left[s] = path.Unrolled()
	if x.joints[s.Joint].Kind != layout.RollerJoint {
		return // it is spotted all along
	}
	for _, u := range x.out.left[s] {
		f := rule.Problem{Rule: "roller.spotted", Value: u.To - u.From,
			Remedy: "too short a stretch to roll: ease the turns beside it, or spot it as planned"}
		where, at := fmt.Sprintf("flange %s: %.0f mm from %.0f mm are spotted", s.ID, u.To-u.From, u.From), s.Flange.Line[0].Point
		for _, p := range path.Problems {
			if p.Kind != rollers.Narrow && p.From <= u.To && p.To >= u.From {
				where, at, f.Limit = where+", as "+p.String(), p.At, p.Limit
				f.Remedy = "ease the turn, use a roller that gets there, or spot it as planned"
				break
			}
		}
		x.find(f, s.About(at), where)
	}
}

func (x *rolling) stationRollers(station int) []string {
	if st, ok := x.Shell.Station(x.at.Stations[station].ID); ok {
		return st.Rollers
	}
	return nil
}

func (x *rolling) rollerRequest(s *joining.Strip, r *shell.Roller, station int) rollers.Request {
	return rollers.Request{
		Line:  rollers.Line{ID: s.ID, Stations: s.Flange.Line, Closed: s.Flange.Closed},
		Wheel: r.Wheel, Diameter: r.Diameter, LeastRadius: r.LeastRadius,
		Edge: s.Limits.EdgeDistance.Value, Bend: s.Limits.BendClearance.Value, Overlap: runOver, LeastRun: leastRun,
		KeepOuts: x.rollerKeepOuts(s, station),
	}
}

// rollerKeepOuts is what stands in the roller's way for good: dowels, clamps that stay shut, and stated keep-outs.
func (x *rolling) rollerKeepOuts(s *joining.Strip, station int) []rollers.KeepOut {
	var out []rollers.KeepOut
	for _, c := range x.at.Stations[station].Clamps {
		if c.Release == layout.AtEnd {
			out = append(out, rollers.KeepOut{ID: "clamp " + c.ID, At: joining.Point(c.At), Radius: c.Radius})
		}
	}
	for _, d := range x.at.Stations[station].Dowels {
		out = append(out, rollers.KeepOut{ID: "dowel " + d.ID, At: joining.Point(d.At), Radius: d.Radius})
	}
	for i, k := range x.Shell.Joints[s.Joint].KeepOuts {
		out = append(out, rollers.KeepOut{ID: cmp.Or(k.Why, fmt.Sprintf("keep-out %d", i+1)), At: joining.Point(k.At), Radius: k.Radius})
	}
	return out
}

// rolledPath is the path of a roller along a strip.
func rolledPath(m joining.Means, s *joining.Strip, r rollers.Request) (rollers.Path, error) {
	if m.Cache == nil {
		return rollers.Lay(r)
	}
	bare := r
	bare.Line.Stations = nil
	key := m.Cache.KeyOf("roller", cache.Input{Name: "strip", Value: s.Key}, cache.Input{Name: "request", Value: bare})
	return cache.GetHere(m.Cache, key, func() (rollers.Path, error) { return rollers.Lay(r) })
}
