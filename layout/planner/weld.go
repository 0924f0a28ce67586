package planner

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
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
	step    string
	run     int
	number  int
	waits   string
}

// laySpots sets out the spots of every strip that is to be spot welded, and then moves apart what is too near.
func (b *builder) laySpots(context.Context) error {
	var laid []*strip
	for i := range b.plan.Joints {
		if b.plan.Joints[i].Kind == "roller" {
			continue
		}
		own := b.stripsOf(i)
		if err := b.request(i, own); err != nil {
			return fmt.Errorf("joint %s: %w", b.plan.Joints[i].ID, err)
		}
		laid = append(laid, own...)
	}
	requests, layouts := make([]spots.Request, len(laid)), make([]spots.Layout, len(laid))
	for i, s := range laid {
		var err error
		requests[i] = s.request
		if layouts[i], err = spots.Lay(s.request); err != nil {
			return fmt.Errorf("flange %s: %w", s.id, err)
		}
		b.progress("lay out welds", i+1, len(laid))
	}
	layouts, err := spots.Separate(requests, layouts)
	if err != nil {
		return err
	}
	for i, s := range laid {
		s.laid = layouts[i]
		b.spotFindings(s)
		b.takeWelds(s)
	}
	return nil
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

// request says what is wanted of each strip of a joint: a stated count and a load's count are shared by length.
func (b *builder) request(joint int, own []*strip) error {
	stated, station := b.Shell.Joints[joint], b.stationIndex(b.plan.Joints[joint].Station)
	lengths := make([]float64, len(own))
	for i, s := range own {
		lengths[i] = s.flange.Length
	}
	needed, err := b.loadCount(stated, own)
	if err != nil {
		return err
	}
	counts, loads := spots.Share(stated.Count, lengths), spots.Share(needed, lengths)
	for i, s := range own {
		s.request = spots.Request{
			Line:   spots.Line{ID: s.id, Sheets: s.panels, Stations: s.flange.Line, Closed: s.flange.Closed},
			Limits: s.limits, Pitch: stated.Pitch, TackEvery: stated.Tack, KeepOuts: b.keepOuts(s, stated, station),
		}
		if stated.Count > 0 {
			s.request.Count = counts[i]
		}
		if needed > 0 {
			s.request.LoadCount = loads[i]
		}
	}
	return nil
}

// loadCount is the number of welds that the joint's load needs, by its weakest strip.
func (b *builder) loadCount(j shell.Joint, own []*strip) (int, error) {
	demand := strength.Demand{Shear: j.Load.Shear, Flow: j.Load.Flow, Tension: j.Load.Tension}
	if demand == (strength.Demand{}) {
		return 0, nil
	}
	length := 0.0
	for _, s := range own {
		length += s.flange.Length
	}
	most := 0
	for _, s := range own {
		w, err := strength.Single(s.stack, strength.Options{End: s.limits.EndDistance.Value, Edge: s.limits.EdgeDistance.Value})
		if err != nil {
			return 0, fmt.Errorf("flange %s: strength: %w", s.id, err)
		}
		n, err := w.Needed(demand, length)
		if err != nil {
			return 0, fmt.Errorf("flange %s: load: %w", s.id, err)
		}
		most = max(most, n)
	}
	return most, nil
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
			if c.Release == "end" {
				until = spots.Always
			}
			add("clamp "+c.ID, point(c.At), c.Radius, until, false)
		}
		for _, d := range b.plan.Stations[station].Dowels {
			add("dowel "+d.ID, point(d.At), d.Radius, spots.Always, false)
		}
	}
	for i, k := range j.KeepOuts {
		add(cmpOr(k.Why, fmt.Sprintf("keep-out %d", i+1)), point(k.At), k.Radius, spots.Always, false)
	}
	for _, h := range s.flange.Holes {
		add("hole", h.Center, h.Radius, spots.Always, true)
	}
	for _, sheet := range s.flange.Sheets {
		for _, path := range b.Parts[sheet].KeepOuts {
			for _, ball := range drawnKeepOuts(s.flange, path.Points) {
				add("keep-out of "+b.Parts[sheet].Panel.ID, ball.center, ball.radius, spots.Always, false)
			}
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

func (b *builder) takeWelds(s *strip) {
	station := b.stationIndex(b.plan.Joints[s.joint].Station)
	if station < 0 {
		return
	}
	for _, spot := range s.laid.Welds {
		w := &weld{strip: s, spot: spot, station: station, step: "fill"}
		if spot.Tack {
			w.step = "tack"
		}
		if len(spot.Clamps) > 0 {
			w.step = "released"
		}
		b.welds = append(b.welds, w)
	}
}

// spotRules says for each kind of layout problem which rule it breaks, how badly, and what to do.
var spotRules = map[spots.Kind]struct {
	rule, severity, unit, remedy string
	limit                        func(rule.Limits) rule.Limit
}{
	spots.Narrow:     {"flange.width", layout.Broken, "mm", "use a narrower tip, trim the bend, or widen the flange", func(l rule.Limits) rule.Limit { return l.EdgeDistance }},
	spots.Short:      {"flange.length", layout.Doubt, "mm", "a single weld holds this strip: check that it is enough", func(l rule.Limits) rule.Limit { return l.EndDistance }},
	spots.Blocked:    {"weld.place", layout.Broken, "mm", "move a clamp or dowel: nothing of the strip is free", func(l rule.Limits) rule.Limit { return l.EndDistance }},
	spots.EndOpen:    {"end.greatest", layout.Doubt, "mm", "move what keeps the weld from the end", func(l rule.Limits) rule.Limit { return l.EndDistance }},
	spots.PitchAbove: {"pitch.greatest", layout.Doubt, "mm", "move what is in the way, or let the clamp open after tacking", func(l rule.Limits) rule.Limit { return l.GreatestPitch }},
	spots.CountShort: {"count.stated", layout.Broken, "welds", "ask for fewer welds, or a smaller least pitch", func(l rule.Limits) rule.Limit { return l.LeastPitch }},
	spots.PitchWish:  {"pitch.wanted", layout.Note, "mm", "the wanted pitch is outside the rules; the rule's was used", func(l rule.Limits) rule.Limit { return l.LeastPitch }},
	spots.TooNear:    {"pitch.least", layout.Broken, "mm", "shorten one of the flanges, leave out the weld by a stated keep-out, or take the loss of current into the setting", func(l rule.Limits) rule.Limit { return l.LeastPitch }},
	spots.FewTacks:   {"tacks", layout.Doubt, "tacks", "move a clamp so that the ends can be tacked", func(l rule.Limits) rule.Limit { return l.TackEvery }},
	spots.TackGap:    {"tacks.spacing", layout.Doubt, "mm", "move a clamp so that a tack fits between", func(l rule.Limits) rule.Limit { return l.TackEvery }},
	spots.LoadWish:   {"count.load", layout.Broken, "welds", "the load needs more welds than fit: thicker sheet, a second row, or less load", func(l rule.Limits) rule.Limit { return l.LeastPitch }},
}

func (b *builder) spotFindings(s *strip) {
	for _, p := range s.laid.Problems {
		r, known := spotRules[p.Kind]
		if !known {
			r = spotRules[spots.Blocked]
		}
		limit := r.limit(s.limits)
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: r.rule, Severity: r.severity, Where: p.String(), Value: p.Value, Limit: p.Limit, Unit: r.unit,
			Source: source(limit), Remedy: r.remedy, At: vec(p.At),
		})
	}
}

func source(l rule.Limit) string {
	if l.Certainty == "" {
		return l.Source
	}
	return fmt.Sprintf("%s (%s)", l.Source, l.Certainty)
}
