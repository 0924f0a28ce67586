package planner

import (
	"context"

	"seamwright/seams/shell"
)

// chooseGuns gives every weld its gun and tip.
func (b *builder) chooseGuns(context.Context) error {
	for _, w := range b.welds {
		guns := b.gunsAt(w.station)
		if len(guns) == 0 {
			continue
		}
		w.gun = guns[0]
		if len(w.gun.Tips) > 0 {
			if t, ok := b.Shell.Tip(w.gun.Tips[0]); ok {
				w.tip = t
			}
		}
	}
	return nil
}

// gunsAt is the guns at hand at a station, all of them where the station names none.
func (b *builder) gunsAt(station int) []*shell.Gun {
	named := b.plan.Stations[station].Guns
	var out []*shell.Gun
	for i := range b.Shell.Guns {
		g := &b.Shell.Guns[i]
		if len(named) == 0 || contains(named, g.ID) {
			out = append(out, g)
		}
	}
	return out
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
