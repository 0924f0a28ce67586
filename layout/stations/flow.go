package stations

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
// blocking, textbook flow shop); where chains marry, the slowest chain decides. The bottleneck is the station with
// most elapsed minutes, the first of equals.
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
	next := users(p.Stations)
	atOnce := make([]float64, len(p.Stations))
	f.FirstShell = makespan(minutes, next, atOnce, 1)
	f.Makespan = makespan(minutes, next, atOnce, batch)
	f.MakespanPrepared = makespan(minutes, next, ready, batch)
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

// makespan is when the last of batch shells leaves the last station. Station s cannot start before ready[s]. It is
// the longest way through the grid of shells and stations: from each station's start on along its chain, all
// stations of the chain once and its slowest batch-1 times more.
func makespan(minutes []float64, next []int, ready []float64, batch int) float64 {
	end := 0.0
	for i := range minutes {
		sum, slowest := 0.0, 0.0
		for s, steps := i, 0; s >= 0 && steps < len(minutes); s, steps = next[s], steps+1 {
			sum += minutes[s]
			slowest = math.Max(slowest, minutes[s])
		}
		end = math.Max(end, ready[i]+sum+float64(float64(batch-1)*slowest))
	}
	return end
}
