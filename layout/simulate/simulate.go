// Package simulate plays a batch through a line, event by event: each station takes what it needs from those that feed
// it, works on one product at a time, and passes it on.
//
//	r, err := simulate.Run(ctx, []simulate.Station{
//		{ID: "front", Next: 1, Minutes: []float64{56}, Spread: 0.15},
//		{ID: "main", Next: -1, Minutes: []float64{69}, Spread: 0.15},
//	}, simulate.Options{Batch: 24, Runs: 1000, Seed: 1})
//	fmt.Println(r.Makespan.P80)
//
// Times without spread give the makespan of the textbook formula; with spread each station's time on each shell is
// drawn from a log-normal distribution of the stated mean, because work runs over by more than it runs under. The same
// seed gives the same figures, whatever the number of workers.
package simulate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"seamwright/internal/work"
)

// Station is one place of the line. Several may feed one; each passes its products to one, or out.
type Station struct {
	ID      string
	Next    int       // index of the station that takes its products; -1: they leave the line
	Minutes []float64 // mean time on each shell of the batch; a single one counts for all
	Spread  float64   // standard deviation over mean, from shell to shell
	Ready   float64   // minutes from the start until it can begin
}

// Options say what is played.
type Options struct {
	Batch   int
	Runs    int    // 0: 1
	Seed    uint64 // of the drawn times
	Limited bool   // products wait only at Places after each station; a station with none free stands until one is
	Places  int    // without Limited products wait without limit
	Workers int    // 0: one for each processor

	Scale [][]float64 // for each run a factor on each station's times: how far the means themselves may be off; none: 1
}

// Range is how a figure falls over the runs.
type Range struct {
	Mean     float64 `json:"mean" about:"mean"`
	Least    float64 `json:"least" about:"least"`
	P20      float64 `json:"p20" about:"one run in five comes to less"`
	P50      float64 `json:"p50" about:"half of the runs come to less"`
	P80      float64 `json:"p80" about:"four in five do"`
	Greatest float64 `json:"greatest" about:"greatest"`
}

// Result is what the runs came to. Shares are of the time until the last shell leaves, averaged over the runs.
type Result struct {
	Makespan   Range   `about:"minutes until the batch is out"`
	FirstShell Range   `about:"minutes until the first one is"`
	PerHour    Range   `about:"shells an hour between the first and the last one out; zero for a batch of one"`
	InWork     float64 `about:"products being worked on or waiting, on the average"`
	Stations   []Share `about:"station by station"`
}

// Share is what a station does over the run.
type Share struct {
	ID      string  `json:"station" about:"id of the station"`
	Busy    float64 `json:"busy" about:"at work"`
	Starved float64 `json:"starved" about:"ready, but without something to work on"`
	Blocked float64 `json:"blocked" about:"done, but nowhere to put it"`
}

// Run plays the batch. Errors: no stations, a batch or a number of runs below 1, a station that passes to one that there
// is not or by way of others to itself, times or spreads that are negative or not finite, a list of minutes that is
// neither one nor the batch long, factors that do not match; the context's.
func Run(ctx context.Context, line []Station, opt Options) (Result, error) {
	if opt.Runs == 0 {
		opt.Runs = 1
	}
	if err := check(line, opt); err != nil {
		return Result{}, fmt.Errorf("simulate: %w", err)
	}
	runs := make([]outcome, opt.Runs)
	var free sync.Pool // plays
	err := work.Each(ctx, opt.Workers, opt.Runs, func(k int) error {
		p, ok := free.Get().(*play)
		if !ok {
			p = newPlay(line, opt)
		}
		runs[k] = p.run(rand.New(rand.NewPCG(opt.Seed, uint64(k))), opt.scale(k, len(line)))
		free.Put(p)
		return nil
	})
	if err != nil {
		return Result{}, fmt.Errorf("simulate: %w", err)
	}
	return collect(line, runs, opt.Batch), nil
}

// scale is the factors of run k.
func (o Options) scale(k, stations int) []float64 {
	if len(o.Scale) > 0 {
		return o.Scale[k]
	}
	return slices.Repeat([]float64{1}, stations)
}

func check(line []Station, opt Options) error {
	switch {
	case len(line) == 0:
		return errors.New("there is no station")
	case opt.Batch < 1:
		return fmt.Errorf("batch is %d: it must be at least 1", opt.Batch)
	case opt.Runs < 1:
		return fmt.Errorf("%d runs: at least one is needed", opt.Runs)
	case opt.Places < 0:
		return fmt.Errorf("%d places: 0 or more can be given", opt.Places)
	}
	if len(opt.Scale) > 0 && len(opt.Scale) != opt.Runs {
		return fmt.Errorf("factors for %d runs of %d: give them for each run or for none", len(opt.Scale), opt.Runs)
	}
	for k, factors := range opt.Scale {
		if len(factors) != len(line) {
			return fmt.Errorf("run %d has %d factors for %d stations", k, len(factors), len(line))
		}
		for _, v := range factors {
			if !(v >= 0) || math.IsInf(v, 1) {
				return fmt.Errorf("run %d: a factor of %v: it must be 0 or more", k, v)
			}
		}
	}
	for i, s := range line {
		if s.Next < -1 || s.Next >= len(line) {
			return fmt.Errorf("station %s passes to station number %d, which there is not", s.ID, s.Next)
		}
		if len(s.Minutes) != 1 && len(s.Minutes) != opt.Batch {
			return fmt.Errorf("station %s has %d times: give one, or one for each of the %d shells", s.ID, len(s.Minutes), opt.Batch)
		}
		for _, v := range append([]float64{s.Spread, s.Ready}, s.Minutes...) {
			if !(v >= 0) || math.IsInf(v, 1) {
				return fmt.Errorf("station %s: %v is no time or spread: it must be 0 or more", s.ID, v)
			}
		}
		at := i
		for steps := 0; at >= 0; steps++ {
			if steps > len(line) {
				return fmt.Errorf("station %s passes to itself, by way of others", s.ID)
			}
			at = line[at].Next
		}
	}
	return nil
}

// collect sums the runs up in their order.
func collect(line []Station, runs []outcome, batch int) Result {
	var r Result
	figure := func(of func(outcome) float64) Range {
		values := make([]float64, len(runs))
		for k, o := range runs {
			values[k] = of(o)
		}
		return RangeOf(values)
	}
	r.Makespan = figure(func(o outcome) float64 { return o.last })
	r.FirstShell = figure(func(o outcome) float64 { return o.first })
	r.PerHour = figure(func(o outcome) float64 {
		if o.last <= o.first {
			return 0
		}
		return float64(batch-1) / (o.last - o.first) * 60
	})
	for i, s := range line {
		share := Share{ID: s.ID}
		for _, o := range runs {
			if o.last > 0 {
				share.Busy += o.busy[i] / o.last / float64(len(runs))
				share.Blocked += o.blocked[i] / o.last / float64(len(runs))
				share.Starved += o.starved[i] / o.last / float64(len(runs))
			}
		}
		r.Stations = append(r.Stations, share)
	}
	for _, o := range runs {
		if o.last > 0 {
			r.InWork += o.held / o.last / float64(len(runs))
		}
	}
	return r
}

// RangeOf sorts the values and reads its figures off; percentiles lie between neighbours in proportion. Of no values
// all are zero.
func RangeOf(values []float64) Range {
	if len(values) == 0 {
		return Range{}
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	sum := 0.0
	for _, v := range sorted {
		sum += v
	}
	return Range{Mean: sum / float64(len(sorted)), Least: sorted[0], P20: Percentile(sorted, 20), P50: Percentile(sorted, 50),
		P80: Percentile(sorted, 80), Greatest: sorted[len(sorted)-1]}
}

// Percentile is the value below which p per cent of the sorted values lie, in proportion between neighbours; sorted
// holds at least one.
func Percentile(sorted []float64, p float64) float64 {
	at := float64(p / 100 * float64(len(sorted)-1))
	low := int(math.Floor(at))
	high := min(low+1, len(sorted)-1)
	return sorted[low] + float64((sorted[high]-sorted[low])*(at-float64(low)))
}
