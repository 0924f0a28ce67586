// Package laying lays roller paths and spot welds along the flanges of joints, and chooses a setting for each.
//
//	seams, err := laying.Roll(ctx, basis, means, placed, joints)
//	welds, err := laying.Lay(ctx, basis, means, placed, joints, seams)
//	settings, err := laying.Choose(basis, joints, seams, welds)
package laying

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/parting"
	"seamwright/layout/rollers"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Weld is one spot where it is to be.
type Weld struct {
	Strip   *joining.Strip
	Spot    spots.Weld
	Station int // index into placed.stations
	Step    layout.WeldStep
}

// line is a strip, or a part of one, with the spots that are laid on it.
type line struct {
	strip   *joining.Strip
	request spots.Request
	laid    spots.Layout
	adopted bool      // welded at a survey's points
	part    bool      // of a strip that a roller follows in parts
	key     cache.Key // of its points
	cache   *cache.Cache
}

// Laid is the spots of all lines.
type Laid struct {
	Welds    []Weld
	Notes    []string
	Findings []layout.Finding
}

// laying is one call of lay.
type laying struct {
	joining.Basis
	joining.Means
	at *joining.Placed
	*joining.Joined
	left map[*joining.Strip][]rollers.Stretch
	out  *Laid
}

func (x *laying) find(p rule.Problem, about finding.About, where string) {
	x.out.Findings = append(x.out.Findings, x.Make.Of(p, about, where))
}

// Lay sets out the spots of every strip that is to be spot welded, and of what rollers leave, and then moves apart what is
// too near.
func Lay(ctx context.Context, b joining.Basis, m joining.Means, at *joining.Placed, j *joining.Joined, r *Rolled) (*Laid, error) {
	x := laying{Basis: b, Means: m, at: at, Joined: j, left: r.left, out: &Laid{}}
	lines, err := x.lines()
	if err != nil {
		return nil, err
	}
	if err := x.layAll(ctx, lines); err != nil {
		return nil, err
	}
	for i := range lines {
		x.takeWelds(&lines[i])
		x.tell(&lines[i])
	}
	x.out.Findings = append(x.out.Findings, pushedOff(b, j.Strips, x.out.Welds)...)
	return x.out, nil
}

// lines are what spots are to be laid on, with what is wanted of each.
func (x *laying) lines() ([]line, error) {
	var out []line
	for i := range x.Joints {
		own := x.Of(i)
		if x.Joints[i].Kind == layout.RollerJoint {
			for _, s := range own {
				parts, err := x.stretchLines(s, x.Shell.Joints[i], x.at.Index(x.Joints[i].Station))
				if err != nil {
					return nil, fmt.Errorf("flange %s: %w", s.ID, err)
				}
				out = append(out, parts...)
			}
			continue
		}
		lines, err := x.jointLines(i, own)
		if err != nil {
			return nil, fmt.Errorf("joint %s: %w", x.Joints[i].ID, err)
		}
		out = append(out, lines...)
		x.strayEdits(i, own)
	}
	return out, nil
}

// layAll lays lines: each by itself, over changes of stack, with as many welds as loads need, and apart.
func (x *laying) layAll(ctx context.Context, lines []line) error {
	for i := range lines {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := lines[i].lay(); err != nil {
			return err
		}
		x.Progress("lay out welds", i+1, len(lines))
	}
	if err := bridge(ctx, lines); err != nil {
		return err
	}
	if err := x.carryLoads(ctx, lines); err != nil {
		return err
	}
	if err := x.separate(ctx, lines); err != nil {
		return err
	}
	following, err := x.followTwins(lines)
	if err != nil || len(following) == 0 {
		return err
	}
	if err := x.separate(ctx, lines); err != nil { // what is beside the twins that follow gives way
		return err
	}
	for _, t := range following {
		x.tellTwin(t)
	}
	return nil
}

// separate moves welds apart that are too near to each other.
func (x *laying) separate(ctx context.Context, lines []line) error {
	requests, layouts := make([]spots.Request, len(lines)), make([]spots.Layout, len(lines))
	for i, l := range lines {
		requests[i], layouts[i] = l.request, l.laid
	}
	apart, err := parting.Separate(ctx, requests, layouts, x.Ways.Way)
	if err != nil {
		return err
	}
	for i := range lines {
		lines[i].laid = apart[i]
	}
	return nil
}

// lay lays the line as it is asked for now.
func (l *line) lay() (err error) {
	if l.laid, err = laidSpots(l.cache, l.key, l.request); err != nil {
		return fmt.Errorf("flange %s: %w", l.strip.ID, err)
	}
	return nil
}

// jointLines says what is wanted of each strip of a joint: a stated count is shared by length.
func (x *laying) jointLines(joint int, own []*joining.Strip) ([]line, error) {
	stated, station := x.Shell.Joints[joint], x.at.Index(x.Joints[joint].Station)
	lengths := make([]float64, len(own))
	for i, s := range own {
		lengths[i] = s.Flange.Length
	}
	counts := share(stated.Count, lengths)
	out := make([]line, len(own))
	for i, s := range own {
		r := spots.Request{
			Line:   spots.Line{ID: s.ID, Sheets: s.Panels, Points: s.Flange.Line, Closed: s.Flange.Closed},
			Limits: s.Limits, KeepOuts: x.keepOuts(s, stated, station), Rows: stated.Rows, RowApart: stated.RowDistance,
			Edits: edits(stated, s.ID, len(own)), OnLine: s.Edge != 0,
		}
		if joining.InRows(s.Flange, stated) {
			r.Rows, r.OnLine = 1, true // its neighbours are strips of their own
		}
		if stated.Count > 0 {
			r.Count = counts[i]
		}
		var err error
		if r.Apart, err = x.RowsApart(s.Stack); err != nil {
			return nil, fmt.Errorf("flange %s: %w", s.ID, err)
		}
		out[i] = line{strip: s, request: r, key: s.Key, cache: x.Cache}
	}
	return out, nil
}

// edits are the welds of a strip that the joint sets by hand; without a flange's name, those of the joint's only strip.
func edits(j shell.Joint, strip string, strips int) []spots.Edit {
	var out []spots.Edit
	for _, w := range j.Welds {
		if w.Flange == strip || w.Flange == "" && strips == 1 {
			out = append(out, spots.Edit{ID: w.ID, Do: spots.Do(w.Do), Along: w.Along, To: w.To})
		}
	}
	return out
}

// strayEdits says which welds set by hand belong to no flange of their joint.
func (x *laying) strayEdits(joint int, own []*joining.Strip) {
	j := x.Shell.Joints[joint]
	var names []string
	for _, s := range own {
		names = append(names, s.ID)
	}
	for _, w := range j.Welds {
		if slices.Contains(names, w.Flange) || w.Flange == "" && len(own) == 1 {
			continue
		}
		x.find(rule.Problem{Rule: "weld.by-hand", Remedy: "name one of its flanges: " + strings.Join(names, ", ")},
			finding.About{Joint: j.ID}, fmt.Sprintf("joint %s: edit %s: flange %q is not one of the joint's %d", j.ID, w.ID, w.Flange, len(own)))
	}
}

// tell turns what a layout could not keep by itself into findings: what is left out because it is too narrow, and edits that
// find no weld. Everything else the finished plan is checked for.
func (x *laying) tell(l *line) {
	s := l.strip
	for _, p := range l.laid.Problems {
		switch p.Kind {
		case spots.LeftOut:
			x.find(rule.Problem{Rule: "flange.left-out", Value: p.Value, Limit: p.Limit}, s.About(p.At),
				fmt.Sprintf("flange %s: no weld from %.0f to %.0f mm along it: %.1f mm wide, a weld needs %.1f", s.ID, p.From, p.To, p.Value, p.Limit))
		case spots.ByHand:
			x.find(rule.Problem{Rule: "weld.by-hand", Value: p.Value, Limit: p.Limit}, s.About(p.At),
				fmt.Sprintf("flange %s: edit %s at %.0f mm: the nearest weld, or the end of the line, is %.1f mm away", s.ID, p.Other, p.From, p.Value))
		}
	}
}

// keepOuts gathers everything that welds of the strip must stay clear of.
func (x *laying) keepOuts(s *joining.Strip, j shell.Joint, station int) []spots.KeepOut {
	var out []spots.KeepOut
	add := func(id string, at r3.Vector, radius float64, until spots.Until, hole bool) {
		out = append(out, spots.KeepOut{ID: id, At: at, Radius: radius, Until: until, Hole: hole})
	}
	if station >= 0 {
		for _, c := range x.at.Stations[station].Clamps {
			until := spots.Release
			if c.Release == layout.AtEnd {
				until = spots.Always
			}
			add("clamp "+c.ID, joining.Point(c.At), c.Radius+tipRoom(x.Basis, x.at.Stations[station], s.Limits.WeldDiameter.Value), until, false)
		}
		for _, d := range x.at.Stations[station].Dowels {
			add("dowel "+d.ID, joining.Point(d.At), d.Radius, spots.Always, false)
		}
	}
	for i, k := range j.KeepOuts {
		add(cmp.Or(k.Why, fmt.Sprintf("keep-out %d", i+1)), joining.Point(k.At), k.Radius, spots.Always, false)
	}
	for _, h := range s.Flange.Holes {
		add("hole", h.Center, h.Radius, spots.Always, true)
	}
	for _, sheet := range s.Flange.Sheets {
		for _, path := range x.Parts[sheet].KeepOuts {
			out = append(out, spots.KeepOut{ID: spots.Drawn + x.Parts[sheet].Panel.ID, Outline: &spots.Outline{Points: path.Points,
				Closed: path.Closed}})
		}
	}
	return out
}

// takeWelds takes the welds that were laid on a strip, or on a part of it that a roller leaves.
func (x *laying) takeWelds(l *line) {
	s := l.strip
	station := x.at.Index(x.Joints[s.Joint].Station)
	if station < 0 {
		return
	}
	if len(l.laid.Welds) == 0 && len(x.left[s]) > 0 && x.Joints[s.Joint].Kind == layout.RollerJoint {
		x.leftOpen(s, l.request)
	}
	for _, spot := range l.laid.Welds {
		if whole := s.Flange.Line[0].S + s.Flange.Length; s.Flange.Closed && spot.S >= whole { // a part over the closing point
			spot.S -= s.Flange.Length
		}
		w := Weld{Strip: s, Spot: spot, Station: station, Step: layout.Fill}
		if spot.Tack {
			w.Step = layout.Tack
		}
		if len(spot.Clamps) > 0 {
			w.Step = layout.Released
		}
		x.out.Welds = append(x.out.Welds, w)
	}
}

// stretchLines are the spots of the stretches that the roller does not follow. Beside a seam the first spot stands on the
// seam's end, which the roller runs over and so closes (common practice, no source).
func (x *laying) stretchLines(s *joining.Strip, stated shell.Joint, station int) ([]line, error) {
	const lap = 1.0 // mm of line beyond the first and the last spot, so that they stand at the ends of the seams
	apart, err := x.RowsApart(s.Stack)
	if err != nil {
		return nil, err
	}
	whole := spots.Line{ID: s.ID, Sheets: s.Panels, Points: s.Flange.Line, Closed: s.Flange.Closed}
	request := spots.Request{Line: whole, Limits: s.Limits, KeepOuts: x.keepOuts(s, stated, station), Apart: apart, Rows: 1}
	first := s.Flange.Line[0].S
	left := x.left[s]
	if len(left) == 1 && left[0].To-left[0].From > s.Flange.Length-1 { // nothing is rolled
		return []line{{strip: s, request: request, key: s.Key, cache: x.Cache}}, nil
	}
	var out []line
	for _, u := range left {
		r := request
		from, to := u.From-lap, u.To+lap
		if !s.Flange.Closed && u.From <= first+1e-6 {
			from = u.From
		} else {
			r.Start = lap
		}
		if !s.Flange.Closed && u.To >= first+s.Flange.Length-1e-6 {
			to = u.To
		} else {
			r.End = lap
		}
		cut := rollers.Cut(rollers.Line{ID: s.ID, Stations: s.Flange.Line, Closed: s.Flange.Closed}, from, to)
		r.Line.Points, r.Line.Closed = cut.Stations, false
		out = append(out, line{strip: s, request: r, part: true}) // its points are its own, so that it is not kept
	}
	return out, nil
}

// leftOpen says that a stretch can be neither rolled nor spotted.
func (x *laying) leftOpen(s *joining.Strip, r spots.Request) {
	line := r.Line.Points
	from, to := line[0], line[len(line)-1]
	x.find(rule.Problem{Rule: "roller.open", Value: to.S - from.S}, s.About(line[len(line)/2].Point),
		fmt.Sprintf("flange %s: nothing joins %.0f mm from %.0f mm", s.ID, to.S-from.S, from.S))
}

// laidSpots is the spots of a line; its key is that of its points.
func laidSpots(c *cache.Cache, key cache.Key, r spots.Request) (spots.Layout, error) {
	if c == nil {
		return spots.Lay(r)
	}
	bare := r
	bare.Line.Points = nil
	key = c.KeyOf("spots", cache.Input{Name: "line", Value: key}, cache.Input{Name: "request", Value: bare})
	return cache.GetHere(c, key, func() (spots.Layout, error) { return spots.Lay(r) })
}

// tipRoom is how much farther than a weld's rim the widest tip at hand stands out, so that it clears a closed clamp, mm.
func tipRoom(b joining.Basis, station layout.Station, weldDiameter float64) float64 {
	const air = 0.5 // mm, so that rounding does not decide
	shank := 0.0
	for _, t := range b.ToolsAt(station) {
		shank = max(shank, t.Tip.Shank, t.Tip.ShankLong)
	}
	return max(0, shank/2+air-spots.DefaultClearance-weldDiameter/2)
}
