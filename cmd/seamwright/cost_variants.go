package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/whatif"
	"seamwright/seams/changes"
	"seamwright/seams/shell"
)

// mostVariants are compared at once.
const mostVariants = 8

// nextSetting is where one setting ends and the next begins: a comma before a key.
var nextSetting = regexp.MustCompile(`,\s*([\p{L}\p{N}][\p{L}\p{M}\p{N}._+-]*=)`)

// settings parts settings that stand together, batch=12,crew.main-jig=3, and writes crew.ID in full.
func settings(list []string) []string {
	var out []string
	for _, s := range list {
		for _, one := range strings.Split(nextSetting.ReplaceAllString(s, "\n$1"), "\n") {
			one = strings.TrimSpace(one)
			key, value, _ := strings.Cut(one, "=")
			if id, ok := strings.CutPrefix(key, "crew."); ok {
				one = "stations." + id + ".crew=" + value
			}
			out = append(out, one)
		}
	}
	return out
}

// compareVariants reckons the variants, after the shell as stated and set; nothing without variants. A variant that
// changes more than time and money is planned anew.
func (p *program) compareVariants(ctx context.Context, path string, done planned, fit *actualsResult, o costOptions) ([]whatif.Variant,
	error) {
	if len(o.variants) == 0 {
		return nil, nil
	}
	stated, err := p.readWith(path, nil)
	if err != nil {
		return nil, err
	}
	first, err := whatif.Of(ctx, "as stated", done.plan, done.shell, o.seed)
	if err != nil {
		return nil, badInput(err)
	}
	rows := []whatif.Variant{first}
	for _, text := range o.variants {
		sh, err := p.readWith(path, settings([]string{text}))
		if err != nil {
			return nil, inVariant(text, err)
		}
		other := done
		if !labour.SamePlan(stated, sh) {
			again := *p
			again.set = append(append([]string(nil), p.set...), settings([]string{text})...)
			if other, err = again.build(ctx, path); err != nil {
				return nil, inVariant(text, err)
			}
			sh = other.shell
		}
		if fit != nil {
			fit.Apply(sh)
		}
		plan, err := whatif.Again(ctx, other.plan, sh)
		if err != nil {
			return nil, inVariant(text, badInput(err))
		}
		row, err := whatif.Of(ctx, text, plan, sh, o.seed)
		if err != nil {
			return nil, inVariant(text, badInput(err))
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// readWith reads the shell file with the settings of the call and some more.
func (p *program) readWith(path string, more []string) (*shell.Shell, error) {
	quiet := program{noChanges: p.noChanges, quiet: true}
	changed, err := quiet.changed(path)
	if err != nil {
		return nil, err
	}
	return p.readOver(path, changed, more)
}

// readOver reads the shell file with certain changes, the settings of the call and some more.
func (p *program) readOver(path string, changed changes.Changes, more []string) (*shell.Shell, error) {
	with := program{set: slices.Concat(p.set, more)}
	overrides, err := with.overrideMap(changed)
	if err != nil {
		return nil, err
	}
	sh, _, err := p.readShell(path, overrides)
	return sh, badInput(err)
}

// inVariant says which variant an error belongs to.
func inVariant(text string, err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	wrapped := fmt.Errorf("--variant %s: %w", text, err)
	if input := (inputError{}); errors.As(err, &input) {
		return inputError{wrapped}
	}
	return wrapped
}

// variantsText prints the variants beside each other.
func (p *program) variantsText(rows []whatif.Variant, currency string) {
	fmt.Fprintf(p.out, "\n%-36s %5s %5s %9s %10s %7s %10s %12s %-14s %9s %10s\n", "variant", "batch", "crew", "man-min", currency, "", "P80",
		"batch", "bottleneck", "a week", "batch, h")
	for _, v := range rows {
		change := ""
		if base := rows[0].CostPerShell; base > 0 && math.Abs(v.CostPerShell/base-1) >= 0.0005 {
			change = fmt.Sprintf("%+.1f %%", 100*(v.CostPerShell/base-1))
		}
		fmt.Fprintf(p.out, "%-36s %5d %5d %9.1f %10s %7s %10s %12s %-14s %9.1f %10.1f\n",
			v.Name, v.Batch, v.Crew, v.MinutesPerShell, layout.Money(v.CostPerShell), change, layout.Money(v.P80PerShell),
			layout.Money(v.CostPerBatch), v.Bottleneck, v.ShellsPerWeek,
			v.Makespan/60)
	}
	for _, v := range rows[1:] {
		if v.Welds != rows[0].Welds || v.Broken != rows[0].Broken {
			fmt.Fprintf(p.out, "%s: %d welds instead of %d, %d rules broken instead of %d\n", v.Name, v.Welds, rows[0].Welds, v.Broken,
				rows[0].Broken)
		}
	}
}
