package crews

import (
	"cmp"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/stations"
)

// category is kinds of labour that a step of one kind takes together.
type category int

const (
	welding category = iota // and everything that no step of its own is written for
	carrying
	pegging
	clamping
	releasing
	gauging
	lifting
	proving
	marking
	fitting
	dressing
	looking
	rolling
	working // besides welding
	tooling // is done at the runs and seams where a tool, tip or setting changes
	categories
)

func categoryOf(kind layout.LabourKind) category {
	switch kind {
	case layout.WorkLoad, layout.WorkCarry:
		return carrying
	case layout.WorkPeg:
		return pegging
	case layout.WorkClamp:
		return clamping
	case layout.WorkRelease:
		return releasing
	case layout.WorkGauge:
		return gauging
	case layout.WorkLiftOut:
		return lifting
	case layout.WorkCoupon:
		return proving
	case layout.WorkMark:
		return marking
	case layout.WorkFit:
		return fitting
	case layout.WorkDressTip, layout.WorkChangeCaps:
		return dressing
	case layout.WorkInspect:
		return looking
	case layout.WorkStartSeam, layout.WorkRoll, layout.WorkDressWheel, layout.WorkChangeWheel:
		return rolling
	case layout.WorkOther:
		return working
	case layout.WorkTakeTool, layout.WorkChangeTip, layout.WorkChangeSetting:
		return tooling
	}
	return welding
}

// spent is a station's man-minutes by joint and category. Practice and allowances are laid on all work of a joint, or of the
// station's handling under "", in proportion.
type spent map[string]*[categories]float64

func spentAt(p *layout.Plan, station string) spent {
	own, all := map[string]float64{}, map[string]float64{}
	out := spent{}
	for _, l := range p.Labour.Lines {
		if l.Station != station {
			continue
		}
		all[l.Joint] += l.Total / 60
		if l.Kind == layout.WorkPractice || l.Kind == layout.WorkAllowances {
			continue
		}
		own[l.Joint] += l.Total / 60
		if out[l.Joint] == nil {
			out[l.Joint] = &[categories]float64{}
		}
		out[l.Joint][categoryOf(l.Kind)] += l.Total / 60
	}
	for joint, byKind := range out {
		for k := range byKind {
			if own[joint] > 0 {
				byKind[k] *= all[joint] / own[joint]
			}
		}
	}
	return out
}

// of is what a category takes at one joint, whole at all of them and in handling. The sum goes by the plan's order of joints.
func (s spent) of(joint string, kind category) float64 {
	if s[joint] == nil {
		return 0
	}
	return s[joint][kind]
}

func (s spent) whole(p *layout.Plan, kind category) float64 {
	sum := s.of("", kind)
	for _, j := range p.Joints {
		sum += s.of(j.ID, kind)
	}
	return sum
}

// changesAt shares the taking of tools and the changing of tips and settings over the runs and seams at which they happen in the
// order of work: the share of each run, by its id, and of all seams.
func changesAt(p *layout.Plan, station layout.Station) (atRun map[int]float64, atSeams float64) {
	atRun = map[int]float64{}
	runs := stations.RunsOf(p, station)
	minutes := map[layout.LabourKind]float64{}
	for _, l := range p.Labour.Lines {
		if l.Station == station.ID && categoryOf(l.Kind) == tooling {
			minutes[l.Kind] += l.Total
		}
	}
	share := func(kind layout.LabourKind, at []int, seams int) {
		if n := float64(len(at) + seams); n > 0 {
			for _, id := range at {
				atRun[id] += minutes[kind] / n
			}
			atSeams += minutes[kind] * float64(seams) / n
		} else if len(runs) > 0 {
			atRun[runs[0].ID] += minutes[kind]
		} else {
			atSeams += minutes[kind]
		}
	}
	share(layout.WorkTakeTool, taken(runs), rollersTaken(p, station.ID))
	share(layout.WorkChangeTip, changed(runs, func(r layout.Run) string { return r.Tip }), 0)
	share(layout.WorkChangeSetting, changed(runs, func(r layout.Run) string { return r.Setting }), 0)
	sum := atSeams
	for _, r := range runs {
		sum += atRun[r.ID]
	}
	if sum > 0 {
		for id := range atRun {
			atRun[id] /= sum
		}
		atSeams /= sum
	}
	return atRun, atSeams
}

// taken are the runs at which another gun is taken than at the run before.
func taken(runs []layout.Run) []int {
	var out []int
	last := ""
	for _, r := range runs {
		if r.Gun != "" && r.Gun != last {
			out, last = append(out, r.ID), r.Gun
		}
	}
	return out
}

func rollersTaken(p *layout.Plan, station string) int {
	n, last := 0, ""
	for _, s := range p.Seams {
		if s.Station == station && s.Roller != last {
			n, last = n+1, s.Roller
		}
	}
	return n
}

// changed are the runs at which a gun wants something else than at its run before; at its first, than at its last of the shell
// before.
func changed(runs []layout.Run, of func(layout.Run) string) []int {
	last := map[string]string{}
	for _, r := range runs {
		if r.Gun != "" && of(r) != "" {
			last[r.Gun] = of(r)
		}
	}
	var out []int
	for _, r := range runs {
		if r.Gun == "" || of(r) == "" {
			continue
		}
		if last[r.Gun] != of(r) {
			out = append(out, r.ID)
		}
		last[r.Gun] = of(r)
	}
	return out
}

// minutes shares the station's man-minutes over its steps: for each step its tasks' minutes, by run, by joint, or the whole step.
// What no step takes is added to the last one, so that nothing that is paid for is left out.
func (c *crewing) minutes() (byRun map[int]float64, byStep []float64) {
	byRun, byStep = map[int]float64{}, make([]float64, len(c.station.Steps))
	work := spentAt(c.plan, c.station.ID)
	left := manMinutes(c.plan, c.station.ID)
	give := func(step int, minutes float64) {
		byStep[step] += minutes
		left -= minutes
	}
	ofJoint := map[string]float64{}
	for _, r := range c.plan.Runs { // in their order: sums of another order differ in their last bits
		if r.Station == c.station.ID {
			ofJoint[r.Joint] += r.Minutes
		}
	}
	tools, atSeams := changesAt(c.plan, *c.station)
	for k, s := range c.station.Steps {
		for _, id := range s.Runs {
			r := c.runs[id]
			m := tools[id] * work.of("", tooling)
			if ofJoint[r.Joint] > 0 {
				m += work.of(r.Joint, welding) * r.Minutes / ofJoint[r.Joint]
			}
			byRun[id] = m
			give(k, m)
		}
		for _, j := range s.Joints {
			give(k, work.of(j, categoryOfStep(s.Do)))
		}
		if len(s.Runs) == 0 && len(s.Joints) == 0 {
			kind := categoryOfStep(s.Do)
			m := work.whole(c.plan, kind)
			if kind == rolling {
				m += atSeams * work.of("", tooling)
			}
			give(k, m*c.weight(k)/math.Max(c.weights(s.Do), 1e-9))
		}
	}
	if n := len(byStep); n > 0 {
		byStep[n-1] += math.Max(0, left)
	}
	return byRun, byStep
}

// categoryOfStep is the labour that a kind of step takes.
func categoryOfStep(do layout.StepKind) category {
	return map[layout.StepKind]category{layout.DoLoad: carrying, layout.DoPeg: pegging, layout.DoClamp: clamping, layout.DoRelease: releasing,
		layout.DoGauge: gauging, layout.DoLiftOut: lifting, layout.DoProve: proving, layout.DoMark: marking, layout.DoFit: fitting,
		layout.DoDress: dressing, layout.DoInspect: looking, layout.DoWork: working, layout.DoRoll: rolling}[do]
}

// weight is a step's part of what all steps of its kind take: parts and fixtures count, and a seam's time.
func (c *crewing) weight(step int) float64 {
	s := c.station.Steps[step]
	if s.Do == layout.DoRoll {
		if i := slices.IndexFunc(c.plan.Seams, func(x layout.Seam) bool { return x.ID == s.Seam }); i >= 0 {
			return c.plan.Seams[i].Time
		}
	}
	if w, ok := c.work(s); ok {
		return w.Minutes * float64(w.Crew)
	}
	return float64(cmp.Or(len(s.Parts), len(s.Fixtures), 1))
}

// work is the work besides welding that a step is.
func (c *crewing) work(s layout.Step) (layout.Work, bool) {
	i := slices.IndexFunc(c.station.Work, func(w layout.Work) bool { return s.Work != "" && w.ID == s.Work })
	if i < 0 {
		return layout.Work{}, false
	}
	return c.station.Work[i], true
}

func (c *crewing) weights(do layout.StepKind) float64 {
	sum := 0.0
	for k, s := range c.station.Steps {
		if s.Do == do && len(s.Runs) == 0 && len(s.Joints) == 0 {
			sum += c.weight(k)
		}
	}
	return sum
}
