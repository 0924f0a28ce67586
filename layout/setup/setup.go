// Package setup judges with what a stack-up is welded: its sheets, the setting that is found for it, tips and guns; of a plan's stacks, and
// of one alone before anything is planned on it.
//
//	judge := setup.Judge{Ledger: ledger.New(all)} // all: strips.Gather's
//	judge.Setups()
//	report := judge.Sum()
//
//	asked, err := setup.OfStack(stack, joint, sh, in) // findings, and what is asked of widths, tips and guns
//
// In go strips or a stack, the shell's tips and guns, and the rules in force; out come findings in the ledger. Where welds lie is no
// matter here. Millimetres, newtons, amperes, kVA.
package setup

import (
	"fmt"
	"math"

	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// Judge holds the rules of stacks, settings, tips and guns against what a ledger is of.
type Judge struct{ *ledger.Ledger }

// Setups judges every stack-up of the plan with its setting, and the tips and guns that weld it.
func (c Judge) Setups() {
	c.stacks()
	c.settings()
	c.tips()
	c.faces()
	c.guns()
}

// partOf is the limit of a rule that counts in parts of the setting, or of the least weld, in the unit of that.
func (c Judge) partOf(id string, s *strips.Strip, set setting.Setting) rule.Limit {
	l := c.Limit(id, s.Stack, rule.Given{})
	whole := map[string]struct {
		value float64
		unit  string
	}{
		"tip.weld.least": {s.Limits.LeastWeldDiameter.Value, "mm"}, "tip.nugget.least": {set.Nugget, "mm"},
		"gun.force.least": {set.Force, "N"}, "gun.current.least": {set.Current, "A"},
		"gun.energy.least": {set.Energy(0), "J"}, "gun.voltage.least": {set.Current * setting.PanelResistance, "V"},
	}[id]
	l.Value, l.Unit = l.Value*whole.value, whole.unit
	return l
}

// OverYield judges the stated stress against the yield stress of the outside sheets: above it no pitch helps.
func (c Judge) OverYield(s *strips.Strip, at ledger.Place) {
	if !(s.Stated.Compression > 0) {
		return
	}
	words := at.Words
	yield := math.Min(s.Stack[0].Yield, s.Stack[len(s.Stack)-1].Yield)
	if !(yield > 0) {
		c.Unchecked("%s: its compression is judged by elastic buckling alone: the yield stress of an outside sheet is not known", words)
		return
	}
	l := c.Limit("compression.yield.greatest", s.Stack, rule.Given{})
	at.Words = fmt.Sprintf("%s: compression of %s MPa where the outside sheet yields at %s MPa", words, finding.Brief(s.Stated.Compression),
		finding.Brief(yield))
	if share := s.Stated.Compression / yield; !c.Keeps(l, share, 0, func() string { return at.Words }) {
		c.Find(l, share, s.Stack, rule.Given{}, at)
	}
}
