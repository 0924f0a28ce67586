package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/finding"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// weld is one spot on its way into the plan.
type weld struct {
	strip   *strip
	spot    spots.Weld
	station int // index into Plan.Stations
	gun     *shell.Gun
	tip     *shell.Tip
	turn    float64
	tilt    float64
	air     float64 // between the gun and the panels
	setting string
	step    layout.WeldStep
	early   *latePart // it is made before this part is loaded
	before  []string  // or before these parts are, which no hold point keeps out
	run     int
	number  int
	waits   string
}

// laySpots sets out the spots of every strip that is to be spot welded, and of what rollers leave, and then moves apart what is
// too near.
func (b *builder) laySpots(context.Context) error {
	var laid []*strip
	var requests []spots.Request
	for i := range b.plan.Joints {
		own := b.stripsOf(i)
		if b.plan.Joints[i].Kind == layout.RollerJoint {
			for _, s := range own {
				parts, err := b.stretchRequests(s, b.Shell.Joints[i], b.stationIndex(b.plan.Joints[i].Station))
				if err != nil {
					return fmt.Errorf("flange %s: %w", s.id, err)
				}
				for _, r := range parts {
					laid, requests = append(laid, s), append(requests, r)
				}
			}
			continue
		}
		if err := b.request(i, own); err != nil {
			return fmt.Errorf("joint %s: %w", b.plan.Joints[i].ID, err)
		}
		b.strayEdits(i, own)
		for _, s := range own {
			laid, requests = append(laid, s), append(requests, s.request)
		}
	}
	layouts, err := b.layAll(laid, requests)
	if err != nil {
		return err
	}
	for i, s := range laid {
		b.takeWelds(s, requests[i], layouts[i])
		b.tell(s, layouts[i])
	}
	b.pushedOff()
	return nil
}

// layAll lays the requests of strips: each by itself, over changes of stack, with as many welds as loads need, and apart.
func (b *builder) layAll(laid []*strip, requests []spots.Request) ([]spots.Layout, error) {
	layouts := make([]spots.Layout, len(laid))
	for i, s := range laid {
		var err error
		if layouts[i], err = spots.Lay(requests[i]); err != nil {
			return nil, fmt.Errorf("flange %s: %w", s.id, err)
		}
		b.progress("lay out welds", i+1, len(laid))
	}
	if err := b.bridge(laid, requests, layouts); err != nil {
		return nil, err
	}
	layouts, err := b.carryLoads(laid, requests, layouts)
	if err != nil {
		return nil, err
	}
	return spots.Separate(requests, layouts, b.way)
}

func (b *builder) stripsOf(joint int) []*strip {
	var out []*strip
	for _, s := range b.strips {
		if s.joint == joint {
			out = append(out, s)
		}
	}
	return out
}

// request says what is wanted of each strip of a joint: a stated count is shared by length.
func (b *builder) request(joint int, own []*strip) error {
	stated, station := b.Shell.Joints[joint], b.stationIndex(b.plan.Joints[joint].Station)
	lengths := make([]float64, len(own))
	for i, s := range own {
		lengths[i] = s.flange.Length
	}
	counts := spots.Share(stated.Count, lengths)
	for i, s := range own {
		s.request = spots.Request{
			Line:   spots.Line{ID: s.id, Sheets: s.panels, Points: s.flange.Line, Closed: s.flange.Closed},
			Limits: s.limits, KeepOuts: b.keepOuts(s, stated, station), Rows: stated.Rows, RowApart: stated.RowDistance,
			Edits: edits(stated, s.id, len(own)),
		}
		if inRows(s.flange, stated) {
			s.request.Rows = 1 // its neighbours are strips of their own
		}
		if stated.Count > 0 {
			s.request.Count = counts[i]
		}
		var err error
		if s.request.Apart, err = b.rowsApart(s.stack); err != nil {
			return fmt.Errorf("flange %s: %w", s.id, err)
		}
	}
	return nil
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
func (b *builder) strayEdits(joint int, own []*strip) {
	j := b.Shell.Joints[joint]
	var names []string
	for _, s := range own {
		names = append(names, s.id)
	}
	for _, w := range j.Welds {
		if slices.Contains(names, w.Flange) || w.Flange == "" && len(own) == 1 {
			continue
		}
		b.find(rule.Problem{Rule: "weld.by-hand", Remedy: "name one of its flanges: " + strings.Join(names, ", ")},
			finding.About{Joint: j.ID}, fmt.Sprintf("joint %s: edit %s: flange %q is not one of the joint's %d", j.ID, w.ID, w.Flange, len(own)))
	}
}

// tell turns what a layout could not keep by itself into findings: what is left out because it is too narrow, and edits that
// find no weld. Everything else the finished plan is checked for.
func (b *builder) tell(s *strip, laid spots.Layout) {
	for _, p := range laid.Problems {
		switch p.Kind {
		case spots.LeftOut:
			b.find(rule.Problem{Rule: "flange.left-out", Value: p.Value, Limit: p.Limit}, s.about(p.At),
				fmt.Sprintf("flange %s: no weld from %.0f to %.0f mm along it: %.1f mm wide, a weld needs %.1f", s.id, p.From, p.To, p.Value, p.Limit))
		case spots.ByHand:
			b.find(rule.Problem{Rule: "weld.by-hand", Value: p.Value, Limit: p.Limit}, s.about(p.At),
				fmt.Sprintf("flange %s: edit %s at %.0f mm: the nearest weld, or the end of the line, is %.1f mm away", s.id, p.Other, p.From, p.Value))
		}
	}
}

// keepOuts gathers everything that welds of the strip must stay clear of.
func (b *builder) keepOuts(s *strip, j shell.Joint, station int) []spots.KeepOut {
	var out []spots.KeepOut
	add := func(id string, at r3.Vector, radius float64, until spots.Until, hole bool) {
		out = append(out, spots.KeepOut{ID: id, At: at, Radius: radius, Until: until, Hole: hole})
	}
	if station >= 0 {
		for _, c := range b.plan.Stations[station].Clamps {
			until := spots.Release
			if c.Release == layout.AtEnd {
				until = spots.Always
			}
			add("clamp "+c.ID, point(c.At), c.Radius+b.tipRoom(station, s.limits.WeldDiameter.Value), until, false)
		}
		for _, d := range b.plan.Stations[station].Dowels {
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
		for _, path := range b.Parts[sheet].KeepOuts {
			out = append(out, spots.KeepOut{ID: check.Drawn + b.Parts[sheet].Panel.ID, Outline: &spots.Outline{Points: path.Points,
				Closed: path.Closed}})
		}
	}
	return out
}

func (b *builder) stationIndex(id string) int {
	for i, s := range b.plan.Stations {
		if s.ID == id {
			return i
		}
	}
	return -1
}

// takeWelds takes the welds that were laid on a strip, or on a part of it that a roller leaves.
func (b *builder) takeWelds(s *strip, r spots.Request, laid spots.Layout) {
	station := b.stationIndex(b.plan.Joints[s.joint].Station)
	if station < 0 {
		return
	}
	if len(laid.Welds) == 0 && len(s.unrolled) > 0 && b.plan.Joints[s.joint].Kind == layout.RollerJoint {
		b.leftOpen(s, r)
	}
	for _, spot := range laid.Welds {
		if whole := s.flange.Line[0].S + s.flange.Length; s.flange.Closed && spot.S >= whole { // a part over the closing point
			spot.S -= s.flange.Length
		}
		w := &weld{strip: s, spot: spot, station: station, step: layout.Fill}
		if spot.Tack {
			w.step = layout.Tack
		}
		if len(spot.Clamps) > 0 {
			w.step = layout.Released
		}
		b.welds = append(b.welds, w)
	}
}
