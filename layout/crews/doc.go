// Package crews says who does which step of a station and when, how the stations of a shell work as a row, and what
// of the time is paid. Times are minutes, shares are of 1.
//
//	err := crews.ShareOut(ctx, plan, cache)                                  // once plan.Labour and the steps are known
//	plan.Flow, err = crews.Flow(plan, sh.Batch, sh.Rates.HoursPerWeek)       // shells a week, and what limits them
//	plan.Paid, err = crews.Paid(ctx, plan, sh)                               // paid beside worked, stand-by and all
//	line, err := crews.Balance(ctx, plan, sh, crews.Want{Takt: 60})          // the same work over other stations
//	played, err := line.Simulate(ctx, plan, sh, crews.Play{Seed: 1})         // and how long a batch takes, with its range
//
// A plan without labour, a batch of nothing, and a takt below the longest duty that cannot be split are errors, each with the place.
package crews
