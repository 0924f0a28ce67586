// Package supply knows what guns and roller heads give and take: the current that they drive through sheets, the power that they draw,
// how fast their welds follow each other, and what heat, energy and cooling water a shell needs of each.
//
//	budgets, err := supply.Budgets(ctx, plan, sh, in)
//	for _, b := range budgets {
//		fmt.Println(b.Tool, b.Energy, b.Duty, b.WaterLeast)
//	}
//
// In go the shell file's figures and, for a budget, the settings of the plan's stacks; nothing here says what a rule allows.
// Amperes, volts, kVA and kW, seconds, J and kWh.
package supply

import (
	"context"
	"fmt"
	"math"

	"seamwright/layout"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
	"seamwright/seams/roller"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// Budget is what a gun or roller head takes for one shell. Everything in it is an estimate: heat by I² R t with the
// panel resistance of setting.PanelResistance, kW by the shell file's share of the kVA drawn. What is drawn and does not
// come to the sheets is lost in transformer, cables and arms.
type Budget struct {
	Tool        string  `json:"tool" about:"id of the gun or roller"`
	Letter      string  `json:"letter" about:"letter on maps; empty for a roller"`
	Welds       int     `json:"welds" about:"spots with it on one shell"`
	Metres      float64 `json:"metres" about:"of roller seam"`
	Heat        float64 `json:"heat_j" about:"between the tips or wheels, a shell"`
	EachLeast   float64 `json:"heat_each_least_j" about:"of one weld or nugget"`
	EachMost    float64 `json:"heat_each_most_j" about:"of one weld, most" unit:"J"`
	Current     float64 `json:"current_s" about:"with current on, a shell"`
	Energy      float64 `json:"energy_kwh" about:"drawn, a shell"`
	Lost        float64 `json:"lost_kwh" about:"of that, in transformer, cables and arms"`
	Rating      float64 `json:"rating_kva" about:"at 50 % duty"`
	Power       float64 `json:"power_kw" about:"drawn while the greatest current flows"`
	Wanted      float64 `json:"wanted_a" about:"greatest current of the settings"`
	Deliverable float64 `json:"deliverable_a" about:"0: not stated"`
	Drawn       float64 `json:"drawn_kva" about:"while the greatest current flows; 0: the open voltage is not stated"`
	Duty        float64 `json:"duty" about:"part of the time with current on, welding without a pause"`
	Allowed     float64 `json:"allowed_duty" about:"that the rating allows; 0: not known"`
	WaterLeast  float64 `json:"water_least_l_per_min" about:"least flow of cooling water" unit:"l/min"`
	WaterBest   float64 `json:"water_best_l_per_min" about:"better flow of cooling water" unit:"l/min"`
	Rise        float64 `json:"water_rise_k" about:"of the best flow, welding without a pause"`
	Basis       string  `json:"basis" about:"what the figures rest on"`
}

// waterHeat is J/(kg K) of water at room temperature, one litre a kilogram: memory, a physical constant. Each of the two
// electrodes wants 2 l/min at least and 5.5 l/min at best: memory, no document.
const (
	waterHeat  = 4186.0
	electrodes = 2.0
	leastFlow  = 2.0 // l/min
	bestFlow   = 5.5 // l/min
)

const budgetBasis = "estimate: heat I² R t with 100 µΩ between the tips (read in one source); kVA drawn as open voltage x current, or " +
	"the rating where no voltage is stated, and kW as rates.utilisation_pct of them; the heat between the tips goes into the water of both " +
	"electrodes, 2 l/min each at least and 5.5 l/min at best (memory, no document); what is lost in transformer, cables and arms wants " +
	"water of its own"

// Budgets reckons energy, duty and cooling water of every gun and roller head that the plan uses, in the shell's order.
// What has no setting is left out; the check says so.
func Budgets(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) ([]Budget, error) {
	c, err := strips.Gather(ctx, p, sh, in)
	if err != nil {
		return nil, fmt.Errorf("budget: %w", err)
	}
	var out []Budget
	for i := range sh.Guns {
		if b := gunBudget(c, &sh.Guns[i]); b.Welds > 0 {
			out = append(out, b)
		}
	}
	for i := range sh.Rollers {
		if b := rollerBudget(c, &sh.Rollers[i]); b.Metres > 0 {
			out = append(out, b)
		}
	}
	return out, nil
}

func gunBudget(c *strips.Set, g *shell.Gun) Budget {
	source := Of(g)
	b := source.budget(g.ID, g.Letter)
	sets := map[string]setting.Setting{}
	for _, s := range c.Strips {
		for _, w := range s.Welds {
			if w.Gun != g.ID {
				continue
			}
			key := s.Stated.Settings + " " + strips.StackKey(s.Stack)
			set, known := sets[key]
			if !known {
				var err error
				if set, err = setting.Spot(s.Stack, c.Rules.Spot(s.Stated)); err != nil {
					continue
				}
				sets[key] = set
			}
			b.add(set, Rate(c.Shell, set), Power(c.Shell, g.Draws(set.Current)))
		}
	}
	b.finish(source)
	return b
}

func (s Supply) budget(tool, letter string) Budget {
	return Budget{Tool: tool, Letter: letter, Rating: s.Rating, Deliverable: s.Deliverable(), Basis: budgetBasis}
}

func (b *Budget) add(set setting.Setting, rate, power float64) {
	heat := set.Energy(0)
	if b.Welds == 0 || heat < b.EachLeast {
		b.EachLeast = heat
	}
	b.EachMost = max(b.EachMost, heat)
	b.Welds++
	b.Heat += heat
	b.Energy += power * set.Weld / 3600
	b.Power = max(b.Power, power)
	b.Wanted = max(b.Wanted, set.Current)
	b.Current += set.Weld
	b.Duty = max(b.Duty, set.Duty(rate))
}

func rollerBudget(c *strips.Set, w *shell.Roller) Budget {
	source := OfRoller(w)
	b := source.budget(w.ID, w.Letter)
	for _, r := range c.Plan.Seams {
		s := c.Of(r.Flange)
		if r.Roller != w.ID || s == nil {
			continue
		}
		set, err := roller.Set(s.Stack, c.Rules.Roller(w))
		if err != nil {
			continue
		}
		nuggets := set.Time(r.Length) / (set.On + set.Off)
		heat := setting.Setting{Current: set.Current, Weld: set.On}.Energy(0)
		if b.Metres == 0 || heat < b.EachLeast {
			b.EachLeast = heat
		}
		b.EachMost = max(b.EachMost, heat)
		b.Metres += r.Length / 1000
		b.Heat += heat * nuggets
		power := Power(c.Shell, w.Draws(set.Current))
		b.Energy += power * set.On * nuggets / 3600
		b.Power = max(b.Power, power)
		b.Current += set.On * nuggets
		b.Wanted = max(b.Wanted, set.Current)
		b.Duty = max(b.Duty, set.On/(set.On+set.Off))
	}
	b.finish(source)
	return b
}

// finish reckons what follows from current time and duty. power² x duty may not pass rating² x 0.5: ISO 669, memory.
func (b *Budget) finish(s Supply) {
	b.Lost = b.Energy - b.Heat/3.6e6
	if b.Drawn = s.Apparent(b.Wanted); b.Drawn > 0 {
		b.Allowed = min(1, 0.5*(b.Rating/b.Drawn)*(b.Rating/b.Drawn))
	}
	b.WaterLeast, b.WaterBest = electrodes*leastFlow, electrodes*bestFlow
	if b.Current > 0 {
		b.Rise = b.Heat / b.Current * b.Duty / (waterHeat * b.WaterBest / 60)
	}
}

// Round puts the figures at the precision in which they are printed.
func (b *Budget) Round() {
	for _, v := range []*float64{&b.Metres, &b.Heat, &b.EachLeast, &b.EachMost, &b.Current, &b.Energy, &b.Lost, &b.Rating, &b.Power,
		&b.Wanted,
		&b.Deliverable, &b.Drawn, &b.Duty, &b.Allowed, &b.WaterLeast, &b.WaterBest, &b.Rise} {
		*v = math.Round(*v*1e4) / 1e4
	}
}
