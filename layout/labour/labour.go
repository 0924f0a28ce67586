// Package labour turns a plan into time and money, line by line, from the element times, rates and allowances of
// the shell file and from nothing else.
//
//	work, cost, err := labour.Estimate(ctx, plan, sh)   // once welds, rollers and stations are in the plan
//	fmt.Println(work.ManMinutesPerShell, cost.CostPerBatch)
//	accounts, err := labour.Accounts(ctx, plan, sh)     // what it is the sum of, to reckon on with other figures
//
// # How the figures arise
//
// Each piece of work is a quantity counted from the plan times an element time. To every station's handling, and to
// every joint's spots and seams, three things are added, each as a line of its own:
//
//   - welds made again: so many per cent of the welds, at the mean time of one weld of the joint;
//   - practice: hand work times batch^log2(rate) - 1, the cumulative average of the batch (Wright 1936: the average
//     over n shells is T1 n^log2(rate)). Element times are those of the first shell of a batch. Squeeze, weld, hold
//     and rolling run at the machine's pace and are not shortened;
//   - allowances: personal, fatigue, posture and contingency added together, on hand and machine-paced work alike,
//     because the gun is held by hand while it welds.
//
// Jig preparation and changeover from another model are paid once and shared over the batch. Cooling water costs
// what the rates say of it, nothing where no price is stated.
//
// Elapsed time is first man-minutes over crew, as if nobody waited for another; crews.ShareOut puts the schedule's in its place.
//
// # Sums
//
// Each line is rounded once, to 0.006 s (0.0001 min) or to 0.0001 of the currency; every total is the sum of such
// lines, counted in whole steps. So lines, joints and stations add up exactly, also after the plan is written. The batch costs
// the shell's whole cents times the batch (layout.Cents).
package labour

import (
	"context"
	"fmt"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// Estimate gives the time and money for one shell of a batch of sh.Batch. It reads the plan's stations (what arrives,
// crew, clamps, dowels, hold points), sub-assemblies, panel masses, joints, flanges, runs, welds, roller seams and
// settings. It writes the minutes of p.Stations (elapsed), p.Joints and p.Runs (man-minutes), and nothing else of p.
// A run's minutes are its share of its joint's spot work by the time at its welds, so that runs add up to it.
//
// Errors name the key or place: a batch or crew below one, a negative or infinite time, rate or allowance, a
// learning rate that is not from 0.5 to 1, no speed to move at, an id that the plan or shell file has not; and a context that ends.
func Estimate(ctx context.Context, p *layout.Plan, sh *shell.Shell) (layout.Labour, layout.Cost, error) {
	e, err := newEstimator(p, sh)
	if err != nil {
		return layout.Labour{}, layout.Cost{}, fmt.Errorf("labour: %w", err)
	}
	list, err := e.accounts(ctx)
	if err != nil {
		return layout.Labour{}, layout.Cost{}, fmt.Errorf("labour: %w", err)
	}
	for _, a := range list {
		e.enter(a)
	}
	work, cost := e.labour(), e.cost()
	if e.book.err != nil {
		return layout.Labour{}, layout.Cost{}, fmt.Errorf("labour: %w", e.book.err)
	}
	e.writeMinutes()
	return work, cost, nil
}
