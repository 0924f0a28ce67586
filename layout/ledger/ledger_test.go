package ledger_test

import (
	"errors"
	"testing"

	"seamwright/internal/strap"
	"seamwright/layout"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

func empty(t *testing.T) *ledger.Ledger {
	s := strap.New(t)
	return ledger.New(&strips.Set{Plan: s.Plan, Shell: s.Shell, Rules: s.Rules()})
}

func words(w string) func() string { return func() string { return w } }

// Of all places the one with the least to spare is named, the first of those alike, whichever ledger it stands in.
func TestLeastToSpare(t *testing.T) {
	whole := empty(t)
	edge, gap := rule.Limit{Rule: "edge.least", Value: 6}, rule.Limit{Rule: "gap.greatest", Value: 0.3}
	for _, beside := range [][]struct {
		limit rule.Limit
		value float64
		where string
	}{
		{{edge, 9, "far"}, {edge, 6.5, "near"}, {gap, 0.1, "closed"}},
		{{edge, 6.5 - 1e-5, "as near"}, {gap, 0.4, "open"}, {edge, 7, "between"}},
	} {
		l := whole.Beside()
		for _, p := range beside {
			if kept := l.Keeps(p.limit, p.value, 0, words(p.where)); kept != (p.where != "open") {
				t.Errorf("%s: kept %v", p.where, kept)
			}
		}
		l.Unchecked("panel %s", "rail")
		whole.Take(l)
	}
	r := whole.Sum()
	at := map[string]ledger.Judged{}
	for _, j := range r.Judged {
		at[j.Rule] = j
	}
	if j := at["edge.least"]; j.Where != "near" || j.Places != 4 || j.Kept != 4 || j.Value != 6.5 || j.Title == "" {
		t.Errorf("%+v", j)
	}
	if j := at["gap.greatest"]; j.Where != "open" || j.Places != 2 || j.Kept != 1 || j.Limit != 0.3 {
		t.Errorf("%+v", j)
	}
	if len(r.Unchecked) != 1 || r.Unchecked[0] != "panel rail" {
		t.Errorf("%q", r.Unchecked)
	}
}

// The report stands in the book's order, what the book does not have behind it by name, and findings worst first.
func TestOrderOfTheReport(t *testing.T) {
	l := empty(t)
	for _, id := range []string{"zz.least", "edge.greatest", "aa.least", "edge.least"} {
		l.Keeps(rule.Limit{Rule: id, Value: 1}, 1, 0, words(id))
	}
	l.Add(rule.Problem{Rule: "coating.zinc", Severity: rule.Note}, "", ledger.Place{Words: "a note"})
	l.Find(rule.Limit{Rule: "edge.least", Value: 6}, 5, nil, rule.Given{}, ledger.Place{Words: "broken"})
	r := l.Sum()
	var ids []string
	for _, j := range r.Judged {
		ids = append(ids, j.Rule)
	}
	if len(ids) != 4 || ids[2] != "aa.least" || ids[3] != "zz.least" {
		t.Errorf("%q", ids)
	}
	if len(r.Findings) != 2 || r.Findings[0].Severity != layout.Broken || r.Findings[1].Where != "a note" {
		t.Errorf("%+v", r.Findings)
	}
}

// What could not be worked out is kept, the first of it.
func TestFirstFailure(t *testing.T) {
	l := empty(t)
	first := errors.New("first")
	l.Fail(first)
	l.Fail(errors.New("second"))
	if !errors.Is(l.Failed, first) {
		t.Errorf("%v", l.Failed)
	}
	if l = empty(t); l.Failed != nil {
		t.Errorf("%v", l.Failed)
	}
	if l.Limit("no.such", nil, rule.Given{}); l.Failed == nil {
		t.Error("a rule that there is none of has a limit")
	}
}
