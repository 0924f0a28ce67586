package review

import (
	"context"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout/crews"
	"seamwright/layout/simulate"
)

// lineOptions are the flags of stations.
type lineOptions struct {
	want   crews.Want
	play   crews.Play
	spread float64
	places int
	asJSON bool
}

// lineResult is what stations --json prints.
type lineResult struct {
	Shell     string          `json:"shell" about:"name of the shell"`
	Batch     int             `json:"batch" about:"shells in the batch"`
	Line      crews.Line      `json:"line" about:"the stations and how the work loads them"`
	Simulated simulate.Result `json:"simulated" about:"jigs prepared first"`
	PerWeek   simulate.Range  `json:"simulated_shells_per_week" about:"shells a week in the batches played through" unit:"shells a week"`
	Runs      int             `json:"runs" about:"batches played through"`
	Seed      uint64          `json:"seed" about:"of the drawings"`
}

// Stations makes the command stations.
func Stations(p *program.Call) *cobra.Command {
	var o lineOptions
	c := &cobra.Command{
		Use:   "stations SHELL",
		Short: "Show how the work loads the stations, or share it out anew over a line",
		Long: `stations prints each station's load, the bottleneck and how a batch flows through: as the shell file has it, or
with --takt or --stations shared out anew. Times that vary are played through with a seed.`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			p.Set = program.Settings(p.Set)
			if err := o.check(c); err != nil {
				return err
			}
			return showLine(c.Context(), p, args[0], o)
		},
	}
	f := c.Flags()
	f.Float64Var(&o.want.Takt, "takt", 0, "minutes between shells: share the work over as few stations as will do")
	f.IntVar(&o.want.Stations, "stations", 0, "share the work over so many stations, in as short a takt as will do")
	f.IntVar(&o.want.Crew, "crew", 0, "people at each station of the shared-out line; 0: as stated, or with --keep-jigs=false one")
	f.BoolVar(&o.want.KeepJigs, "keep-jigs", true,
		"all work of a jig stays at one station; =false: a jig may travel over several, or is made again, and what that costs is said")
	f.IntVar(&o.play.Runs, "runs", 1000, "batches played through")
	f.Uint64Var(&o.play.Seed, "seed", 1, "of the drawn times")
	f.Float64Var(&o.spread, "spread", 10, "per cent by which a station's time differs from shell to shell (common practice, no source)")
	f.IntVar(&o.places, "places", -1, "products that may wait after a station; below zero: any number")
	program.JSONFlags[lineResult](p, c, &o.asJSON, "print JSON")
	p.Overrides(c)
	return c
}

// check looks at what can be wrong in the call.
func (o *lineOptions) check(c *cobra.Command) error {
	changed := c.Flags().Changed
	bad := func(text string) error { return program.Wrong("%s: see %s --help", text, c.CommandPath()) }
	switch {
	case changed("takt") && changed("stations"):
		return bad("--takt and --stations: give one of them")
	case changed("takt") && !(o.want.Takt > 0 && o.want.Takt < 1e6):
		return bad("--takt: write the minutes between two shells")
	case changed("stations") && o.want.Stations < 1:
		return bad("--stations: at least one is needed")
	case o.want.Crew < 0 || changed("crew") && o.want.Crew == 0:
		return bad("--crew: at least one person is needed")
	case !changed("takt") && !changed("stations") && (changed("crew") || changed("keep-jigs")):
		return bad("--crew and --keep-jigs: give --takt or --stations too")
	case o.play.Runs < 1 || o.play.Runs > 1_000_000:
		return bad("--runs: from 1 to 1,000,000")
	case !(o.spread >= 0 && o.spread <= 200):
		return bad("--spread: from 0 to 200 per cent")
	}
	o.play.Spread = o.spread / 100
	o.play.Limited, o.play.Places = o.places >= 0, max(0, o.places)
	return nil
}

func showLine(ctx context.Context, p *program.Call, path string, o lineOptions) error {
	done, err := p.Build(ctx, path)
	if err != nil {
		return err
	}
	var line crews.Line
	if o.want.Takt > 0 || o.want.Stations > 0 {
		line, err = crews.Balance(ctx, done.Plan, done.Shell, o.want)
	} else {
		line, err = crews.Stated(done.Plan, done.Shell)
	}
	if err != nil {
		return program.BadInput(err)
	}
	o.play.Workers = p.Workers
	played, err := line.Simulate(ctx, done.Plan, done.Shell, o.play)
	if err != nil {
		return program.BadInput(err)
	}
	r := lineResult{
		Shell: done.Plan.Shell.Name, Batch: done.Shell.Batch, Line: line, Simulated: played, PerWeek: perWeek(played.PerHour,
			done.Shell.WeekHours()),
		Runs: o.play.Runs, Seed: o.play.Seed,
	}
	if o.asJSON {
		if err := p.PrintJSON(r); err != nil {
			return err
		}
	} else {
		lineText(p, r)
	}
	return program.Verdict(done.Plan)
}

func perWeek(r simulate.Range, hours float64) simulate.Range {
	return simulate.Range{Mean: r.Mean * hours, Least: r.Least * hours, P20: r.P20 * hours, P50: r.P50 * hours, P80: r.P80 * hours,
		Greatest: r.Greatest * hours}
}

// chart is how wide a full station is drawn.
const chart = 40

func lineText(p *program.Call, r lineResult) {
	l := r.Line
	fmt.Fprintf(p.Out, "%s, batch of %d: %s\n\n", r.Shell, r.Batch, lineWords(l))
	fmt.Fprintf(p.Out, "%-16s %4s %8s %8s  %s\n", "station", "crew", "man-min", "min", "load against the longest")
	for _, post := range l.Posts {
		full := int(math.Round(post.Load * chart))
		fmt.Fprintf(p.Out, "%-16s %4d %8.1f %8.1f  %s%s %3.0f %%\n", post.Name, post.Crew, post.ManMinutes, post.Minutes,
			strings.Repeat("#", full), strings.Repeat(".", chart-full), 100*post.Load)
	}
	f := l.Flow
	fmt.Fprintf(p.Out, "\nbottleneck %s, %.1f min; line efficiency %.0f %%, balance delay %.0f %%\n", f.Bottleneck, f.BottleneckMinutes,
		100*f.Efficiency, 100*f.BalanceDelay)
	fmt.Fprintf(p.Out, "%.1f shells a week; %.1f products at work on the average\n", f.ShellsPerWeek, f.InWork)
	fmt.Fprintf(p.Out, "first shell after %.1f h, batch after %.1f h; %.1f h with stations turned over and jigs prepared first\n",
		f.FirstShell/60, f.Makespan/60, f.MakespanPrepared/60)
	s := r.Simulated
	fmt.Fprintf(p.Out, "played %d times with seed %d: batch after %.1f h in half of them, %.1f h in four of five, preparation included;\n",
		r.Runs, r.Seed, s.Makespan.P50/60, s.Makespan.P80/60)
	fmt.Fprintf(p.Out, "  %.1f shells a week in half of them, %.1f in four of five; %.1f products in the line on the average, waiting ones "+
		"included\n", r.PerWeek.P50, r.PerWeek.P20, s.InWork)
	if l.How == "balanced" {
		jigText(p, l.Jigs)
		dutyText(p, l)
	}
}

// jigText is a table of the jigs whose work is spread over several stations: what it costs to make them again, and to let them travel.
func jigText(p *program.Call, jigs []crews.SplitJig) {
	if len(jigs) == 0 {
		return
	}
	fmt.Fprintf(p.Out, "\n%-16s %-16s | %8s %8s %8s %9s | %6s %8s %9s\n", "jig of", "at stations", "prepare", "make h", "lift min",
		"a shell", "jigs", "move min", "a shell")
	for _, j := range jigs {
		travel := fmt.Sprintf("%6s %8s %9s", "–", "–", "–")
		if j.Clamped {
			travel = fmt.Sprintf("%6d %8.1f %9.2f", j.Going, j.Moving, j.TravelCost)
		}
		fmt.Fprintf(p.Out, "%-16s %-16s | %8.0f %8.0f %8.1f %9.2f | %s\n", j.Jig, strings.Join(j.Stations, ","), j.Minutes, j.Hours,
			j.Handling, j.AgainCost, travel)
	}
	fmt.Fprintln(p.Out, "made again (first) or travelling (then): man-minutes to prepare for the batch, man-hours to make, "+
		"man-minutes a shell, money a shell in all")
}

// lineWords says what line it is.
func lineWords(l crews.Line) string {
	if l.How == "stated" {
		return "stations as stated"
	}
	text := fmt.Sprintf("shared out over %s, takt %.1f min", program.Many(len(l.Posts), "station"), l.Takt)
	switch {
	case l.Proven && l.Wanted > 0:
		return text + fmt.Sprintf(" of %.1f wanted; fewer will not do", l.Wanted)
	case l.Proven:
		return text + "; a shorter one will not do"
	case l.Wanted > 0:
		return text + fmt.Sprintf(" of %.1f wanted; not proven, at least %s needed", l.Wanted, atLeast(l.Bound))
	}
	return text + fmt.Sprintf("; not proven, at least %.1f min are needed", l.Bound)
}

func atLeast(stations float64) string {
	if stations == 1 {
		return "1 station is"
	}
	return fmt.Sprintf("%.0f stations are", stations)
}

func dutyText(p *program.Call, l crews.Line) {
	for _, post := range l.Posts {
		fmt.Fprintf(p.Out, "\nstation %s, %.1f min\n", post.Name, post.Minutes)
		for _, d := range post.Duties {
			fmt.Fprintf(p.Out, "  %s\n", d)
		}
	}
	for _, n := range l.Notes {
		p.Warn("note: %s", n)
	}
}
