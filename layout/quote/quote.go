// Package quote says how far an estimate may be off, what moves it most, and how measured times change it.
//
//	q, err := quote.Of(ctx, plan, sh, quote.Options{Seed: 1})
//	fmt.Println(q.CostPerBatch.P50, q.CostPerBatch.P80, q.Movers[0].ID)
//	err = quote.Settle(ctx, plan, sh, quote.Options{Seed: quote.DefaultSeed}) // the same in plan.Cost.Spread
//
//	rows, err := quote.ReadActuals("times.csv")
//	fit, err := quote.Recalibrate(ctx, plan, sh, rows)
//	fit.Apply(sh) // the shell file's elements as measured
//
// The range comes from drawing every input from its spread many times over: a time from a log-normal distribution whose
// mean is the stated one, since work runs over by more than it runs under; the learning rate from a normal one, kept from
// 0.5 to 1. One factor, common, is on all times together: drawn one by one alone, many inputs would hide each other, while a
// works that is slow at one thing is slow at most. One draw holds for the whole batch: a spread says how well the works
// knows its own times, not how one shell
// differs from the next. The same seed gives the same figures.
package quote

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"seamwright/layout"
	"seamwright/layout/simulate"
	"seamwright/seams/shell"
)

// DefaultTrials settles a P80 to about half a per cent.
const DefaultTrials = 4000

// DefaultSeed is that of a plan's range.
const DefaultSeed = 1

// Options say how the range is drawn.
type Options struct {
	Trials int // 0: DefaultTrials
	Seed   uint64
}

// Figure is one figure of the quote.
type Figure struct {
	Planned float64 `json:"planned" about:"with every input as stated"`
	Mean    float64 `json:"mean" about:"of the drawings"`
	P50     float64 `json:"p50" about:"as likely too high as too low"`
	P80     float64 `json:"p80" about:"four times in five it comes to less"`
}

// Mover is an input by what it moves.
type Mover struct {
	Spread
	Value float64 `json:"value" about:"as stated"`
	Low   float64 `json:"low" about:"money a shell with this input alone at that of its 10th and 90th percentile that makes it cheap"`
	High  float64 `json:"high" about:"and at the other"`
	Swing float64 `json:"swing" about:"between them"`
}

// Quote is an estimate with its range.
type Quote struct {
	Currency     string    `json:"currency" about:"ISO 4217 code"`
	Batch        int       `json:"batch" about:"shells in the batch"`
	Trials       int       `json:"trials" about:"how often all inputs were drawn from their spreads"`
	Seed         uint64    `json:"seed" about:"of the drawings"`
	Minutes      Figure    `json:"minutes_per_shell" about:"man-minutes, preparation and changeover shared over the batch"`
	CostPerShell Figure    `json:"cost_per_shell" about:"money a shell"`
	CostPerBatch Figure    `json:"cost_per_batch" about:"money for the batch"`
	Curve        []float64 `json:"curve" about:"money a shell that 10, 20 and so on to 90 % of the drawings stay below"`
	Movers       []Mover   `json:"movers" about:"greatest swing first; inputs that move nothing are left out"`
}

// Of draws the range of the plan's estimate. Errors are those of labour.Accounts, a number of trials below zero, and a
// context that ends.
func Of(ctx context.Context, p *layout.Plan, sh *shell.Shell, opt Options) (Quote, error) {
	if opt.Trials < 0 {
		return Quote{}, fmt.Errorf("quote: %d trials: at least one is needed", opt.Trials)
	}
	spreads := Spreads(sh)
	m, err := newModel(ctx, p, sh, ids(spreads))
	if err != nil {
		return Quote{}, fmt.Errorf("quote: %w", err)
	}
	q := Quote{Currency: sh.Rates.Currency, Batch: sh.Batch, Trials: cmp.Or(opt.Trials, DefaultTrials), Seed: opt.Seed}
	minutes, money := make([]float64, q.Trials), make([]float64, q.Trials)
	all, err := draws(ctx, spreads, opt.Seed, q.Trials)
	if err != nil {
		return Quote{}, fmt.Errorf("quote: %w", err)
	}
	for k, x := range all {
		if err := ctx.Err(); err != nil {
			return Quote{}, fmt.Errorf("quote: %w", err)
		}
		minutes[k], money[k] = m.figures(x)
	}
	plannedMinutes, plannedMoney := m.figures(stated(len(spreads)))
	q.Minutes, q.CostPerShell = figure(plannedMinutes, minutes), figure(plannedMoney, money)
	batch := func(each float64) float64 { return layout.Times(each, sh.Batch) }
	s := q.CostPerShell
	q.CostPerBatch = Figure{batch(s.Planned), batch(s.Mean), batch(s.P50), batch(s.P80)}
	slices.Sort(money)
	for p := 10.0; p <= 90; p += 10 {
		q.Curve = append(q.Curve, simulate.Percentile(money, p))
	}
	q.Movers = m.movers(spreads)
	return q, nil
}

// Settle writes the range of the plan's estimate into the plan.
func Settle(ctx context.Context, p *layout.Plan, sh *shell.Shell, opt Options) error {
	q, err := Of(ctx, p, sh, opt)
	if err != nil {
		return err
	}
	p.Cost.Spread = layout.CostSpread{
		Trials: q.Trials, Seed: int(q.Seed), MinutesP50: q.Minutes.P50, MinutesP80: q.Minutes.P80,
		ShellP50: q.CostPerShell.P50, ShellP80: q.CostPerShell.P80, BatchP50: q.CostPerBatch.P50, BatchP80: q.CostPerBatch.P80, Curve: q.Curve,
	}
	for _, m := range q.Movers {
		p.Cost.Spread.Movers = append(p.Cost.Spread.Movers, layout.Mover{ID: m.ID, Off: m.Pct, Source: m.Source, Low: m.Low, High: m.High})
	}
	return nil
}

func figure(planned float64, values []float64) Figure {
	r := simulate.RangeOf(values)
	return Figure{Planned: planned, Mean: r.Mean, P50: r.P50, P80: r.P80}
}

func ids(spreads []Spread) []string {
	out := make([]string, len(spreads))
	for i, s := range spreads {
		out[i] = s.ID
	}
	return out
}

func stated(n int) []float64 { return slices.Repeat([]float64{1}, n) }

// draws are the factors of each trial on each input.
func draws(ctx context.Context, spreads []Spread, seed uint64, trials int) ([][]float64, error) {
	out := make([][]float64, trials)
	shapes := make([]shape, len(spreads))
	for i, s := range spreads {
		shapes[i] = s.shape()
	}
	for k := range out {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r := rand.New(rand.NewPCG(seed, uint64(k)))
		out[k] = make([]float64, len(spreads))
		for i, s := range shapes {
			out[k][i] = s.at(r.NormFloat64())
		}
	}
	return out, nil
}

// shape is a spread's distribution: normal about 1, or lognormal with mean 1.
type shape struct {
	normal bool
	off    float64 // standard deviation, of the logarithm where it is lognormal
	mean   float64 // of the logarithm
}

func (s Spread) shape() shape {
	cv := s.Pct / 100
	if s.ID == "learning" {
		return shape{normal: true, off: cv}
	}
	variance := math.Log1p(float64(cv * cv))
	return shape{off: math.Sqrt(variance), mean: -variance / 2}
}

// at is the factor so many standard deviations off the stated value.
func (s shape) at(z float64) float64 {
	if s.normal {
		return 1 + float64(s.off*z)
	}
	return math.Exp(float64(s.off*z) + s.mean)
}

// movers moves one input at a time to where one in ten lies beyond.
func (m *model) movers(spreads []Spread) []Mover {
	const beyond = 1.2815515655446004 // of a standard normal distribution one in ten lies above
	var out []Mover
	for i, s := range spreads {
		money := func(z float64) float64 {
			x := stated(len(spreads))
			x[i] = s.shape().at(z)
			_, v := m.figures(x)
			return v
		}
		a, b := money(-beyond), money(beyond)
		mover := Mover{Spread: s, Value: valueOf(m.shell, s.ID), Low: math.Min(a, b), High: math.Max(a, b), Swing: math.Abs(b - a)}
		if mover.Swing > 0 {
			out = append(out, mover)
		}
	}
	slices.SortStableFunc(out, func(a, b Mover) int { return cmp.Compare(b.Swing, a.Swing) })
	return out
}

// Scales are factors on the stations' times, run after run, as the spreads draw them: for a simulation of the line.
func Scales(ctx context.Context, p *layout.Plan, sh *shell.Shell, opt Options) ([][]float64, error) {
	spreads := Spreads(sh)
	m, err := newModel(ctx, p, sh, ids(spreads))
	if err != nil {
		return nil, fmt.Errorf("quote: %w", err)
	}
	station := make([]work, len(p.Stations))
	for i := range p.Stations {
		station[i] = newWork(len(spreads) + 1)
		for _, a := range m.accounts {
			if a.station == p.Stations[i].ID {
				station[i].add(a.work)
			}
		}
	}
	planned := make([]float64, len(station))
	practice := m.practice
	for i, w := range station {
		x := stated(len(spreads))
		planned[i] = m.seconds(w, x, practice(x))
	}
	out, err := draws(ctx, spreads, opt.Seed, cmp.Or(opt.Trials, DefaultTrials))
	if err != nil {
		return nil, fmt.Errorf("quote: %w", err)
	}
	for k, x := range out {
		factors := stated(len(station))
		for i, w := range station {
			if planned[i] > 0 {
				factors[i] = m.seconds(w, x, practice(x)) / planned[i]
			}
		}
		out[k] = factors
	}
	return out, nil
}
