package layout_test

import (
	"testing"

	"seamwright/layout"
)

func TestSortFindings(t *testing.T) {
	findings := []layout.Finding{
		{Severity: layout.Note, Rule: "a", Where: "1"}, {Severity: layout.Broken, Rule: "b", Where: "2"}, {Severity: layout.Doubt, Rule: "a",
			Where: "3"},
		{Severity: layout.Broken, Rule: "a", Where: "5"}, {Severity: layout.Waived, Rule: "z", Where: "6"}, {Severity: layout.Broken, Rule: "a",
			Where: "4"},
		{Severity: layout.Broken, Rule: "a", Where: "4", Value: 7},
	}
	layout.SortFindings(findings)
	got := ""
	for _, f := range findings {
		got += f.Where
	}
	if got != "4452631" || findings[0].Value != 0 || findings[1].Value != 7 {
		t.Errorf("order %s, equal ones %v", got, findings[:2])
	}
}
