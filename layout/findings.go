package layout

import (
	"cmp"
	"slices"
	"strings"
)

// Plain says that the finding is so or not, and no number beside a limit.
func (f Finding) Plain() bool { return f.Value == 0 && f.Limit == 0 && f.Unit == "" }

// Limited says that the value stands beside a limit. A rule that bounds by its name has one, and that may be 0.
func (f Finding) Limited() bool {
	return !f.Plain() && (f.Limit != 0 || strings.HasSuffix(f.Rule, ".least") || strings.HasSuffix(f.Rule, ".greatest"))
}

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
