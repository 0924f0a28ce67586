package layout

import "fmt"

// Status is what the shell file says that a plan may be used for.
type Status string

// The kinds of status.
const (
	Draft         Status = "draft"
	Approved      Status = "approved"
	Demonstration Status = "demonstration"
)

// ForProduction is the standing of a plan that may be welded from.
const ForProduction = "for production"

// Standing is what a plan may be used for, in the words that every sheet prints: for production only where it is approved by
// somebody, has a revision, and no rule is broken that is not waived.
func (p *Plan) Standing() string {
	broken := 0
	for _, f := range p.Findings {
		if f.Severity == Broken {
			broken++
		}
	}
	switch {
	case p.Shell.Status == Demonstration && broken > 0:
		return "demonstration, " + rules(broken) + ", invented data"
	case p.Shell.Status == Demonstration:
		return "demonstration, invented data"
	case broken > 0:
		return "not approved: " + rules(broken)
	case p.Shell.Status == Approved && p.Shell.Approver != "" && p.Shell.Revision != "":
		return ForProduction
	}
	return "draft, not approved"
}

func rules(broken int) string {
	if broken == 1 {
		return "1 rule broken"
	}
	return fmt.Sprintf("%d rules broken", broken)
}
