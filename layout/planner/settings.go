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
			if id, err = b.spotSetting(stack); err != nil {
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

// spotSetting adds the setting of a stack-up to the plan. A stack-up without one has none: the check says so.
func (b *builder) spotSetting(stack rule.Stack) (string, error) {
	set, err := setting.Spot(stack, b.rules.Spot())
	if errors.Is(err, setting.ErrOutside) || errors.Is(err, setting.ErrStack) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	id := fmt.Sprintf("S%d", len(b.settings.spot)+1)
	b.plan.Settings = append(b.plan.Settings, layout.Setting{
		ID: id, Kind: layout.SpotSetting, Stack: set.Stack, Force: set.Force, Current: set.Current, Squeeze: set.Squeeze, Weld: set.Weld,
		Hold: set.Hold,
		Face: set.Face, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note:   strings.Join(append([]string{set.Caution}, set.Notes...), " "),
		Supply: layout.Supply(b.Shell.Supply.Kind), Frequency: set.Frequency, SqueezeCycles: set.SqueezeCycles, WeldCycles: set.WeldCycles,
		HoldCycles: set.HoldCycles,
		Nugget:     set.Nugget, Shear: set.Shear,
	})
	return id, nil
}

func (b *builder) rollerSetting(s *seam) string {
	set, err := roller.Set(s.strip.stack, b.rules.Roller(s.roller))
	if err != nil {
		return "" // the check says so
	}
	s.speed, s.seconds = set.Speed, set.Time(s.rolled)
	for i, have := range b.plan.Settings {
		if have.Kind == layout.RollerSetting && have.Stack == set.Stack && have.Speed == set.Speed && have.Face == set.Wheel {
			return b.plan.Settings[i].ID
		}
	}
	id := fmt.Sprintf("R%d", b.countRollerSettings()+1)
	b.plan.Settings = append(b.plan.Settings, layout.Setting{
		ID: id, Kind: layout.RollerSetting, Stack: set.Stack, Force: set.Force, Current: set.Current, Weld: set.On, Hold: set.Off,
		Face:  set.Wheel,
		Speed: set.Speed, Pitch: set.Pitch, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note:   strings.Join(append([]string{set.Caution, roller.Water}, set.Notes...), " "),
		Supply: layout.AC, Frequency: set.Frequency, WeldCycles: set.OnCycles, HoldCycles: set.OffCycles,
	})
	return id
}

func (b *builder) countRollerSettings() int {
	n := 0
	for _, s := range b.plan.Settings {
		if s.Kind == layout.RollerSetting {
			n++
		}
	}
	return n
}
