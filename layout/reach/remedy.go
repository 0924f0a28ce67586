package reach

import (
	"context"
	"slices"
)

// Without looks for what has to be out of the way of a weld that nothing reaches: of the groups of panels, each tried on
// its own, the first without which a tool does reach. It returns the group's place in the list and how the tool then
// reaches, -1 where none of them helps. A group that holds a sheet of the weld's own stack is passed over.
func Without(ctx context.Context, scene *Scene, w Weld, tools []Tool, groups [][]int, opt Options) (int, Pose, error) {
	opt.Progress = nil
	for i, group := range groups {
		if slices.ContainsFunc(group, func(k int) bool { return slices.Contains(w.Sheets, k) }) {
			continue
		}
		asked := w
		asked.Absent = slices.Concat(w.Absent, group)
		results, err := Find(ctx, scene, []Weld{asked}, tools, opt)
		if err != nil {
			return -1, Pose{}, err
		}
		best := -1
		for k, p := range results[0].Poses {
			if best < 0 || p.Clearance > results[0].Poses[best].Clearance {
				best = k
			}
		}
		if best >= 0 {
			return i, results[0].Poses[best], nil
		}
	}
	return -1, Pose{}, nil
}
