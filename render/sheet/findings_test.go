package sheet

import (
	"slices"
	"testing"

	"seamwright/layout"
)

// A finding's row has its value beside its limit, in the rule's unit; a waived one says by whom and why, not what to do.
func TestRowsOfFindings(t *testing.T) {
	j := &job{findings: []layout.Finding{
		{Rule: "edge.least", Severity: layout.Doubt, Where: "weld 3", Value: 4.5, Limit: 6, Unit: "mm", Remedy: "move it"},
		{Rule: "pitch.least", Severity: layout.Waived, Where: "weld 4", Value: 11, Limit: 12, Unit: "mm", Remedy: "leave it out",
			Name: "A. Welder", Reason: "peel tested"},
		{Rule: "panel.open", Severity: layout.Doubt, Where: "panel roof", Remedy: "close the mesh"},
	}}
	want := [][]string{
		{"doubt", "edge.least", "weld 3", "4.5", "6 mm", "move it"},
		{"waived", "pitch.least", "weld 4", "11", "12 mm", "let stand by A. Welder: peel tested"},
		{"doubt", "panel.open", "panel roof", "", "", "close the mesh"},
	}
	for i, row := range j.findingsBlock().Rows {
		if !slices.Equal(row, want[i]) {
			t.Errorf("%q, want %q", row, want[i])
		}
	}
}
