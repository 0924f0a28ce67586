package planner

import (
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/check"
	"seamwright/layout/spots"
	"seamwright/seams/shell"
)

// loadRounds bounds how often a joint is laid again with more welds for its load: more welds sit otherwise, and a weld
// group carries a moment otherwise.
const loadRounds = 8

// carryLoads lays the strips of every joint with a stated load again, with as many welds as the load needs or as fit.
// Joints that a survey names are laid at its points instead.
func (b *builder) carryLoads(laid []*strip, requests []spots.Request, layouts []spots.Layout) ([]spots.Layout, error) {
	if err := b.adopt(laid, requests, layouts); err != nil {
		return nil, err
	}
	for joint := range b.plan.Joints {
		if !loaded(b.Shell.Joints[joint]) || b.plan.Joints[joint].Kind == "roller" {
			continue
		}
		var own []int
		for i, s := range laid {
			if s.joint == joint && !s.adopted {
				own = append(own, i)
			}
		}
		if err := b.carryLoad(joint, own, laid, requests, layouts); err != nil {
			return nil, fmt.Errorf("joint %s: load: %w", b.plan.Joints[joint].ID, err)
		}
	}
	return layouts, nil
}

func loaded(j shell.Joint) bool { return j.Load != (shell.Load{}) || len(j.Forces) > 0 }

// carryLoad raises the count of one joint until its worst weld carries what falls on it, or no more fit.
func (b *builder) carryLoad(joint int, own []int, laid []*strip, requests []spots.Request, layouts []spots.Layout) error {
	lengths := make([]float64, len(own))
	for k, i := range own {
		lengths[k] = laid[i].flange.Length
	}
	for range loadRounds {
		used, count, err := b.utilisation(joint, own, laid, layouts)
		if err != nil || used <= 1+1e-9 || count == 0 {
			return err
		}
		grown := 0
		needed := max(count+1, int(math.Ceil(float64(count)*used-1e-9)))
		for k, n := range spots.Share(needed, lengths) {
			i := own[k]
			requests[i].LoadCount = n
			if layouts[i], err = spots.Lay(requests[i]); err != nil {
				return fmt.Errorf("flange %s: %w", laid[i].id, err)
			}
			grown += len(layouts[i].Welds)
		}
		if grown <= count {
			return nil // no more fit: the check says so
		}
	}
	return nil
}

// utilisation is that of the joint's worst weld as it is laid now, and the number of welds.
func (b *builder) utilisation(joint int, own []int, laid []*strip, layouts []spots.Layout) (float64, int, error) {
	draft := &layout.Plan{Shell: b.plan.Shell, Joints: []layout.Joint{b.plan.Joints[joint]}}
	for _, i := range own {
		s := laid[i]
		draft.Flanges = append(draft.Flanges, b.plan.Flanges[slices.IndexFunc(b.plan.Flanges, func(f layout.Flange) bool { return f.ID == s.id })])
		for k, w := range layouts[i].Welds {
			draft.Welds = append(draft.Welds, layout.Weld{
				Number: k + 1, Joint: b.plan.Joints[joint].ID, Flange: s.id, Position: vec(w.Position), Axis: vec(w.Axis), Along: w.S,
				Sheets: s.panels, Left: w.Left, Right: w.Right, Row: w.Row,
			})
		}
	}
	if len(draft.Welds) == 0 {
		return 0, 0, nil
	}
	if err := check.Strengths(draft, b.Shell, b.rules); err != nil {
		return 0, 0, err
	}
	worst := 0.0
	for _, w := range draft.Welds {
		worst = math.Max(worst, w.Utilisation)
	}
	return worst, len(draft.Welds), nil
}
