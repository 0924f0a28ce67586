package planner

import (
	"errors"
	"fmt"
	"strings"

	"seamwright/layout"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// set is the settings, numbered in the order in which they are first needed.
type set struct {
	list    []layout.Setting
	spots   map[string]string       // by stack-up and table, the setting's id; empty: none holds for it
	welded  map[*strip]string       // of each strip with welds, the setting's id
	rolling map[*seam]rollerSetting // of each roller seam
}

// rollerSetting is a seam's setting with what follows for that seam.
type rollerSetting struct {
	id      string
	speed   float64
	seconds float64
}

// of is the setting of an id; empty for none.
func (s *set) of(id string) layout.Setting {
	for _, x := range s.list {
		if x.ID == id {
			return x
		}
	}
	return layout.Setting{}
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

// choose gives every weld and roller seam its starting setting.
func choose(b basis, j *joined, r *rolled, l *laid) (*set, error) {
	out := &set{spots: map[string]string{}, welded: map[*strip]string{}, rolling: map[*seam]rollerSetting{}}
	for _, w := range l.welds {
		if _, seen := out.welded[w.strip]; seen {
			continue
		}
		key, stack := stackKey(w.strip.stack)
		opt := b.rules.Spot(b.stated(j, w.strip))
		key += " by " + opt.Table
		id, known := out.spots[key]
		if !known {
			var err error
			if id, err = out.addSpot(b, stack, opt); err != nil {
				return nil, err
			}
		}
		out.spots[key], out.welded[w.strip] = id, id
	}
	for _, s := range r.seams {
		out.rolling[s] = out.addRoller(b, s)
	}
	return out, nil
}

// addSpot adds the setting of a stack-up. A stack-up without one has none: the check says so.
func (s *set) addSpot(b basis, stack rule.Stack, opt setting.Options) (string, error) {
	set, err := setting.Spot(stack, opt)
	if errors.Is(err, setting.ErrOutside) || errors.Is(err, setting.ErrStack) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	id := fmt.Sprintf("S%d", len(s.spots)+1)
	s.list = append(s.list, layout.Setting{
		ID: id, Kind: layout.SpotSetting, Stack: set.Stack, Force: set.Force, Current: set.Current, Squeeze: set.Squeeze, Weld: set.Weld,
		Hold: set.Hold, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note:   strings.Join(append([]string{set.Caution}, set.Notes...), " "),
		Supply: layout.Supply(b.shell.Supply.Kind), Frequency: set.Frequency, SqueezeCycles: set.SqueezeCycles, WeldCycles: set.WeldCycles,
		HoldCycles:     set.HoldCycles,
		SqueezeByShell: true,
		Nugget:         set.Nugget, Shear: set.Shear,
	})
	return id, nil
}

func (s *set) addRoller(b basis, on *seam) rollerSetting {
	set, err := roller.Set(on.strip.stack, b.rules.Roller(on.roller))
	if err != nil {
		return rollerSetting{} // the check says so
	}
	out := rollerSetting{speed: set.Speed, seconds: set.Time(on.rolled)}
	n := 0
	for _, have := range s.list {
		if have.Kind != layout.RollerSetting {
			continue
		}
		if n++; have.Stack == set.Stack && have.Speed == set.Speed && have.Wheel == set.Wheel {
			out.id = have.ID
			return out
		}
	}
	out.id = fmt.Sprintf("R%d", n+1)
	s.list = append(s.list, layout.Setting{
		ID: out.id, Kind: layout.RollerSetting, Stack: set.Stack, Force: set.Force, Current: set.Current, Weld: set.On, Hold: set.Off,
		Wheel: set.Wheel,
		Speed: set.Speed, Pitch: set.Pitch, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note:   strings.Join(append([]string{set.Caution}, set.Notes...), " "),
		Supply: layout.AC, Frequency: set.Frequency, WeldCycles: set.OnCycles, HoldCycles: set.OffCycles,
	})
	return out
}
