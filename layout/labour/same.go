package labour

import (
	"reflect"

	"seamwright/seams/shell"
)

// SamePlan says whether two shell files give the same plan but for time and money: whether they differ in nothing but
// batch, people, shifts, crews, preparation, changeover, rates, allowances, spreads, prices of steel and other things, powers and those
// element times that no decision hangs on. Moving, taking up guns, changing tips and settings and changing posture decide the order of
// the welds, how often welds are looked at stands on the maps, and what a gun's handing over and a jig's making again take, in the plan's
// stations.
func SamePlan(a, b *shell.Shell) bool {
	return reflect.DeepEqual(bare(a), bare(b))
}

// bare is a copy without what only time and money hang on.
func bare(sh *shell.Shell) *shell.Shell {
	out := *sh
	out.Batch, out.Allowances, out.Spreads = 0, shell.Allowances{}, nil
	out.Rates = shell.Rates{JigBase: sh.Rates.JigBase, JigFix: sh.Rates.JigFix}
	out.People, out.Shifts, out.Material, out.Offer = 0, 0, nil, shell.Offer{}
	e := sh.Elements
	out.Elements = shell.Elements{MoveSpeed: e.MoveSpeed, TakeGun: e.TakeGun, TipChange: e.TipChange, SetChange: e.SetChange,
		Posture: e.Posture, HandOver: e.HandOver, Squeeze: e.Squeeze, InspectEvery: e.InspectEvery}
	out.Stations = append([]shell.Station(nil), sh.Stations...)
	for i := range out.Stations {
		s := &out.Stations[i]
		s.Crew, s.Prepare, s.Change = 0, 0, 0
	}
	out.Guns = append([]shell.Gun(nil), sh.Guns...)
	for i := range out.Guns {
		out.Guns[i].Power = 0
	}
	out.Tips = append([]shell.Tip(nil), sh.Tips...)
	for i := range out.Tips {
		out.Tips[i].Price = 0
	}
	out.Rollers = append([]shell.Roller(nil), sh.Rollers...)
	for i := range out.Rollers {
		out.Rollers[i].Price, out.Rollers[i].Power = 0, 0
	}
	return &out
}
