package order

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout/tour"
)

// Defaults of Options. Common practice, no source.
const (
	DefaultWalkSpeed  = 500.0 // mm/s
	DefaultMiddleFrom = 600.0 // mm
	DefaultExactUpTo  = 14    // groups
	mostPhases        = 1000
	greatestExact     = 31 // groups; their sets are the bits of a word
)

// Sequence orders the stops of one station. It fails on a stop that is no place, on a pair that names no
// stop, and when no order keeps what must come first, naming the stops that wait for each other. Cancelled, it stops soon.
func Sequence(ctx context.Context, stops []Stop, opt Options) (Plan, error) {
	opt.WalkSpeed = orDefault(opt.WalkSpeed, DefaultWalkSpeed)
	opt.MiddleFrom = orDefault(opt.MiddleFrom, DefaultMiddleFrom)
	opt.ExactUpTo = min(orDefault(opt.ExactUpTo, DefaultExactUpTo), greatestExact)
	if err := sound(stops, opt); err != nil {
		return Plan{}, err
	}
	p, err := build(stops, opt)
	if err != nil {
		return Plan{}, err
	}
	turns, proven := tour.Find(ctx, p.toured(stops), tour.Prices{Speed: opt.WalkSpeed, Gun: opt.GunChange, Tip: opt.TipChange,
		Setting: opt.SetChange, Posture: opt.Posture, Start: opt.Start}, opt.ExactUpTo)
	if err := ctx.Err(); err != nil {
		return Plan{}, err
	}
	plan := p.written(turns, stops)
	plan.Proven = proven
	return plan, nil
}

// toured are the groups as what there is to go through.
func (p *problem) toured(stops []Stop) []tour.Group {
	out := make([]tour.Group, len(p.groups))
	for i, g := range p.groups {
		out[i] = tour.Group{Stage: g.stage, Before: g.before, Gun: g.key.gun, Tip: g.key.tip, Setting: g.key.setting}
		for _, w := range g.ways {
			out[i].Ways = append(out[i].Ways, w.toured(stops, p.opt))
		}
	}
	return out
}

// toured is the way with what it takes, changes of posture between its runs included.
func (w way) toured(stops []Stop, opt Options) tour.Way {
	last := w.runs[len(w.runs)-1]
	out := tour.Way{Entry: tour.End{At: w.entry, Axis: stops[w.runs[0][0]].Axis},
		Exit: tour.End{At: w.exit, Axis: stops[last[len(last)-1]].Axis}, Seconds: w.travel / opt.WalkSpeed}
	for k := 1; k < len(w.runs); k++ {
		a, b := stops[w.runs[k-1][len(w.runs[k-1])-1]], stops[w.runs[k][0]]
		if tour.AnotherPosture(a.Position, a.Axis, b.Position, b.Axis) {
			out.Seconds += opt.Posture
		}
	}
	return out
}

func sound(stops []Stop, opt Options) error {
	for _, s := range stops {
		for _, v := range []r3.Vector{s.Position, s.End} {
			if n := v.Norm() + s.Along; math.IsNaN(n) || math.IsInf(n, 0) {
				return fmt.Errorf("stop %s is not at a finite place", s.ID)
			}
		}
		if s.Phase < 0 || s.Phase > mostPhases {
			return fmt.Errorf("stop %s: phase %d: there are phases 0 to %d", s.ID, s.Phase, mostPhases)
		}
		if known := patternsOf(s.Step); !slices.Contains(known, s.Pattern) {
			return fmt.Errorf("stop %s: pattern %q is not known: write %s, or leave it out", s.ID, s.Pattern, named(known[1:]))
		}
		if stepRank(s.Step) < 0 {
			return fmt.Errorf("stop %s: step %q is not known: write %s, %s, %s, %s or %s", s.ID, s.Step, Hold, Tack, Fill, Released, Roll)
		}
	}
	for _, p := range opt.Pairs {
		if min(p.First, p.Then) < 0 || max(p.First, p.Then) >= len(stops) || p.First == p.Then {
			return fmt.Errorf("pair of stops %d and %d: there are stops 0 to %d", p.First, p.Then, len(stops)-1)
		}
	}
	for _, v := range []float64{opt.WalkSpeed, opt.GunChange, opt.TipChange, opt.SetChange, opt.Posture, opt.MiddleFrom} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return fmt.Errorf("a speed, time or length of %g is none", v)
		}
	}
	return nil
}

// written turns the order of groups into an order of stops with their runs and reasons.
func (p *problem) written(turns []tour.Turn, stops []Stop) Plan {
	plan := Plan{Waits: make([]string, len(stops))}
	waits := make([][]string, len(stops))
	held := make([]bool, len(p.holds))
	for _, t := range turns {
		g := p.groups[t.Group]
		for k, h := range p.holds {
			if !held[k] && (h.every || slices.Contains(h.before, t.Group)) {
				held[k] = true
				plan.Order = append(plan.Order, h.stop)
				waits[g.ways[t.Way].runs[0][0]] = append(waits[g.ways[t.Way].runs[0][0]], "waits for "+stops[h.stop].ID)
			}
		}
		for _, run := range g.ways[t.Way].runs {
			plan.addRun(g, t.Way, run, stops)
		}
	}
	for k, h := range p.holds { // hold points of joints that have no work here
		if !held[k] {
			plan.Order = append(plan.Order, h.stop)
		}
	}
	p.explain(waits, stops)
	for i := range stops {
		plan.Waits[i] = strings.Join(waits[i], "; ")
	}
	plan.count(stops, p.opt)
	return plan
}

func (plan *Plan) addRun(g group, way int, run []int, stops []Stop) {
	k := g.key
	r := Run{Step: k.step, Joint: k.joint, Flange: k.flange, Gun: k.gun, Tip: k.tip, Setting: k.setting, From: len(plan.Order),
		Count: len(run)}
	if k.step == Roll {
		r.Backwards = way == 1
		r.Travel = g.ways[way].travel
	}
	for i := 1; i < len(run); i++ {
		r.Travel += stops[run[i]].Position.Distance(stops[run[i-1]].Position)
	}
	plan.Order = append(plan.Order, run...)
	plan.Runs = append(plan.Runs, r)
}

// explain says why each stop is not earlier.
func (p *problem) explain(waits [][]string, stops []Stop) {
	tacks, spots := map[int]bool{}, map[int]bool{} // by phase
	for g := range p.groups {
		k := p.groups[g].key
		tacks[k.phase], spots[k.phase] = tacks[k.phase] || k.step == Tack, spots[k.phase] || k.step != Roll
	}
	for i, s := range stops {
		if s.Loaded != "" {
			waits[i] = append(waits[i], "waits until "+s.Loaded+" is loaded")
		}
		switch {
		case len(s.Clamps) > 0:
			waits[i] = append(waits[i], "waits for "+listed(s.Clamps))
		case s.Step == Roll && spots[s.Phase]:
			waits[i] = append(waits[i], "waits for the spots")
		case tacks[s.Phase] && (s.Step == Fill || s.Step == Released):
			waits[i] = append(waits[i], "waits for the tacks")
		}
	}
	for _, pair := range p.opt.Pairs {
		why := pair.Why
		if why == "" {
			why = "waits for " + stops[pair.First].ID
		}
		if !slices.Contains(waits[pair.Then], why) {
			waits[pair.Then] = append(waits[pair.Then], why)
		}
	}
}

// listed joins names: clamp C4 and clamp C7.
func listed(names []string) string {
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// count adds up travel and changes along the order, hold points included.
func (plan *Plan) count(stops []Stop, opt Options) {
	backwards, begins := map[int]bool{}, map[int]bool{}
	for _, r := range plan.Runs {
		backwards[plan.Order[r.From]], begins[plan.Order[r.From]] = r.Backwards, true
	}
	at, known, tool := r3.Vector{}, opt.Start != nil, -1
	if known {
		at = *opt.Start
	}
	first, latest := map[string]int{}, map[string]int{} // by gun: stops
	var guns []string
	for _, i := range plan.Order {
		s := stops[i]
		come, leave := s.Position, s.Position
		if s.Step == Roll && !s.Closed {
			leave = s.End
			if backwards[i] {
				come, leave = leave, come
			}
		}
		if known {
			plan.Travel += come.Distance(at)
		}
		plan.Travel += leave.Distance(come)
		at, known = leave, true
		if s.Step == Hold {
			continue
		}
		if tool >= 0 && stops[tool].Gun != s.Gun {
			plan.GunChanges++
		}
		if b := begins[i] && tool >= 0; b && tour.AnotherPosture(stops[tool].Position, stops[tool].Axis, s.Position, s.Axis) {
			plan.Postures++
		}
		if _, used := first[s.Gun]; used {
			plan.addDressing(stops[latest[s.Gun]], s)
		} else {
			first[s.Gun] = i
			guns = append(guns, s.Gun)
		}
		tool, latest[s.Gun] = i, i
	}
	for _, gun := range guns {
		plan.addDressing(stops[latest[gun]], stops[first[gun]])
	}
	plan.Seconds = plan.Travel/opt.WalkSpeed + float64(float64(plan.GunChanges)*opt.GunChange) +
		float64(float64(plan.TipChanges)*opt.TipChange) + float64(float64(plan.SetChanges)*opt.SetChange) +
		float64(float64(plan.Postures)*opt.Posture)
}

// addDressing counts what is changed on one gun from one stop to its next.
func (plan *Plan) addDressing(a, b Stop) {
	if a.Tip != b.Tip {
		plan.TipChanges++
	}
	if a.Setting != b.Setting {
		plan.SetChanges++
	}
}

func orDefault[T cmp.Ordered](v, otherwise T) T {
	var zero T
	if v == zero {
		return otherwise
	}
	return v
}
