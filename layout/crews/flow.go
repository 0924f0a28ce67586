package crews

import (
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
)

// Flow is how a batch of equal shells runs through the stations of the plan, from the elapsed minutes and the
// preparation in p.Labour.Stations; for another batch put its labour into a copy of the plan first. Each station
// works on one product at a time and passes it on at once; products wait without limit. Along one chain of
// stations the batch takes sum(p) + (n-1) max(p) (flow of identical jobs through stations in series without
// blocking, textbook flow shop); where chains marry, the slowest chain decides. Where practice shortens the work each shell has
// its own times: the first takes longest. The bottleneck is the station with most elapsed minutes, the first of equals.
//
// Errors: a batch below one; a station without labour; minutes, preparation or hours that are negative or not finite.
func Flow(p *layout.Plan, batch int, hoursPerWeek float64) (layout.Flow, error) {
	var f layout.Flow
	if batch < 1 {
		return f, fmt.Errorf("flow: batch is %d: it must be at least 1", batch)
	}
	if !sound(hoursPerWeek) {
		return f, fmt.Errorf("flow: rates: hours_per_week is %v: it must be 0 or more", hoursPerWeek)
	}
	minutes, ready, err := times(p)
	if err != nil {
		return f, err
	}
	for i, s := range p.Stations {
		if f.Bottleneck == "" || minutes[i] > f.BottleneckMinutes {
			f.Bottleneck, f.BottleneckMinutes = s.ID, minutes[i]
		}
	}
	for i, s := range p.Stations {
		flow := layout.StationFlow{Station: s.ID, Minutes: minutes[i]}
		if f.BottleneckMinutes > 0 {
			flow.Load = minutes[i] / f.BottleneckMinutes
		}
		f.Stations = append(f.Stations, flow)
	}
	if f.BottleneckMinutes > 0 {
		f.ShellsPerWeek = hoursPerWeek * 60 / f.BottleneckMinutes
		f.Efficiency, f.InWork = efficiency(minutes, crews(p), f.BottleneckMinutes)
		f.BalanceDelay = 1 - f.Efficiency
	}
	each := ownTimes(p, minutes)
	f.FirstShell, f.Makespan = makespan(p.Stations, each, make([]float64, len(p.Stations)), batch)
	_, f.MakespanPrepared = makespan(p.Stations, each, ready, batch)
	return f, nil
}

func crews(p *layout.Plan) []float64 {
	out := make([]float64, len(p.Stations))
	for i, s := range p.Stations {
		at := slices.IndexFunc(p.Labour.Stations, func(l layout.StationLabour) bool { return l.Station == s.ID })
		out[i] = float64(p.Labour.Stations[at].Crew)
	}
	return out
}

// efficiency is the man-minutes worked over those that the crews are there for at the pace of the slowest station; and
// how many products are at work at that pace: time at work over time between shells (Little's law).
func efficiency(minutes, crews []float64, takt float64) (share, inWork float64) {
	worked, there := 0.0, 0.0
	for i, m := range minutes {
		worked += float64(m * crews[i])
		there += float64(takt * crews[i])
		inWork += m / takt
	}
	return worked / there, inWork
}

func sound(v float64) bool { return v >= 0 && !math.IsInf(v, 1) }

// times are the elapsed minutes of each station and when it is turned over and its jig prepared, each crew doing its own
// from the start.
func times(p *layout.Plan) (minutes, ready []float64, err error) {
	for _, s := range p.Stations {
		at := slices.IndexFunc(p.Labour.Stations, func(l layout.StationLabour) bool { return l.Station == s.ID })
		if at < 0 {
			return nil, nil, fmt.Errorf("flow: station %s has no labour: estimate it first", s.ID)
		}
		l := p.Labour.Stations[at]
		if l.Crew < 1 || !sound(l.Minutes) || !sound(l.Prepare) || !sound(l.Change) {
			return nil, nil, fmt.Errorf("flow: station %s: %v minutes, preparation of %v, crew %d: times must be 0 or more, crews at least 1", s.ID,
				l.Minutes, l.Prepare, l.Crew)
		}
		minutes = append(minutes, l.Minutes)
		ready = append(ready, (l.Prepare+l.Change)/float64(l.Crew))
	}
	return minutes, ready, nil
}

// users gives for each station the one where its product arrives, or -1.
func users(list []layout.Station) []int {
	next := make([]int, len(list))
	for i, s := range list {
		next[i] = -1
		for j, user := range list {
			for _, part := range user.Arrives {
				if s.Makes != "" && part == s.Makes && i != j {
					next[i] = j
				}
			}
		}
	}
	return next
}

// ownTimes gives a station's minutes on the n-th shell of the batch, from 1: those of the average shell, and of each its own where
// practice shortens the work.
func ownTimes(p *layout.Plan, minutes []float64) func(i, n int) float64 {
	if p.Labour.Practice.None() {
		return func(i, _ int) float64 { return minutes[i] }
	}
	at := make([]int, len(p.Stations))
	for i, s := range p.Stations {
		at[i] = slices.IndexFunc(p.Labour.Stations, func(l layout.StationLabour) bool { return l.Station == s.ID })
	}
	return func(i, n int) float64 { return p.ShellMinutes(at[i], n) }
}

// makespan is when the first and the last of batch shells leave the last station, where no station can start before ready: each
// takes its next shell when what arrives for it is there and the shell before is out.
func makespan(list []layout.Station, each func(i, n int) float64, ready []float64, batch int) (first, last float64) {
	order, feeders := byFeeding(list)
	free, out := slices.Clone(ready), make([]float64, len(list))
	for n := 1; n <= batch; n++ {
		for _, i := range order {
			at := free[i]
			for _, k := range feeders[i] {
				at = math.Max(at, out[k])
			}
			out[i] = at + each(i, n)
			free[i] = out[i]
			last = math.Max(last, out[i])
		}
		if n == 1 {
			first = last
		}
	}
	return first, last
}

// byFeeding orders stations so that each comes after those that make what arrives at it, and lists these.
func byFeeding(list []layout.Station) (order []int, feeders [][]int) {
	feeders = make([][]int, len(list))
	for i, user := range users(list) {
		if user >= 0 {
			feeders[user] = append(feeders[user], i)
		}
	}
	done := make([]bool, len(list))
	for len(order) < len(list) {
		before := len(order)
		for i := range list {
			if !done[i] && !slices.ContainsFunc(feeders[i], func(k int) bool { return !done[k] }) {
				done[i] = true
				order = append(order, i)
			}
		}
		if len(order) > before {
			continue
		}
		for i := range list { // stations that feed each other in a circle, which no shell file may have
			if !done[i] {
				feeders[i] = nil
			}
		}
	}
	return order, feeders
}
