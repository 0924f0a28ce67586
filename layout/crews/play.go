package crews

import (
	"context"
	"slices"

	"seamwright/layout"
	"seamwright/layout/quote"
	"seamwright/layout/simulate"
	"seamwright/seams/shell"
)

// Play says how a line is simulated.
type Play struct {
	Runs    int // 0: 1000
	Seed    uint64
	Spread  float64 // of a station's time from shell to shell, standard deviation over mean
	Exact   bool    // element times are right as stated: with no spread the flow's figures come out
	Limited bool    // products wait only at Places after each station
	Places  int
	Workers int
}

// Simulate plays the batch through the line: each shell at its own place on the learning curve, the element times off
// by their spreads from run to run, and each station's time on each shell by Spread. Jigs are prepared first.
func (l *Line) Simulate(ctx context.Context, p *layout.Plan, sh *shell.Shell, play Play) (simulate.Result, error) {
	if play.Runs == 0 {
		play.Runs = 1000
	}
	opt := simulate.Options{Batch: sh.Batch, Runs: play.Runs, Seed: play.Seed, Limited: play.Limited, Places: play.Places,
		Workers: play.Workers}
	line := make([]simulate.Station, len(l.Posts))
	for k, post := range l.Posts {
		once := onceABatch(sh, post)
		line[k] = simulate.Station{ID: post.Name, Next: l.next[k], Minutes: []float64{post.Minutes}, Spread: play.Spread,
			Ready: (once.Prepare + once.Change) / float64(post.Crew)}
	}
	factors := l.byShell(p, sh.Batch)
	for k := range line {
		mean := line[k].Minutes[0]
		line[k].Minutes = nil
		for _, f := range factors[k] {
			line[k].Minutes = append(line[k].Minutes, mean*f)
		}
	}
	if play.Exact {
		return simulate.Run(ctx, line, opt)
	}
	var err error
	if opt.Scale, err = l.scale(ctx, p, sh, play); err != nil {
		return simulate.Result{}, err
	}
	return simulate.Run(ctx, line, opt)
}

// scale turns the factors on the plan's stations into those on the posts.
func (l *Line) scale(ctx context.Context, p *layout.Plan, sh *shell.Shell, play Play) ([][]float64, error) {
	scales, err := quote.Scales(ctx, p, sh, quote.Options{Trials: play.Runs, Seed: play.Seed})
	if err != nil {
		return nil, err
	}
	for k, factors := range scales {
		own := make([]float64, len(l.Posts))
		for i, post := range l.Posts {
			own[i] = post.weigh(func(jig string) float64 {
				return factors[slices.IndexFunc(p.Stations, func(s layout.Station) bool { return s.ID == jig })]
			})
		}
		scales[k] = own
	}
	return scales, nil
}
