package crews

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/schedule"
	"seamwright/layout/stations"
)

// Working room about a run, mm: from its welds outwards, and the most that one takes. Common practice, no source: two people
// with guns keep half a metre apart.
const (
	elbowRoom = 250.0
	mostRoom  = 600.0
)

// Crew shares the work at station i out among its crew, once its steps and its labour are known: welding by runs, with as many
// guns as are at hand and room to work; marking out and fitting joint by joint, loading part by part, proving gun by gun; gauging
// and rolling by one; everything else by all together. Steps of one kind that follow each other are worked on side by side, and
// loading beside proving, and so is work besides welding with what does not wait for it nor it for that; otherwise nobody goes on to the
// next step before the last is done. A gun of which there is one keeps the
// order of work wherever its setting or tip changes, so that it is changed as often as the labour counts.
//
// Every line of the station's labour is in some step, so the shares add up to the man-minutes, and what people wait for each
// other is what the elapsed time has beyond their quotient. As no work goes over the border between such stretches, each is a
// schedule of its own: their times add up, and so do their bounds. Persons are named anew in each so that whoever used a gun last goes
// on with it; where that cannot be, giving it away takes time there too, and the stretch is proven only if it takes no longer by that.
func Crew(ctx context.Context, p *layout.Plan, i int) (layout.Crewing, error) {
	c := &crewing{plan: p, station: &p.Stations[i], crew: max(1, p.Stations[i].Crew), runs: map[int]layout.Run{},
		with: map[string][]int{}}
	for _, r := range p.Runs {
		c.runs[r.ID] = r
	}
	c.byRun, c.byStep = c.minutes()
	out := layout.Crewing{Proven: true, Shares: []layout.Share{}}
	for from := 0; from < len(c.station.Steps); {
		to := from + 1
		for to < len(c.station.Steps) && (sideBySide(c.station.Steps[to-1], c.station.Steps[to]) ||
			c.besideWork(c.station.Steps[to-1], c.station.Steps[to])) {
			to++
		}
		if err := c.stretch(ctx, &out, from, to); err != nil {
			return layout.Crewing{}, fmt.Errorf("station %s: %w", c.station.ID, err)
		}
		from = to
	}
	slices.SortStableFunc(out.Shares, func(a, b layout.Share) int {
		return cmp.Or(a.Person-b.Person, cmp.Compare(a.From, b.From), a.Step-b.Step)
	})
	return out, nil
}

// ShareOut makes every station's schedule, says of each step who does it when, and makes the elapsed minutes the schedule's.
// What is kept in c of stations whose work is the same is not made again; nil: nothing is.
func ShareOut(ctx context.Context, p *layout.Plan, c *cache.Cache) error {
	for i := range p.Stations {
		s := &p.Stations[i]
		var err error
		make := func() (layout.Crewing, error) { return Crew(ctx, p, i) }
		if c == nil {
			s.Crewing, err = make()
		} else {
			s.Crewing, err = cache.GetHere(c, c.KeyOf("crew", cache.Input{Name: "work", Value: crewed(p, i)}), make)
		}
		if err != nil {
			return err
		}
		s.Minutes = s.Crewing.Minutes
		s.Steps = slices.Clone(s.Steps)
		for k := range s.Steps {
			s.Steps[k].Persons, s.Steps[k].From, s.Steps[k].To = nil, 0, 0
		}
		for _, share := range s.Crewing.Shares {
			step := &s.Steps[share.Step-1]
			if len(step.Persons) == 0 || share.From < step.From {
				step.From = share.From
			}
			step.To = math.Max(step.To, share.To)
			if !slices.Contains(step.Persons, share.Person) {
				step.Persons = append(step.Persons, share.Person)
			}
		}
		for k := range p.Labour.Stations {
			if p.Labour.Stations[k].Station == s.ID {
				p.Labour.Stations[k].Minutes = s.Minutes
			}
		}
	}
	return nil
}

// crewWork is all that a station's schedule is made of.
type crewWork struct {
	Station layout.Station
	Runs    []layout.Run
	Welds   []layout.Weld
	Minutes float64 // of all persons
}

func crewed(p *layout.Plan, i int) crewWork {
	out := crewWork{Station: p.Stations[i], Minutes: manMinutes(p, p.Stations[i].ID)}
	for _, r := range p.Runs {
		if r.Station == out.Station.ID {
			out.Runs = append(out.Runs, r)
		}
	}
	for _, w := range p.Welds {
		if w.Station == out.Station.ID {
			out.Welds = append(out.Welds, w)
		}
	}
	return out
}

func manMinutes(p *layout.Plan, station string) float64 {
	for _, s := range p.Labour.Stations {
		if s.Station == station {
			return s.ManMinutes
		}
	}
	return 0
}

// crewing is a station's steps on their way to a schedule.
type crewing struct {
	plan    *layout.Plan
	station *layout.Station
	crew    int
	runs    map[int]layout.Run
	byRun   map[int]float64
	byStep  []float64
	with    map[string][]int // of each gun who used it last, from 0; -1: nobody
	problem schedule.Problem
	about   []task
}

// task says what a task of the schedule is about: a step, of welding the run, of marking out and fitting the joint.
type task struct {
	step, run int
	joint     string
}

// stretch schedules steps that are worked on side by side, behind what is scheduled already.
func (c *crewing) stretch(ctx context.Context, out *layout.Crewing, from, to int) error {
	c.problem, c.about = schedule.Problem{Persons: c.crew, HandOver: c.station.HandOver}, nil
	for k := from; k < to; k++ {
		c.gather(k, c.station.Steps[k])
	}
	c.keepOrder()
	c.keepSteps()
	solved, names, err := c.solve(ctx)
	if err != nil {
		return err
	}
	for _, s := range solved.Shares {
		about := c.about[s.Task]
		for _, person := range s.Persons {
			out.Shares = append(out.Shares, layout.Share{Person: names[person] + 1, Step: about.step + 1, Run: about.run, Joint: about.joint,
				From: out.Minutes + s.Start/60, To: out.Minutes + s.End/60})
		}
	}
	out.Minutes += solved.Seconds / 60
	out.Bound += solved.Bound / 60
	out.Proven = out.Proven && solved.Proven
	return nil
}

// gather adds a step's tasks.
func (c *crewing) gather(k int, s layout.Step) {
	minutes := c.byStep[k]
	switch {
	case len(s.Runs) > 0:
		for _, id := range s.Runs {
			r := c.runs[id]
			c.gun(r.Gun)
			c.add(task{step: k, run: id}, schedule.Task{Seconds: 60 * c.byRun[id], Gun: r.Gun, Room: c.room(id)})
			minutes -= c.byRun[id]
		}
		if minutes > 1e-9 { // of a last step that is welding
			c.add(task{step: k}, schedule.Task{Seconds: 60 * minutes})
		}
	case len(s.Joints) > 0:
		work := spentAt(c.plan, c.station.ID)
		for _, j := range s.Joints {
			c.add(task{step: k, joint: j}, schedule.Task{Seconds: 60 * work.of(j, categoryOfStep(s.Do))})
		}
	case s.Do == layout.DoProve:
		tools := c.tools()
		for _, gun := range tools {
			c.gun(gun)
			c.add(task{step: k}, schedule.Task{Seconds: 60 * minutes / float64(len(tools)), Gun: gun})
		}
	case s.Do == layout.DoWork:
		w, _ := c.work(s)
		crew := min(max(1, w.Crew), c.crew)
		c.add(task{step: k}, schedule.Task{Seconds: 60 * minutes / float64(crew), Persons: crew})
	case s.Do == layout.DoLoad || s.Do == layout.DoGauge || s.Do == layout.DoRoll:
		c.add(task{step: k}, schedule.Task{Seconds: 60 * minutes})
	default: // all lend a hand
		for range c.crew {
			c.add(task{step: k}, schedule.Task{Seconds: 60 * minutes / float64(c.crew)})
		}
	}
}

func (c *crewing) add(about task, t schedule.Task) {
	c.problem.Tasks, c.about = append(c.problem.Tasks, t), append(c.about, about)
}

// tools are the guns that the station's runs use, and an empty one for each of its rollers; at least one.
func (c *crewing) tools() []string {
	var out []string
	for _, r := range stations.RunsOf(c.plan, *c.station) {
		if r.Gun != "" && !slices.Contains(out, r.Gun) {
			out = append(out, r.Gun)
		}
	}
	out = append(out, make([]string, rollersTaken(c.plan, c.station.ID))...)
	if len(out) == 0 {
		return []string{""}
	}
	return out
}

func (c *crewing) gun(id string) {
	if id != "" && !slices.ContainsFunc(c.problem.Guns, func(g schedule.Gun) bool { return g.ID == id }) {
		c.problem.Guns = append(c.problem.Guns, schedule.Gun{ID: id, Count: c.station.GunCount(id)})
	}
}

// keepOrder lets the runs of a gun of which there is one wait for those before whose setting or tip is another.
func (c *crewing) keepOrder() {
	for i := range c.problem.Tasks {
		a := c.runs[c.about[i].run]
		if c.about[i].run == 0 || a.Gun == "" || c.station.GunCount(a.Gun) > 1 {
			continue
		}
		for k := range i {
			if b := c.runs[c.about[k].run]; c.about[k].run > 0 && b.Gun == a.Gun && (b.Setting != a.Setting || b.Tip != a.Tip) {
				c.problem.Tasks[i].After = append(c.problem.Tasks[i].After, k)
			}
		}
	}
}

// besideWork says whether one of two steps that follow each other is work besides welding and the other may be done beside it, as far as
// its kind goes; keepSteps holds back what depends on it.
func (c *crewing) besideWork(a, b layout.Step) bool {
	kinds := []layout.StepKind{layout.DoWork, layout.DoLoad, layout.DoTack, layout.DoFill, layout.DoRoll, layout.DoGauge,
		layout.DoRelease, layout.DoClamp, layout.DoMark, layout.DoFit}
	return (a.Do == layout.DoWork || b.Do == layout.DoWork) && slices.Contains(kinds, a.Do) && slices.Contains(kinds, b.Do)
}

// keepSteps lets the tasks of a step wait for those of the steps before that it is not done beside.
func (c *crewing) keepSteps() {
	for i := range c.problem.Tasks {
		for k := range i {
			a, b := c.station.Steps[c.about[k].step], c.station.Steps[c.about[i].step]
			if c.about[k].step != c.about[i].step && !c.beside(a, b) {
				c.problem.Tasks[i].After = append(c.problem.Tasks[i].After, k)
			}
		}
	}
}

// beside says whether a step may be done while an earlier one of its stretch is.
func (c *crewing) beside(a, b layout.Step) bool {
	if a.Do != layout.DoWork && b.Do != layout.DoWork {
		return sideBySide(a, b)
	}
	first, isFirst := c.work(a)
	then, isThen := c.work(b)
	switch {
	case isFirst && slices.ContainsFunc(first.Before, func(id string) bool { return c.means(b, id) }):
		return false
	case isThen && slices.ContainsFunc(then.After, func(id string) bool { return c.means(a, id) }):
		return false
	}
	return true
}

// means says whether an id that work names is what a step does: a joint, a part, a hold point, other work, or tacks.
func (c *crewing) means(s layout.Step, id string) bool {
	if id != "" && (id == s.Work || id == s.Hold) || slices.Contains(s.Parts, id) || id == layout.Tacks && s.Do == layout.DoTack {
		return true
	}
	if slices.ContainsFunc(c.plan.Seams, func(x layout.Seam) bool { return s.Seam != "" && x.ID == s.Seam && x.Joint == id }) {
		return true
	}
	return slices.ContainsFunc(s.Runs, func(run int) bool { return c.runs[run].Joint == id })
}

// solve schedules a stretch and says who its persons are.
func (c *crewing) solve(ctx context.Context) (schedule.Schedule, []int, error) {
	solved, err := schedule.Solve(ctx, c.problem)
	if err != nil {
		return solved, nil, err
	}
	names := c.whoIsWho(solved)
	if c.problem.HandOver > 0 && c.handsOver(solved, names) {
		for i := range c.problem.Guns {
			c.problem.Guns[i].With = c.units(c.problem.Guns[i])
		}
		held, err := schedule.Solve(ctx, c.problem)
		if err != nil {
			return solved, nil, err
		}
		held.Bound = solved.Bound // whatever the stretches before leave in whose hand
		held.Proven = held.Seconds <= held.Bound+1e-6
		solved = held
		for person := range names {
			names[person] = person
		}
	}
	for _, share := range solved.Shares {
		if gun := c.problem.Tasks[share.Task].Gun; gun != "" {
			c.unitsOf(gun)[share.Unit] = names[share.Persons[0]]
		}
	}
	return solved, names, nil
}

// units is who used each gun of a kind last.
func (c *crewing) units(g schedule.Gun) []int {
	if c.with[g.ID] == nil {
		c.with[g.ID] = slices.Repeat([]int{-1}, g.Count)
	}
	return slices.Clone(c.with[g.ID])
}

// unitsOf is units to be changed.
func (c *crewing) unitsOf(gun string) []int {
	c.units(c.problem.Guns[slices.IndexFunc(c.problem.Guns, func(g schedule.Gun) bool { return g.ID == gun })])
	return c.with[gun]
}

// firstUse is a gun that is taken up for the first time in a stretch.
type firstUse struct {
	gun    string
	person int // of the schedule
}

// takenUp lists who takes up each gun first, by start.
func (c *crewing) takenUp(s schedule.Schedule) []firstUse {
	type unit struct {
		gun string
		of  int
	}
	seen := map[unit]bool{}
	var out []firstUse
	for _, share := range s.Shares {
		gun := c.problem.Tasks[share.Task].Gun
		if u := (unit{gun, share.Unit}); gun != "" && !seen[u] {
			seen[u] = true
			out = append(out, firstUse{gun, share.Persons[0]})
		}
	}
	return out
}

// handsOver says whether a gun that is taken up was another person's last.
func (c *crewing) handsOver(s schedule.Schedule, names []int) bool {
	free := map[string][]int{}
	for _, g := range c.problem.Guns {
		free[g.ID] = c.units(g)
	}
	for _, t := range c.takenUp(s) {
		at := slices.Index(free[t.gun], names[t.person])
		if at < 0 {
			at = slices.Index(free[t.gun], -1)
		}
		if at < 0 {
			return true
		}
		free[t.gun] = slices.Delete(free[t.gun], at, at+1)
	}
	return false
}

// whoIsWho names the persons of a stretch so that whoever used a gun last goes on with it, as far as that goes.
func (c *crewing) whoIsWho(s schedule.Schedule) []int {
	names, named := slices.Repeat([]int{-1}, c.crew), make([]bool, c.crew)
	for _, t := range c.takenUp(s) {
		for _, last := range c.unitsOf(t.gun) {
			if last >= 0 && !named[last] && names[t.person] < 0 {
				names[t.person], named[last] = last, true
			}
		}
	}
	for person := range names {
		if names[person] < 0 {
			names[person] = slices.Index(named, false)
			named[names[person]] = true
		}
	}
	return names
}

// sideBySide says whether a step may be worked on together with the one before it.
func sideBySide(a, b layout.Step) bool {
	if a.Do == layout.DoProve && b.Do == layout.DoLoad {
		return true
	}
	return a.Do == b.Do && (a.Do == layout.DoLoad || a.Do == layout.DoTack || a.Do == layout.DoFill)
}

// room is the ball about a run's welds in which nobody else works.
func (c *crewing) room(run int) schedule.Room {
	var at []r3.Vector
	var middle r3.Vector
	for _, w := range c.plan.Welds {
		if w.Run == run {
			v := r3.Vector{X: w.Position[0], Y: w.Position[1], Z: w.Position[2]}
			at, middle = append(at, v), middle.Add(v)
		}
	}
	if len(at) == 0 {
		return schedule.Room{}
	}
	middle = middle.Mul(1 / float64(len(at)))
	reach := 0.0
	for _, v := range at {
		reach = math.Max(reach, v.Distance(middle))
	}
	return schedule.Room{At: middle, Radius: math.Min(mostRoom, reach+elbowRoom)}
}
