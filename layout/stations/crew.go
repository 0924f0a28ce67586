package stations

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/schedule"
	"seamwright/seams/shell"
)

// Working room about a run, mm: from its welds outwards, and the most that one takes. Common practice, no source: two people
// with guns keep half a metre apart.
const (
	elbowRoom = 250.0
	mostRoom  = 600.0
)

// Crew shares the work at station i out among its crew, once its steps and its man-minutes are known: welding by runs, with as many
// guns as are at hand and room to work; loading part by part; clamping, releasing, looking over and lifting out
// by all together. What is not welding keeps its place: nobody goes on to the next step before it is done. A run takes the
// minutes that its welds were reckoned with; what is left of the station's man-minutes is shared over the other steps by their
// element times. So the shares add up to the man-minutes, and what the crew waits for each other is what the elapsed time has
// beyond their quotient.
func Crew(ctx context.Context, p *layout.Plan, i int, e shell.Elements) (layout.Crewing, error) {
	c := &crewing{plan: p, station: &p.Stations[i], elements: e, crew: max(1, p.Stations[i].Crew), runs: map[int]layout.Run{}}
	for _, r := range p.Runs {
		c.runs[r.ID] = r
	}
	c.gather(manMinutes(p, c.station.ID))
	solved, err := schedule.Solve(ctx, c.problem)
	if err != nil {
		return layout.Crewing{}, fmt.Errorf("station %s: %w", c.station.ID, err)
	}
	out := layout.Crewing{Minutes: solved.Seconds / 60, Bound: solved.Bound / 60, Proven: solved.Proven, Shares: []layout.Share{}}
	for _, s := range solved.Shares {
		about := c.about[s.Task]
		for _, person := range s.Persons {
			out.Shares = append(out.Shares, layout.Share{Person: person + 1, Step: about.step + 1, Run: about.run, From: s.Start / 60,
				To: s.End / 60})
		}
	}
	slices.SortStableFunc(out.Shares, func(a, b layout.Share) int { return a.Person - b.Person })
	return out, nil
}

// ShareOut makes every station's schedule, and its elapsed minutes the schedule's.
func ShareOut(ctx context.Context, p *layout.Plan, e shell.Elements) error {
	for i := range p.Stations {
		s := &p.Stations[i]
		var err error
		if s.Crewing, err = Crew(ctx, p, i, e); err != nil {
			return err
		}
		s.Minutes = s.Crewing.Minutes
		for k := range p.Labour.Stations {
			if p.Labour.Stations[k].Station == s.ID {
				p.Labour.Stations[k].Minutes = s.Minutes
			}
		}
	}
	return nil
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
	plan     *layout.Plan
	station  *layout.Station
	elements shell.Elements
	crew     int
	runs     map[int]layout.Run
	problem  schedule.Problem
	about    []task
	block    []int // tasks since the last step that all wait for
	before   []int // those that the block waits for
}

// task says what a task of the schedule is about: a step, and of welding the run.
type task struct{ step, run int }

func (c *crewing) gather(minutes float64) {
	weights, rest := make([]float64, len(c.station.Steps)), minutes
	sum := 0.0
	for k, s := range c.station.Steps {
		weights[k] = c.weight(s)
		sum += weights[k]
		for _, id := range s.Runs {
			rest -= c.runs[id].Minutes
		}
	}
	c.problem.Persons = c.crew
	each := 60 * math.Max(0, rest) / math.Max(sum, 1e-9)
	for k, s := range c.station.Steps {
		if k > 0 && !sideBySide(c.station.Steps[k-1], s) {
			c.before, c.block = c.block, nil
		}
		switch s.Do {
		case layout.DoTack, layout.DoFill:
			c.weld(k, s)
		case layout.DoLoad, layout.DoGauge, layout.DoRoll:
			c.add(task{k, 0}, schedule.Task{Seconds: weights[k] * each})
		default: // all lend a hand
			for range c.crew {
				c.add(task{k, 0}, schedule.Task{Seconds: weights[k] * each / float64(c.crew)})
			}
		}
	}
}

// sideBySide says whether a step may be worked on together with the one before it.
func sideBySide(a, b layout.Step) bool {
	return a.Do == b.Do && (a.Do == layout.DoLoad || a.Do == layout.DoTack || a.Do == layout.DoFill)
}

// weight is a step's element time, s.
func (c *crewing) weight(s layout.Step) float64 {
	e, st := c.elements, c.station
	switch s.Do {
	case layout.DoLoad:
		return e.LoadPanel
	case layout.DoPeg:
		return e.Dowel * float64(len(st.Dowels))
	case layout.DoClamp:
		return e.Clamp * float64(len(st.Clamps)) / float64(c.steps(layout.DoClamp))
	case layout.DoRelease:
		return e.Release * float64(len(st.Clamps)) / float64(c.steps(layout.DoRelease))
	case layout.DoGauge:
		return e.Gauge
	case layout.DoRoll:
		return c.rolling() / float64(c.steps(layout.DoRoll))
	case layout.DoInspect:
		return e.Inspect * float64(st.Welds) / float64(max(1, e.InspectEvery))
	case layout.DoLiftOut:
		return e.LiftOut
	}
	return 0
}

func (c *crewing) steps(do layout.StepKind) int {
	n := 0
	for _, s := range c.station.Steps {
		if s.Do == do {
			n++
		}
	}
	return max(1, n)
}

// rolling is the time of the station's roller seams with their fitting, s.
func (c *crewing) rolling() float64 {
	sum := 0.0
	for _, s := range c.plan.Seams {
		if s.Station == c.station.ID {
			sum += s.Time + c.elements.RollerStart + s.Length/1000*c.elements.Fit
		}
	}
	return sum
}

func (c *crewing) add(about task, t schedule.Task) {
	t.After = slices.Clone(c.before)
	c.block = append(c.block, len(c.problem.Tasks))
	c.problem.Tasks, c.about = append(c.problem.Tasks, t), append(c.about, about)
}

// weld adds a step's runs, each with its gun and the room about its welds.
func (c *crewing) weld(step int, s layout.Step) {
	for _, id := range s.Runs {
		r := c.runs[id]
		if r.Gun != "" && !slices.ContainsFunc(c.problem.Guns, func(g schedule.Gun) bool { return g.ID == r.Gun }) {
			c.problem.Guns = append(c.problem.Guns, schedule.Gun{ID: r.Gun, Count: c.station.GunCount(r.Gun)})
		}
		c.add(task{step, id}, schedule.Task{Seconds: 60 * r.Minutes, Gun: r.Gun, Room: c.room(id)})
	}
}

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
