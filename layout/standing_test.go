package layout_test

import (
	"testing"

	"seamwright/layout"
)

// Nothing that is not ready says for production.
func TestStanding(t *testing.T) {
	broken := layout.Finding{Severity: layout.Broken}
	approved := layout.Shell{Status: layout.Approved, Approver: "A. Lead", Revision: "B"}
	for _, c := range []struct {
		shell    layout.Shell
		findings []layout.Finding
		want     string
	}{
		{approved, nil, "for production"},
		{approved, []layout.Finding{{Severity: layout.Waived}, {Severity: layout.Doubt}, {Severity: layout.Note}}, "for production"},
		{approved, []layout.Finding{broken}, "not approved: 1 rule broken"},
		{approved, []layout.Finding{broken, broken}, "not approved: 2 rules broken"},
		{layout.Shell{Status: layout.Approved, Revision: "B"}, nil, "draft, not approved"},
		{layout.Shell{Status: layout.Approved, Approver: "A. Lead"}, nil, "draft, not approved"},
		{layout.Shell{Status: layout.Draft, Approver: "A. Lead", Revision: "B"}, nil, "draft, not approved"},
		{layout.Shell{Approver: "A. Lead", Revision: "B"}, nil, "draft, not approved"},
		{layout.Shell{Status: layout.Demonstration, Approver: "A. Lead", Revision: "B"}, nil, "demonstration, invented data"},
		{layout.Shell{Status: layout.Demonstration}, []layout.Finding{broken}, "demonstration, 1 rule broken, invented data"},
	} {
		p := layout.Plan{Shell: c.shell, Findings: c.findings}
		if got := p.Standing(); got != c.want {
			t.Errorf("%+v: %q, want %q", c.shell, got, c.want)
		}
	}
}
