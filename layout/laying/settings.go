package laying

import (
	"errors"
	"fmt"
	"strings"

	"seamwright/layout"
	"seamwright/layout/joining"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// Set is the settings, numbered in the order in which they are first needed.
type Set struct {
	List    []layout.Setting
	spots   map[string]string         // by stack-up and table, the setting's id; empty: none holds for it
	Welded  map[*joining.Strip]string // of each strip with welds, the setting's id
	Rolling map[*Seam]rollerSetting   // of each roller seam
}

// rollerSetting is a seam's setting with what follows for that seam.
type rollerSetting struct {
	ID      string
	Speed   float64
	Seconds float64
}

// Of is the setting of an id; empty for none.
func (s *Set) Of(id string) layout.Setting {
	for _, x := range s.List {
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

// Choose gives every weld and roller seam its starting setting.
func Choose(b joining.Basis, j *joining.Joined, r *Rolled, l *Laid) (*Set, error) {
	out := &Set{spots: map[string]string{}, Welded: map[*joining.Strip]string{}, Rolling: map[*Seam]rollerSetting{}}
	for _, w := range l.Welds {
		if _, seen := out.Welded[w.Strip]; seen {
			continue
		}
		key, stack := stackKey(w.Strip.Stack)
		opt := b.Rules.Spot(b.Stated(j, w.Strip))
		key += " by " + opt.Table
		id, known := out.spots[key]
		if !known {
			var err error
			if id, err = out.addSpot(b, stack, opt); err != nil {
				return nil, err
			}
		}
		out.spots[key], out.Welded[w.Strip] = id, id
	}
	for _, s := range r.Seams {
		out.Rolling[s] = out.addRoller(b, s)
	}
	return out, nil
}

// addSpot adds the setting of a stack-up. A stack-up without one has none: the check says so.
func (s *Set) addSpot(b joining.Basis, stack rule.Stack, opt setting.Options) (string, error) {
	set, err := setting.Spot(stack, opt)
	if errors.Is(err, setting.ErrOutside) || errors.Is(err, setting.ErrStack) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	id := fmt.Sprintf("S%d", len(s.spots)+1)
	s.List = append(s.List, layout.Setting{
		ID: id, Kind: layout.SpotSetting, Stack: set.Stack, Force: set.Force, Current: set.Current, Squeeze: set.Squeeze, Weld: set.Weld,
		Hold: set.Hold, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note:   strings.Join(append([]string{set.Caution}, set.Notes...), " "),
		Supply: layout.Supply(b.Shell.Supply.Kind), Frequency: set.Frequency, SqueezeCycles: set.SqueezeCycles, WeldCycles: set.WeldCycles,
		HoldCycles:     set.HoldCycles,
		SqueezeByShell: true,
		Nugget:         set.Nugget, Shear: set.Shear,
	})
	return id, nil
}

func (s *Set) addRoller(b joining.Basis, on *Seam) rollerSetting {
	set, err := roller.Set(on.Strip.Stack, b.Rules.Roller(on.Roller))
	if err != nil {
		return rollerSetting{} // the check says so
	}
	out := rollerSetting{Speed: set.Speed, Seconds: set.Time(on.rolled)}
	n := 0
	for _, have := range s.List {
		if have.Kind != layout.RollerSetting {
			continue
		}
		if n++; have.Stack == set.Stack && have.Speed == set.Speed && have.Wheel == set.Wheel {
			out.ID = have.ID
			return out
		}
	}
	out.ID = fmt.Sprintf("R%d", n+1)
	s.List = append(s.List, layout.Setting{
		ID: out.ID, Kind: layout.RollerSetting, Stack: set.Stack, Force: set.Force, Current: set.Current, Weld: set.On, Hold: set.Off,
		Wheel: set.Wheel,
		Speed: set.Speed, Pitch: set.Pitch, Source: fmt.Sprintf("%s (%s)", set.Source, set.Certainty),
		Note:   strings.Join(append([]string{set.Caution}, set.Notes...), " "),
		Supply: layout.AC, Frequency: set.Frequency, WeldCycles: set.OnCycles, HoldCycles: set.OffCycles,
	})
	return out
}
