package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/rollers"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// runOver is how far a closed seam is rolled on over its start so that the start is tight, mm (common
// practice, no source).
const runOver = 20.0

// leastRun is the length of seam that is worth starting the roller for, mm; a shorter one is spotted (common practice, no
// source).
const leastRun = 50.0

// seam is one roller seam on its way into the plan.
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
	speed   float64
	seconds float64
	setting string
}

// laySeams lays the roller seams of the joints that ask for them.
func (b *builder) laySeams(context.Context) error {
	for i := range b.plan.Joints {
		if b.plan.Joints[i].Kind == layout.SpotJoint {
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

// layRoller takes the roller that can roll the most of the seam; of equals the one with the fewest problems, then the first.
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
		p, err := rollers.Lay(b.rollerRequest(s, r, station))
		if err != nil {
			return err
		}
		if best == nil || p.CanRoll() > path.CanRoll()+1e-6 || p.CanRoll() > path.CanRoll()-1e-6 && len(p.Problems) < len(path.Problems) {
			best, path = r, p
		}
	}
	if best == nil {
		b.find(rule.Problem{Rule: "roller.none"}, s.about(s.flange.Line[0].Point), "flange "+s.id)
		return nil
	}
	for _, p := range path.Problems {
		if p.Kind == rollers.Short { // width, turns and hollows are judged on the finished path
			b.find(rule.Problem{Rule: "roller.length", Value: p.Value, Limit: p.Limit}, s.about(p.At), p.String())
		}
	}
	b.addSeams(s, station, best, path)
	return nil
}

// addSeams adds a seam for every stretch that the roller can follow, and notes what is left to spots.
func (b *builder) addSeams(s *strip, station int, roller *shell.Roller, path rollers.Path) {
	if len(path.Points) < 2 {
		s.unrolled = []rollers.Stretch{{From: s.flange.Line[0].S, To: s.flange.Line[0].S + s.flange.Length}}
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
		b.seams = append(b.seams, &seam{
			id: id, strip: on, of: s, station: station, roller: roller, path: part.Points, normals: part.Normals, length: part.Length,
			rolled: part.Rolled,
		})
	}
	s.unrolled = path.Unrolled()
	if b.plan.Joints[s.joint].Kind != layout.RollerJoint {
		return // it is spotted all along
	}
	for _, u := range s.unrolled {
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
		b.find(f, s.about(at), where)
	}
}

// stretchRequests are the spots of the stretches that the roller does not follow. Beside a seam the first spot stands on the
// seam's end, which the roller runs over and so closes (common practice, no source).
func (b *builder) stretchRequests(s *strip, stated shell.Joint, station int) ([]spots.Request, error) {
	const lap = 1.0 // mm of line beyond the first and the last spot, so that they stand at the ends of the seams
	apart, err := b.rowsApart(s.stack)
	if err != nil {
		return nil, err
	}
	line := spots.Line{ID: s.id, Sheets: s.panels, Points: s.flange.Line, Closed: s.flange.Closed}
	request := spots.Request{Line: line, Limits: s.limits, KeepOuts: b.keepOuts(s, stated, station), Apart: apart, Rows: 1}
	first := s.flange.Line[0].S
	if len(s.unrolled) == 1 && s.unrolled[0].To-s.unrolled[0].From > s.flange.Length-1 { // nothing is rolled
		return []spots.Request{request}, nil
	}
	s.parts = true
	var out []spots.Request
	for _, u := range s.unrolled {
		r := request
		from, to := u.From-lap, u.To+lap
		if !s.flange.Closed && u.From <= first+1e-6 {
			from = u.From
		} else {
			r.Start = lap
		}
		if !s.flange.Closed && u.To >= first+s.flange.Length-1e-6 {
			to = u.To
		} else {
			r.End = lap
		}
		cut := rollers.Cut(rollers.Line{ID: s.id, Stations: s.flange.Line, Closed: s.flange.Closed}, from, to)
		r.Line.Points, r.Line.Closed = cut.Stations, false
		out = append(out, r)
	}
	return out, nil
}

func (b *builder) stationRollers(station int) []string {
	if st, ok := b.Shell.Station(b.plan.Stations[station].ID); ok {
		return st.Rollers
	}
	return nil
}

func (b *builder) rollerRequest(s *strip, r *shell.Roller, station int) rollers.Request {
	return rollers.Request{
		Line:  rollers.Line{ID: s.id, Stations: s.flange.Line, Closed: s.flange.Closed},
		Wheel: r.Wheel, Diameter: r.Diameter, LeastRadius: r.LeastRadius,
		Edge: s.limits.EdgeDistance.Value, Bend: s.limits.BendClearance.Value, Overlap: runOver, LeastRun: leastRun,
		KeepOuts: b.rollerKeepOuts(s, station),
	}
}

// rollerKeepOuts is what stands in the roller's way for good: dowels, clamps that stay shut, and stated keep-outs.
func (b *builder) rollerKeepOuts(s *strip, station int) []rollers.KeepOut {
	var out []rollers.KeepOut
	for _, c := range b.plan.Stations[station].Clamps {
		if c.Release == layout.AtEnd {
			out = append(out, rollers.KeepOut{ID: "clamp " + c.ID, At: point(c.At), Radius: c.Radius})
		}
	}
	for _, d := range b.plan.Stations[station].Dowels {
		out = append(out, rollers.KeepOut{ID: "dowel " + d.ID, At: point(d.At), Radius: d.Radius})
	}
	for i, k := range b.Shell.Joints[s.joint].KeepOuts {
		out = append(out, rollers.KeepOut{ID: cmp.Or(k.Why, fmt.Sprintf("keep-out %d", i+1)), At: point(k.At), Radius: k.Radius})
	}
	return out
}

func (b *builder) planRoller(s *seam) layout.Seam {
	out := layout.Seam{
		ID: s.id, Station: b.plan.Stations[s.station].ID, Joint: b.plan.Joints[s.strip.joint].ID, Flange: s.strip.id,
		Roller: s.roller.ID, Setting: s.setting, Closed: s.strip.flange.Closed, Length: s.length, Speed: s.speed, Time: s.seconds,
	}
	for i := range s.path {
		out.Path, out.Normals = append(out.Path, vec(s.path[i])), append(out.Normals, vec(s.normals[i]))
	}
	for _, w := range b.welds {
		if w.strip == s.of {
			out.After = max(out.After, w.number)
		}
	}
	return out
}

// leftOpen says that a stretch can be neither rolled nor spotted.
func (b *builder) leftOpen(s *strip, r spots.Request) {
	line := r.Line.Points
	from, to := line[0], line[len(line)-1]
	b.find(rule.Problem{Rule: "roller.open", Value: to.S - from.S}, s.about(line[len(line)/2].Point),
		fmt.Sprintf("flange %s: nothing joins %.0f mm from %.0f mm", s.id, to.S-from.S, from.S))
}
