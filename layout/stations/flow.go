package stations

import (
	"fmt"
	"math"

	"seamwright/layout"
)

// Flow is how a batch of equal shells runs through the stations of the plan, from p.Stations' minutes and
// p.Labour.Stations' preparation. Each station works on one product at a time and passes it on at once; products wait
// without limit. Along one chain of stations the batch takes sum(p) + (n-1) max(p) (flow of identical jobs
// through stations in series without blocking, textbook flow shop); where chains marry, the slowest chain
// decides. The bottleneck is the station with most elapsed minutes, the first of equals.
//
// Errors: a batch below one; minutes, preparation or hours that are negative or not finite.
func Flow(p *layout.Plan, batch int, hoursPerWeek float64) (layout.Flow, error) {
	var f layout.Flow
	if batch < 1 {
		return f, fmt.Errorf("flow: batch is %d: it must be at least 1", batch)
	}
	if !sound(hoursPerWeek) {
		return f, fmt.Errorf("flow: rates: hours_per_week is %v: it must be 0 or more", hoursPerWeek)
	}
	ready, err := readyTimes(p)
	if err != nil {
		return f, err
	}
	for _, s := range p.Stations {
		if f.Bottleneck == "" || s.Minutes > f.BottleneckMinutes {
			f.Bottleneck, f.BottleneckMinutes = s.ID, s.Minutes
		}
	}
	for _, s := range p.Stations {
		flow := layout.StationFlow{Station: s.ID, Minutes: s.Minutes}
		if f.BottleneckMinutes > 0 {
			flow.Load = s.Minutes / f.BottleneckMinutes
		}
		f.Stations = append(f.Stations, flow)
	}
	if f.BottleneckMinutes > 0 {
		f.ShellsPerWeek = hoursPerWeek * 60 / f.BottleneckMinutes
	}
	next := users(p.Stations)
	atOnce := make([]float64, len(p.Stations))
	f.FirstShell = makespan(p.Stations, next, atOnce, 1)
	f.Makespan = makespan(p.Stations, next, atOnce, batch)
	f.MakespanPrepared = makespan(p.Stations, next, ready, batch)
	return f, nil
}

func sound(v float64) bool { return v >= 0 && !math.IsInf(v, 1) }

// readyTimes is when each jig is prepared, each crew preparing its own from the start, in minutes.
func readyTimes(p *layout.Plan) ([]float64, error) {
	ready := make([]float64, len(p.Stations))
	for i, s := range p.Stations {
		if !sound(s.Minutes) {
			return nil, fmt.Errorf("flow: station %s: %v minutes: they must be 0 or more", s.ID, s.Minutes)
		}
		for _, l := range p.Labour.Stations {
			if l.Station != s.ID {
				continue
			}
			ready[i] = l.Prepare / float64(max(s.Crew, 1))
			if !sound(ready[i]) {
				return nil, fmt.Errorf("flow: station %s: preparation of %v minutes: it must be 0 or more", s.ID, l.Prepare)
			}
		}
	}
	return ready, nil
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
func makespan(list []layout.Station, next []int, ready []float64, batch int) float64 {
	end := 0.0
	for i := range list {
		sum, slowest := 0.0, 0.0
		for s, steps := i, 0; s >= 0 && steps < len(list); s, steps = next[s], steps+1 {
			sum += list[s].Minutes
			slowest = math.Max(slowest, list[s].Minutes)
		}
		end = math.Max(end, ready[i]+sum+float64(float64(batch-1)*slowest))
	}
	return end
}
