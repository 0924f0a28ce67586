package layout

import (
	"cmp"
	"slices"
)

// Plain says that the finding is so or not, and no number beside a limit.
func (f Finding) Plain() bool { return f.Value == 0 && f.Limit == 0 && f.Unit == "" }

// SortFindings puts the worst first, then by rule and place; findings equal in these keep their order.
func SortFindings(findings []Finding) {
	rank := map[Severity]int{}
	for i, s := range Severities() {
		rank[s] = i
	}
	slices.SortStableFunc(findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(rank[a.Severity], rank[b.Severity]), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Where, b.Where))
	})
}
