package simulate_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"testing"

	"seamwright/internal/record"

	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/layout/crews"
	"seamwright/layout/simulate"
)

func series(minutes ...float64) []simulate.Station {
	var line []simulate.Station
	for i, m := range minutes {
		line = append(line, simulate.Station{ID: fmt.Sprint("s", i), Next: i + 1, Minutes: []float64{m}})
	}
	line[len(line)-1].Next = -1
	return line
}

func played(t testing.TB, line []simulate.Station, opt simulate.Options) simulate.Result {
	t.Helper()
	r, err := simulate.Run(context.Background(), line, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Identical jobs through stations in series: sum(p) + (n-1) max(p) (textbook flow shop). It holds with any number of
// places between stations, since the jobs are the same.
func TestSeriesFollowsTheFormula(t *testing.T) {
	for _, minutes := range [][]float64{{30}, {30, 45, 20}, {60, 60}, {5, 80, 5, 80, 5}, {0, 0}} {
		for _, batch := range []int{1, 2, 24} {
			sum, longest := 0.0, 0.0
			for _, m := range minutes {
				sum += m
				longest = math.Max(longest, m)
			}
			want := sum + float64(batch-1)*longest
			for _, opt := range []simulate.Options{{Batch: batch}, {Batch: batch, Limited: true}, {Batch: batch, Limited: true, Places: 2}} {
				r := played(t, series(minutes...), opt)
				if r.Makespan.P50 != want || r.FirstShell.P80 != sum {
					t.Errorf("%v, %+v: makespan %v, first %v; want %v and %v", minutes, opt, r.Makespan.P50, r.FirstShell.P80, want, sum)
				}
			}
		}
	}
}

// Trees of stations agree with the closed form of the flow, jigs prepared or not.
func TestTreesFollowTheFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, batch := rapid.IntRange(1, 9).Draw(t, "stations"), rapid.IntRange(1, 15).Draw(t, "batch")
		plan, line := &layout.Plan{}, make([]simulate.Station, n)
		for i := range n {
			minutes, prepare := float64(rapid.IntRange(0, 60).Draw(t, "minutes")), float64(rapid.IntRange(0, 300).Draw(t, "prepare"))
			s := layout.Station{ID: fmt.Sprint("s", i), Makes: fmt.Sprint("m", i)}
			plan.Stations = append(plan.Stations, s)
			plan.Labour.Stations = append(plan.Labour.Stations, layout.StationLabour{Station: s.ID, Minutes: minutes, Crew: 1, Prepare: prepare})
			line[i] = simulate.Station{ID: s.ID, Next: -1, Minutes: []float64{minutes}, Ready: prepare}
		}
		for i := range n - 1 {
			line[i].Next = rapid.IntRange(i+1, n-1).Draw(t, "to")
			to := &plan.Stations[line[i].Next]
			to.Arrives = append(to.Arrives, plan.Stations[i].Makes)
		}
		f, err := crews.Flow(plan, batch, 40)
		if err != nil {
			t.Fatal(err)
		}
		if r := must(t, line, batch); r.Makespan.P50 != f.MakespanPrepared {
			t.Fatalf("makespan %v, flow %v", r.Makespan.P50, f.MakespanPrepared)
		}
		for i := range line {
			line[i].Ready = 0
		}
		if r := must(t, line, batch); r.Makespan.P50 != f.Makespan || r.FirstShell.P50 != f.FirstShell {
			t.Fatalf("makespan %v, first %v, flow %v and %v", r.Makespan.P50, r.FirstShell.P50, f.Makespan, f.FirstShell)
		}
	})
}

func must(t *rapid.T, line []simulate.Station, batch int) simulate.Result {
	r, err := simulate.Run(context.Background(), line, simulate.Options{Batch: batch})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Two stations without a place between them, times by shell; reckoned by hand. Station 0 ends shell 1 at 2 and hands it
// over; ends shell 2 at 3 and stands until station 1 is done at 12; ends shell 3 at 13 and stands until 17.
func TestBlocking(t *testing.T) {
	line := []simulate.Station{{ID: "a", Next: 1, Minutes: []float64{2, 1, 1}}, {ID: "b", Next: -1, Minutes: []float64{10, 5, 3}}}
	r := played(t, line, simulate.Options{Batch: 3, Limited: true})
	if r.Makespan.Mean != 20 || r.FirstShell.Mean != 12 || !(math.Abs(r.Stations[0].Blocked-(9+4)/20.0) <= 1e-12) ||
		!(math.Abs(r.Stations[0].Busy-4/20.0) <= 1e-12) {
		t.Errorf("%+v", r)
	}
	if b := r.Stations[1]; !(math.Abs(b.Starved-2/20.0) <= 1e-12) || !(math.Abs(b.Busy-18/20.0) <= 1e-12) {
		t.Errorf("%+v", b)
	}
	if got, want := played(t, series(3, 8), simulate.Options{Batch: 3}).PerHour.Mean, 2/16.0*60; !(math.Abs(got-want) <= 1e-9) {
		t.Errorf("%v shells an hour between the first and the last one out, want %v", got, want)
	}
	open := played(t, line, simulate.Options{Batch: 3})
	if open.Makespan.Mean != 20 || open.Stations[0].Blocked != 0 {
		t.Errorf("%+v", open)
	}
	// Held: a from 0 to 4, b's shells from their taking over until 12, 17 and 20; the ones between wait.
	if want := (12 + (17 - 2) + (20 - 3)) / 20.0; !(math.Abs(open.InWork-want) <= 1e-12) {
		t.Errorf("in work %v, want %v", open.InWork, want)
	}
}

func TestSpread(t *testing.T) {
	line := series(50, 60, 55)
	for i := range line {
		line[i].Spread = 0.2
	}
	r := played(t, line, simulate.Options{Batch: 40, Runs: 400, Seed: 9})
	if !(r.Makespan.Least < r.Makespan.P50 && r.Makespan.P50 < r.Makespan.P80 && r.Makespan.P80 < r.Makespan.Greatest) {
		t.Errorf("%+v", r.Makespan)
	}
	if even := 165 + 39*60.0; r.Makespan.Mean < even {
		t.Errorf("with spread %v, without %v: waiting for each other can only lengthen it", r.Makespan.Mean, even)
	}
	tight := played(t, line, simulate.Options{Batch: 40, Runs: 400, Seed: 9, Limited: true})
	if tight.Makespan.Mean <= r.Makespan.Mean {
		t.Errorf("without places %v, with %v", tight.Makespan.Mean, r.Makespan.Mean)
	}
	alone := series(50)
	alone[0].Spread = 0.3
	one := played(t, alone, simulate.Options{Batch: 1, Runs: 20_000, Seed: 4})
	if !(math.Abs(one.Makespan.Mean-50) <= 0.4) {
		t.Errorf("the mean of the drawn times is %v, stated 50", one.Makespan.Mean)
	}
	// The median of a log-normal is mean / sqrt(1 + cv²).
	if want := 50 / math.Sqrt(1+0.3*0.3); !(math.Abs(one.Makespan.P50-want) <= 0.5) {
		t.Errorf("median %v, want %v", one.Makespan.P50, want)
	}
}

// Two runs, in the second of which the second station takes twice its time.
func TestScale(t *testing.T) {
	r := played(t, series(3, 8), simulate.Options{Batch: 3, Runs: 2, Scale: [][]float64{{1, 1}, {1, 2}}})
	if r.Makespan.Least != 3+3*8 || r.Makespan.Greatest != 3+3*16 || r.Makespan.P50 != (27+51)/2.0 {
		t.Errorf("%+v", r.Makespan)
	}
}

func TestSameSeedSameFigures(t *testing.T) {
	line := series(50, 60, 55)
	for i := range line {
		line[i].Spread = 0.2
	}
	opt := simulate.Options{Batch: 12, Runs: 50, Seed: 3, Workers: 1}
	first := played(t, line, opt)
	opt.Workers = 7
	if again := played(t, line, opt); !reflect.DeepEqual(first, again) {
		t.Errorf("%+v\n%+v", first, again)
	}
	opt.Seed = 4
	if other := played(t, line, opt); reflect.DeepEqual(first, other) {
		t.Error("another seed gives the same figures")
	}
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	good := simulate.Options{Batch: 3}
	loop := series(1, 2)
	loop[1].Next = 0
	tests := []struct {
		name string
		line []simulate.Station
		opt  simulate.Options
		want string
	}{
		{"no station", nil, good, "no station"},
		{"no shells", series(1), simulate.Options{}, "batch is 0"},
		{"negative runs", series(1), simulate.Options{Batch: 1, Runs: -1}, "-1 runs"},
		{"negative places", series(1), simulate.Options{Batch: 1, Places: -1}, "-1 places"},
		{"nowhere", []simulate.Station{{ID: "a", Next: 4, Minutes: []float64{1}}}, good, "station number 4"},
		{"circle", loop, good, "passes to itself"},
		{"negative", series(-1), good, "-1 is no time"},
		{"not a number", []simulate.Station{{ID: "a", Next: -1, Minutes: []float64{1}, Spread: math.NaN()}}, good, "NaN is no time"},
		{"factors for other runs", series(1), simulate.Options{Batch: 1, Scale: make([][]float64, 2)}, "factors for 2 runs of 1"},
		{"factors short", series(1), simulate.Options{Batch: 1, Scale: make([][]float64, 1)}, "run 0 has 0 factors for 1 stations"},
		{"negative factor", series(1), simulate.Options{Batch: 1, Scale: [][]float64{{-1}}}, "a factor of -1"},
		{"times short", []simulate.Station{{ID: "a", Next: -1, Minutes: []float64{1, 2}}}, good, "2 times"},
	}
	for _, test := range tests {
		if _, err := simulate.Run(context.Background(), test.line, test.opt); err == nil || !said.Has(err, test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := simulate.Run(stopped, series(1), good); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}

func ExampleRun() {
	line := []simulate.Station{
		{ID: "front", Next: 2, Minutes: []float64{56}},
		{ID: "floor", Next: 2, Minutes: []float64{99}},
		{ID: "main", Next: -1, Minutes: []float64{69}},
	}
	r, err := simulate.Run(context.Background(), line, simulate.Options{Batch: 24})
	if err != nil {
		fmt.Println(err)
	}
	fmt.Println(r.FirstShell.P50, r.Makespan.P50)
	// Output: 168 2445
}

func BenchmarkRun(b *testing.B) {
	for _, n := range []int{2, 5, 10, 20, 40} {
		minutes := make([]float64, n)
		for i := range minutes {
			minutes[i] = 50 + float64(i%5)
		}
		line := series(minutes...)
		for i := range line {
			line[i].Spread = 0.15
		}
		b.Run(fmt.Sprintf("%d stations, 24 shells, 100 runs", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				played(b, line, simulate.Options{Batch: 24, Runs: 100, Seed: 1})
			}
		})
	}
}
