package tooling

import (
	"context"
	"slices"

	"seamwright/geometry/axial"
	"seamwright/layout/reach"
)

// Help is how much is gained by taking something out of the way.
type Help struct {
	Group int        // its place in the list; -1 where nothing helps
	Welds int        // that a tool then reaches
	Pose  reach.Pose // of the first of them
}

// Without looks for what has to be out of the way of welds that nothing reaches: of the groups of panels, each tried on
// its own, the first without which a tool reaches all of them, or else the one without which tools reach most. A group
// counts only where it helps the first weld. One that holds a sheet of that weld's own stack is passed over.
func Without(ctx context.Context, scene *axial.Scene, welds []reach.Weld, tools []reach.Tool, groups [][]int,
	opt reach.Options) (Help, error) {
	best := Help{Group: -1}
	for i, group := range groups {
		if slices.ContainsFunc(group, func(k int) bool { return slices.Contains(welds[0].Sheets, k) }) {
			continue
		}
		asked := slices.Clone(welds)
		for k := range asked {
			asked[k].Absent = slices.Concat(asked[k].Absent, group)
		}
		help, err := Helps(ctx, scene, asked, tools, opt)
		if err != nil {
			return best, err
		}
		if help.Welds > best.Welds {
			best, best.Group = help, i
		}
		if best.Welds == len(welds) {
			break
		}
	}
	return best, nil
}

// Helps counts the welds that a tool reaches, none if the first is not among them.
func Helps(ctx context.Context, scene *axial.Scene, welds []reach.Weld, tools []reach.Tool, opt reach.Options) (Help, error) {
	opt.Progress, opt.Quiet = nil, true
	first, err := reach.Find(ctx, scene, welds[:1], tools, opt)
	if err != nil || !first[0].Reached() {
		return Help{}, err
	}
	out := Help{Welds: 1, Pose: first[0].Poses[0]}
	for _, p := range first[0].Poses {
		if p.Clearance > out.Pose.Clearance {
			out.Pose = p
		}
	}
	rest, err := reach.Find(ctx, scene, welds[1:], tools, opt)
	for _, r := range rest {
		if r.Reached() {
			out.Welds++
		}
	}
	return out, err
}
