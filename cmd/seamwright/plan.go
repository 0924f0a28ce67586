package main

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/engine"
	"seamwright/render/sheet"
	"seamwright/render/table"
	"seamwright/render/view"
	"seamwright/seams/changes"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// planned is a plan with what drawing it needs.
type planned struct {
	plan  *layout.Plan
	shell *shell.Shell
	made  *engine.Planned // the plan as it was made of the shell file; what is reckoned anew has another plan
	kept  *cache.Cache
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
	sh, notes, err := p.readShell(path, overrides)
	if err != nil {
		return planned{}, badInput(err)
	}
	e := engine.Engine{Cache: p.cache(), Writer: p.writer, Workers: p.workers, Progress: show, Stage: p.stage, NoRemedies: p.noRemedies}
	done, err := e.Plan(ctx, engine.Input{Shell: sh, Notes: notes, Digest: func(files string) string { return withChanges(files, changed) }})
	if err != nil {
		return planned{}, badInput(err)
	}
	return planned{plan: done.Plan, shell: sh, made: done, kept: e.Cache}, nil
}

// panels are the shell's panels ready to be drawn, once they are asked for.
func (d planned) panels(ctx context.Context) ([]view.Panel, error) {
	loaded, err := d.made.Parts(ctx)
	if err != nil {
		return nil, badInput(err)
	}
	out := make([]view.Panel, len(loaded))
	return out, work.Each(ctx, 0, len(loaded), func(i int) (err error) {
		part := loaded[i]
		id, thick := part.Panel.ID, part.Steel.Thickness
		if d.kept == nil {
			out[i] = view.NewPanel(id, part.Shape, thick)
			return nil
		}
		key := d.kept.KeyOf("view", cache.Input{Name: "id", Value: id}, cache.Input{Name: "shape", Value: part.Shape.Hash()},
			cache.Input{Name: "thickness", Value: thick})
		out[i], err = cache.GetHere(d.kept, key, func() (view.Panel, error) { return view.NewPanel(id, part.Shape, thick), nil })
		return err
	})
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
	jsonFlags[layout.Plan](p, c, &asJSON, "print plan.json instead of the summary")
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
	welds, err := table.Welds(done.plan)
	if err != nil {
		return nil, err
	}
	cost, err := table.Cost(done.plan)
	if err != nil {
		return nil, err
	}
	out := output{
		"plan.json": done.made.Text, "plan.schema.json": layout.Schema(),
		"welds.csv": welds, "cost.csv": cost, "report.txt": table.Report(done.plan),
	}
	maps, err := p.maps(ctx, done)
	if err != nil {
		return nil, err
	}
	for name, svg := range maps {
		out["maps/"+name+".svg"] = svg
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

// maps are the maps of all stations, by their names.
func (p *program) maps(ctx context.Context, done planned) (map[string][]byte, error) {
	b := p.bar()
	defer b.clear()
	defer p.stage("draw maps")()
	key := done.kept.KeyOf("maps", cache.Input{Name: "plan", Value: done.made.Key})
	return cache.Get(done.kept, key, func() (map[string][]byte, error) {
		panels, err := done.panels(ctx)
		if err != nil {
			return nil, err
		}
		maps, err := sheet.Stations(ctx, done.plan, panels, sheet.Options{
			Hash: sheet.HashOf(done.made.Text), Workers: p.workers, Progress: func(done, total int) { b.show("draw maps", done, total) },
		})
		out := map[string][]byte{}
		for _, sheets := range maps {
			for _, s := range sheets {
				out[s.Name] = s.SVG
			}
		}
		return out, err
	})
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
	fmt.Fprintf(p.out, "%s, revision %s, batch of %d: %s\n", plan.Shell.Name, cmp.Or(plan.Shell.Revision, "not stated"), plan.Shell.Batch,
		plan.Standing())
	fmt.Fprintf(p.out, "  %s, %s, %s, %s\n", many(len(plan.Panels), "panel"), many(len(plan.Joints), "joint"),
		many(len(plan.Flanges), "flange"), many(len(plan.Stations), "station"))
	fmt.Fprintf(p.out, "  %s in %s, %.2f m of roller seam\n", many(len(plan.Welds), "spot weld"), many(len(plan.Runs), "run"),
		plan.Labour.RollerMetres)
	fmt.Fprintf(p.out, "  %.1f man-hours and %s %s a shell, jig preparation shared over the batch\n", plan.Cost.MinutesPerShell/60,
		layout.Money(plan.Cost.CostPerShell), plan.Cost.Currency)
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

// readShell reads a shell file, and says how large what it names may be.
func (p *program) readShell(path string, overrides map[string]string) (*shell.Shell, []string, error) {
	sh, notes, err := shellfile.Read(path, overrides)
	if sh != nil {
		sh.Most, sh.MostBook = p.most, p.mostBook
	}
	return sh, notes, err
}
