package compare

import (
	"math"

	"seamwright/layout"
)

// figures compares counts, time and money: of the shell, of each station, by kind of work and of cost.
func (c *comparison) figures() {
	a, b := c.before, c.after
	r := c.report
	r.Figures, r.Stations, r.Time, r.Cost = []Difference{}, []Difference{}, []Difference{}, []Difference{}
	r.Figures = append(r.Figures,
		difference("spot welds", "welds", float64(len(a.Welds)), float64(len(b.Welds))),
		difference("roller seam a shell", "m", a.Cost.RollerMetresPerShell, b.Cost.RollerMetresPerShell),
		difference("work on a shell", "man-min", a.Labour.ManMinutesPerShell, b.Labour.ManMinutesPerShell),
		difference("jig preparation for the batch", "man-min", a.Labour.PrepareMinutes, b.Labour.PrepareMinutes),
		difference("first shell through", "min", a.Flow.FirstShell, b.Flow.FirstShell),
		difference("batch through", "min", a.Flow.Makespan, b.Flow.Makespan),
	)
	sameMoney := a.Cost.Currency == b.Cost.Currency
	if sameMoney {
		r.Figures = append(r.Figures, difference("cost a shell", b.Cost.Currency, a.Cost.CostPerShell, b.Cost.CostPerShell),
			difference("cost of the batch", b.Cost.Currency, a.Cost.CostPerBatch, b.Cost.CostPerBatch))
	}
	r.Stations = merged("man-min", stationMinutes(a), stationMinutes(b))
	r.Time = merged("man-min", kinds(a.Labour.Lines, 60), kinds(b.Labour.Lines, 60))
	if sameMoney {
		r.Cost = merged(b.Cost.Currency, kinds(a.Cost.Lines, 1), kinds(b.Cost.Lines, 1))
	}
}

func difference(what, unit string, before, after float64) Difference {
	return Difference{What: what, Unit: unit, Old: round(before), New: round(after), Change: round(after - before)}
}

// sums are named figures in the order of their first mention.
type sums struct {
	names []string
	of    map[string]float64
}

func (s *sums) add(name string, v float64) {
	if s.of == nil {
		s.of = map[string]float64{}
	}
	if _, ok := s.of[name]; !ok {
		s.names = append(s.names, name)
	}
	s.of[name] += v
}

func stationMinutes(p *layout.Plan) sums {
	var s sums
	for _, st := range p.Labour.Stations {
		s.add(st.Station, st.ManMinutes)
	}
	return s
}

// kinds sums lines of work or money by what they are.
func kinds(lines []layout.Line, per float64) sums {
	var s sums
	for _, l := range lines {
		s.add(l.What, l.Total/per)
	}
	return s
}

// least is the change below which two figures of plans that were rounded when written are one.
const least = 0.005

// merged lists the figures that differ, the new plan's first in its order, then those that only the old one has.
func merged(unit string, before, after sums) []Difference {
	out := []Difference{}
	add := func(name string) {
		if math.Abs(after.of[name]-before.of[name]) > least {
			out = append(out, difference(name, unit, before.of[name], after.of[name]))
		}
	}
	for _, name := range after.names {
		add(name)
	}
	for _, name := range before.names {
		if _, ok := after.of[name]; !ok {
			add(name)
		}
	}
	return out
}

// rollers compares roller seams by the flange that they run on.
func (c *comparison) rollers() {
	type seam struct{ length, time [2]float64 }
	seams := map[string]*seam{}
	var order []string
	for k, p := range []*layout.Plan{c.before, c.after} {
		for _, r := range p.Seams {
			s, ok := seams[r.Flange]
			if !ok {
				s = &seam{}
				seams[r.Flange] = s
				order = append(order, r.Flange)
			}
			s.length[k] += r.Length
			s.time[k] += r.Time
		}
	}
	for _, id := range order {
		s := seams[id]
		if math.Abs(s.length[1]-s.length[0]) > c.opt.Tolerance || math.Abs(s.time[1]-s.time[0]) > least {
			c.report.Seams = append(c.report.Seams, Seam{Flange: id, OldLength: round(s.length[0]), NewLength: round(s.length[1]),
				OldTime: round(s.time[0]), NewTime: round(s.time[1])})
		}
	}
}
