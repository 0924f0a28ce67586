// Package whatif reckons a plan anew with another batch, crew, rate or time, and lays variants beside each other.
//
//	if labour.SamePlan(sh, other) {          // else the shell must be planned anew
//		changed, err := whatif.Again(ctx, plan, other)
//		row, err := whatif.Of(ctx, "batch=12", changed, other, seed)
//	}
package whatif

import (
	"context"
	"fmt"

	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/crews"
	"seamwright/layout/labour"
	"seamwright/layout/planfile"
	"seamwright/layout/quote"
	"seamwright/seams/shell"
)

// Again reckons time, money, its range and flow anew for a shell file that gives the same plan. Neither argument is changed. The
// plan keeps its digest, which is that of the shell file it was made from.
//
// Errors are those of labour.Estimate, quote.Settle and crews.Flow.
func Again(ctx context.Context, p *layout.Plan, sh *shell.Shell) (*layout.Plan, error) {
	out := *p
	out.Shell.Batch = sh.Batch
	out.Stations = append([]layout.Station(nil), p.Stations...)
	out.Joints = append([]layout.Joint(nil), p.Joints...)
	out.Runs = append([]layout.Run(nil), p.Runs...)
	for i := range out.Stations {
		if s, ok := sh.Station(out.Stations[i].ID); ok {
			out.Stations[i].Crew = max(1, s.Crew)
		}
	}
	var err error
	if out.Labour, out.Cost, err = labour.Estimate(ctx, &out, sh); err != nil {
		return nil, fmt.Errorf("what if: %w", err)
	}
	if err := crews.ShareOut(ctx, &out, nil); err != nil {
		return nil, fmt.Errorf("what if: %w", err)
	}
	if err := quote.Settle(ctx, &out, sh, quote.Options{Seed: quote.DefaultSeed}); err != nil {
		return nil, fmt.Errorf("what if: %w", err)
	}
	if out.Flow, err = crews.Flow(&out, sh.Batch, sh.WeekHours()); err != nil {
		return nil, fmt.Errorf("what if: %w", err)
	}
	if out.Cost.Paid, err = crews.Paid(ctx, &out, sh); err != nil {
		return nil, fmt.Errorf("what if: %w", err)
	}
	if out.Cost.Steel, _, err = buy.Of(&out, sh); err != nil {
		return nil, fmt.Errorf("what if: %w", err)
	}
	return &out, planfile.Round(&out)
}

// Variant is one row of a comparison.
type Variant struct {
	Name            string  `json:"name" about:"what is changed"`
	Batch           int     `json:"batch" about:"shells in the batch"`
	Crew            int     `json:"crew" about:"people at all stations together"`
	MinutesPerShell float64 `json:"minutes_per_shell" about:"man-minutes a shell, jig preparation shared over the batch" unit:"min"`
	CostPerShell    float64 `json:"cost_per_shell" about:"money a shell" unit:"money"`
	CostPerBatch    float64 `json:"cost_per_batch" about:"money for the batch" unit:"money"`
	P80PerShell     float64 `json:"p80_per_shell" about:"money a shell that four in five of the drawings stay below" unit:"money"`
	Bottleneck      string  `json:"bottleneck" about:"id of the station that takes longest"`
	ShellsPerWeek   float64 `json:"shells_per_week" about:"once all stations are busy; 0: no hours a week are stated" unit:"shells a week"`
	Makespan        float64 `json:"makespan_prepared_minutes" about:"until the batch is out, jigs prepared first" unit:"min"`
	Welds           int     `json:"welds_per_shell" about:"spots on one shell"`
	Broken          int     `json:"broken" about:"rules"`
}

// Of is the row of a plan whose labour and flow are known.
func Of(ctx context.Context, name string, p *layout.Plan, sh *shell.Shell, seed uint64) (Variant, error) {
	q, err := quote.Of(ctx, p, sh, quote.Options{Seed: seed})
	if err != nil {
		return Variant{}, fmt.Errorf("what if: %w", err)
	}
	v := Variant{
		Name: name, Batch: p.Cost.Batch, MinutesPerShell: p.Cost.MinutesPerShell, CostPerShell: p.Cost.CostPerShell,
		CostPerBatch: p.Cost.CostPerBatch, P80PerShell: q.CostPerShell.P80,
		Bottleneck: p.Flow.Bottleneck, ShellsPerWeek: p.Flow.ShellsPerWeek, Makespan: p.Flow.MakespanPrepared, Welds: p.Labour.Welds,
	}
	for _, s := range p.Labour.Stations {
		v.Crew += s.Crew
	}
	for _, f := range p.Findings {
		if f.Severity == layout.Broken {
			v.Broken++
		}
	}
	return v, nil
}
