package main

import (
	"encoding/json"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"seamwright/layout"
)

// costResult is what cost --json prints.
type costResult struct {
	Currency             string        `json:"currency"`
	Batch                int           `json:"batch"`
	MinutesPerShell      float64       `json:"minutes_per_shell"`
	CostPerShell         float64       `json:"cost_per_shell"`
	CostPerBatch         float64       `json:"cost_per_batch"`
	RollerMetresPerShell float64       `json:"roller_metres_per_shell"`
	WeldsPerShell        int           `json:"welds_per_shell"`
	Lines                []layout.Line `json:"lines"`
}

func (p *program) cost() *cobra.Command {
	var batch int
	var asJSON bool
	c := &cobra.Command{
		Use:   "cost SHELL",
		Short: "Estimate labour and money for a shell and for a batch",
		Args:  count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if c.Flags().Changed("batch") {
				p.set = append(p.set, "batch="+strconv.Itoa(batch))
			}
			done, err := p.build(c.Context(), args[0])
			if err != nil {
				return err
			}
			if asJSON {
				err = p.costJSON(done.plan)
			} else {
				p.costText(done.plan)
			}
			if err != nil {
				return err
			}
			return verdict(done.plan)
		},
	}
	c.Flags().IntVar(&batch, "batch", 0, "shells in the batch, instead of the shell file's")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	p.overrides(c)
	return c
}

func (p *program) costJSON(plan *layout.Plan) error {
	e := json.NewEncoder(p.out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	c := plan.Cost
	return e.Encode(costResult{
		Currency: c.Currency, Batch: c.Batch, MinutesPerShell: c.MinutesPerShell, CostPerShell: c.CostPerShell, CostPerBatch: c.CostPerBatch,
		RollerMetresPerShell: c.RollerMetresPerShell, WeldsPerShell: plan.Labour.Welds, Lines: c.Lines,
	})
}

func (p *program) costText(plan *layout.Plan) {
	c := plan.Cost
	fmt.Fprintf(p.out, "%s, batch of %d\n\n", plan.Shell.Name, c.Batch)
	fmt.Fprintf(p.out, "%-24s %6s %8s %12s %12s %10s\n", "station", "crew", "welds", "man-min", "minutes", c.Currency)
	for _, s := range plan.Labour.Stations {
		fmt.Fprintf(p.out, "%-24s %6d %8d %12.1f %12.1f %10.2f\n", s.Station, s.Crew, s.Welds, s.ManMinutes, s.Minutes, s.Cost)
	}
	fmt.Fprintf(p.out, "\n%-52s %10s %-8s %10s %12s\n", "money a shell", "quantity", "unit", "each", c.Currency)
	for _, l := range c.Lines {
		fmt.Fprintf(p.out, "%-52.52s %10.3f %-8s %10.4f %12.2f\n", l.What, l.Quantity, l.Unit, l.Each, l.Total)
	}
	fmt.Fprintf(p.out, "\n%.1f man-minutes and %.2f %s a shell; %.2f %s for the batch; %.2f m of roller seam a shell\n",
		c.MinutesPerShell, c.CostPerShell, c.Currency, c.CostPerBatch, c.Currency, c.RollerMetresPerShell)
}
