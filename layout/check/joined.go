package check

import (
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
)

// nothingJoined judges that the shell has a weld, and that every panel that lies on another is held by one. What lies on
// nothing is said where the panels are judged.
func (c *checker) nothingJoined() {
	l := c.limit("shell.joined", nil, rule.Given{})
	joins := float64(len(c.plan.Welds) + len(c.plan.Seams))
	words := func() string { return fmt.Sprintf("%s: %g welds and roller seams", c.plan.Shell.Name, joins) }
	if !c.keeps(l, joins, 0, words) {
		c.find(l, joins, nil, rule.Given{}, place{words: c.plan.Shell.Name + ": no weld and no roller seam"})
		return
	}
	held := map[string]bool{}
	for _, w := range c.plan.Welds {
		for _, id := range w.Sheets {
			held[id] = true
		}
	}
	for _, f := range c.plan.Flanges {
		for _, id := range f.Panels {
			held[id] = held[id] || slices.ContainsFunc(c.plan.Seams, func(s layout.Seam) bool { return s.Flange == f.ID })
		}
	}
	for _, p := range c.plan.Panels {
		lies := slices.ContainsFunc(c.plan.Flanges, func(f layout.Flange) bool { return slices.Contains(f.Panels, p.ID) })
		if lies && !held[p.ID] {
			c.report.Findings = append(c.report.Findings, c.make.Of(rule.Problem{Rule: "panel.unjoined"},
				finding.About{Panels: []string{p.ID}}, fmt.Sprintf("panel %s: no weld and no roller seam holds it", p.ID)))
		}
	}
}
