// Package review is the commands that ask something of a plan: which rules it keeps, what guns reach, the order of the work and who does
// it, how it differs from another plan or from measured welds.
//
//	program.Run(ctx, []string{"check", "shell.yaml"}, os.Stdout, os.Stderr, []program.Maker{review.Check})
package review

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/ledger"
	"seamwright/layout/supply"
	"seamwright/seams/inforce"
)

// checkResult is what check --json prints.
type checkResult struct {
	Shell     string                  `json:"shell" about:"name of the shell"`
	Welds     int                     `json:"welds" about:"spots of the plan"`
	Flanges   int                     `json:"flanges" about:"flanges of the plan"`
	Counts    map[layout.Severity]int `json:"counts" about:"findings by severity"`
	Findings  []layout.Finding        `json:"findings" about:"rules broken or in doubt, and notes"`
	Judged    []ledger.Judged         `json:"judged" about:"rule by rule, how many places were looked at"`
	Unchecked []string                `json:"unchecked" about:"rules that nothing in the plan could be held to"`
	Budget    []supply.Budget         `json:"budget" about:"heat, current and water by gun and roller"`
}

// Check makes the command check.
func Check(p *program.Call) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "check SHELL",
		Short: "Judge every weld, flange and roller seam of the plan by the rules in force",
		Long: `check plans the shell and judges what was planned: real widths, gaps, edge distances, spacing between all welds
that share a sheet, loads, settings, guns and tips. Findings come worst first, each with place, value, limit, source and
remedy; then how many places each rule was judged at, and what guns and roller heads draw.

A waiver in the shell file lets a finding stand, and is printed with it. Exit code 3: a rule is broken.`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			done, err := p.Build(c.Context(), args[0])
			if err != nil {
				return err
			}
			result, err := checked(c.Context(), done)
			if err != nil {
				return err
			}
			if asJSON {
				err = p.PrintJSON(result)
			} else {
				checkText(p, result)
			}
			if err != nil {
				return err
			}
			return program.Verdict(done.Plan)
		},
	}
	program.JSONFlags[checkResult](p, c, &asJSON, "print JSON")
	p.Overrides(c)
	return c
}

func checked(ctx context.Context, done program.Planned) (checkResult, error) {
	in, err := inforce.For(done.Shell)
	if err != nil {
		return checkResult{}, program.BadInput(err)
	}
	report, err := check.Evaluate(ctx, done.Plan, done.Shell, in)
	if err != nil {
		return checkResult{}, err
	}
	budget, err := supply.Budgets(ctx, done.Plan, done.Shell, in)
	if err != nil {
		return checkResult{}, err
	}
	out := checkResult{
		Shell: done.Plan.Shell.Name, Welds: len(done.Plan.Welds), Flanges: len(done.Plan.Flanges), Counts: map[layout.Severity]int{},
		Findings: done.Plan.Findings, Judged: report.Judged, Unchecked: report.Unchecked, Budget: budget,
	}
	for _, s := range layout.Severities() {
		out.Counts[s] = 0
	}
	for _, f := range out.Findings {
		out.Counts[f.Severity]++
	}
	for i := range out.Judged {
		j := &out.Judged[i]
		j.Value, j.Limit = program.Rounded(j.Value, 1e4), program.Rounded(j.Limit, 1e4)
	}
	for i := range out.Budget {
		out.Budget[i].Round()
	}
	return out, nil
}

func checkText(p *program.Call, r checkResult) {
	fmt.Fprintf(p.Out, "%s: %s on %s: %d broken, %d waived, %d in doubt, %s\n\n", r.Shell, program.Many(r.Welds, "weld"),
		program.Many(r.Flanges, "flange"),
		r.Counts[layout.Broken], r.Counts[layout.Waived], r.Counts[layout.Doubt], program.Many(r.Counts[layout.Note], "note"))
	for _, f := range r.Findings {
		findingText(p, f)
	}
	fmt.Fprintf(p.Out, "%-26s %8s %8s %10s %10s %-10s %s\n", "rule", "places", "kept", "nearest", "limit", "unit", "where it comes nearest")
	for _, j := range r.Judged {
		fmt.Fprintf(p.Out, "%-26s %8d %8d %10.4g %10.4g %-10s %s\n", j.Rule, j.Places, j.Kept, j.Value, j.Limit, j.Unit, j.Where)
	}
	fmt.Fprintln(p.Out, "\nnot judged:")
	for _, u := range r.Unchecked {
		fmt.Fprintf(p.Out, "  %s\n", u)
	}
	if len(r.Budget) > 0 {
		fmt.Fprintf(p.Out, "\n%-12s %6s %8s %10s %14s %8s %8s %12s %8s %8s %8s %8s\n", "for a shell", "welds", "metres", "heat kJ", "J a weld",
			"kWh",
			"lost kWh", "A of A", "kVA", "duty %", "allowed", "water K")
	}
	for _, b := range r.Budget {
		fmt.Fprintf(p.Out, "%-12s %6d %8.2f %10.1f %14s %8.3f %8.3f %12s %8s %8.1f %8s %8.1f\n", b.Tool, b.Welds, b.Metres, b.Heat/1000,
			fmt.Sprintf("%.0f to %.0f", b.EachLeast, b.EachMost), b.Energy, b.Lost,
			fmt.Sprintf("%.0f of %s", b.Wanted, orDash(b.Deliverable, "%.0f")), orDash(b.Drawn, "%.0f"), 100*b.Duty, orDash(100*b.Allowed, "%.1f"),
			b.Rise)
	}
	if len(r.Budget) > 0 {
		fmt.Fprintf(p.Out, "%s\n", r.Budget[0].Basis)
	}
}

// orDash writes what is not known as a dash.
func orDash(v float64, format string) string {
	if v == 0 {
		return "–"
	}
	return fmt.Sprintf(format, v)
}

func findingText(p *program.Call, f layout.Finding) {
	switch {
	case f.Plain():
		fmt.Fprintf(p.Out, "%-6s  %s\n        %s\n", f.Severity, f.Rule, f.Where)
	case !f.Limited():
		fmt.Fprintf(p.Out, "%-6s  %-26s %8.4g %s\n        %s\n", f.Severity, f.Rule, f.Value, f.Unit, f.Where)
	default:
		fmt.Fprintf(p.Out, "%-6s  %-26s %8.4g, limit %.4g %s\n        %s\n", f.Severity, f.Rule, f.Value, f.Limit, f.Unit, f.Where)
	}
	if f.Remedy != "" {
		fmt.Fprintf(p.Out, "        remedy: %s\n", f.Remedy)
	}
	fmt.Fprintf(p.Out, "        source: %s\n", f.Source)
	if f.Others != "" {
		fmt.Fprintf(p.Out, "        other sources: %s\n", f.Others)
	}
	if f.Severity == layout.Waived {
		fmt.Fprintf(p.Out, "        waived by %s (was %s): %s\n", f.Name, f.Was, f.Reason)
	}
	fmt.Fprintln(p.Out)
}
