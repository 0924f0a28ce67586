package money

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/whatif"
	"seamwright/seams/changes"
	"seamwright/seams/shell"
)

// mostVariants are compared at once.
const mostVariants = 8

// compareVariants reckons the variants, after the shell as stated and set; nothing without variants. A variant that
// changes more than time and money is planned anew.
func compareVariants(ctx context.Context, p *program.Call, path string, done program.Planned, fit *actualsResult,
	o costOptions) ([]whatif.Variant,
	error) {
	if len(o.variants) == 0 {
		return nil, nil
	}
	stated, err := readWith(p, path, nil)
	if err != nil {
		return nil, err
	}
	first, err := whatif.Of(ctx, "as stated", done.Plan, done.Shell, o.seed)
	if err != nil {
		return nil, program.BadInput(err)
	}
	rows := []whatif.Variant{first}
	for _, text := range o.variants {
		sh, err := readWith(p, path, program.Settings([]string{text}))
		if err != nil {
			return nil, inVariant(text, err)
		}
		other := done
		if !labour.SamePlan(stated, sh) {
			again := *p
			again.Set = append(append([]string(nil), p.Set...), program.Settings([]string{text})...)
			if other, err = again.Build(ctx, path); err != nil {
				return nil, inVariant(text, err)
			}
			sh = other.Shell
		}
		if fit != nil {
			fit.Apply(sh)
		}
		plan, err := whatif.Again(ctx, other.Plan, sh)
		if err != nil {
			return nil, inVariant(text, program.BadInput(err))
		}
		row, err := whatif.Of(ctx, text, plan, sh, o.seed)
		if err != nil {
			return nil, inVariant(text, program.BadInput(err))
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// readWith reads the shell file with the settings of the call and some more.
func readWith(p *program.Call, path string, more []string) (*shell.Shell, error) {
	quiet := program.Call{NoChanges: p.NoChanges, Quiet: true}
	changed, err := quiet.Changed(path)
	if err != nil {
		return nil, err
	}
	return readOver(p, path, changed, more)
}

// readOver reads the shell file with certain changes, the settings of the call and some more.
func readOver(p *program.Call, path string, changed changes.Changes, more []string) (*shell.Shell, error) {
	with := program.Call{Set: slices.Concat(p.Set, more)}
	overrides, err := with.OverrideMap(changed)
	if err != nil {
		return nil, err
	}
	sh, _, err := p.ReadShell(path, overrides)
	return sh, program.BadInput(err)
}

// inVariant says which variant an error belongs to.
func inVariant(text string, err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	return fmt.Errorf("--variant %s: %w", text, err)
}

// variantsText prints the variants beside each other.
func variantsText(p *program.Call, rows []whatif.Variant, currency string) {
	fmt.Fprintf(p.Out, "\n%-36s %5s %5s %9s %10s %7s %10s %12s %-14s %9s %10s\n", "variant", "batch", "crew", "man-min", currency, "", "P80",
		"batch", "bottleneck", "a week", "batch, h")
	for _, v := range rows {
		change := ""
		if base := rows[0].CostPerShell; base > 0 && math.Abs(v.CostPerShell/base-1) >= 0.0005 {
			change = fmt.Sprintf("%+.1f %%", 100*(v.CostPerShell/base-1))
		}
		fmt.Fprintf(p.Out, "%-36s %5d %5d %9.1f %10s %7s %10s %12s %-14s %9.1f %10.1f\n",
			v.Name, v.Batch, v.Crew, v.MinutesPerShell, layout.Money(v.CostPerShell), change, layout.Money(v.P80PerShell),
			layout.Money(v.CostPerBatch), v.Bottleneck, v.ShellsPerWeek,
			v.Makespan/60)
	}
	for _, v := range rows[1:] {
		if v.Welds != rows[0].Welds || v.Broken != rows[0].Broken {
			fmt.Fprintf(p.Out, "%s: %d welds instead of %d, %d rules broken instead of %d\n", v.Name, v.Welds, rows[0].Welds, v.Broken,
				rows[0].Broken)
		}
	}
}
