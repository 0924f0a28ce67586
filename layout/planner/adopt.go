package planner

import (
	"fmt"
	"slices"

	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/survey"
	"seamwright/seams/rule"
	"seamwright/seams/spelling"
)

// adopt lays the joints that the shell's survey names at the survey's points: each point sits on the weld line of the
// joint's nearest flange. A flange of such a joint without a point gets no weld. What the rules say to it is the check's.
func (x *laying) adopt(lines []line) error {
	if x.shell.Survey.File == "" {
		return nil
	}
	points, sum, notes, err := survey.ReadFile(x.shell.Path(x.shell.Survey.File), space.Unstated)
	if err == nil {
		err = x.shell.Took(x.shell.Survey.File, sum)
	}
	if err != nil {
		return fmt.Errorf("survey: %w", err)
	}
	for _, n := range notes {
		x.out.notes = append(x.out.notes, "survey: "+n)
	}
	for _, p := range points {
		if err := x.adoptPoint(p, lines); err != nil {
			return fmt.Errorf("survey: file %s: line %d: %w", x.shell.Survey.File, p.Line, err)
		}
	}
	for i := range lines {
		l := &lines[i]
		if !l.adopted {
			continue
		}
		if l.request.Places == nil {
			l.request.Places = []float64{}
		}
		slices.Sort(l.request.Places)
		if err := l.lay(); err != nil {
			return fmt.Errorf("survey: %w", err)
		}
	}
	return nil
}

// adoptPoint adds a point to the nearest strip of its joint.
func (x *laying) adoptPoint(p survey.Point, lines []line) error {
	if p.Joint == "" {
		return fmt.Errorf("it names no joint: add a column joint, or let seamwright survey --adopt write the file")
	}
	joint := slices.IndexFunc(x.joints, func(j layout.Joint) bool { return j.ID == p.Joint })
	if joint < 0 {
		var ids []string
		for _, j := range x.joints {
			ids = append(ids, j.ID)
		}
		return fmt.Errorf("there is no joint %s; the nearest is %s", p.Joint, spelling.Nearest(p.Joint, ids))
	}
	best, at, least := -1, 0.0, 0.0
	for i := range lines {
		if lines[i].strip.joint != joint {
			continue
		}
		lines[i].adopted = true
		if along, d := lines[i].request.Line.Nearest(p.At); best < 0 || d < least {
			best, at, least = i, along, d
		}
	}
	if best < 0 {
		return fmt.Errorf("joint %s has no flange to spot", p.Joint)
	}
	if limit, err := x.rules.Book.Evaluate("survey.far", nil); err != nil || !limit.Keeps(least, 0) {
		x.farPoint(p, least)
		return nil
	}
	lines[best].request.Places = append(lines[best].request.Places, at)
	return nil
}

func (x *laying) farPoint(p survey.Point, distance float64) {
	x.find(rule.Problem{Rule: "survey.far", Value: distance}, finding.About{Joint: p.Joint, At: vec(p.At)},
		fmt.Sprintf("joint %s: measured point %s", p.Joint, p.ID))
}
