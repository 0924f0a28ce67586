package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/seams/inforce"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// Budget is what a gun or roller head takes for one shell. Everything in it is an estimate: heat by I² R t with the
// panel resistance of setting.PanelResistance, power drawn by the shell file's share of the rating.
type Budget struct {
	Tool      string  `json:"tool"`
	Letter    string  `json:"letter"`
	Welds     int     `json:"welds"`
	Metres    float64 `json:"metres"`            // of roller seam
	Heat      float64 `json:"heat_j"`            // in the welds, a shell; 0 for a roller
	EachLeast float64 `json:"heat_each_least_j"` // of one weld
	EachMost  float64 `json:"heat_each_most_j"`  // of one weld
	Current   float64 `json:"current_s"`         // with current on, a shell
	Energy    float64 `json:"energy_kwh"`        // drawn, a shell
	Rating    float64 `json:"rating_kva"`        // at 50 % duty
	Drawn     float64 `json:"drawn_kva"`         // while current flows
	Duty      float64 `json:"duty"`              // part of the time, welding without a pause
	Allowed   float64 `json:"allowed_duty"`      // that the rating allows
	Water     float64 `json:"water_l_per_min"`   // that carries off all that is drawn at that duty, 10 K warmer
	Basis     string  `json:"basis"`
}

// waterRise is the warming of the cooling water, K; common practice, no source. waterHeat is J/(kg K) of water at room
// temperature, one litre a kilogram: memory, a physical constant.
const (
	waterRise = 10.0
	waterHeat = 4186.0
)

const budgetBasis = "estimate: heat I² R t with 100 µΩ (read in one source), power drawn as rates.utilisation_pct of the rating, all of " +
	"it into the water at 10 K rise (common practice, no source)"

// Budgets reckons energy, duty and cooling water of every gun and roller head that the plan uses, in the shell's order.
// What has no setting is left out; the check says so.
func Budgets(p *layout.Plan, sh *shell.Shell, in *inforce.Rules) ([]Budget, error) {
	c := newChecker(p, sh, in)
	if err := c.gather(); err != nil {
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
	b := Budget{Tool: g.ID, Letter: g.Letter, Rating: g.Power, Drawn: c.drawn(g.Power), Basis: budgetBasis}
	sets := map[string]setting.Setting{}
	for _, s := range c.strips {
		for _, w := range s.welds {
			if w.Gun != g.ID {
				continue
			}
			set, known := sets[keyOf(s.stack)]
			if !known {
				var err error
				if set, err = setting.Spot(s.stack, c.in.Spot()); err != nil {
					continue
				}
				sets[keyOf(s.stack)] = set
			}
			b.add(set, c.rate(set))
		}
	}
	b.finish()
	return b
}

func (b *Budget) add(set setting.Setting, rate float64) {
	heat := set.Energy(0)
	if b.Welds == 0 || heat < b.EachLeast {
		b.EachLeast = heat
	}
	b.EachMost = max(b.EachMost, heat)
	b.Welds++
	b.Heat += heat
	b.Current += set.Weld
	b.Duty = max(b.Duty, set.Duty(rate))
}

func (c *checker) rollerBudget(w *shell.Roller) Budget {
	b := Budget{Tool: w.ID, Letter: w.Letter, Rating: w.Power, Drawn: c.drawn(w.Power), Basis: strings.Replace(budgetBasis,
		"heat I² R t with 100 µΩ (read in one source), ", "", 1)}
	for _, r := range c.plan.Seams {
		s := c.stripOf(r.Flange)
		if r.Roller != w.ID || s == nil {
			continue
		}
		set, err := roller.Set(s.stack, c.in.Roller(w))
		if err != nil {
			continue
		}
		duty := set.On / (set.On + set.Off)
		b.Metres += r.Length / 1000
		b.Current += set.Time(r.Length) * duty
		b.Duty = max(b.Duty, duty)
	}
	b.finish()
	return b
}

// finish reckons what follows from current time and duty. power² x duty may not pass rating² x 0.5: ISO 669, memory.
func (b *Budget) finish() {
	b.Energy = b.Drawn * b.Current / 3600
	if b.Drawn > 0 {
		b.Allowed = min(1, 0.5*(b.Rating/b.Drawn)*(b.Rating/b.Drawn))
	}
	b.Water = b.Drawn * 1000 * b.Duty / (waterHeat * waterRise) * 60
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
	for _, v := range []*float64{&b.Metres, &b.Heat, &b.EachLeast, &b.EachMost, &b.Current, &b.Energy, &b.Rating, &b.Drawn, &b.Duty,
		&b.Allowed, &b.Water} {
		*v = math.Round(*v*1e4) / 1e4
	}
}
