package check

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Asked is what can be judged of a stack before anything is planned on it, by the same figures as a finished plan.
type Asked struct {
	Findings  []layout.Finding
	Cases     []Case
	Unchecked []string // what a plan is needed for, or what is not stated
}

// Case is the value of a rule that depends on more than the stack: on the setting, or on the sides of the strip and the tip.
type Case struct {
	Rule  string  `json:"rule" about:"id of the rule"`
	What  string  `json:"what" about:"the case in words"`
	Value float64 `json:"value" about:"what the rule asks then" unit:"as the unit member says"`
	Unit  string  `json:"unit" about:"of the value"`
}

// OfStack judges a stack of a joint, or of none in particular (nil).
func OfStack(ctx context.Context, stack rule.Stack, joint *shell.Joint, sh *shell.Shell, in *inforce.Rules) (Asked, error) {
	c, err := newChecker(ctx, &layout.Plan{}, sh, in)
	if err != nil {
		return Asked{}, err
	}
	s := &strip{flange: &layout.Flange{}, stated: &shell.Joint{}, stack: stack, carries: in.Strength(stack, joint)}
	if joint != nil {
		s.stated, s.flange.Joint = joint, joint.ID
	}
	s.limits = in.Limits(stack, joint)
	words := "stack " + stack.String()
	at := place{words: words, joint: s.flange.Joint}
	for _, p := range rule.CheckBy(in.Book, stack) {
		c.add(p, "", at)
	}
	set, err := setting.Spot(stack, in.Spot(joint))
	if err != nil {
		at.remedy = err.Error() + ": find a setting by test"
		c.find(c.limit("setting.found.least", stack, rule.Given{}), 0, stack, rule.Given{}, at)
		at.remedy = ""
	} else {
		c.ofSetting(set, at)
	}
	for _, p := range rule.CheckLimits(rule.For(stack, in.Options(joint))) {
		c.add(p, "", at)
	}
	c.overYield(s, at)
	if err := c.asStrong(s, at); err != nil {
		return Asked{}, fmt.Errorf("%s: %w", words, err)
	}
	out := Asked{Cases: append(c.ofSettingCases(s, set, err == nil), c.widthCases(s)...)}
	if joint != nil {
		out.Cases = append(out.Cases, ofStated(joint)...)
	}
	for i := range sh.Guns {
		if sh.File != "" { // else nobody has stated any
			c.unstated(supplyOf(&sh.Guns[i]))
			c.forceUnstated(&sh.Guns[i])
		}
	}
	c.unchecked("of a plan alone, by check: %s", strings.Join(c.onPlansAlone(), ", "))
	if c.failed != nil {
		return Asked{}, c.failed
	}
	layout.SortFindings(c.report.Findings)
	out.Findings, out.Unchecked = c.make.Waive(c.report.Findings, sh.Waivers), c.report.Unchecked
	return out, nil
}

// ofStated is what the rules of a stated count come to.
func ofStated(j *shell.Joint) []Case {
	var out []Case
	if j.Rows > 1 {
		out = append(out, Case{"row.stated.least", fmt.Sprintf("joint %s states %d rows", j.ID, j.Rows), float64(j.Rows), "rows"})
	}
	if j.Count > 0 {
		out = append(out, Case{"count.stated.least", fmt.Sprintf("joint %s states %d welds", j.ID, j.Count), float64(j.Count), "welds"})
	}
	return out
}

// onPlansAlone lists the rules without a figure that nothing but a plan can be held to.
func (c *checker) onPlansAlone() []string {
	var ids []string
	for _, r := range c.in.Book {
		if !r.Limited() && !slices.Contains(ofSheets, r.ID) && r.ID != "strength.none" && r.ID != "stack.input" {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// ofSetting adds what a setting promises less than rules ask; what is said of the stack itself is said there.
func (c *checker) ofSetting(set setting.Setting, at place) {
	words := at.words
	for _, p := range set.Problems {
		switch p.Rule {
		case "stack.tensile.greatest":
			continue
		case "setting.tensile.greatest":
			at.words = fmt.Sprintf("%s: its steel of %s MPa is none that setting table %s is for", words, brief(p.Value), set.Table)
		default:
			at.words = fmt.Sprintf("%s: the nugget to expect is %s mm", words, tenths(p.Value))
		}
		c.add(p, "", at)
	}
}

// asStrong adds where the strength rule in force does not hold for the sheets; under a load that no rule holds for is broken.
func (c *checker) asStrong(s *strip, at place) error {
	w, err := strength.Single(s.stack, s.carries)
	switch {
	case errors.Is(err, strength.ErrNone) && loaded(s.stated):
		at.words += ": a load is stated, but no rule gives what a weld carries"
		c.add(rule.Problem{Rule: "strength.none", Source: err.Error(), Certainty: rule.Memory}, "", at)
		return nil
	case errors.Is(err, strength.ErrNone):
		c.unchecked("%s: what its welds carry: %v", at.words, err)
		return nil
	case err != nil:
		return err
	}
	at.words += ": the strength rule is used outside its range"
	for _, p := range unique(sheetProblems(w.Problems)) {
		c.add(p, "", at)
	}
	if len(w.Unchecked) > 0 {
		c.unchecked("strength: %s, which the plan gives", strings.Join(w.Unchecked, ", "))
	}
	return nil
}

func loaded(j *shell.Joint) bool { return j.Load != (shell.Load{}) || len(j.Forces) > 0 }

// ofSettingCases are the rules that count in parts of the setting.
func (c *checker) ofSettingCases(s *strip, set setting.Setting, found bool) []Case {
	var out []Case
	for _, id := range []string{"tip.weld.least", "tip.nugget.least", "gun.force.least", "gun.current.least", "gun.energy.least",
		"gun.voltage.least"} {
		if !found && id != "tip.weld.least" {
			continue
		}
		l := c.partOf(id, s, set)
		out = append(out, Case{id, "by this stack's setting", l.Value, l.Unit})
	}
	return out
}

// partOf is the limit of a rule that counts in parts of the setting, or of the least weld, in the unit of that.
func (c *checker) partOf(id string, s *strip, set setting.Setting) rule.Limit {
	l := c.limit(id, s.stack, rule.Given{})
	whole := map[string]struct {
		value float64
		unit  string
	}{
		"tip.weld.least": {s.limits.LeastWeldDiameter.Value, "mm"}, "tip.nugget.least": {set.Nugget, "mm"},
		"gun.force.least": {set.Force, "N"}, "gun.current.least": {set.Current, "A"},
		"gun.energy.least": {set.Energy(0), "J"}, "gun.voltage.least": {set.Current * setting.PanelResistance, "V"},
	}[id]
	l.Value, l.Unit = l.Value*whole.value, whole.unit
	return l
}

// widthCases are the least widths by what ends the strip on its sides and by the tips at hand.
func (c *checker) widthCases(s *strip) []Case {
	between := c.limit("row.staggered.least", s.stack, rule.Given{}).Value
	type face struct {
		words string
		face  float64
	}
	faces := []face{{"the rule's tip", s.limits.TipFace.Value}}
	if len(c.shell.Tips) > 0 {
		faces = nil
	}
	for i := range c.shell.Tips {
		faces = append(faces, face{"tip " + c.shell.Tips[i].ID, c.shell.Tips[i].Face})
	}
	var out []Case
	for _, sides := range []struct {
		words       string
		left, right layout.Edge
	}{{"between two free edges", layout.FreeEdge, layout.FreeEdge}, {"between a free edge and a bend", layout.FreeEdge, layout.Bend},
		{"between two bends", layout.Bend, layout.Bend}} {
		for _, f := range faces {
			what := fmt.Sprintf("%s, %s", sides.words, f.words)
			if sides.left == layout.FreeEdge && sides.right == layout.FreeEdge {
				what = sides.words
			}
			width := c.widthNeeded(s, sides.left, sides.right, f.face)
			one := Case{"flange.width.least", what, width, "mm"}
			if !slices.Contains(out, one) {
				out = append(out, one, Case{"row.width.least", what, width + between, "mm"})
			}
		}
	}
	return out
}

// unstated says which figures of a gun or roller head are not stated, so that it is not held against settings.
func (c *checker) unstated(s supply) {
	if !(s.deliverable() > 0) {
		c.unchecked("%s: its greatest short-circuit current is not stated (current_a), so the current that it gives is not held against the "+
			"settings", s.name)
	}
	if !(s.rating > 0) || !(s.voltage > 0) {
		c.unchecked("%s: its rating or the voltage at its open %s is not stated (power_kva, voltage_v), so its duty is not judged", s.name,
			s.ends)
	}
}

func (c *checker) forceUnstated(g *shell.Gun) {
	if !(g.Force > 0) {
		c.unchecked("gun %s: its greatest force is not stated, so it is not held against the settings", g.ID)
	}
}

// overYield judges the stated stress against the yield stress of the outside sheets: above it no pitch helps.
func (c *checker) overYield(s *strip, at place) {
	if !(s.stated.Compression > 0) {
		return
	}
	words := at.words
	yield := math.Min(s.stack[0].Yield, s.stack[len(s.stack)-1].Yield)
	if !(yield > 0) {
		c.unchecked("%s: its compression is judged by elastic buckling alone: the yield stress of an outside sheet is not known", words)
		return
	}
	l := c.limit("compression.yield.greatest", s.stack, rule.Given{})
	at.words = fmt.Sprintf("%s: compression of %s MPa where the outside sheet yields at %s MPa", words, brief(s.stated.Compression),
		brief(yield))
	if share := s.stated.Compression / yield; !c.keeps(l, share, 0, func() string { return at.words }) {
		c.find(l, share, s.stack, rule.Given{}, at)
	}
}
