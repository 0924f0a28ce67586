package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/planner"
	"seamwright/render/sheet"
	"seamwright/render/table"
	"seamwright/render/view"
	"seamwright/seams/changes"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// planned is a plan with what drawing it needs.
type planned struct {
	plan   *layout.Plan
	shell  *shell.Shell
	panels []view.Panel
	parts  []parts.Part
}

// build reads a shell file and everything that it names, and plans it.
func (p *program) build(ctx context.Context, path string) (planned, error) {
	changed, err := p.changed(path)
	if err != nil {
		return planned{}, err
	}
	b := p.bar()
	defer b.clear()
	return p.planWith(ctx, path, changed, b.show)
}

// planWith does so with certain changes, and says how far it is.
func (p *program) planWith(ctx context.Context, path string, changed changes.Changes, show func(stage string, done, total int)) (planned,
	error) {
	overrides, err := p.overrideMap(changed)
	if err != nil {
		return planned{}, err
	}
	sh, notes, err := shell.Read(path, overrides)
	if err != nil {
		return planned{}, badInput(err)
	}
	loaded, err := parts.Load(ctx, sh, p.workers, func(done, total int) { show("read panels", done, total) })
	if err != nil {
		return planned{}, badInput(err)
	}
	digest, err := shell.Digest(sh)
	if err != nil {
		return planned{}, badInput(err)
	}
	sheets, panels := make([]flange.Sheet, len(loaded)), make([]view.Panel, len(loaded))
	for i, part := range loaded {
		sheets[i] = part.Sheet
		panels[i] = view.NewPanel(part.Panel.ID, part.Shape, part.Steel.Thickness)
		for _, n := range part.Notes {
			notes = append(notes, fmt.Sprintf("panel %s: %s", part.Panel.ID, n))
		}
	}
	found, err := flange.Find(ctx, sheets, flange.Options{
		GapLimit: sh.GapLimit, Clamps: clampsOf(sh, loaded), Workers: p.workers,
		Progress: func(done, total int) { show("find flanges", done, total) },
	})
	if err != nil {
		return planned{}, err
	}
	plan, err := planner.Build(ctx, planner.Input{
		Shell: sh, Parts: loaded, Found: found, Digest: withChanges(digest, changed), Notes: notes, Workers: p.workers, Progress: show,
	})
	if err != nil {
		return planned{}, badInput(err)
	}
	return planned{plan, sh, panels, loaded}, nil
}

// clampsOf is what clamps close between the panels of the joints that say so.
func clampsOf(sh *shell.Shell, loaded []parts.Part) (out []flange.Clamps) {
	for _, j := range sh.Joints {
		if j.ClampGap == 0 && j.ClampAngle == 0 {
			continue
		}
		var sheets []int
		for i := range loaded {
			if slices.Contains(j.Panels, loaded[i].Panel.ID) {
				sheets = append(sheets, i)
			}
		}
		for i, a := range sheets {
			for _, b := range sheets[i+1:] {
				out = append(out, flange.Clamps{Sheets: [2]int{a, b}, Gap: j.ClampGap, Angle: j.ClampAngle})
			}
		}
	}
	return out
}

func (p *program) planShell() *cobra.Command {
	var dir string
	var asJSON bool
	c := &cobra.Command{
		Use:   "plan SHELL",
		Short: "Plan a shell: plan.json, weld maps, welds.csv, cost.csv and report.txt",
		Args:  count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if dir == "" {
				dir = filepath.Join(filepath.Dir(args[0]), "plan")
			}
			return p.planInto(c.Context(), args[0], dir, asJSON)
		},
	}
	c.Flags().StringVarP(&dir, "output", "o", "", "folder for the files; default: plan, beside the shell file")
	c.Flags().BoolVar(&asJSON, "json", false, "print plan.json instead of the summary")
	p.overrides(c)
	return c
}

// planInto plans the shell, writes all files and prints a summary.
func (p *program) planInto(ctx context.Context, path, dir string, asJSON bool) error {
	if err := tryFolder(dir); err != nil {
		return err
	}
	done, err := p.build(ctx, path)
	if err != nil {
		return err
	}
	files, err := p.files(ctx, done)
	if err != nil {
		return err
	}
	if err := p.writeFolder(ctx, dir, files); err != nil {
		return err
	}
	for _, n := range done.plan.Notes {
		p.warn("note: %s", n)
	}
	if asJSON {
		if _, err := p.out.Write(files["plan.json"]); err != nil {
			return err
		}
	} else {
		p.summary(done.plan, dir, files)
	}
	return verdict(done.plan)
}

// verdict is errBroken when the plan breaks a rule.
func verdict(plan *layout.Plan) error { return verdictOf(plan.Findings, "seamwright check tells more") }

// verdictOf is errBroken when a finding is broken, with the rules; more says where to read on.
func verdictOf(findings []layout.Finding, more string) error {
	rules := countRules(findings, layout.Broken)
	if len(rules) == 0 {
		return nil
	}
	return fmt.Errorf("%w: %s: %s", errBroken, strings.Join(rules, ", "), more)
}

// countRules lists the rules of findings of one severity, each with how often it is said where that is more than once.
func countRules(findings []layout.Finding, severity layout.Severity) []string {
	var order []string
	count := map[string]int{}
	for _, f := range findings {
		if f.Severity != severity {
			continue
		}
		if count[f.Rule]++; count[f.Rule] == 1 {
			order = append(order, f.Rule)
		}
	}
	for i, id := range order {
		if n := count[id]; n > 1 {
			order[i] = fmt.Sprintf("%s %d times", id, n)
		}
	}
	return order
}

// files renders everything that plan writes.
func (p *program) files(ctx context.Context, done planned) (output, error) {
	var text bytes.Buffer
	if err := layout.Write(&text, done.plan); err != nil {
		return nil, err
	}
	welds, err := table.Welds(done.plan)
	if err != nil {
		return nil, err
	}
	cost, err := table.Cost(done.plan)
	if err != nil {
		return nil, err
	}
	out := output{
		"plan.json": text.Bytes(), "plan.schema.json": layout.Schema(),
		"welds.csv": welds, "cost.csv": cost, "report.txt": table.Report(done.plan),
	}
	b := p.bar()
	defer b.clear()
	maps, err := sheet.Stations(ctx, done.plan, done.panels, sheet.Options{
		Hash: sheet.HashOf(text.Bytes()), Workers: p.workers, Progress: func(done, total int) { b.show("draw maps", done, total) },
	})
	if err != nil {
		return nil, err
	}
	for _, sheets := range maps {
		for _, s := range sheets {
			out["maps/"+s.Name+".svg"] = s.SVG
		}
	}
	return out, nil
}

// findingLine is a finding on one line.
func findingLine(f layout.Finding) string {
	figures := ""
	if f.Limited() {
		figures = fmt.Sprintf(": %.4g, limit %.4g %s", f.Value, f.Limit, f.Unit)
	} // what has a value alone says it in its words
	return fmt.Sprintf("%s: %s: %s%s (%s): %s", f.Severity, f.Rule, f.Where, figures, f.Source, f.Remedy)
}

// many is so many of a thing, such as 1 joint or 2 joints.
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func (p *program) summary(plan *layout.Plan, dir string, files output) {
	maps := 0
	for name := range files {
		if strings.HasPrefix(name, "maps/") {
			maps++
		}
	}
	severity := map[layout.Severity]int{}
	for _, f := range plan.Findings {
		severity[f.Severity]++
	}
	fmt.Fprintf(p.out, "%s, revision %s, batch of %d\n", plan.Shell.Name, plan.Shell.Revision, plan.Shell.Batch)
	fmt.Fprintf(p.out, "  %s, %s, %s, %s\n", many(len(plan.Panels), "panel"), many(len(plan.Joints), "joint"),
		many(len(plan.Flanges), "flange"), many(len(plan.Stations), "station"))
	fmt.Fprintf(p.out, "  %s in %s, %.2f m of roller seam\n", many(len(plan.Welds), "spot weld"), many(len(plan.Runs), "run"),
		plan.Labour.RollerMetres)
	fmt.Fprintf(p.out, "  %.1f man-hours and %.2f %s a shell, jig preparation shared over the batch\n", plan.Cost.MinutesPerShell/60,
		plan.Cost.CostPerShell, plan.Cost.Currency)
	fmt.Fprintf(p.out, "  findings: %d broken, %d waived, %d in doubt, %s\n", severity[layout.Broken], severity[layout.Waived],
		severity[layout.Doubt], many(severity[layout.Note], "note"))
	for _, f := range plan.Findings {
		if f.Severity == layout.Broken {
			fmt.Fprintf(p.out, "    %s\n", findingLine(f))
		}
	}
	if doubts := countRules(plan.Findings, layout.Doubt); len(doubts) > 0 {
		fmt.Fprintf(p.out, "    doubt: %s\n", strings.Join(doubts, ", "))
	}
	fmt.Fprintf(p.out, "  written to %s: plan.json, report.txt, welds.csv, cost.csv, %d maps\n", dir, maps)
}
