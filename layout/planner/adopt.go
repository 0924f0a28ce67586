package planner

import (
	"fmt"
	"slices"

	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/spots"
	"seamwright/layout/survey"
	"seamwright/seams/rule"
	"seamwright/seams/spelling"
)

// adopt lays the joints that the shell's survey names at the survey's points: each point sits on the weld line of the
// joint's nearest flange. A flange of such a joint without a point gets no weld. What the rules say to it is the check's.
func (b *builder) adopt(laid []*strip, requests []spots.Request, layouts []spots.Layout) error {
	if b.Shell.Survey.File == "" {
		return nil
	}
	points, sum, notes, err := survey.ReadFile(b.Shell.Path(b.Shell.Survey.File), space.Unstated)
	if err == nil {
		err = b.Shell.Took(b.Shell.Survey.File, sum)
	}
	if err != nil {
		return fmt.Errorf("survey: %w", err)
	}
	for _, n := range notes {
		b.plan.Notes = append(b.plan.Notes, "survey: "+n)
	}
	for _, p := range points {
		if err := b.adoptPoint(p, laid, requests); err != nil {
			return fmt.Errorf("survey: file %s: line %d: %w", b.Shell.Survey.File, p.Line, err)
		}
	}
	for i, s := range laid {
		if !s.adopted {
			continue
		}
		if requests[i].Places == nil {
			requests[i].Places = []float64{}
		}
		slices.Sort(requests[i].Places)
		if layouts[i], err = spots.Lay(requests[i]); err != nil {
			return fmt.Errorf("survey: flange %s: %w", s.id, err)
		}
	}
	return nil
}

// adoptPoint adds a point to the nearest strip of its joint.
func (b *builder) adoptPoint(p survey.Point, laid []*strip, requests []spots.Request) error {
	if p.Joint == "" {
		return fmt.Errorf("it names no joint: add a column joint, or let seamwright survey --adopt write the file")
	}
	joint := slices.IndexFunc(b.plan.Joints, func(j layout.Joint) bool { return j.ID == p.Joint })
	if joint < 0 {
		var ids []string
		for _, j := range b.plan.Joints {
			ids = append(ids, j.ID)
		}
		return fmt.Errorf("there is no joint %s; the nearest is %s", p.Joint, spelling.Nearest(p.Joint, ids))
	}
	best, at, least := -1, 0.0, 0.0
	for i, s := range laid {
		if s.joint != joint {
			continue
		}
		s.adopted = true
		if along, d := requests[i].Line.Nearest(p.At); best < 0 || d < least {
			best, at, least = i, along, d
		}
	}
	if best < 0 {
		return fmt.Errorf("joint %s has no flange to spot", p.Joint)
	}
	if limit, err := b.rules.Book.Evaluate("survey.far", nil); err != nil || !limit.Keeps(least, 0) {
		b.farPoint(p, least)
		return nil
	}
	requests[best].Places = append(requests[best].Places, at)
	return nil
}

func (b *builder) farPoint(p survey.Point, distance float64) {
	b.find(rule.Problem{Rule: "survey.far", Value: distance}, finding.About{Joint: p.Joint, At: vec(p.At)},
		fmt.Sprintf("joint %s: measured point %s", p.Joint, p.ID))
}
