package joining

import (
	"fmt"
	"slices"

	"seamwright/geometry/flange"
	"seamwright/layout/finding"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// RowsApart is how far apart two rows stand on a stack.
func (b Basis) RowsApart(stack rule.Stack) (spots.RowLimits, error) {
	var v [3]float64
	for i, id := range []string{"row.least", "row.staggered.least", "row.greatest"} {
		l, err := b.Rules.Apart(id, stack)
		if err != nil {
			return spots.RowLimits{}, fmt.Errorf("stack %s: %w", stack, err)
		}
		v[i] = l.Value
	}
	return spots.RowLimits{Least: v[0], Staggered: v[1], Greatest: v[2]}, nil
}

// InRows says whether the joint welds the flange in rows side by side, each a strip of its own.
func InRows(f flange.Flange, j shell.Joint) bool { return f.Patch && j.RowPitch > 0 }

// patchRows are the flanges that a found one is welded as: its rows, each with its share of the area, where it is a broad
// contact and the joint states their distance; itself otherwise.
func (x *joiner) patchRows(f flange.Flange, j shell.Joint) []flange.Flange {
	if !InRows(f, j) {
		return []flange.Flange{f}
	}
	edge := x.Rules.Limits(stackOf(x.Parts, f.Sheets), &j).EdgeDistance.Value
	ofStated := false
	lines, err := f.Rows(j.RowPitch, func(side flange.Edge, sheets []int) float64 {
		if j.Edge > 0 && side == flange.FreeEdge && slices.Contains(sheets, x.sheetsOf([]string{j.EdgeOf})[0]) {
			ofStated = true
			return j.Edge
		}
		return edge
	})
	if j.Edge > 0 && !ofStated {
		x.find(rule.Problem{Rule: "line.edge", Value: j.Edge,
			Remedy: "the rows keep the rule's edge distance on all sides: name the other panel in edge_of, or leave edge_mm out"},
			finding.About{Joint: j.ID, At: Vec(f.Line[0].Point)}, noEdge("joint "+j.ID, j))
	}
	if err != nil {
		x.find(rule.Problem{Rule: "row.patch", Value: f.Width.Least, Limit: f.Width.Mean / 2},
			finding.About{Joint: j.ID, At: Vec(f.Line[0].Point)}, "joint "+j.ID+": a curved broad contact without parallel sides")
		return []flange.Flange{f}
	}
	out := make([]flange.Flange, len(lines))
	for i, line := range lines {
		out[i] = f.Along(line)
		out[i].Area /= float64(len(lines))
	}
	return out
}
