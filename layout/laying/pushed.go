package laying

import (
	"fmt"
	"math"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// offLine is how far in mm a weld may stand off the stated line before it is said. Chosen: the finder's sides come from
// triangles.
const offLine = 0.05

// pushedOff says for every strip with a stated line where the rules keep its welds off that line, at the weld that is
// farthest off. Welds in two rows stand off the line on purpose.
func pushedOff(b joining.Basis, strips []*joining.Strip, welds []Weld) (findings []layout.Finding) {
	for _, s := range strips {
		if s.Edge == 0 {
			continue
		}
		var worst *Weld
		n := 0
		for i := range welds {
			w := &welds[i]
			if w.Strip != s || w.Spot.Row != 0 || math.Abs(w.Spot.Offset) <= offLine {
				continue
			}
			if n++; worst == nil || math.Abs(w.Spot.Offset) > math.Abs(worst.Spot.Offset) {
				worst = w
			}
		}
		if worst != nil {
			p, where := offStated(s, worst, n, b.Shell.Joints[s.Joint])
			findings = append(findings, b.Make.Of(p, s.About(worst.Spot.Position), where))
		}
	}
	return findings
}

// offStated is what is said of a weld that a rule keeps off the stated line: the rule is that of the side from which
// the weld was moved away.
func offStated(s *joining.Strip, w *Weld, count int, j shell.Joint) (p rule.Problem, where string) {
	st := flange.Nearest(s.Flange.Line, w.Spot.Position)
	onLeft := st.LeftEdge == flange.FreeEdge && st.LeftSheet == s.Edge-1
	fromRight := w.Spot.Offset > 0
	side := st.LeftEdge
	if fromRight {
		side = st.RightEdge
	}
	limit, keep, what := keptFrom(s, side)
	p = rule.Problem{Rule: "line.edge", Value: j.Edge, Source: limit.Source, Certainty: limit.Certainty}
	words := fmt.Sprintf("flange %s: %d welds stand off the line stated from the edge of panel %s, up to %.1f mm", s.ID, count, j.EdgeOf,
		math.Abs(w.Spot.Offset))
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
func keptFrom(s *joining.Strip, side flange.Edge) (limit rule.Limit, keep float64, what string) {
	face := s.Limits.TipFace.Value / 2
	switch side {
	case flange.Bend:
		return s.Limits.BendClearance, face + s.Limits.BendClearance.Value, "a bend"
	case flange.GapOpens:
		return s.Limits.TipFace, face, "where the sheets part"
	case flange.StackEnds:
		return s.Limits.TipFace, face, "where the stack changes"
	}
	return s.Limits.EdgeDistance, s.Limits.EdgeDistance.Value, "a free edge"
}
