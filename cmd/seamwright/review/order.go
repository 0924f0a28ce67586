package review

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
)

// orderResult is what order --json prints.
type orderResult struct {
	Units    string         `json:"units" about:"unit of lengths"`
	Stations []orderStation `json:"stations" about:"in the order of work"`
}

// orderStation is the order of work at one station, as the plan has it.
type orderStation struct {
	Station string        `json:"station" about:"id of the station"`
	Runs    []layout.Run  `json:"runs" about:"runs in the order of work"`
	Welds   []orderWeld   `json:"welds" about:"spots in welding order"`
	Seams   []orderSeam   `json:"roller_seams" about:"after the welds, in this order"`
	Steps   []layout.Step `json:"steps" about:"order of work in words"`
	layout.Order
	Crewing   layout.Crewing     `json:"crewing" about:"who does what when"`
	Unreached []layout.Unreached `json:"unreached" about:"welds that no gun at hand reaches: in no step, with what would do"`
	station   layout.Station
}

type orderSeam struct {
	ID     string `json:"id" about:"id"`
	Roller string `json:"roller" about:"id of the roller"`
	After  int    `json:"after" about:"number of the last weld that must be made before it"`
}

type orderWeld struct {
	Number int             `json:"number" about:"of the weld at its station"`
	Run    int             `json:"run" about:"id of the run"`
	Flange string          `json:"flange" about:"id of the flange"`
	Along  float64         `json:"along" about:"from the start of the weld line" unit:"mm"`
	Step   layout.WeldStep `json:"step" about:"when it is welded"`
	Waits  string          `json:"waits" about:"why it is not earlier; empty when it need not wait"`
}

// Order makes the command order.
func Order(p *program.Call) *cobra.Command {
	var station string
	var asJSON bool
	c := &cobra.Command{
		Use:   "order SHELL",
		Short: "Print the order of the work: runs, what each weld waits for, travel and changes",
		Args:  program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			done, err := p.BuildWith(c.Context(), args[0], station)
			if err != nil {
				return err
			}
			result, index := []orderStation{}, layout.NewIndex(done.Plan)
			for _, s := range done.Plan.Stations {
				if station != "" && s.ID != station {
					continue
				}
				result = append(result, orderOf(index.Station(s.ID)))
			}
			if asJSON {
				if err := p.PrintJSON(orderResult{"mm", result}); err != nil {
					return err
				}
				return program.Verdict(done.Plan)
			}
			for _, o := range result {
				orderText(p, o)
			}
			return program.Verdict(done.Plan)
		},
	}
	c.Flags().StringVar(&station, "station", "", "only this station")
	program.JSONFlags[orderResult](p, c, &asJSON, "print JSON")
	p.Overrides(c)
	return c
}

// orderOf takes the order of a station from the plan.
func orderOf(here *layout.AtStation) orderStation {
	s := here.Station
	out := orderStation{Station: s.ID, Steps: s.Steps, Order: s.Order, Crewing: s.Crewing, station: s,
		Unreached: append([]layout.Unreached{}, s.Unreached...),
		Runs:      append([]layout.Run{}, here.Runs...), Welds: []orderWeld{},
		Seams: []orderSeam{}}
	for _, w := range here.Welds {
		out.Welds = append(out.Welds, orderWeld{Number: w.Number, Run: w.Run, Flange: w.Flange, Along: w.Along, Step: w.Step, Waits: w.Waits})
	}
	for _, r := range here.Seams {
		out.Seams = append(out.Seams, orderSeam{r.ID, r.Roller, r.After})
	}
	return out
}

func orderText(p *program.Call, o orderStation) {
	proven := "found by search, not proven the least"
	if o.Proven {
		proven = "proven the least"
	}
	fmt.Fprintf(p.Out, "station %s: %d welds in %d runs%s; %.1f m of travel, %s of gun, %d of tip, %.0f s: %s\n",
		o.Station, len(o.Welds), len(o.Runs), o.notMade(), o.Travel/1000, gunChanges(o.GunChanges), o.TipChanges, o.Seconds, proven)
	for k, s := range o.Steps {
		fmt.Fprintf(p.Out, "  %3d %-9s %s\n", k+1, s.Do, s.Text)
	}
	for _, u := range o.station.Unreached {
		fmt.Fprintf(p.Out, "  not made    welds %s (%d) on flange %s, which no gun at hand reaches: %s\n", numbers(u.From, u.To),
			u.Count, u.Flange, u.Why)
		fmt.Fprintf(p.Out, "              %s\n", u.Would)
	}
	fmt.Fprintf(p.Out, "  %5s %-12s %5s %-9s %-24s %-10s %-10s %s\n", "run", "welds", "count", "step", "flange", "gun", "tip", "waits")
	for _, r := range o.Runs {
		if r.Blocked {
			continue
		}
		fmt.Fprintf(p.Out, "  %5d %-12s %5d %-9s %-24s %-10s %-10s %s\n", r.ID, numbers(r.From, r.To), r.Count, r.Step, r.Flange, r.Gun, r.Tip,
			o.waits(r))
	}
	crewText(p, o)
	for _, s := range o.Seams {
		fmt.Fprintf(p.Out, "  roller seam %s with roller %s\n", s.ID, s.Roller)
	}
	fmt.Fprintln(p.Out)
}

// notMade says how many of the welds no gun at hand reaches.
func (o orderStation) notMade() string {
	n := 0
	for _, u := range o.Unreached {
		n += u.Count
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(", %d of them not made", n)
}

// crewText prints a line of steps for each person of a crew.
func crewText(p *program.Call, o orderStation) {
	s := o.station
	fmt.Fprintf(p.Out, "  %.1f min with a crew of %d, %s\n", s.Crewing.Minutes, s.Crew, s.Crewing.Sure())
	for k, own := range s.Persons() {
		fmt.Fprintf(p.Out, "  person %d:\n", k+1)
		for _, v := range own {
			what := "waits"
			if v.Step > 0 {
				what = fmt.Sprintf("step %d, %s", v.Step, v.Do)
			}
			if n := len(v.Runs); n > 0 {
				what += ", run"
				if n > 1 {
					what += "s"
				}
				what += " " + strings.Trim(fmt.Sprint(v.Runs), "[]") + o.with(v.Runs)
			}
			if len(v.Joints) > 0 {
				what += ": " + strings.Join(v.Joints, ", ")
			}
			fmt.Fprintf(p.Out, "    %6.1f to %6.1f min  %s\n", v.From, v.To, what)
		}
	}
}

// with names the guns that runs are welded with.
func (o orderStation) with(runs []int) string {
	var guns []string
	for _, r := range o.Runs {
		if slices.Contains(runs, r.ID) && r.Gun != "" && !slices.Contains(guns, r.Gun) {
			guns = append(guns, r.Gun)
		}
	}
	if len(guns) == 0 {
		return ""
	}
	return ", with gun " + strings.Join(guns, " and ")
}

func gunChanges(n int) string {
	if n == 1 {
		return "1 change"
	}
	return fmt.Sprintf("%d changes", n)
}

func numbers(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d to %d", from, to)
}

// waits says why the welds of a run are not earlier, each reason once with the welds that it holds for.
func (o orderStation) waits(r layout.Run) string {
	var parts []string
	for i := 0; i < len(o.Welds); {
		k := i + 1
		for k < len(o.Welds) && o.Welds[k].Run == o.Welds[i].Run && o.Welds[k].Waits == o.Welds[i].Waits {
			k++
		}
		if w := o.Welds[i]; w.Run == r.ID && w.Waits != "" {
			which, each := "weld ", ""
			if k-i > 1 {
				which, each = "welds ", "each "
			}
			parts = append(parts, which+numbers(w.Number, o.Welds[k-1].Number)+": "+each+w.Waits)
		}
		i = k
	}
	return strings.Join(parts, "; ")
}
