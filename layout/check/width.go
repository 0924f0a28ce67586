package check

import (
	"fmt"
	"math"
	"strings"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// widths judges the strip's width along the weld line, where welds are.
func (c *checker) widths() {
	for _, s := range c.Strips {
		if !s.Measured || len(s.Welds) == 0 {
			continue
		}
		c.width(s)
		c.overlap(s)
	}
}

func (c *checker) width(s *strips.Strip) {
	g := stretches{strip: s}
	for i, along := range s.Along {
		w := s.Nearest(along)
		face := c.Face(s, w)
		if s.Apart(w.Along, along) > math.Max(face/2, s.Step()) { // between welds the face does not lie on the strip
			g.kept()
			continue
		}
		l := c.Limit("flange.width.least", s.Stack, rule.Given{Face: face})
		left, right := s.Sides(along)
		l.Value = c.WidthNeeded(s, left, right, face)
		width := s.Flange.Line[i].Left + s.Flange.Line[i].Right
		if c.Keeps(l, width, slackSide, func() string { return "flange " + s.Flange.ID + " " + span1(w.Number) }) {
			g.kept()
			continue
		}
		g.miss(along, width, l.Value, l.Value-width)
	}
	for _, t := range g.merged(s.Limits.GreatestPitch.Value) {
		face := c.Face(s, s.Nearest(t.worst))
		l := c.Limit("flange.width.least", s.Stack, rule.Given{Face: face})
		l.Value, l.Note = t.limit, ""
		over := "in one place"
		if t.to > t.from {
			over = fmt.Sprintf("for %s mm", finding.Brief(t.to-t.from))
		}
		at := t.place(s, fmt.Sprintf("%s mm wide %s %s", finding.Tenths(t.value), over, span(t.welds)))
		at.Remedy = c.widthRemedy(s, t, face)
		c.Find(l, t.value, s.Stack, rule.Given{Face: face}, at)
	}
}

func span1(weld int) string { return fmt.Sprintf("at weld %d", weld) }

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
	return g.close(g.strip.Step())
}

// neighbours reports whether no weld that keeps the rule stands between two places.
func (g *stretches) neighbours(from, to float64) bool {
	reach := g.strip.Step()
	for _, w := range g.strip.Welds {
		if w.Along > from+reach && w.Along < to-reach {
			return false
		}
	}
	return true
}

// widthRemedy names the tips that fit, or says by how much to trim or widen.
func (c *checker) widthRemedy(s *strips.Strip, t *stretch, face float64) string {
	left, right := s.Sides(t.worst)
	least := c.Limit("tip.weld.least", s.Stack, rule.Given{}).Value * s.Limits.LeastWeldDiameter.Value
	best := ""
	widest := 0.0
	for i := range c.Shell.Tips {
		tip := &c.Shell.Tips[i]
		needed := c.WidthNeeded(s, left, right, tip.Face)
		if tip.Face < face && tip.Face >= least && t.value >= needed-slackSide && tip.Face > widest {
			best, widest = fmt.Sprintf("take tip %s (%s): %s mm are enough for it", tip.ID, tipWords(tip), finding.Tenths(needed)), tip.Face
		}
	}
	by := fmt.Sprintf("widen the flange by %s mm", finding.Tenths(t.short))
	if left == layout.Bend || right == layout.Bend {
		by = fmt.Sprintf("trim the bend back or widen the flange by %s mm", finding.Tenths(t.short))
	}
	if best != "" {
		return best + ", or " + by
	}
	return "no tip at hand fits: " + by
}

func tipWords(t *shell.Tip) string {
	shape := strings.ReplaceAll(t.Shape, "-", " ")
	return strings.TrimSpace(fmt.Sprintf("%s, face %s mm", shape, finding.Brief(t.Face)))
}

// overlap judges how far the sheets lie on each other.
func (c *checker) overlap(s *strips.Strip) {
	l := s.Limits.LeastOverlap
	g := stretches{strip: s}
	for i, along := range s.Along {
		width := s.Flange.Line[i].Left + s.Flange.Line[i].Right
		if s.NearEnd(along, width/2) { // an open strip's ends are rounded off
			g.kept()
			continue
		}
		if c.Keeps(l, width, slackSide, func() string { return fmt.Sprintf("flange %s at %s mm", s.Flange.ID, finding.Brief(along)) }) {
			g.kept()
			continue
		}
		g.miss(along, width, l.Value, l.Value-width)
	}
	for _, t := range g.close(0) {
		c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, fmt.Sprintf("the sheets lie on each other over %s mm, for %s mm %s",
			finding.Tenths(t.value), finding.Brief(t.to-t.from), span(t.welds))))
	}
}

// gaps judges the air between the sheets.
func (c *checker) gaps() {
	for _, s := range c.Strips {
		if !s.Measured {
			continue
		}
		l := s.Limits.GreatestGap
		g := stretches{strip: s}
		for i, along := range s.Along {
			air := s.Flange.Line[i].Air
			if c.Keeps(l, air, slackAir, func() string { return fmt.Sprintf("flange %s at %s mm", s.Flange.ID, finding.Brief(along)) }) {
				g.kept()
				continue
			}
			g.miss(along, air, l.Value, air-l.Value)
		}
		for _, t := range g.close(0) {
			what := fmt.Sprintf("the sheets stand %s mm apart for %s mm %s", finding.Brief(t.value), finding.Brief(t.to-t.from), span(t.welds))
			if len(s.Stack) > 2 {
				what += ", all interfaces added"
			}
			what += fmt.Sprintf(", and must be drawn in by %s mm before a weld", finding.Brief(t.value))
			c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, what))
		}
	}
}
