// Package check judges a finished plan by the rules in force: what was planned, with its real widths, gaps, distances
// and loads, not what was aimed at.
//
//	report, err := check.Evaluate(ctx, plan, sh, in)
//	for _, f := range report.Findings {
//		fmt.Println(f.Severity, f.Rule, f.Where, f.Remedy)
//	}
//
// Every finding names its place in words, the value, the limit with its source and certainty, the limits by the rule's
// other sources, and what to do. Judged counts what was looked at, so that a rule that found nothing to look at is seen;
// Unchecked says what could not be judged.
package check

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

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

// The widths in mm by which a value may miss its limit before it is said. Sides come from triangles, not from a
// drawing, and a plan's numbers are rounded to 1e-4 mm.
const (
	slackSide = 0.05
	slackAir  = 0.01
	slackPlan = 0.001
	slackTie  = 1e-4 // of values that are to be the least or the greatest: of those alike the first is named
)

// Evaluate judges a plan that was made from a shell. It does not change the plan. An error means that plan and shell do
// not belong together, or that a rule of the book cannot be worked out.
func Evaluate(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*Report, error) {
	c, err := newChecker(ctx, p, sh, in)
	if err != nil {
		return nil, fmt.Errorf("check %s: %w", p.Shell.Name, err)
	}
	return c.evaluate()
}

// Judge is Strengths and then Evaluate.
func Judge(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*Report, error) {
	c, err := newChecker(ctx, p, sh, in)
	if err == nil {
		err = c.strengths()
	}
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	return c.evaluate()
}

// judges are what is judged, in groups that do not look at what another group found: they are judged side by side.
var judges = [][]func(c *checker){
	{(*checker).stacks, (*checker).settings, (*checker).tips, (*checker).faces, (*checker).guns, (*checker).widths, (*checker).gaps},
	{(*checker).distances, (*checker).ends, (*checker).fixtures, (*checker).spacing},
	{(*checker).pitches, (*checker).rows, (*checker).tacks, (*checker).counts, (*checker).loads}, // loads does not say again what pitches says
	{(*checker).rollers},
	{(*checker).joined, (*checker).corners, (*checker).nothingJoined, (*checker).idleKeys},
}

func (c *checker) evaluate() (*Report, error) {
	groups := make([]*checker, len(judges))
	err := work.Each(c.ctx, 0, len(judges), func(i int) error {
		g := c.beside()
		groups[i] = g
		for _, judge := range judges[i] {
			if judge(g); g.failed == nil {
				g.failed = g.ctx.Err()
			}
			if g.failed != nil {
				return g.failed
			}
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("check %s: %w", c.plan.Shell.Name, err)
	}
	for _, g := range groups {
		c.take(g)
	}
	layout.SortFindings(c.report.Findings)
	c.sum()
	return &c.report, nil
}

// beside is a checker of the same plan with a report of its own.
func (c *checker) beside() *checker {
	out := *c
	out.report, out.tally, out.limits = Report{}, map[string]*Judged{}, map[asked]rule.Limit{}
	return &out
}

// take adds what a checker beside this one found.
func (c *checker) take(g *checker) {
	c.report.Findings = append(c.report.Findings, g.report.Findings...)
	for _, words := range g.report.Unchecked {
		c.unchecked("%s", words)
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

// checker is one call of Evaluate.
type checker struct {
	ctx    context.Context
	plan   *layout.Plan
	shell  *shell.Shell
	in     *inforce.Rules
	strips []*strip
	carry  []*joint // what joints says, once it was asked
	report Report
	make   finding.Maker
	tally  map[string]*Judged
	limits map[asked]rule.Limit
	near   map[pairKey]float64 // mm along a sheet
	failed error               // the first rule that could not be worked out
}

func newChecker(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*checker, error) {
	c := &checker{ctx: ctx, plan: p, shell: sh, in: in, make: finding.By(in.Book), tally: map[string]*Judged{},
		limits: map[asked]rule.Limit{}}
	return c, c.gather()
}

// place is where something was judged.
type place struct {
	words  string
	at     r3.Vector
	strip  *strip // nil: not on a strip
	joint  string
	weld   int          // 0: not one weld alone
	other  *layout.Weld // the other one of two welds; nil: none
	seam   string       // id of a roller seam
	remedy string
}

// asked is one question to the book. The stacks of a shell are few and do not change, so that one is known by its first sheet.
type asked struct {
	id    string
	first *rule.Sheet
	given rule.Given
}

// limit is a rule's value for a strip's stack, worked out once.
func (c *checker) limit(id string, stack rule.Stack, given rule.Given) rule.Limit {
	q := asked{id: id, given: given}
	if len(stack) > 0 {
		q.first = &stack[0]
	}
	l, known := c.limits[q]
	if !known {
		var err error
		if l, err = c.in.Book.EvaluateGiven(id, stack, given); err != nil && c.failed == nil {
			c.failed = err
		}
		l = l.Off(c.shell.Rules.WeldTolerance)
		c.limits[q] = l
	}
	return l
}

// keeps counts a place as judged and reports whether the value keeps the limit.
func (c *checker) keeps(l rule.Limit, value, slack float64, words func() string) bool {
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

// find adds a finding for a value that does not keep a limit.
// A rule that only aims is in doubt where the shell file states its figure: it was asked for.
func (c *checker) find(l rule.Limit, value float64, stack rule.Stack, given rule.Given, at place) {
	p := c.in.Book.Problem(l, value)
	if r, ok := c.in.Book.Find(l.Rule); ok && r.Severity == "" && l.Certainty == rule.Stated {
		p.Severity = rule.Doubt
	}
	c.add(p, c.others(l, stack, given), at)
}

func (c *checker) add(p rule.Problem, others string, at place) {
	about := finding.About{Joint: at.joint, Weld: at.weld, Seam: at.seam, At: layout.Vec{at.at.X, at.at.Y, at.at.Z}}
	if s := at.strip; s != nil {
		about.Flange, about.Joint, about.Station = s.flange.ID, s.flange.Joint, s.station
	}
	if w := at.other; w != nil {
		about.Also = []layout.Subject{{Station: w.Station, Joint: w.Joint, Flange: w.Flange, Weld: w.Number}}
	}
	if at.remedy != "" {
		p.Remedy = at.remedy
	}
	f := c.make.Of(p, about, at.words)
	f.Others = others
	c.report.Findings = append(c.report.Findings, f)
}

// others words the limits by the rule's other sources.
func (c *checker) others(l rule.Limit, stack rule.Stack, given rule.Given) string {
	r, ok := c.in.Book.Find(l.Rule)
	if !ok || len(r.Sources) < 2 && l.By != "" {
		return ""
	}
	all, err := c.in.Book.Sources(l.Rule, stack, given)
	if err != nil {
		return ""
	}
	var words []string
	for _, o := range all {
		if o.By != l.By {
			words = append(words, fmt.Sprintf("%s %s %s (%s)", o.By, brief(o.Value), o.Unit, o.Certainty))
		}
	}
	return strings.Join(words, ", ")
}

// unchecked says once what cannot be judged.
func (c *checker) unchecked(format string, args ...any) {
	if words := fmt.Sprintf(format, args...); !slices.Contains(c.report.Unchecked, words) {
		c.report.Unchecked = append(c.report.Unchecked, words)
	}
}

// sum lists the tally in the book's order; rules that are no rules of the book come last, by name.
func (c *checker) sum() {
	for _, r := range c.in.Book {
		if t, ok := c.tally[r.ID]; ok {
			t.Title = r.Title
			c.report.Judged = append(c.report.Judged, *t)
			delete(c.tally, r.ID)
		}
	}
	var rest []Judged
	for _, t := range c.tally {
		rest = append(rest, *t)
	}
	slices.SortFunc(rest, func(a, b Judged) int { return strings.Compare(a.Rule, b.Rule) })
	c.report.Judged = append(c.report.Judged, rest...)
	c.unchecked("net section of EN 1993-1-3 of forces along a weld line or at places: the width of sheet that they run through is not stated")
}
