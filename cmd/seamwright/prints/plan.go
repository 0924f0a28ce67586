// Package prints is the commands that write what a plan is shown by: the plan with its maps, single maps, marking strips, the print set,
// cards, files for other programs, and the demo.
//
//	program.Run(ctx, []string{"plan", "shell.yaml"}, os.Stdout, os.Stderr, []program.Maker{prints.Plan})
package prints

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/planfile"
	"seamwright/render/sheet"
	"seamwright/render/table"
)

// Plan makes the command plan.
func Plan(p *program.Call) *cobra.Command {
	var dir string
	var asJSON bool
	c := &cobra.Command{
		Use:   "plan SHELL",
		Short: "Plan a shell: plan.json, weld maps, welds.csv, cost.csv and report.txt",
		Args:  program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if dir == "" {
				dir = filepath.Join(filepath.Dir(args[0]), "plan")
			}
			return planInto(c.Context(), p, args[0], dir, asJSON)
		},
	}
	c.Flags().StringVarP(&dir, "output", "o", "", "folder for the files; default: plan, beside the shell file")
	program.JSONFlags[layout.Plan](p, c, &asJSON, "print plan.json instead of the summary")
	p.Overrides(c)
	return c
}

// planInto plans the shell, writes all files and prints a summary.
func planInto(ctx context.Context, p *program.Call, path, dir string, asJSON bool) error {
	if err := program.TryFolder(dir); err != nil {
		return err
	}
	done, err := p.Build(ctx, path)
	if err != nil {
		return err
	}
	files, err := files(ctx, p, done)
	if err != nil {
		return err
	}
	if err := p.WriteFolder(ctx, dir, files); err != nil {
		return err
	}
	for _, n := range done.Plan.Notes {
		p.Warn("note: %s", n)
	}
	if asJSON {
		if _, err := p.Out.Write(files["plan.json"]); err != nil {
			return err
		}
	} else {
		summary(p, done.Plan, dir, files)
	}
	return program.Verdict(done.Plan)
}

// files renders everything that plan writes.
func files(ctx context.Context, p *program.Call, done program.Planned) (program.Output, error) {
	welds, err := table.Welds(done.Plan)
	if err != nil {
		return nil, err
	}
	cost, err := table.Cost(done.Plan)
	if err != nil {
		return nil, err
	}
	out := program.Output{
		"plan.json": done.Made.Text, "plan.schema.json": planfile.Schema(),
		"welds.csv": welds, "cost.csv": cost, "report.txt": table.Report(done.Plan),
	}
	maps, err := drawMaps(ctx, p, done)
	if err != nil {
		return nil, err
	}
	for name, svg := range maps {
		out["maps/"+name+".svg"] = svg
	}
	return out, nil
}

// drawMaps draws the maps of all stations, by their names.
func drawMaps(ctx context.Context, p *program.Call, done program.Planned) (map[string][]byte, error) {
	b := p.Bar()
	defer b.Clear()
	defer p.Stage("draw maps")()
	key := done.Kept.KeyOf("maps", cache.Input{Name: "plan", Value: done.Made.Key})
	return cache.Get(done.Kept, key, func() (map[string][]byte, error) {
		panels, err := done.Panels(ctx)
		if err != nil {
			return nil, err
		}
		maps, err := sheet.Stations(ctx, done.Plan, panels, sheet.Options{
			Hash: sheet.HashOf(done.Made.Text), Workers: p.Workers, Progress: func(done, total int) { b.Show("draw maps", done, total) },
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

func summary(p *program.Call, plan *layout.Plan, dir string, files program.Output) {
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
	fmt.Fprintf(p.Out, "%s, revision %s, batch of %d: %s\n", plan.Shell.Name, cmp.Or(plan.Shell.Revision, "not stated"), plan.Shell.Batch,
		plan.Standing())
	fmt.Fprintf(p.Out, "  %s, %s, %s, %s\n", program.Many(len(plan.Panels), "panel"), program.Many(len(plan.Joints), "joint"),
		program.Many(len(plan.Flanges), "flange"), program.Many(len(plan.Stations), "station"))
	fmt.Fprintf(p.Out, "  %s in %s, %.2f m of roller seam\n", program.Many(len(plan.Welds), "spot weld"), program.Many(len(plan.Runs), "run"),
		plan.Labour.RollerMetres)
	fmt.Fprintf(p.Out, "  %.1f man-hours and %s %s a shell, jig preparation shared over the batch\n", plan.Cost.MinutesPerShell/60,
		layout.Money(plan.Cost.CostPerShell), plan.Cost.Currency)
	fmt.Fprintf(p.Out, "  findings: %d broken, %d waived, %d in doubt, %s\n", severity[layout.Broken], severity[layout.Waived],
		severity[layout.Doubt], program.Many(severity[layout.Note], "note"))
	for _, f := range plan.Findings {
		if f.Severity == layout.Broken {
			fmt.Fprintf(p.Out, "    %s\n", program.FindingLine(f))
		}
	}
	if doubts := program.CountRules(plan.Findings, layout.Doubt); len(doubts) > 0 {
		fmt.Fprintf(p.Out, "    doubt: %s\n", strings.Join(doubts, ", "))
	}
	fmt.Fprintf(p.Out, "  written to %s: plan.json, report.txt, welds.csv, cost.csv, %d maps\n", dir, maps)
}
