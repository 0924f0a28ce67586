package review

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
)

// reachWeld is how one weld is reached.
type reachWeld struct {
	Station   string          `json:"station" about:"id of the station"`
	Number    int             `json:"number" about:"of the weld at its station"`
	Run       int             `json:"run" about:"id of the run"`
	Flange    string          `json:"flange" about:"id of the flange"`
	Along     float64         `json:"along" about:"from the start of the weld line" unit:"mm"`
	Step      layout.WeldStep `json:"step" about:"when it is welded"`
	Gun       string          `json:"gun" about:"id of the gun"`
	Tip       string          `json:"tip" about:"id of the tip"`
	Turn      float64         `json:"turn" about:"degrees about the weld's axis from the weld line to the throat"`
	Tilt      float64         `json:"tilt" about:"degrees off square"`
	Clearance float64         `json:"clearance" about:"between gun and panels, mm; 0 where nothing reaches"`
	Reached   bool            `json:"reached" about:"whether the gun gets there"`
}

// reachGun is what one gun with one tip does.
type reachGun struct {
	Gun       string  `json:"gun" about:"id of the gun"`
	Tip       string  `json:"tip" about:"id of the tip"`
	Welds     int     `json:"welds" about:"planned with it"`
	Tilted    int     `json:"tilted" about:"of these with the gun off square"`
	Missed    int     `json:"missed" about:"planned with it for want of a better one, but not reached"`
	Clearance float64 `json:"clearance" about:"the least of those reached, mm"`
}

type reachResult struct {
	Units    string           `json:"units" about:"unit of lengths; areas in its square"`
	Guns     []reachGun       `json:"guns" about:"by gun and tip"`
	Welds    []reachWeld      `json:"welds" about:"weld by weld"`
	Blocked  []reachBlocked   `json:"blocked" about:"welds that no gun at hand reaches, run by run, with what would do"`
	Findings []layout.Finding `json:"findings" about:"what is not reached or only just, with reason and remedy"`
}

// reachBlocked is a run that nobody welds.
type reachBlocked struct {
	Station string `json:"station" about:"id of the station"`
	layout.Unreached
}

// Reach makes the command reach.
func Reach(p *program.Call) *cobra.Command {
	var station string
	var asJSON bool
	c := &cobra.Command{
		Use:   "reach SHELL",
		Short: "Say which gun reaches which weld, at which angle and with how much clearance, and what none reaches",
		Args:  program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			done, err := p.BuildWith(c.Context(), args[0], station)
			if err != nil {
				return err
			}
			result := reachOf(done.Plan, station)
			if asJSON {
				err = p.PrintJSON(result)
			} else {
				reachText(p, result)
			}
			if err != nil {
				return err
			}
			return program.Verdict(done.Plan)
		},
	}
	c.Flags().StringVar(&station, "station", "", "only this station")
	program.JSONFlags[reachResult](p, c, &asJSON, "print JSON, weld by weld")
	p.Overrides(c)
	return c
}

// reachOf takes what a plan says about guns at one station, or at all of them.
func reachOf(plan *layout.Plan, station string) reachResult {
	out := reachResult{Units: "mm", Guns: []reachGun{}, Welds: []reachWeld{}, Blocked: []reachBlocked{}, Findings: []layout.Finding{}}
	for _, s := range plan.Stations {
		for _, u := range s.Unreached {
			if station == "" || s.ID == station {
				out.Blocked = append(out.Blocked, reachBlocked{s.ID, u})
			}
		}
	}
	for _, f := range plan.Findings {
		if strings.HasPrefix(f.Rule, "reach.") && (station == "" || f.Station == station) {
			out.Findings = append(out.Findings, f)
		}
	}
	for _, w := range plan.Welds {
		if station != "" && w.Station != station {
			continue
		}
		r := reachWeld{
			Station: w.Station, Number: w.Number, Run: w.Run, Flange: w.Flange, Along: w.Along, Step: w.Step,
			Gun: w.Gun, Tip: w.Tip, Turn: w.Turn, Tilt: w.Tilt, Clearance: w.Clearance, Reached: w.Gun != "" && w.Clearance > 0,
		}
		out.Welds = append(out.Welds, r)
		out.Guns = tally(out.Guns, r)
	}
	return out
}

func tally(guns []reachGun, w reachWeld) []reachGun {
	k := slices.IndexFunc(guns, func(g reachGun) bool { return g.Gun == w.Gun && g.Tip == w.Tip })
	if k < 0 {
		k = len(guns)
		guns = append(guns, reachGun{Gun: w.Gun, Tip: w.Tip})
	}
	g := &guns[k]
	g.Welds++
	if !w.Reached {
		g.Missed++
		return guns
	}
	if w.Tilt > 0 {
		g.Tilted++
	}
	if g.Welds-g.Missed == 1 || w.Clearance < g.Clearance {
		g.Clearance = w.Clearance
	}
	return guns
}

func reachText(p *program.Call, r reachResult) {
	fmt.Fprintf(p.Out, "%-16s %-12s %5s %-9s %-24s %-10s %-10s %9s %6s %8s\n", "station", "welds", "count", "step", "flange", "gun", "tip",
		"angle", "tilt", "clear mm")
	for from := 0; from < len(r.Welds); {
		to := from + 1
		for to < len(r.Welds) && r.Welds[to].Run == r.Welds[from].Run && r.Welds[to].Reached == r.Welds[from].Reached {
			to++
		}
		reachLine(p, r.Welds[from:to])
		from = to
	}
	fmt.Fprintf(p.Out, "\n%-10s %-10s %6s %7s %7s %14s\n", "gun", "tip", "welds", "tilted", "missed", "least clear mm")
	for _, g := range r.Guns {
		fmt.Fprintf(p.Out, "%-10s %-10s %6d %7d %7d %14.1f\n", g.Gun, g.Tip, g.Welds, g.Tilted, g.Missed, g.Clearance)
	}
	for _, b := range r.Blocked {
		blockedText(p, b)
	}
	for _, f := range r.Findings {
		fmt.Fprintf(p.Out, "\n%s: %s: %s: %s\n", f.Severity, f.Rule, f.Where, f.Remedy)
	}
}

// blockedText prints what would do for a run that nobody welds, a gun to a line.
func blockedText(p *program.Call, b reachBlocked) {
	fmt.Fprintf(p.Out, "\nnot reached: station %s, welds %s (%d) on flange %s: %s\n", b.Station, numbers(b.From, b.To), b.Count,
		b.Flange, b.Why)
	for _, h := range b.Helps {
		what := "is not at this station and reaches"
		switch {
		case h.Before != "":
			what = "before " + h.Before + " arrives reaches"
		case h.Clamp != "":
			what = "without clamp " + h.Clamp + " reaches"
		}
		fmt.Fprintf(p.Out, "  gun %-10s tip %-10s %s %d of %d\n", h.Gun, h.Tip, what, h.Welds, b.Count)
	}
	for _, m := range b.Measures {
		what := "would do with a"
		if m.Together {
			what = "would do with all of these, a"
		}
		stuck := ""
		if m.Stuck {
			stuck = ", not seen to come straight off again"
		}
		fmt.Fprintf(p.Out, "  gun %-10s tip %-10s %s %s of %g mm instead of %g%s\n", m.Gun, m.Tip, what, m.Kind, m.Needed, m.Has, stuck)
	}
	if b.Force > 0 {
		fmt.Fprintf(p.Out, "  %.0f N of electrode force are wanted, and no gun at hand has them\n", b.Force)
	}
	if len(b.Helps)+len(b.Measures) == 0 && b.Force == 0 {
		fmt.Fprintf(p.Out, "  %s\n", b.Would)
	}
}

// reachLine prints welds of one run as one line: the range of angles, the greatest tilt and the least air.
func reachLine(p *program.Call, welds []reachWeld) {
	first, last := welds[0], welds[len(welds)-1]
	low, high, tilt, air := first.Turn, first.Turn, first.Tilt, first.Clearance
	for _, w := range welds {
		low, high, tilt, air = min(low, w.Turn), max(high, w.Turn), max(tilt, w.Tilt), min(air, w.Clearance)
	}
	angle, least := fmt.Sprintf("%.0f", low), fmt.Sprintf("%.1f", air)
	if high > low {
		angle = fmt.Sprintf("%.0f to %.0f", low, high)
	}
	if !first.Reached {
		least = "none"
	}
	fmt.Fprintf(p.Out, "%-16s %-12s %5d %-9s %-24s %-10s %-10s %9s %6.1f %8s\n", first.Station, fmt.Sprintf("%d to %d", first.Number,
		last.Number),
		len(welds), first.Step, first.Flange, first.Gun, first.Tip, angle, tilt, least)
}
