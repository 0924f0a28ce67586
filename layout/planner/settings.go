package planner

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"seamwright/layout"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// settings numbers the settings in the order in which they are first needed: one for each stack-up.
type settings struct {
	spot map[string]string // stack to id
}

// stackKey names a stack-up whichever side it is seen from.
func stackKey(s rule.Stack) (key string, turned rule.Stack) {
	word := func(s rule.Stack) string {
		parts := make([]string, len(s))
		for i, sheet := range s {
			parts[i] = fmt.Sprintf("%06.3f %s %g", sheet.Thickness, sheet.Coating, sheet.Tensile)
		}
		return strings.Join(parts, "|")
	}
	back := make(rule.Stack, len(s))
	for i := range s {
		back[len(s)-1-i] = s[i]
	}
	if a, b := word(s), word(back); b < a {
		return b, back
	}
	return word(s), s
}

// chooseSettings gives every weld and roller seam its starting setting.
func (b *builder) chooseSettings(context.Context) error {
	b.settings.spot = map[string]string{}
	for _, w := range b.welds {
		key, stack := stackKey(w.strip.stack)
		id, known := b.settings.spot[key]
		if !known {
			var err error
			if id, err = b.spotSetting(w.strip, stack); err != nil {
				return err
			}
			b.settings.spot[key] = id
		}
		w.setting = id
	}
	for _, s := range b.seams {
		s.setting = b.rollerSetting(s)
	}
	return nil
}

func (b *builder) spotSetting(s *strip, stack rule.Stack) (string, error) {
	where := "stack of flange " + s.id
	for _, p := range rule.Check(stack) {
		b.problem(p, where, layout.Vec{})
	}
	set, err := setting.Spot(stack, setting.Options{Frequency: b.Shell.Supply.Frequency, Squeeze: b.Shell.Elements.Squeeze})
	if errors.Is(err, setting.ErrOutside) || errors.Is(err, setting.ErrStack) {
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: "setting", Severity: layout.Broken, Where: where, Source: "setting tables", Remedy: err.Error() + ": find a setting by test",
		})
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("setting for %s: %w", where, err)
	}
	for _, p := range set.Problems {
		b.problem(p, where, layout.Vec{})
	}
	id := fmt.Sprintf("S%d", len(b.settings.spot)+1)
	b.plan.Settings = append(b.plan.Settings, layout.Setting{
		ID: id, Kind: "spot", Stack: set.Stack, Force: set.Force, Current: set.Current, Squeeze: set.Squeeze, Weld: set.Weld, Hold: set.Hold,
		Face: set.Face, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty), Note: strings.Join(append([]string{set.Caution}, set.Notes...), " "),
	})
	return id, nil
}

func (b *builder) rollerSetting(s *seam) string {
	where := "roller seam " + s.strip.id
	set, err := roller.Set(s.strip.stack, roller.Options{Frequency: b.Shell.Supply.Frequency, Speed: s.roller.Speed * 1000 / 60, Wheel: s.roller.Wheel})
	if err != nil {
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: "setting", Severity: layout.Broken, Where: where, Source: "roller setting table", Remedy: err.Error() + ": find a setting by test",
		})
		return ""
	}
	s.speed, s.seconds = set.Speed, set.Time(s.rolled)
	for i, have := range b.plan.Settings {
		if have.Kind == "roller" && have.Stack == set.Stack && have.Speed == set.Speed && have.Face == set.Wheel {
			return b.plan.Settings[i].ID
		}
	}
	for _, p := range set.Problems {
		b.problem(p, where, layout.Vec{})
	}
	id := fmt.Sprintf("R%d", b.countRollerSettings()+1)
	b.plan.Settings = append(b.plan.Settings, layout.Setting{
		ID: id, Kind: "roller", Stack: set.Stack, Force: set.Force, Current: set.Current, Weld: set.On, Hold: set.Off, Face: set.Wheel,
		Speed: set.Speed, Pitch: set.Pitch, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note: strings.Join(append([]string{set.Caution, roller.Water}, set.Notes...), " "),
	})
	return id
}

func (b *builder) countRollerSettings() int {
	n := 0
	for _, s := range b.plan.Settings {
		if s.Kind == "roller" {
			n++
		}
	}
	return n
}

// problem makes a finding of a rule's problem; the same rule at the same place is said once.
func (b *builder) problem(p rule.Problem, where string, at layout.Vec) {
	f := layout.Finding{
		Rule: p.Rule, Severity: string(p.Severity), Where: where, Value: p.Value, Limit: p.Limit, Unit: p.Unit,
		Source: source(rule.Limit{Source: p.Source, Certainty: p.Certainty}), Remedy: p.Remedy, At: at,
	}
	for _, have := range b.plan.Findings {
		if have == f {
			return
		}
	}
	b.plan.Findings = append(b.plan.Findings, f)
}
