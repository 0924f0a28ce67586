package balance

import "math"

// Measures are what a line is judged by.
type Measures struct {
	Loads      []int64 // of the stations
	Bottleneck int     // the station with the greatest load, the first of equals; -1 without stations
	Takt       int64   // its load
	Efficiency float64 // sum of all times over stations x takt
	Delay      float64 // balance delay: 1 - efficiency
	Smoothness float64 // root of the sum of squared gaps between takt and loads
}

// Measure judges a line at the pace of its longest station.
func Measure(tasks []Task, stations [][]int) Measures {
	m := Measures{Bottleneck: -1}
	sum := int64(0)
	for k, station := range stations {
		load := int64(0)
		for _, i := range station {
			load += tasks[i].Time
		}
		m.Loads = append(m.Loads, load)
		sum += load
		if m.Bottleneck < 0 || load > m.Takt {
			m.Bottleneck, m.Takt = k, load
		}
	}
	gaps := 0.0
	for _, load := range m.Loads {
		gap := float64(m.Takt - load)
		gaps += float64(gap * gap)
	}
	m.Smoothness = math.Sqrt(gaps)
	if m.Takt > 0 {
		m.Efficiency = float64(sum) / (float64(len(stations)) * float64(m.Takt))
		m.Delay = 1 - m.Efficiency
	}
	return m
}
