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
//
// What the rules are held against is worked out before: the strips with their welds (layout/strips), what each weld carries
// (layout/resistance), what guns give (layout/supply). Stacks, settings, tips and guns are judged by layout/setup; here is judged what
// welds keep from edges, from each other and from what stands in their way, in which rows and how many, and what joints, seams and panels
// need. Both write into a layout/ledger. Groups of rules are judged side by side, each into a ledger of its own.
package check

import (
	"cmp"
	"context"
	"fmt"

	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/ledger"
	"seamwright/layout/resistance"
	"seamwright/layout/setup"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
	"seamwright/seams/shell"
)

// The widths in mm by which a value may miss its limit before it is said: sides come from triangles, not from a drawing.
const (
	slackSide = 0.05
	slackAir  = 0.01
)

// Evaluate judges a plan that was made from a shell. It does not change the plan. An error means that plan and shell do
// not belong together, or that a rule of the book cannot be worked out.
func Evaluate(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*ledger.Report, error) {
	c, err := newChecker(ctx, p, sh, in)
	if err != nil {
		return nil, fmt.Errorf("check %s: %w", p.Shell.Name, err)
	}
	return c.evaluate()
}

// Judge is resistance.Strengths and then Evaluate, with what the welds carry worked out once.
func Judge(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*ledger.Report, error) {
	c, err := newChecker(ctx, p, sh, in)
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	all, err := c.joints()
	if err != nil {
		return nil, fmt.Errorf("strength: %w", err)
	}
	resistance.Write(all)
	return c.evaluate()
}

// judges are what is judged, in groups that do not look at what another group found: they are judged side by side.
var judges = [][]func(c *checker){
	{(*checker).Setups, (*checker).widths, (*checker).gaps},
	{(*checker).distances, (*checker).ends, (*checker).fixtures, (*checker).spacing},
	{(*checker).pitches, (*checker).rows, (*checker).tacks, (*checker).counts, (*checker).loads}, // loads does not say again what pitches says
	{(*checker).rollers},
	{(*checker).joined, (*checker).corners, (*checker).nothingJoined, (*checker).idleKeys},
}

func (c *checker) evaluate() (*ledger.Report, error) {
	groups := make([]*checker, len(judges))
	err := work.Each(c.ctx, 0, len(judges), func(i int) error {
		g := &checker{setup.Judge{Ledger: c.Beside()}, c.ctx, c.carry}
		groups[i] = g
		for _, judge := range judges[i] {
			judge(g)
			if err := cmp.Or(g.Failed, g.ctx.Err()); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("check %s: %w", c.Plan.Shell.Name, err)
	}
	for _, g := range groups {
		c.Take(g.Ledger)
	}
	c.Unchecked("net section of EN 1993-1-3 of forces along a weld line or at places: the width of sheet that they run through is not stated")
	return c.Sum(), nil
}

// checker is one call of Evaluate.
type checker struct {
	setup.Judge
	ctx   context.Context
	carry []*resistance.Joint // what joints says, once it was asked
}

func newChecker(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*checker, error) {
	all, err := strips.Gather(ctx, p, sh, in)
	if err != nil {
		return nil, err
	}
	c := &checker{Judge: setup.Judge{Ledger: ledger.New(all)}, ctx: ctx}
	for _, s := range c.Strips {
		if !s.Measured {
			c.Unchecked("flange %s: the plan holds no sides along its weld line, so its widths, gaps and edge distances are not judged", s.Flange.ID)
		}
	}
	return c, nil
}

// joints are the plan's joints with what each weld carries, worked out once.
func (c *checker) joints() (all []*resistance.Joint, err error) {
	if c.carry == nil {
		c.carry, err = resistance.Joints(c.ctx, c.Set)
	}
	return c.carry, err
}
