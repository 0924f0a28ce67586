package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"seamwright/geometry/intake"
	"seamwright/internal/fileset"
	"seamwright/layout"
	"seamwright/layout/compare"
)

func (p *program) compare() *cobra.Command {
	var opt compare.Options
	var asJSON bool
	c := &cobra.Command{
		Use:   "compare OLD.json NEW.json",
		Short: "Say what changed from one plan to another",
		Long: `compare reads two plan.json files and says what changed: welds added, gone, moved or made otherwise, matched joint
by joint and not by their numbers; time and money; findings new and mended. Exit code 3: a rule is broken in the new plan.`,
		Args: count(2, 2, "two plan.json files"),
		RunE: func(c *cobra.Command, args []string) error {
			if !(opt.Tolerance > 0) || opt.Tolerance > 1000 {
				return inputError{fmt.Errorf("--tolerance %g: write millimetres above zero, at most 1000", opt.Tolerance)}
			}
			before, err := p.readPlan(args[0])
			if err != nil {
				return badInput(err)
			}
			after, err := p.readPlan(args[1])
			if err != nil {
				return badInput(err)
			}
			report, err := compare.Plans(before, after, opt)
			if err != nil {
				return badInput(err)
			}
			if asJSON {
				err = p.printJSON(report)
			} else {
				p.compareText(report)
			}
			if err != nil {
				return err
			}
			return verdict(after)
		},
	}
	c.Flags().Float64Var(&opt.Tolerance, "tolerance", compare.DefaultTolerance, "mm from which a weld counts as moved")
	jsonFlags[compare.Report](p, c, &asJSON, "print JSON")
	return c
}

func (p *program) readPlan(path string) (*layout.Plan, error) {
	data, _, err := intake.ReadFile(path, p.most.Bytes)
	if err != nil {
		return nil, fmt.Errorf("%w: name a plan.json that seamwright plan wrote", err)
	}
	if err := fileset.Check(path, data); err != nil {
		p.warn("note: %v", err)
	}
	plan, err := layout.Parse(data)
	if err != nil {
		return nil, fmt.Errorf("file %s: %w: name a plan.json that seamwright plan wrote", path, err)
	}
	return plan, nil
}

func (p *program) compareText(r *compare.Report) {
	for _, n := range r.Notes {
		p.warn("note: %s", n)
	}
	fmt.Fprintf(p.out, "%s, revision %s to %s: %d welds, %d before: %d added, %d gone, %d moved, %d made otherwise, %d the same\n\n",
		r.New.Shell,
		dash(r.Old.Revision), dash(r.New.Revision), r.New.Welds, r.Old.Welds, len(r.Added), len(r.Gone), len(r.Moved), len(r.Changed), r.Same)
	if len(r.Joints) > 0 {
		fmt.Fprintf(p.out, "%-28s %8s %8s %8s %8s %8s\n", "joint", "before", "now", "added", "gone", "moved")
	}
	for _, j := range r.Joints {
		fmt.Fprintf(p.out, "%-28s %8d %8d %8d %8d %8d\n", j.Joint, j.Old, j.New, j.Added, j.Gone, j.Moved)
	}
	p.changedWelds(r)
	for _, s := range r.Seams {
		fmt.Fprintf(p.out, "roller seam on %s: %.1f mm, %.1f mm before; %.1f s, %.1f s before\n", s.Flange, s.NewLength, s.OldLength, s.NewTime,
			s.OldTime)
	}
	p.differences("figures", r.Figures)
	p.differences("stations", r.Stations)
	p.differences("time by kind of work", r.Time)
	p.differences("money by kind", r.Cost)
	f := r.Findings
	fmt.Fprintf(p.out, "\nfindings: %d new, %d mended, %d changed, %d as before\n", len(f.New), len(f.Mended), len(f.Changed), f.Same)
	for _, x := range f.New {
		fmt.Fprintf(p.out, "new     %-6s %s: %s\n", x.Severity, x.Rule, x.Where)
	}
	for _, x := range f.Mended {
		fmt.Fprintf(p.out, "mended  %-6s %s: %s\n", x.Severity, x.Rule, x.Where)
	}
	for _, x := range f.Changed {
		fmt.Fprintf(p.out, "changed %-6s %s: %s (was %s: %.4g, limit %.4g %s)\n", x.New.Severity, x.New.Rule, x.New.Where, x.Old.Severity,
			x.Old.Value, x.Old.Limit, x.Old.Unit)
	}
}

func (p *program) changedWelds(r *compare.Report) {
	at := func(v layout.Vec) string { return fmt.Sprintf("%.1f %.1f %.1f", v[0], v[1], v[2]) }
	for _, w := range r.Added {
		fmt.Fprintf(p.out, "added: %s weld %d on %s at %s\n", w.Station, w.Number, w.Flange, at(w.At))
	}
	for _, w := range r.Gone {
		fmt.Fprintf(p.out, "gone: %s weld %d on %s at %s\n", w.Station, w.Number, w.Flange, at(w.At))
	}
	for _, m := range r.Moved {
		fmt.Fprintf(p.out, "moved: %s weld %d on %s by %.1f mm to %s (was weld %d)\n", m.New.Station, m.New.Number, m.New.Flange, m.Distance,
			at(m.New.At), m.Old.Number)
	}
	for _, c := range r.Changed {
		fmt.Fprintf(p.out, "otherwise: %s weld %d on %s: %s\n", c.New.Station, c.New.Number, c.New.Flange, c.What)
	}
}

// differences prints a table of figures; those that stayed are left out.
func (p *program) differences(title string, list []compare.Difference) {
	head := false
	for _, d := range list {
		if math.Abs(d.Change) < 0.005 {
			continue
		}
		if !head {
			fmt.Fprintf(p.out, "\n%-40s %12s %12s %12s\n", title, "before", "now", "change")
			head = true
		}
		fmt.Fprintf(p.out, "%-40.40s %12.2f %12.2f %+12.2f %s\n", d.What, d.Old, d.New, d.Change, d.Unit)
	}
}

func dash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
