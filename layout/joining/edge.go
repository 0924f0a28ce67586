package joining

import (
	"errors"
	"fmt"

	"seamwright/geometry/flange"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// fromEdge moves the strip's weld line to the distance from a panel's free edge that the joint states. Where that panel
// has no such edge the line stays in the middle, and a finding says so.
func (x *joiner) fromEdge(s *Strip, j *shell.Joint) {
	part := x.sheetsOf([]string{j.EdgeOf})[0]
	line, err := s.Flange.LineFromEdge(part, j.Edge)
	if err == nil {
		s.Flange = s.Flange.Along(line)
		s.Edge, s.Key = 1+part, flangeKey(x.Cache, s.Flange)
		return
	}
	p, where := rule.Problem{Rule: "line.edge", Value: j.Edge,
		Remedy: "the line stays in the middle: name the other panel in edge_of, or give this flange a joint of its own without edge_mm"},
		noEdge("flange "+s.ID, *j)
	if !errors.Is(err, flange.ErrNoEdge) {
		where = fmt.Sprintf("flange %s: a line so far from the edge of panel %s lies beyond the strip", s.ID, j.EdgeOf)
		p.Limit, p.Remedy = s.Flange.Width.Greatest, "the line stays in the middle: make edge_mm smaller than the strip is wide"
	}
	x.find(p, s.About(s.Flange.Line[0].Point), where)
}

// noEdge says that the panel from whose edge a joint's line is stated has none along a flange.
func noEdge(where string, j shell.Joint) string {
	return fmt.Sprintf("%s: panel %s has no free edge along it", where, j.EdgeOf)
}
