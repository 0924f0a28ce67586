// Package ledger is what those who judge a plan write into: the rules' limits, each worked out once, how many places were held against
// each and which of them has the least to spare, the findings, and what could not be judged. It decides nothing of its own.
//
//	l := ledger.New(all) // strips.Gather's
//	for _, s := range all.Strips {
//		limit := l.Limit("count.flange.least", s.Stack, rule.Given{})
//		words := "flange " + s.Flange.ID
//		if welds := float64(len(s.Welds)); !l.Keeps(limit, welds, 0, func() string { return words }) {
//			l.Find(limit, welds, s.Stack, rule.Given{}, ledger.Place{Words: words, Strip: s})
//		}
//	}
//	report := l.Sum()
//
// Those who judge side by side write each into one of their own (Beside), which are added up in a fixed order (Take), so that the report
// is the same on any number of processors. Values are in the rule's unit, places in mm in the shell's frame.
package ledger

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

// Ledger is what is found and counted of the strips of one plan, with the limits that were worked out for it.
type Ledger struct {
	*strips.Set
	Report Report // so far
	Failed error  // the first rule that could not be worked out
	make   finding.Maker
	tally  map[string]*Judged
	limits map[asked]rule.Limit
}

// New is an empty ledger of strips, by the rules that they were gathered with.
func New(of *strips.Set) *Ledger {
	return &Ledger{Set: of, make: finding.By(of.Rules.Book), tally: map[string]*Judged{}, limits: map[asked]rule.Limit{}}
}

// Beside is an empty ledger of the same plan.
func (c *Ledger) Beside() *Ledger { return New(c.Set) }

// Take adds what a ledger beside this one holds.
func (c *Ledger) Take(g *Ledger) {
	c.Report.Findings = append(c.Report.Findings, g.Report.Findings...)
	for _, words := range g.Report.Unchecked {
		c.Unchecked("%s", words)
	}
	for id, t := range g.tally {
		own, ok := c.tally[id]
		if !ok {
			c.tally[id] = t
			continue
		}
		places, kept := own.Places+t.Places, own.Kept+t.Kept
		if t.spare < own.spare-slackTie {
			*own = *t
		}
		own.Places, own.Kept = places, kept
	}
}

// Place is where something was judged.
type Place struct {
	Words  string        // that a reader finds it by, with what was seen there
	At     r3.Vector     // zero: wherever that is
	Strip  *strips.Strip // nil: not on a strip
	Joint  string
	Weld   int          // 0: not one weld alone
	Other  *layout.Weld // the other one of two welds; nil: none
	Seam   string       // id of a roller seam
	Remedy string       // in place of the rule's own
}

// SlackPlan is the width in mm by which a value may miss its limit before it is said: a plan's numbers are rounded to 1e-4 mm.
const SlackPlan = 0.001

// slackTie is of values that are to be the least or the greatest: of those alike the first is named.
const slackTie = 1e-4

// asked is one question to the book. The stacks of a shell are few and do not change, so that one is known by its first sheet.
type asked struct {
	id    string
	first *rule.Sheet
	given rule.Given
}

// Limit is a rule's value for a strip's stack, worked out once.
func (c *Ledger) Limit(id string, stack rule.Stack, given rule.Given) rule.Limit {
	q := asked{id: id, given: given}
	if len(stack) > 0 {
		q.first = &stack[0]
	}
	l, known := c.limits[q]
	if !known {
		var err error
		if l, err = c.Rules.Book.EvaluateGiven(id, stack, given); err != nil {
			c.Fail(err)
		}
		l = l.Off(c.Shell.Rules.WeldTolerance)
		c.limits[q] = l
	}
	return l
}

// Keeps counts a place as judged and reports whether the value keeps the limit.
func (c *Ledger) Keeps(l rule.Limit, value, slack float64, words func() string) bool {
	t, ok := c.tally[l.Rule]
	if !ok {
		t = &Judged{Rule: l.Rule, spare: math.Inf(1)}
		c.tally[l.Rule] = t
	}
	t.Places++
	kept := l.Keeps(value, slack)
	if kept {
		t.Kept++
	}
	spare := value - l.Value
	if rule.Upper(l.Rule) {
		spare = -spare
	}
	if spare < t.spare-slackTie {
		t.spare, t.Value, t.Limit, t.Unit, t.Where = spare, value, l.Value, l.Unit, words()
	}
	return kept
}

// Find adds a finding for a value that does not keep a limit.
// A rule that only aims is in doubt where the shell file states its figure: it was asked for.
func (c *Ledger) Find(l rule.Limit, value float64, stack rule.Stack, given rule.Given, at Place) {
	p := c.Rules.Book.Problem(l, value)
	if r, ok := c.Rules.Book.Find(l.Rule); ok && r.Severity == "" && l.Certainty == rule.Stated {
		p.Severity = rule.Doubt
	}
	c.Add(p, c.others(l, stack, given), at)
}

// Add adds a finding of a problem that somebody else found; others words the limits by the rule's other sources.
func (c *Ledger) Add(p rule.Problem, others string, at Place) {
	about := finding.About{Joint: at.Joint, Weld: at.Weld, Seam: at.Seam, At: layout.Vec{at.At.X, at.At.Y, at.At.Z}}
	if s := at.Strip; s != nil {
		about.Flange, about.Joint, about.Station = s.Flange.ID, s.Flange.Joint, s.Station
	}
	if w := at.Other; w != nil {
		about.Also = []layout.Subject{{Station: w.Station, Joint: w.Joint, Flange: w.Flange, Weld: w.Number}}
	}
	if at.Remedy != "" {
		p.Remedy = at.Remedy
	}
	f := c.make.Of(p, about, at.Words)
	f.Others = others
	c.Report.Findings = append(c.Report.Findings, f)
}

// Say adds a finding that is about neither a strip nor a weld alone.
func (c *Ledger) Say(p rule.Problem, about finding.About, words string) {
	c.Report.Findings = append(c.Report.Findings, c.make.Of(p, about, words))
}

// others words the limits by the rule's other sources.
func (c *Ledger) others(l rule.Limit, stack rule.Stack, given rule.Given) string {
	r, ok := c.Rules.Book.Find(l.Rule)
	if !ok || len(r.Sources) < 2 && l.By != "" {
		return ""
	}
	all, err := c.Rules.Book.Sources(l.Rule, stack, given)
	if err != nil {
		return ""
	}
	var words []string
	for _, o := range all {
		if o.By != l.By {
			words = append(words, fmt.Sprintf("%s %s %s (%s)", o.By, finding.Brief(o.Value), o.Unit, o.Certainty))
		}
	}
	return strings.Join(words, ", ")
}

// Unchecked says once what cannot be judged.
func (c *Ledger) Unchecked(format string, args ...any) {
	if words := fmt.Sprintf(format, args...); !slices.Contains(c.Report.Unchecked, words) {
		c.Report.Unchecked = append(c.Report.Unchecked, words)
	}
}

// Fail notes what could not be worked out; the first counts.
func (c *Ledger) Fail(err error) { c.Failed = cmp.Or(c.Failed, err) }

// Report is what came of judging a plan.
type Report struct {
	Findings  []layout.Finding // worst first
	Judged    []Judged         // by rule, in the book's order
	Unchecked []string
}

// Judged is how one rule fared.
type Judged struct {
	Rule   string  `json:"rule" about:"id of the rule"`
	Title  string  `json:"title" about:"title"`
	Places int     `json:"places" about:"looked at"`
	Kept   int     `json:"kept" about:"places that keep it"`
	Value  float64 `json:"value" about:"at the place that keeps it with the least to spare, or misses it most"`
	Limit  float64 `json:"limit" about:"what the rule allows there"`
	Unit   string  `json:"unit" about:"of value and limit"`
	Where  string  `json:"where" about:"that place in words"`

	spare float64
}

// Sum closes the ledger. In its report findings are worst first and the tally in the book's order; rules that are no rules of the book
// come last, by name.
func (c *Ledger) Sum() *Report {
	layout.SortFindings(c.Report.Findings)
	for _, r := range c.Rules.Book {
		if t, ok := c.tally[r.ID]; ok {
			t.Title = r.Title
			c.Report.Judged = append(c.Report.Judged, *t)
			delete(c.tally, r.ID)
		}
	}
	var rest []Judged
	for _, t := range c.tally {
		rest = append(rest, *t)
	}
	slices.SortFunc(rest, func(a, b Judged) int { return strings.Compare(a.Rule, b.Rule) })
	c.Report.Judged = append(c.Report.Judged, rest...)
	return &c.Report
}
