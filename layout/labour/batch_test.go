package labour_test

import (
	"context"
	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/seams/shell"
)

// forBatch is Estimate for another batch; neither the plan nor the shell is changed.
func forBatch(p *layout.Plan, sh *shell.Shell, batch int) (layout.Labour, layout.Cost, error) {
	other, plan := *sh, *p
	other.Batch = batch
	plan.Stations = append([]layout.Station(nil), p.Stations...)
	plan.Joints = append([]layout.Joint(nil), p.Joints...)
	plan.Runs = append([]layout.Run(nil), p.Runs...)
	return labour.Estimate(context.Background(), &plan, &other)
}
