package review

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/intake"
	"seamwright/internal/fileset"
	"seamwright/layout"
	"seamwright/layout/compare"
	"seamwright/layout/planfile"
)

// Compare makes the command compare.
func Compare(p *program.Call) *cobra.Command {
	var opt compare.Options
	var asJSON bool
	c := &cobra.Command{
		Use:   "compare OLD.json NEW.json",
		Short: "Say what changed from one plan to another",
		Long: `compare reads two plan.json files and says what changed: welds added, gone, moved or made otherwise, matched joint
by joint and not by their numbers; time and money; findings new and mended. Exit code 3: a rule is broken in the new plan.`,
		Args: program.Count(2, 2, "two plan.json files"),
		RunE: func(c *cobra.Command, args []string) error {
			if !(opt.Tolerance > 0) || opt.Tolerance > 1000 {
				return program.Wrong("--tolerance %g: write millimetres above zero, at most 1000", opt.Tolerance)
			}
			before, err := readPlan(p, args[0])
			if err != nil {
				return program.BadInput(err)
			}
			after, err := readPlan(p, args[1])
			if err != nil {
				return program.BadInput(err)
			}
			report, err := compare.Plans(before, after, opt)
			if err != nil {
				return program.BadInput(err)
			}
			if asJSON {
				err = p.PrintJSON(report)
			} else {
				compareText(p, report)
			}
			if err != nil {
				return err
			}
			return program.Verdict(after)
		},
	}
	c.Flags().Float64Var(&opt.Tolerance, "tolerance", compare.DefaultTolerance, "mm from which a weld counts as moved")
	program.JSONFlags[compare.Report](p, c, &asJSON, "print JSON")
	return c
}

func readPlan(p *program.Call, path string) (*layout.Plan, error) {
	data, _, err := intake.ReadFile(path, p.Most.Bytes)
	if err != nil {
		return nil, fmt.Errorf("%w: name a plan.json that seamwright plan wrote", err)
	}
	if err := fileset.Check(path, data); err != nil {
		p.Warn("note: %v", err)
	}
	plan, err := planfile.Parse(data)
	if err != nil {
		return nil, fmt.Errorf("file %s: %w: name a plan.json that seamwright plan wrote", path, err)
	}
	return plan, nil
}

func compareText(p *program.Call, r *compare.Report) {
	for _, n := range r.Notes {
		p.Warn("note: %s", n)
	}
	fmt.Fprintf(p.Out, "%s, revision %s to %s: %d welds, %d before: %d added, %d gone, %d moved, %d made otherwise, %d the same\n\n",
		r.New.Shell,
		dash(r.Old.Revision), dash(r.New.Revision), r.New.Welds, r.Old.Welds, len(r.Added), len(r.Gone), len(r.Moved), len(r.Changed), r.Same)
	if len(r.Joints) > 0 {
		fmt.Fprintf(p.Out, "%-28s %8s %8s %8s %8s %8s\n", "joint", "before", "now", "added", "gone", "moved")
	}
	for _, j := range r.Joints {
		fmt.Fprintf(p.Out, "%-28s %8d %8d %8d %8d %8d\n", j.Joint, j.Old, j.New, j.Added, j.Gone, j.Moved)
	}
	changedWelds(p, r)
	for _, s := range r.Seams {
		fmt.Fprintf(p.Out, "roller seam on %s: %.1f mm, %.1f mm before; %.1f s, %.1f s before\n", s.Flange, s.NewLength, s.OldLength, s.NewTime,
			s.OldTime)
	}
	differences(p, "figures", r.Figures)
	differences(p, "stations", r.Stations)
	differences(p, "time by kind of work", r.Time)
	differences(p, "money by kind", r.Cost)
	f := r.Findings
	fmt.Fprintf(p.Out, "\nfindings: %d new, %d mended, %d changed, %d as before\n", len(f.New), len(f.Mended), len(f.Changed), f.Same)
	for _, x := range f.New {
		fmt.Fprintf(p.Out, "new     %-6s %s: %s\n", x.Severity, x.Rule, x.Where)
	}
	for _, x := range f.Mended {
		fmt.Fprintf(p.Out, "mended  %-6s %s: %s\n", x.Severity, x.Rule, x.Where)
	}
	for _, x := range f.Changed {
		fmt.Fprintf(p.Out, "changed %-6s %s: %s (was %s: %.4g, limit %.4g %s)\n", x.New.Severity, x.New.Rule, x.New.Where, x.Old.Severity,
			x.Old.Value, x.Old.Limit, x.Old.Unit)
	}
}

func changedWelds(p *program.Call, r *compare.Report) {
	at := func(v layout.Vec) string { return fmt.Sprintf("%.1f %.1f %.1f", v[0], v[1], v[2]) }
	for _, w := range r.Added {
		fmt.Fprintf(p.Out, "added: %s weld %d on %s at %s\n", w.Station, w.Number, w.Flange, at(w.At))
	}
	for _, w := range r.Gone {
		fmt.Fprintf(p.Out, "gone: %s weld %d on %s at %s\n", w.Station, w.Number, w.Flange, at(w.At))
	}
	for _, m := range r.Moved {
		fmt.Fprintf(p.Out, "moved: %s weld %d on %s by %.1f mm to %s (was weld %d)\n", m.New.Station, m.New.Number, m.New.Flange, m.Distance,
			at(m.New.At), m.Old.Number)
	}
	for _, c := range r.Changed {
		fmt.Fprintf(p.Out, "otherwise: %s weld %d on %s: %s\n", c.New.Station, c.New.Number, c.New.Flange, c.What)
	}
}

// differences prints a table of figures; those that stayed are left out.
func differences(p *program.Call, title string, list []compare.Difference) {
	head := false
	for _, d := range list {
		if math.Abs(d.Change) < 0.005 {
			continue
		}
		if !head {
			fmt.Fprintf(p.Out, "\n%-40s %12s %12s %12s\n", title, "before", "now", "change")
			head = true
		}
		fmt.Fprintf(p.Out, "%-40.40s %12.2f %12.2f %+12.2f %s\n", d.What, d.Old, d.New, d.Change, d.Unit)
	}
}

func dash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
