package setup

import (
	"fmt"
	"math"

	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/layout/supply"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// Current judges that a gun or roller head drives the setting's current, and that it draws at least what its welds take.
func (c Judge) Current(s supply.Supply, set setting.Setting, on *strips.Strip, at ledger.Place) {
	words := at.Words
	judge := func(l rule.Limit, value float64, what string) {
		at.Words = words + what
		if !c.Keeps(l, value, 1e-6*l.Value, func() string { return words }) {
			c.Find(l, value, on.Stack, rule.Given{}, at)
		}
	}
	if s.Deliverable() > 0 {
		heat := math.Min(1, math.Pow(s.Deliverable()/set.Current, 2))
		judge(c.partOf("gun.current.least", on, set), s.Deliverable(), fmt.Sprintf(": of its %s A in a short circuit it drives %s A through "+
			"the sheets, which gives %s %% of the weld's heat", finding.Brief(s.Current), finding.Brief(s.Deliverable()),
			finding.Brief(math.Floor(100*heat))))
	}
	if s.Voltage > 0 {
		l := c.partOf("gun.voltage.least", on, set)
		judge(l, s.Voltage, fmt.Sprintf(": %s V at its open %s, of which %s V fall over the sheets", finding.Brief(s.Voltage), s.Ends,
			finding.Brief(l.Value)))
	}
	if s.Voltage > 0 && s.Current > 0 && s.Rating > 0 {
		l := c.Limit("gun.short.least", on.Stack, rule.Given{})
		l.Value, l.Unit = l.Value*s.Rating, "kVA"
		judge(l, s.Apparent(s.Current), fmt.Sprintf(": %s kVA in a short circuit, rated at %s kVA", finding.Brief(s.Apparent(s.Current)),
			finding.Brief(s.Rating)))
	}
	if energy, flows := c.drawnPerWeld(s, set); energy > 0 {
		l := c.partOf("gun.energy.least", on, set)
		judge(l, energy, fmt.Sprintf(": %s J drawn at %s A for a weld that takes %s J", finding.Brief(energy), finding.Brief(flows),
			finding.Brief(l.Value)))
	}
}

// drawnPerWeld is the energy in J that is drawn for one weld at the current (A) that really flows: the setting's, or the greatest that
// the gun drives through sheets. It is of open voltage times that current, and of no more than the rating where one is stated;
// 0: neither is stated.
func (c Judge) drawnPerWeld(s supply.Supply, set setting.Setting) (energy, flows float64) {
	flows = set.Current
	if s.Deliverable() > 0 {
		flows = min(flows, s.Deliverable())
	}
	power := s.Apparent(flows)
	if s.Rating > 0 && (power == 0 || s.Rating < power) {
		power = s.Rating
	}
	return supply.Power(c.Shell, power) * 1000 * set.Weld, flows
}

// duty judges the quickest rate at which the shell's own times let welds follow each other.
func (c Judge) duty(s supply.Supply, set setting.Setting, words string, list []strips.Spot) {
	apparent := s.Apparent(set.Current)
	if !(s.Rating > 0) || !(apparent > 0) {
		return
	}
	l := c.Limit("gun.duty.greatest", list[0].Strip.Stack, rule.Given{})
	rate := supply.Rate(c.Shell, set)
	allowed, err := set.WeldsPerMinute(s.Rating, apparent)
	if err != nil {
		return
	}
	l.Value, l.Unit = l.Value*allowed, "welds a minute"
	at := placeOfUse(list, fmt.Sprintf("%s: %s kVA drawn with current on, the rating of %s kVA at 50 %% duty is passed while welding "+
		"without a pause",
		words, finding.Brief(apparent), finding.Brief(s.Rating)))
	if !c.Keeps(l, rate, 1e-9, func() string { return words }) {
		c.Find(l, rate, list[0].Strip.Stack, rule.Given{}, at)
	}
}

// Unstated says which figures of a gun or roller head are not stated, so that it is not held against settings.
func (c Judge) Unstated(s supply.Supply) {
	if !(s.Deliverable() > 0) {
		c.Unchecked("%s: its greatest short-circuit current is not stated (current_a), so the current that it gives is not held against the "+
			"settings", s.Name)
	}
	if !(s.Rating > 0) || !(s.Voltage > 0) {
		c.Unchecked("%s: its rating or the voltage at its open %s is not stated (power_kva, voltage_v), so its duty is not judged", s.Name,
			s.Ends)
	}
}

func (c Judge) forceUnstated(g *shell.Gun) {
	if !(g.Force > 0) {
		c.Unchecked("gun %s: its greatest force is not stated, so it is not held against the settings", g.ID)
	}
}
