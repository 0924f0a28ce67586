package check

import (
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

// distances judges every weld's distances to the sides of its strip.
func (c *checker) distances() {
	for _, s := range c.Strips {
		if s.Measured {
			c.edges(s)
			c.farEdges(s)
			c.holes(s)
		}
	}
}

// edges judges what the weld's two sides ask for: edge distance, clearance to a bend, seat of the face.
func (c *checker) edges(s *strips.Strip) {
	groups := map[string]*stretches{}
	limits := map[string]rule.Limit{}
	for _, w := range s.Welds {
		face := c.Face(s, w)
		left, right := s.Sides(w.Along)
		// In a strip that is too narrow, which is said already, half the shortage falls on each side.
		allowed := math.Max(0, c.WidthNeeded(s, left, right, face)-w.Left-w.Right) / 2
		for _, side := range []struct {
			name     string
			kind     layout.Edge
			distance float64
		}{{"left", left, w.Left}, {"right", right, w.Right}} {
			l, value := c.sideLimit(s, side.kind, face, side.distance)
			key := l.Rule + " " + side.name + " " + string(side.kind)
			g, ok := groups[key]
			if !ok {
				g = &stretches{strip: s}
				groups[key] = g
			}
			limits[key] = l
			words := func() string { return fmt.Sprintf("flange %s at weld %d, on the %s", s.Flange.ID, w.Number, side.name) }
			kept := c.Keeps(l, value, slackSide, words)
			if kept || value+allowed+slackSide >= l.Value {
				g.kept()
				continue
			}
			g.miss(w.Along, value, l.Value, l.Value-value)
		}
	}
	for _, side := range []string{"left", "right"} {
		for _, kind := range []layout.Edge{layout.FreeEdge, layout.Bend, layout.GapOpens, layout.StackEnds, layout.UnknownEdge} {
			for _, id := range []string{"edge.least", "bend.clearance", "tip.seat.least"} {
				key := id + " " + side + " " + string(kind)
				if g, ok := groups[key]; ok {
					c.sideFindings(s, g, limits[key], side, kind)
				}
			}
		}
	}
}

// sideLimit is the rule for what ends the strip on a side, and the weld's value against it. A value in mm is given also
// where the rule counts in faces.
func (c *checker) sideLimit(s *strips.Strip, kind layout.Edge, face, distance float64) (rule.Limit, float64) {
	switch kind {
	case layout.FreeEdge, layout.UnknownEdge:
		return s.Limits.EdgeDistance, distance
	case layout.Bend:
		return s.Limits.BendClearance, distance - face/2
	}
	l := c.Limit("tip.seat.least", s.Stack, rule.Given{})
	l.Value, l.Unit = l.Value*face, "mm"
	return l, distance
}

func (c *checker) sideFindings(s *strips.Strip, g *stretches, l rule.Limit, side string, kind layout.Edge) {
	to := map[layout.Edge]string{layout.FreeEdge: "the free edge", layout.Bend: "the bend", layout.GapOpens: "where the sheets part",
		layout.StackEnds: "where the stack ends", layout.UnknownEdge: "the side"}[kind]
	for _, t := range g.close(0) {
		from := "the weld centre"
		if kind == layout.Bend {
			from = "the electrode face"
		}
		l.Value = t.limit
		c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, fmt.Sprintf("%s is %s mm from %s on the %s, %s", from, finding.Tenths(t.value),
			to, side, span(t.welds))))
	}
}

// farEdges judges the greatest edge distance: the nearer free edge counts.
func (c *checker) farEdges(s *strips.Strip) {
	l := c.Limit("edge.greatest", s.Stack, rule.Given{})
	g := stretches{strip: s}
	heldLeft, heldRight := c.rowsBeside(s)
	for _, w := range s.Welds {
		left, right := s.Sides(w.Along)
		distance := math.Inf(1)
		if left == layout.FreeEdge && (w.Row == 0 || w.Row == s.LastRow) && !heldLeft { // of several rows the nearest one holds the edge down
			distance = w.Left
		}
		if right == layout.FreeEdge && w.Row <= 1 && !heldRight {
			distance = math.Min(distance, w.Right)
		}
		if math.IsInf(distance, 0) || c.Keeps(l, distance, slackSide, func() string {
			return fmt.Sprintf("flange %s at weld %d", s.Flange.ID,
				w.Number)
		}) {
			g.kept()
			continue
		}
		g.miss(w.Along, distance, l.Value, distance-l.Value)
	}
	for _, t := range g.close(0) {
		c.Find(l, t.value, s.Stack, rule.Given{}, t.place(s, fmt.Sprintf("the free edge is %s mm from the weld centre, %s",
			finding.Tenths(t.value), span(t.welds))))
	}
}

// rowsBeside says whether another row over the same broad contact stands nearer to its left side, to its right side.
func (c *checker) rowsBeside(s *strips.Strip) (left, right bool) {
	for _, o := range c.Strips {
		if o == s || !o.Measured || len(o.Welds) == 0 || !s.Beside(o) {
			continue
		}
		m, n := len(s.Along)/2, len(o.Along)/2
		left = left || o.Flange.Line[n].Left < s.Flange.Line[m].Left
		right = right || o.Flange.Line[n].Right < s.Flange.Line[m].Right
	}
	return left, right
}

// holes judges the distance to openings: their rims are free edges.
func (c *checker) holes(s *strips.Strip) {
	l := s.Limits.EdgeDistance
	for _, h := range s.Flange.Holes {
		for _, w := range s.Welds {
			distance := w.Position.R3().Distance(h.At.R3()) - h.Radius
			if distance > 4*l.Value {
				continue
			}
			words := fmt.Sprintf("flange %s: weld %d is %s mm from the rim of a hole", s.Flange.ID, w.Number, finding.Tenths(distance))
			at := ledger.Place{Words: words, At: w.Position.R3(), Strip: s, Weld: w.Number}
			if !c.Keeps(l, distance, slackSide, func() string { return at.Words }) {
				c.Find(l, distance, s.Stack, rule.Given{}, at)
			}
		}
	}
}

// ends judges the end welds of open strips. Where the sheets go on as another strip, the end is no edge: the pitch
// across it is judged instead.
func (c *checker) ends() {
	for _, s := range c.Strips {
		if s.Flange.Closed || len(s.Welds) == 0 {
			continue
		}
		least, greatest := s.Limits.EndDistance, c.Limit("end.greatest", s.Stack, rule.Given{})
		first, last := s.Welds[0], s.Welds[len(s.Welds)-1]
		for end, e := range []struct {
			weld     *layout.Weld
			distance float64
			name     string
			from, to float64
		}{{first, first.Along, "start", 0, first.Along}, {last, s.Flange.Length - last.Along, "end", last.Along, s.Flange.Length}} {
			if s.Onto[end] != nil {
				continue
			}
			where := fmt.Sprintf("flange %s: %s mm from its %s to weld %d%s", s.Flange.ID, finding.Tenths(e.distance), e.name, e.weld.Number,
				c.because(s, e.from, e.to))
			at := ledger.Place{Words: where, At: e.weld.Position.R3(), Strip: s, Weld: e.weld.Number}
			words := func() string { return at.Words }
			if !c.Keeps(least, e.distance, slackSide, words) {
				c.Find(least, e.distance, s.Stack, rule.Given{}, at)
			}
			if !c.Keeps(greatest, e.distance, slackSide, words) {
				c.Find(greatest, e.distance, s.Stack, rule.Given{}, at)
			}
		}
	}
}
