package planner

import (
	"errors"
	"fmt"
	"math"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// offLine is how far in mm a weld may stand off the stated line before it is said. Chosen: the finder's sides come from
// triangles.
const offLine = 0.05

// fromEdge moves the strip's weld line to the distance from a panel's free edge that the joint states. Where that panel
// has no such edge the line stays in the middle, and a finding says so.
func (x *joiner) fromEdge(s *strip, j *shell.Joint) {
	part := x.sheetsOf([]string{j.EdgeOf})[0]
	line, err := s.flange.LineFromEdge(part, j.Edge)
	if err == nil {
		s.flange = s.flange.Along(line)
		s.edge, s.key = 1+part, flangeKey(x.cache, s.flange)
		return
	}
	p, where := rule.Problem{Rule: "line.edge", Value: j.Edge,
		Remedy: "the line stays in the middle: name the other panel in edge_of, or give this flange a joint of its own without edge_mm"},
		noEdge("flange "+s.id, *j)
	if !errors.Is(err, flange.ErrNoEdge) {
		where = fmt.Sprintf("flange %s: a line so far from the edge of panel %s lies beyond the strip", s.id, j.EdgeOf)
		p.Limit, p.Remedy = s.flange.Width.Greatest, "the line stays in the middle: make edge_mm smaller than the strip is wide"
	}
	x.find(p, s.about(s.flange.Line[0].Point), where)
}

// noEdge says that the panel from whose edge a joint's line is stated has none along a flange.
func noEdge(where string, j shell.Joint) string {
	return fmt.Sprintf("%s: panel %s has no free edge along it", where, j.EdgeOf)
}

// pushedOff says for every strip with a stated line where the rules keep its welds off that line, at the weld that is
// farthest off. Welds in two rows stand off the line on purpose.
func pushedOff(b basis, strips []*strip, welds []weld) (findings []layout.Finding) {
	for _, s := range strips {
		if s.edge == 0 {
			continue
		}
		var worst *weld
		n := 0
		for i := range welds {
			w := &welds[i]
			if w.strip != s || w.spot.Row != 0 || math.Abs(w.spot.Offset) <= offLine {
				continue
			}
			if n++; worst == nil || math.Abs(w.spot.Offset) > math.Abs(worst.spot.Offset) {
				worst = w
			}
		}
		if worst != nil {
			p, where := s.offStated(worst, n, b.shell.Joints[s.joint])
			findings = append(findings, b.make.Of(p, s.about(worst.spot.Position), where))
		}
	}
	return findings
}

// offStated is what is said of a weld that a rule keeps off the stated line: the rule is that of the side from which
// the weld was moved away.
func (s *strip) offStated(w *weld, count int, j shell.Joint) (p rule.Problem, where string) {
	st := flange.Nearest(s.flange.Line, w.spot.Position)
	onLeft := st.LeftEdge == flange.FreeEdge && st.LeftSheet == s.edge-1
	fromRight := w.spot.Offset > 0
	side := st.LeftEdge
	if fromRight {
		side = st.RightEdge
	}
	limit, keep, what := s.keptFrom(side)
	p = rule.Problem{Rule: "line.edge", Value: j.Edge, Source: limit.Source, Certainty: limit.Certainty}
	words := fmt.Sprintf("flange %s: %d welds stand off the line stated from the edge of panel %s, up to %.1f mm", s.id, count, j.EdgeOf,
		math.Abs(w.spot.Offset))
	if onLeft != fromRight { // its own edge pushes
		p.Limit = keep
		p.Remedy = fmt.Sprintf("state edge_mm: %.1f or more, or change the rule for this shell", keep)
		return p, fmt.Sprintf("%s: the least that the rule allows from %s is %.1f mm", words, what, keep)
	}
	p.Limit = st.Left + st.Right - keep
	p.Remedy = fmt.Sprintf("state edge_mm: %.1f or less, or widen the flange", p.Limit)
	return p, fmt.Sprintf("%s: the other side is %s, and the least that the rule allows from it is %.1f mm", words, what, keep)
}

// keptFrom is the rule that keeps a weld's centre off what ends the strip, and how far.
func (s *strip) keptFrom(side flange.Edge) (limit rule.Limit, keep float64, what string) {
	face := s.limits.TipFace.Value / 2
	switch side {
	case flange.Bend:
		return s.limits.BendClearance, face + s.limits.BendClearance.Value, "a bend"
	case flange.GapOpens:
		return s.limits.TipFace, face, "where the sheets part"
	case flange.StackEnds:
		return s.limits.TipFace, face, "where the stack changes"
	}
	return s.limits.EdgeDistance, s.limits.EdgeDistance.Value, "a free edge"
}
