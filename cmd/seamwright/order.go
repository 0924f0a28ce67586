package main

import (
	"fmt"

	"github.com/golang/geo/r3"
	"github.com/spf13/cobra"

	"seamwright/layout"
	"seamwright/layout/order"
	"seamwright/seams/shell"
)

// orderStation is the order of work at one station.
type orderStation struct {
	Station    string        `json:"station"`
	Runs       []layout.Run  `json:"runs"`
	Welds      []orderWeld   `json:"welds"`
	Steps      []layout.Step `json:"steps"`
	Travel     float64       `json:"travel"` // mm walked and moved
	GunChanges int           `json:"gun_changes"`
	TipChanges int           `json:"tip_changes"`
	Seconds    float64       `json:"seconds"` // of travel and changes
	Proven     bool          `json:"proven"`  // no order of the runs takes less
}

type orderWeld struct {
	Number int     `json:"number"`
	Run    int     `json:"run"`
	Flange string  `json:"flange"`
	Along  float64 `json:"along"`
	Step   string  `json:"step"`
	Waits  string  `json:"waits"` // why it is not earlier; empty when it need not wait
}

func (p *program) order() *cobra.Command {
	var station string
	var asJSON bool
	c := &cobra.Command{
		Use:   "order SHELL",
		Short: "Print the order of the work: runs, what each weld waits for, travel and changes",
		Args:  count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			done, err := p.build(c.Context(), args[0])
			if err != nil {
				return err
			}
			if err := knownStation(done.plan, station, args[0]); err != nil {
				return err
			}
			result := []orderStation{}
			for _, s := range done.plan.Stations {
				if station != "" && s.ID != station {
					continue
				}
				o, err := orderOf(done.plan, s, done.shell.Elements)
				if err != nil {
					return fmt.Errorf("order of station %s: %w", s.ID, err)
				}
				result = append(result, o)
			}
			if asJSON {
				return p.printJSON(map[string]any{"units": "mm", "stations": result})
			}
			for _, o := range result {
				p.orderText(o)
			}
			return nil
		},
	}
	c.Flags().StringVar(&station, "station", "", "only this station")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	p.overrides(c)
	return c
}

// orderOf takes the order of a station from the plan. Travel, changes and whether they are proven the least come from
// ordering the plan's welds and seams once more, by the same rules.
func orderOf(plan *layout.Plan, s layout.Station, e shell.Elements) (orderStation, error) {
	out := orderStation{Station: s.ID, Steps: s.Steps, Runs: []layout.Run{}, Welds: []orderWeld{}}
	for _, r := range plan.Runs {
		if r.Station == s.ID {
			out.Runs = append(out.Runs, r)
		}
	}
	at := func(v layout.Vec) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }
	var stops []order.Stop
	for _, h := range s.HoldPoints {
		stops = append(stops, order.Stop{ID: "hold point " + h.ID, Step: order.Hold, Position: at(h.At), Joint: h.Before})
	}
	for _, w := range plan.Welds {
		if w.Station != s.ID {
			continue
		}
		out.Welds = append(out.Welds, orderWeld{Number: w.Number, Run: w.Run, Flange: w.Flange, Along: w.Along, Step: w.Step, Waits: w.Waits})
		stops = append(stops, order.Stop{
			ID: fmt.Sprintf("weld %d", w.Number), Step: order.Step(w.Step), Position: at(w.Position), Joint: w.Joint, Flange: w.Flange, Along: w.Along,
			Gun: w.Gun, Tip: w.Tip, Setting: w.Setting,
		})
	}
	for _, r := range plan.Rollers {
		if r.Station == s.ID && len(r.Path) > 0 {
			stops = append(stops, order.Stop{
				ID: "roller seam " + r.ID, Step: order.Roll, Position: at(r.Path[0]), End: at(r.Path[len(r.Path)-1]), Closed: r.Closed,
				Joint: r.Joint, Flange: r.Flange, Gun: r.Roller, Setting: r.Setting,
			})
		}
	}
	again, err := order.Sequence(stops, order.Options{WalkSpeed: e.MoveSpeed, GunChange: e.TakeGun, TipChange: e.TipChange})
	if err != nil {
		return out, err
	}
	out.Travel, out.GunChanges, out.TipChanges, out.Seconds, out.Proven = again.Travel, again.GunChanges, again.TipChanges, again.Seconds, again.Proven
	return out, nil
}

func (p *program) orderText(o orderStation) {
	proven := "found by search, not proven the least"
	if o.Proven {
		proven = "proven the least"
	}
	fmt.Fprintf(p.out, "station %s: %d welds in %d runs; %.1f m of travel, %d changes of gun, %d of tip, %.0f s: %s\n",
		o.Station, len(o.Welds), len(o.Runs), o.Travel/1000, o.GunChanges, o.TipChanges, o.Seconds, proven)
	for _, s := range o.Steps {
		fmt.Fprintf(p.out, "  %-9s %s\n", s.Do, s.Text)
	}
	fmt.Fprintf(p.out, "  %5s %-12s %5s %-9s %-24s %-10s %-10s %s\n", "run", "welds", "count", "step", "flange", "gun", "tip", "waits")
	for _, r := range o.Runs {
		waits := ""
		for _, w := range o.Welds {
			if w.Run == r.ID && w.Waits != "" {
				waits = w.Waits
				break
			}
		}
		fmt.Fprintf(p.out, "  %5d %-12s %5d %-9s %-24s %-10s %-10s %s\n", r.ID, fmt.Sprintf("%d to %d", r.From, r.To), r.Count, r.Step, r.Flange, r.Gun, r.Tip, waits)
	}
	fmt.Fprintln(p.out)
}
