package check

import (
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/seams/rule"
)

// nothingJoined judges that the shell has a weld, and that every panel that lies on another is held by one. What lies on
// nothing is said where the panels are judged.
func (c *checker) nothingJoined() {
	l := c.Limit("shell.joined", nil, rule.Given{})
	joins := float64(len(c.Plan.Welds) + len(c.Plan.Seams))
	words := func() string { return fmt.Sprintf("%s: %g welds and roller seams", c.Plan.Shell.Name, joins) }
	if !c.Keeps(l, joins, 0, words) {
		c.Find(l, joins, nil, rule.Given{}, ledger.Place{Words: c.Plan.Shell.Name + ": no weld and no roller seam"})
		return
	}
	held := map[string]bool{}
	for _, w := range c.Plan.Welds {
		for _, id := range w.Sheets {
			held[id] = true
		}
	}
	for _, f := range c.Plan.Flanges {
		for _, id := range f.Panels {
			held[id] = held[id] || slices.ContainsFunc(c.Plan.Seams, func(s layout.Seam) bool { return s.Flange == f.ID })
		}
	}
	for _, p := range c.Plan.Panels {
		lies := slices.ContainsFunc(c.Plan.Flanges, func(f layout.Flange) bool { return slices.Contains(f.Panels, p.ID) })
		if lies && !held[p.ID] {
			c.Say(rule.Problem{Rule: "panel.unjoined"}, finding.About{Panels: []string{p.ID}},
				fmt.Sprintf("panel %s: no weld and no roller seam holds it", p.ID))
		}
	}
}
