package planner

import (
	"context"

	"seamwright/layout/check"
)

// strength works out what every weld and joint carries, and judges what was planned by the rules in force.
func (b *builder) strength(context.Context) error {
	b.nearWelds()
	if err := check.Strengths(b.plan, b.Shell, b.rules); err != nil {
		return err
	}
	report, err := check.Evaluate(b.plan, b.Shell, b.rules)
	if err != nil {
		return err
	}
	b.plan.Findings = append(b.plan.Findings, report.Findings...)
	return nil
}
