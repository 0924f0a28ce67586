package crews_test

import (
	"fmt"
	"math"
	"testing"

	"seamwright/internal/record"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/crews"
)

// series is a plan whose stations feed each other one after another.
func series(minutes ...float64) *layout.Plan {
	p := &layout.Plan{}
	for i, m := range minutes {
		s := layout.Station{ID: fmt.Sprint("s", i), Makes: fmt.Sprint("m", i)}
		p.Labour.Stations = append(p.Labour.Stations, layout.StationLabour{Station: s.ID, Minutes: m, Crew: 1})
		if i > 0 {
			s.Arrives = []string{fmt.Sprint("m", i-1)}
		}
		p.Stations = append(p.Stations, s)
	}
	return p
}

// Stations in series: makespan = sum(p) + (n-1) max(p) (flow of identical jobs without blocking, textbook flow shop;
// the rows are calculated by hand from it).
func TestMakespanInSeries(t *testing.T) {
	tests := []struct {
		minutes []float64
		batch   int
		want    float64
	}{
		{[]float64{30}, 1, 30},
		{[]float64{30}, 24, 720},
		{[]float64{30, 45, 20}, 1, 95},
		{[]float64{30, 45, 20}, 24, 95 + 23*45},
		{[]float64{60, 60}, 10, 660},
		{[]float64{0, 0}, 5, 0},
	}
	for _, test := range tests {
		f, err := crews.Flow(series(test.minutes...), test.batch, 40)
		if err != nil || f.Makespan != test.want {
			t.Errorf("%v, batch %d: makespan %v (%v), want %v", test.minutes, test.batch, f.Makespan, err, test.want)
		}
	}
}

func TestFlowNamesTheBottleneck(t *testing.T) {
	p := series(30, 45, 20, 45)
	p.Labour.Stations[2].Crew, p.Labour.Stations[2].Prepare, p.Labour.Stations[2].Change = 2, 480, 60
	f, err := crews.Flow(p, 3, 37.5)
	if err != nil {
		t.Fatal(err)
	}
	if f.Bottleneck != "s1" || f.BottleneckMinutes != 45 || f.ShellsPerWeek != 50 || f.FirstShell != 140 || f.Makespan != 230 {
		t.Errorf("got %+v", f)
	}
	// station 3 is ready at 270 min, long after the first shell could be there
	if want := (480+60)/2 + 20 + 45 + 2*45.0; f.MakespanPrepared != want {
		t.Errorf("with preparation %v, want %v", f.MakespanPrepared, want)
	}
	// 30 + 45 + 2 x 20 + 45 man-minutes of 5 people x 45 min; 140 minutes at work, a shell every 45.
	if !(math.Abs(f.Efficiency-160.0/225) <= 1e-12) || !(math.Abs(f.BalanceDelay-65.0/225) <= 1e-12) ||
		!(math.Abs(f.InWork-140.0/45) <= 1e-12) {
		t.Errorf("efficiency %v, delay %v, in work %v", f.Efficiency, f.BalanceDelay, f.InWork)
	}
	if f.Stations[0].Load != 30.0/45 || f.Stations[3].Load != 1 {
		t.Errorf("loads %v", f.Stations)
	}
}

// The closed form agrees with playing every shell through every station, in trees of any shape.
func TestMakespanAgreesWithPlayingItThrough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "stations")
		batch := rapid.IntRange(1, 12).Draw(t, "batch")
		p := series(make([]float64, n)...)
		for i := range p.Stations {
			p.Stations[i].Arrives = nil
			p.Labour.Stations[i].Minutes = float64(rapid.IntRange(0, 60).Draw(t, "minutes"))
			p.Labour.Stations[i].Prepare = float64(rapid.IntRange(0, 300).Draw(t, "prepare"))
		}
		for i := range n - 1 {
			to := rapid.IntRange(i+1, n-1).Draw(t, "to")
			p.Stations[to].Arrives = append(p.Stations[to].Arrives, p.Stations[i].Makes)
		}
		f, err := crews.Flow(p, batch, 40)
		if err != nil {
			t.Fatal(err)
		}
		if want := played(p, batch, false); f.Makespan != want {
			t.Fatalf("makespan %v, played %v", f.Makespan, want)
		}
		if want := played(p, batch, true); f.MakespanPrepared != want {
			t.Fatalf("with preparation %v, played %v", f.MakespanPrepared, want)
		}
	})
}

// played starts each product as soon as its station is free and what it is made of is there.
func played(p *layout.Plan, batch int, prepare bool) float64 {
	free := make([]float64, len(p.Stations))
	if prepare {
		for i := range free {
			free[i] = p.Labour.Stations[i].Prepare
		}
	}
	end := 0.0
	for range batch {
		for i, s := range p.Stations { // makers stand before users
			start := free[i]
			for j := range i {
				for _, part := range s.Arrives {
					if part == p.Stations[j].Makes {
						start = math.Max(start, free[j])
					}
				}
			}
			free[i] = start + p.Labour.Stations[i].Minutes
			end = math.Max(end, free[i])
		}
	}
	return end
}

func TestFlowErrors(t *testing.T) {
	said := record.Errors(t)
	tests := []struct {
		name  string
		plan  *layout.Plan
		batch int
		hours float64
		want  string
	}{
		{"no shells", series(1), 0, 40, "batch is 0"},
		{"minutes below zero", series(1, -2), 1, 40, "station s1"},
		{"minutes not a number", series(math.NaN()), 1, 40, "station s0"},
		{"not estimated", &layout.Plan{Stations: []layout.Station{{ID: "s"}}}, 1, 40, "station s has no labour"},
		{"no crew", &layout.Plan{Stations: []layout.Station{{ID: "s"}}, Labour: layout.Labour{Stations: []layout.StationLabour{{Station: "s"}}}},
			1, 40, "crew 0"},
		{"hours without end", series(1), 1, math.Inf(1), "hours_per_week"},
	}
	for _, test := range tests {
		if _, err := crews.Flow(test.plan, test.batch, test.hours); err == nil || !said.Has(err, test.want) {
			t.Errorf("%s: got %v, want %q", test.name, err, test.want)
		}
	}
}

func TestFlowOfNothing(t *testing.T) {
	f, err := crews.Flow(&layout.Plan{}, 1, 40)
	if err != nil || f.Makespan != 0 || f.ShellsPerWeek != 0 || f.Bottleneck != "" {
		t.Errorf("got %+v, %v", f, err)
	}
}
