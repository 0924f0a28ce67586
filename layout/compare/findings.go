package compare

import (
	"math"

	"seamwright/layout"
	"seamwright/layout/assign"
)

// FindingChange is what became of findings.
type FindingChange struct {
	New     []layout.Finding `json:"new" about:"findings that the old plan did not have"`
	Mended  []layout.Finding `json:"mended" about:"findings that the new plan has no more"`
	Changed []ChangedFinding `json:"changed" about:"the same rule at the same place, with another severity or value"`
	Same    int              `json:"same" about:"findings that both have"`
}

// ChangedFinding is a finding that is better or worse than it was.
type ChangedFinding struct {
	Old layout.Finding `json:"old" about:"as it was"`
	New layout.Finding `json:"new" about:"as it is"`
}

// spot is what a finding is about: findings of one spot are told apart by their places.
type spot struct {
	rule, station, joint, flange, words string
}

func spotOf(f layout.Finding) spot {
	if f.Joint == "" && f.Flange == "" {
		return spot{rule: f.Rule, words: f.Where}
	}
	return spot{f.Rule, f.Station, f.Joint, f.Flange, ""}
}

// findings matches findings of the same rule on the same flange or joint, the nearest places first. The words of a
// finding hold its figures, so they are not compared where there are ids.
func (c *comparison) findings() {
	out := FindingChange{New: []layout.Finding{}, Mended: []layout.Finding{}, Changed: []ChangedFinding{}}
	before, after := map[spot][]layout.Finding{}, map[spot][]layout.Finding{}
	var order []spot
	for k, list := range [][]layout.Finding{c.before.Findings, c.after.Findings} {
		into := []map[spot][]layout.Finding{before, after}[k]
		for _, f := range list {
			s := spotOf(f)
			if len(before[s])+len(after[s]) == 0 {
				order = append(order, s)
			}
			into[s] = append(into[s], f)
		}
	}
	for _, s := range order {
		out.match(before[s], after[s])
	}
	layout.SortFindings(out.New)
	layout.SortFindings(out.Mended)
	c.report.Findings = out
}

// wide is a distance in mm beyond any shell: findings of one spot are always paired, the nearest first.
const wide = 1e6

func (out *FindingChange) match(before, after []layout.Finding) {
	taken := make([]bool, len(after))
	for i, j := range assign.Match(len(before), len(after), wide, func(i, j int) float64 {
		return math.Min(wide, before[i].At.R3().Distance(after[j].At.R3()))
	}) {
		if j == assign.None {
			out.Mended = append(out.Mended, before[i])
			continue
		}
		taken[j] = true
		if differs(before[i], after[j]) {
			out.Changed = append(out.Changed, ChangedFinding{before[i], after[j]})
		} else {
			out.Same++
		}
	}
	for j, f := range after {
		if !taken[j] {
			out.New = append(out.New, f)
		}
	}
}

// differs: another severity, or a value or limit that is off by more than a hundredth of the limit.
func differs(a, b layout.Finding) bool {
	scale := math.Max(math.Abs(a.Limit), math.Abs(b.Limit)) / 100
	return a.Severity != b.Severity || math.Abs(a.Value-b.Value) > math.Max(scale, 1e-4) || math.Abs(a.Limit-b.Limit) > math.Max(scale, 1e-4)
}
