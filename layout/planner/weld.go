package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/finding"
	"seamwright/layout/rollers"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// weld is one spot where it is to be.
type weld struct {
	strip   *strip
	spot    spots.Weld
	station int // index into placed.stations
	step    layout.WeldStep
}

// line is a strip, or a part of one, with the spots that are laid on it.
type line struct {
	strip   *strip
	request spots.Request
	laid    spots.Layout
	adopted bool      // welded at a survey's points
	part    bool      // of a strip that a roller follows in parts
	key     cache.Key // of its points
	cache   *cache.Cache
}

// laid is the spots of all lines.
type laid struct {
	welds    []weld
	notes    []string
	findings []layout.Finding
}

// laying is one call of lay.
type laying struct {
	basis
	means
	at *placed
	*joined
	left map[*strip][]rollers.Stretch
	out  *laid
}

func (x *laying) find(p rule.Problem, about finding.About, where string) {
	x.out.findings = append(x.out.findings, x.make.Of(p, about, where))
}

// lay sets out the spots of every strip that is to be spot welded, and of what rollers leave, and then moves apart what is
// too near.
func lay(ctx context.Context, b basis, m means, at *placed, j *joined, r *rolled) (*laid, error) {
	x := laying{basis: b, means: m, at: at, joined: j, left: r.left, out: &laid{}}
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
	x.out.findings = append(x.out.findings, pushedOff(b, j.strips, x.out.welds)...)
	return x.out, nil
}

// lines are what spots are to be laid on, with what is wanted of each.
func (x *laying) lines() ([]line, error) {
	var out []line
	for i := range x.joints {
		own := x.of(i)
		if x.joints[i].Kind == layout.RollerJoint {
			for _, s := range own {
				parts, err := x.stretchLines(s, x.shell.Joints[i], x.at.index(x.joints[i].Station))
				if err != nil {
					return nil, fmt.Errorf("flange %s: %w", s.id, err)
				}
				out = append(out, parts...)
			}
			continue
		}
		lines, err := x.jointLines(i, own)
		if err != nil {
			return nil, fmt.Errorf("joint %s: %w", x.joints[i].ID, err)
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
		x.progress("lay out welds", i+1, len(lines))
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
	apart, err := spots.Separate(ctx, requests, layouts, x.ways.way)
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
		return fmt.Errorf("flange %s: %w", l.strip.id, err)
	}
	return nil
}

// jointLines says what is wanted of each strip of a joint: a stated count is shared by length.
func (x *laying) jointLines(joint int, own []*strip) ([]line, error) {
	stated, station := x.shell.Joints[joint], x.at.index(x.joints[joint].Station)
	lengths := make([]float64, len(own))
	for i, s := range own {
		lengths[i] = s.flange.Length
	}
	counts := spots.Share(stated.Count, lengths)
	out := make([]line, len(own))
	for i, s := range own {
		r := spots.Request{
			Line:   spots.Line{ID: s.id, Sheets: s.panels, Points: s.flange.Line, Closed: s.flange.Closed},
			Limits: s.limits, KeepOuts: x.keepOuts(s, stated, station), Rows: stated.Rows, RowApart: stated.RowDistance,
			Edits: edits(stated, s.id, len(own)), OnLine: s.edge != 0,
		}
		if inRows(s.flange, stated) {
			r.Rows, r.OnLine = 1, true // its neighbours are strips of their own
		}
		if stated.Count > 0 {
			r.Count = counts[i]
		}
		var err error
		if r.Apart, err = x.rowsApart(s.stack); err != nil {
			return nil, fmt.Errorf("flange %s: %w", s.id, err)
		}
		out[i] = line{strip: s, request: r, key: s.key, cache: x.cache}
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
func (x *laying) strayEdits(joint int, own []*strip) {
	j := x.shell.Joints[joint]
	var names []string
	for _, s := range own {
		names = append(names, s.id)
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
			x.find(rule.Problem{Rule: "flange.left-out", Value: p.Value, Limit: p.Limit}, s.about(p.At),
				fmt.Sprintf("flange %s: no weld from %.0f to %.0f mm along it: %.1f mm wide, a weld needs %.1f", s.id, p.From, p.To, p.Value, p.Limit))
		case spots.ByHand:
			x.find(rule.Problem{Rule: "weld.by-hand", Value: p.Value, Limit: p.Limit}, s.about(p.At),
				fmt.Sprintf("flange %s: edit %s at %.0f mm: the nearest weld, or the end of the line, is %.1f mm away", s.id, p.Other, p.From, p.Value))
		}
	}
}

// keepOuts gathers everything that welds of the strip must stay clear of.
func (x *laying) keepOuts(s *strip, j shell.Joint, station int) []spots.KeepOut {
	var out []spots.KeepOut
	add := func(id string, at r3.Vector, radius float64, until spots.Until, hole bool) {
		out = append(out, spots.KeepOut{ID: id, At: at, Radius: radius, Until: until, Hole: hole})
	}
	if station >= 0 {
		for _, c := range x.at.stations[station].Clamps {
			until := spots.Release
			if c.Release == layout.AtEnd {
				until = spots.Always
			}
			add("clamp "+c.ID, point(c.At), c.Radius+x.tipRoom(x.at.stations[station], s.limits.WeldDiameter.Value), until, false)
		}
		for _, d := range x.at.stations[station].Dowels {
			add("dowel "+d.ID, point(d.At), d.Radius, spots.Always, false)
		}
	}
	for i, k := range j.KeepOuts {
		add(cmp.Or(k.Why, fmt.Sprintf("keep-out %d", i+1)), point(k.At), k.Radius, spots.Always, false)
	}
	for _, h := range s.flange.Holes {
		add("hole", h.Center, h.Radius, spots.Always, true)
	}
	for _, sheet := range s.flange.Sheets {
		for _, path := range x.parts[sheet].KeepOuts {
			out = append(out, spots.KeepOut{ID: check.Drawn + x.parts[sheet].Panel.ID, Outline: &spots.Outline{Points: path.Points,
				Closed: path.Closed}})
		}
	}
	return out
}

// takeWelds takes the welds that were laid on a strip, or on a part of it that a roller leaves.
func (x *laying) takeWelds(l *line) {
	s := l.strip
	station := x.at.index(x.joints[s.joint].Station)
	if station < 0 {
		return
	}
	if len(l.laid.Welds) == 0 && len(x.left[s]) > 0 && x.joints[s.joint].Kind == layout.RollerJoint {
		x.leftOpen(s, l.request)
	}
	for _, spot := range l.laid.Welds {
		if whole := s.flange.Line[0].S + s.flange.Length; s.flange.Closed && spot.S >= whole { // a part over the closing point
			spot.S -= s.flange.Length
		}
		w := weld{strip: s, spot: spot, station: station, step: layout.Fill}
		if spot.Tack {
			w.step = layout.Tack
		}
		if len(spot.Clamps) > 0 {
			w.step = layout.Released
		}
		x.out.welds = append(x.out.welds, w)
	}
}

// stretchLines are the spots of the stretches that the roller does not follow. Beside a seam the first spot stands on the
// seam's end, which the roller runs over and so closes (common practice, no source).
func (x *laying) stretchLines(s *strip, stated shell.Joint, station int) ([]line, error) {
	const lap = 1.0 // mm of line beyond the first and the last spot, so that they stand at the ends of the seams
	apart, err := x.rowsApart(s.stack)
	if err != nil {
		return nil, err
	}
	whole := spots.Line{ID: s.id, Sheets: s.panels, Points: s.flange.Line, Closed: s.flange.Closed}
	request := spots.Request{Line: whole, Limits: s.limits, KeepOuts: x.keepOuts(s, stated, station), Apart: apart, Rows: 1}
	first := s.flange.Line[0].S
	left := x.left[s]
	if len(left) == 1 && left[0].To-left[0].From > s.flange.Length-1 { // nothing is rolled
		return []line{{strip: s, request: request, key: s.key, cache: x.cache}}, nil
	}
	var out []line
	for _, u := range left {
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
		out = append(out, line{strip: s, request: r, part: true}) // its points are its own, so that it is not kept
	}
	return out, nil
}

// leftOpen says that a stretch can be neither rolled nor spotted.
func (x *laying) leftOpen(s *strip, r spots.Request) {
	line := r.Line.Points
	from, to := line[0], line[len(line)-1]
	x.find(rule.Problem{Rule: "roller.open", Value: to.S - from.S}, s.about(line[len(line)/2].Point),
		fmt.Sprintf("flange %s: nothing joins %.0f mm from %.0f mm", s.id, to.S-from.S, from.S))
}
