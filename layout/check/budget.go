package check

import (
	"context"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/seams/inforce"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
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
	c, err := newChecker(ctx, p, sh, in)
	if err != nil {
		return nil, fmt.Errorf("budget: %w", err)
	}
	var out []Budget
	for i := range sh.Guns {
		if b := c.gunBudget(&sh.Guns[i]); b.Welds > 0 {
			out = append(out, b)
		}
	}
	for i := range sh.Rollers {
		if b := c.rollerBudget(&sh.Rollers[i]); b.Metres > 0 {
			out = append(out, b)
		}
	}
	return out, nil
}

func (c *checker) gunBudget(g *shell.Gun) Budget {
	b := c.budget(supplyOf(g), g.ID, g.Letter)
	sets := map[string]setting.Setting{}
	for _, s := range c.strips {
		for _, w := range s.welds {
			if w.Gun != g.ID {
				continue
			}
			key := s.stated.Settings + " " + keyOf(s.stack)
			set, known := sets[key]
			if !known {
				var err error
				if set, err = setting.Spot(s.stack, c.in.Spot(s.stated)); err != nil {
					continue
				}
				sets[key] = set
			}
			b.add(set, c.rate(set), c.drawn(g.Draws(set.Current)))
		}
	}
	b.finish(supplyOf(g))
	return b
}

func (c *checker) budget(s supply, tool, letter string) Budget {
	return Budget{Tool: tool, Letter: letter, Rating: s.rating, Deliverable: s.deliverable(), Basis: budgetBasis}
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

func (c *checker) rollerBudget(w *shell.Roller) Budget {
	b := c.budget(supplyOfRoller(w), w.ID, w.Letter)
	for _, r := range c.plan.Seams {
		s := c.stripOf(r.Flange)
		if r.Roller != w.ID || s == nil {
			continue
		}
		set, err := roller.Set(s.stack, c.in.Roller(w))
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
		power := c.drawn(w.Draws(set.Current))
		b.Energy += power * set.On * nuggets / 3600
		b.Power = max(b.Power, power)
		b.Current += set.On * nuggets
		b.Wanted = max(b.Wanted, set.Current)
		b.Duty = max(b.Duty, set.On/(set.On+set.Off))
	}
	b.finish(supplyOfRoller(w))
	return b
}

// finish reckons what follows from current time and duty. power² x duty may not pass rating² x 0.5: ISO 669, memory.
func (b *Budget) finish(s supply) {
	b.Lost = b.Energy - b.Heat/3.6e6
	if b.Drawn = s.apparent(b.Wanted); b.Drawn > 0 {
		b.Allowed = min(1, 0.5*(b.Rating/b.Drawn)*(b.Rating/b.Drawn))
	}
	b.WaterLeast, b.WaterBest = electrodes*leastFlow, electrodes*bestFlow
	if b.Current > 0 {
		b.Rise = b.Heat / b.Current * b.Duty / (waterHeat * b.WaterBest / 60)
	}
}

// Stacks lists the different stack-ups of a joint's strips, in the plan's order.
func Stacks(p *layout.Plan, in *inforce.Rules, joint string) ([]rule.Stack, error) {
	var out []rule.Stack
	for i := range p.Flanges {
		if p.Flanges[i].Joint != joint {
			continue
		}
		s, err := in.Stack(p.Flanges[i].Panels)
		if err != nil {
			return nil, fmt.Errorf("flange %s: %w", p.Flanges[i].ID, err)
		}
		if !slices.ContainsFunc(out, func(o rule.Stack) bool { return keyOf(o) == keyOf(s) }) {
			out = append(out, s)
		}
	}
	return out, nil
}

// Round puts the figures at the precision in which they are printed.
func (b *Budget) Round() {
	for _, v := range []*float64{&b.Metres, &b.Heat, &b.EachLeast, &b.EachMost, &b.Current, &b.Energy, &b.Lost, &b.Rating, &b.Power,
		&b.Wanted,
		&b.Deliverable, &b.Drawn, &b.Duty, &b.Allowed, &b.WaterLeast, &b.WaterBest, &b.Rise} {
		*v = math.Round(*v*1e4) / 1e4
	}
}
