package laying

import (
	"fmt"
	"slices"

	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/survey"
	"seamwright/seams/rule"
	"seamwright/seams/spelling"
)

// adopt lays the joints that the shell's survey names at the survey's points: each point sits on the weld line of the
// joint's nearest flange. A flange of such a joint without a point gets no weld. What the rules say to it is the check's.
func (x *laying) adopt(lines []line) error {
	if x.Shell.Survey.File == "" {
		return nil
	}
	points, sum, notes, err := survey.ReadFile(x.Shell.Path(x.Shell.Survey.File), space.Unstated)
	if err == nil {
		err = x.Shell.Took(x.Shell.Survey.File, sum)
	}
	if err != nil {
		return fmt.Errorf("survey: %w", err)
	}
	for _, n := range notes {
		x.out.Notes = append(x.out.Notes, "survey: "+n)
	}
	for _, p := range points {
		if err := x.adoptPoint(p, lines); err != nil {
			return fmt.Errorf("survey: file %s: line %d: %w", x.Shell.Survey.File, p.Line, err)
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
	x.idleBesidePoints(lines)
	return nil
}

// idleBesidePoints says which keys of a joint change nothing since its welds are where the survey has them, and of which joint the
// points do not, since its welds are where its twin has them. A pitch that is asked
// for, and a count of more welds than there are points, are the check's.
func (x *laying) idleBesidePoints(lines []line) {
	for k, j := range x.Joints {
		stated, ok := x.Shell.Joint(j.ID)
		points, adopted, broad := 0, false, false
		for i := range lines {
			if lines[i].strip.Joint == k && lines[i].adopted {
				points, adopted = points+len(lines[i].request.Places), true
				broad = broad || lines[i].strip.Flange.Patch // its rows are looked for points each
			}
		}
		if !ok || !adopted {
			continue
		}
		if stated.MirrorOf != "" {
			x.find(rule.Problem{Rule: "joint.key", Remedy: "take mirror_of out, or the joint's points out of the survey"},
				finding.About{Joint: j.ID}, fmt.Sprintf("joint %s: the survey's %d points of it have no effect, as mirror_of has it welded as %s is",
					j.ID, points, stated.MirrorOf))
		}
		if stated.Rows > 0 && !broad {
			x.find(rule.Problem{Rule: "joint.key", Remedy: "take rows out, or the joint's points out of the survey"},
				finding.About{Joint: j.ID}, fmt.Sprintf("joint %s: rows has no effect, as its welds are at the survey's points", j.ID))
		}
		if stated.Count > 0 && stated.Count < points {
			x.find(rule.Problem{Rule: "joint.key", Remedy: "take count out, or points out of the survey"}, finding.About{Joint: j.ID},
				fmt.Sprintf("joint %s: count is %d and has no effect, as the survey has %d points of it", j.ID, stated.Count, points))
		}
	}
}

// adoptPoint adds a point to the nearest strip of its joint.
func (x *laying) adoptPoint(p survey.Point, lines []line) error {
	if p.Joint == "" {
		return fmt.Errorf("it names no joint: add a column joint, or let seamwright survey --adopt write the file")
	}
	joint := slices.IndexFunc(x.Joints, func(j layout.Joint) bool { return j.ID == p.Joint })
	if joint < 0 {
		var ids []string
		for _, j := range x.Joints {
			ids = append(ids, j.ID)
		}
		return fmt.Errorf("there is no joint %s; the nearest is %s", p.Joint, spelling.Nearest(p.Joint, ids))
	}
	best, at, least := -1, 0.0, 0.0
	for i := range lines {
		if lines[i].strip.Joint != joint {
			continue
		}
		lines[i].adopted = true
		if along, d := lines[i].request.Line.Nearest(p.At); best < 0 || d < least {
			best, at, least = i, along, d
		}
	}
	if best < 0 {
		return fmt.Errorf("joint %s has no flange to spot: none was found, or near_mm leaves it out", p.Joint)
	}
	if limit, err := x.Rules.Book.Evaluate("survey.far", nil); err != nil || !limit.Keeps(least, 0) {
		x.farPoint(p, least)
		return nil
	}
	lines[best].request.Places = append(lines[best].request.Places, at)
	return nil
}

func (x *laying) farPoint(p survey.Point, distance float64) {
	x.find(rule.Problem{Rule: "survey.far", Value: distance}, finding.About{Joint: p.Joint, At: joining.Vec(p.At)},
		fmt.Sprintf("joint %s: measured point %s", p.Joint, p.ID))
}
