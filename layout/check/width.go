package check

import (
	"fmt"
	"math"
	"strings"

	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// widthNeeded is the width that a weld with the given face needs between what ends the strip on either side.
func (c *checker) widthNeeded(s *strip, left, right layout.Edge, face float64) float64 {
	return c.keepFrom(s, left, face) + c.keepFrom(s, right, face)
}

// keepFrom is how far the weld centre stays from what ends the strip: the edge distance from a free edge, half the face
// and the clearance from a bend, half the face from where the stack ends or gapes.
func (c *checker) keepFrom(s *strip, side layout.Edge, face float64) float64 {
	switch side {
	case layout.Bend:
		return face/2 + s.limits.BendClearance.Value
	case layout.FreeEdge, layout.UnknownEdge:
		return s.limits.EdgeDistance.Value
	}
	return c.limit("tip.seat.least", s.stack, rule.Given{}).Value * face
}

// widths judges the strip's width along the weld line, where welds are.
func (c *checker) widths() {
	for _, s := range c.strips {
		if !s.measure || len(s.welds) == 0 {
			continue
		}
		c.width(s)
		c.overlap(s)
	}
}

func (c *checker) width(s *strip) {
	g := stretches{strip: s}
	for i, along := range s.along {
		w := s.nearest(along)
		face := c.face(s, w)
		if s.apart(w.Along, along) > math.Max(face/2, s.step()) { // between welds the face does not lie on the strip
			g.kept()
			continue
		}
		l := c.limit("flange.width.least", s.stack, rule.Given{Face: face})
		left, right := s.sides(along)
		l.Value = c.widthNeeded(s, left, right, face)
		width := s.flange.Line[i].Left + s.flange.Line[i].Right
		if c.keeps(l, width, slackSide, func() string { return "flange " + s.flange.ID + " " + span1(w.Number) }) {
			g.kept()
			continue
		}
		g.miss(along, width, l.Value, l.Value-width)
	}
	for _, t := range g.merged(s.limits.GreatestPitch.Value) {
		face := c.face(s, s.nearest(t.worst))
		l := c.limit("flange.width.least", s.stack, rule.Given{Face: face})
		l.Value, l.Note = t.limit, ""
		at := t.place(s, fmt.Sprintf("%s mm wide for %s mm %s", tenths(t.value), brief(t.to-t.from), span(t.welds)))
		at.remedy = c.widthRemedy(s, t, face)
		c.find(l, t.value, s.stack, rule.Given{Face: face}, at)
	}
}

func span1(weld int) string { return fmt.Sprintf("at weld %d", weld) }

// step is the distance between the points of the weld line.
func (s *strip) step() float64 { return s.flange.Length / float64(max(1, len(s.along)-1)) }

// merged joins the stretches about neighbouring welds into one, and gives them their welds.
func (g *stretches) merged(pitch float64) []*stretch {
	var out []*stretch
	for _, t := range g.list {
		if n := len(out); n > 0 && t.from-out[n-1].to <= pitch*1.05 && g.neighbours(out[n-1].to, t.from) {
			last := out[n-1]
			last.to = t.to
			if t.short > last.short {
				last.worst, last.value, last.limit, last.short = t.worst, t.value, t.limit, t.short
			}
			continue
		}
		out = append(out, t)
	}
	g.list = out
	return g.close(g.strip.step())
}

// neighbours reports whether no weld that keeps the rule stands between two places.
func (g *stretches) neighbours(from, to float64) bool {
	reach := g.strip.step()
	for _, w := range g.strip.welds {
		if w.Along > from+reach && w.Along < to-reach {
			return false
		}
	}
	return true
}

// widthRemedy names the tips that fit, or says by how much to trim or widen.
func (c *checker) widthRemedy(s *strip, t *stretch, face float64) string {
	left, right := s.sides(t.worst)
	least := c.limit("tip.weld.least", s.stack, rule.Given{}).Value * s.limits.LeastWeldDiameter.Value
	best := ""
	widest := 0.0
	for i := range c.shell.Tips {
		tip := &c.shell.Tips[i]
		needed := c.widthNeeded(s, left, right, tip.Face)
		if tip.Face < face && tip.Face >= least && t.value >= needed-slackSide && tip.Face > widest {
			best, widest = fmt.Sprintf("take tip %s (%s): %s mm are enough for it", tip.ID, tipWords(tip), tenths(needed)), tip.Face
		}
	}
	by := fmt.Sprintf("widen the flange by %s mm", tenths(t.short))
	if left == layout.Bend || right == layout.Bend {
		by = fmt.Sprintf("trim the bend back or widen the flange by %s mm", tenths(t.short))
	}
	if best != "" {
		return best + ", or " + by
	}
	return "no tip at hand fits: " + by
}

func tipWords(t *shell.Tip) string {
	shape := strings.ReplaceAll(t.Shape, "-", " ")
	return strings.TrimSpace(fmt.Sprintf("%s, face %s mm", shape, brief(t.Face)))
}

// overlap judges how far the sheets lie on each other.
func (c *checker) overlap(s *strip) {
	l := s.limits.LeastOverlap
	g := stretches{strip: s}
	for i, along := range s.along {
		width := s.flange.Line[i].Left + s.flange.Line[i].Right
		if s.nearEnd(along, width/2) { // an open strip's ends are rounded off
			g.kept()
			continue
		}
		if c.keeps(l, width, slackSide, func() string { return fmt.Sprintf("flange %s at %s mm", s.flange.ID, brief(along)) }) {
			g.kept()
			continue
		}
		g.miss(along, width, l.Value, l.Value-width)
	}
	for _, t := range g.close(0) {
		c.find(l, t.value, s.stack, rule.Given{}, t.place(s, fmt.Sprintf("the sheets lie on each other over %s mm, for %s mm %s",
			tenths(t.value), brief(t.to-t.from), span(t.welds))))
	}
}

func (s *strip) nearEnd(along, within float64) bool {
	return !s.flange.Closed && (along < within || along > s.flange.Length-within)
}

// gaps judges the air between the sheets.
func (c *checker) gaps() {
	for _, s := range c.strips {
		if !s.measure {
			continue
		}
		l := s.limits.GreatestGap
		g := stretches{strip: s}
		for i, along := range s.along {
			air := s.flange.Line[i].Air
			if c.keeps(l, air, slackAir, func() string { return fmt.Sprintf("flange %s at %s mm", s.flange.ID, brief(along)) }) {
				g.kept()
				continue
			}
			g.miss(along, air, l.Value, air-l.Value)
		}
		for _, t := range g.close(0) {
			what := fmt.Sprintf("the sheets stand %s mm apart for %s mm %s", brief(t.value), brief(t.to-t.from), span(t.welds))
			if len(s.stack) > 2 {
				what += ", all interfaces added"
			}
			what += fmt.Sprintf(", and must be drawn in by %s mm before a weld", brief(t.value))
			c.find(l, t.value, s.stack, rule.Given{}, t.place(s, what))
		}
	}
}
