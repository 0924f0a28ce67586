package setup

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/resistance"
	"seamwright/layout/strips"
	"seamwright/layout/supply"
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

// OfStack judges a stack of a joint, or of none in particular (nil). An error means that a rule of the book cannot be worked out.
func OfStack(stack rule.Stack, joint *shell.Joint, sh *shell.Shell, in *inforce.Rules) (Asked, error) {
	c := Judge{ledger.New(&strips.Set{Plan: &layout.Plan{}, Shell: sh, Rules: in})}
	s := &strips.Strip{Flange: &layout.Flange{}, Stated: &shell.Joint{}, Stack: stack, Carries: in.Strength(stack, joint)}
	if joint != nil {
		s.Stated, s.Flange.Joint = joint, joint.ID
	}
	s.Limits = in.Limits(stack, joint)
	words := "stack " + stack.String()
	at := ledger.Place{Words: words, Joint: s.Flange.Joint}
	for _, p := range rule.CheckBy(in.Book, stack) {
		c.Add(p, "", at)
	}
	set, err := setting.Spot(stack, in.Spot(joint))
	if err != nil {
		at.Remedy = err.Error() + ": find a setting by test"
		c.Find(c.Limit("setting.found.least", stack, rule.Given{}), 0, stack, rule.Given{}, at)
		at.Remedy = ""
	} else {
		c.ofSetting(set, at)
	}
	for _, p := range rule.CheckLimits(rule.For(stack, in.Options(joint))) {
		c.Add(p, "", at)
	}
	c.OverYield(s, at)
	if err := c.asStrong(s, at); err != nil {
		return Asked{}, fmt.Errorf("%s: %w", words, err)
	}
	out := Asked{Cases: append(c.ofSettingCases(s, set, err == nil), c.widthCases(s)...)}
	if joint != nil {
		out.Cases = append(out.Cases, ofStated(joint)...)
	}
	for i := range sh.Guns {
		if sh.File != "" { // else nobody has stated any
			c.Unstated(supply.Of(&sh.Guns[i]))
			c.forceUnstated(&sh.Guns[i])
		}
	}
	c.Unchecked("of a plan alone, by check: %s", strings.Join(c.onPlansAlone(), ", "))
	if c.Failed != nil {
		return Asked{}, c.Failed
	}
	said := c.Sum()
	out.Findings, out.Unchecked = finding.By(in.Book).Waive(said.Findings, sh.Waivers), said.Unchecked
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
func (c Judge) onPlansAlone() []string {
	var ids []string
	for _, r := range c.Rules.Book {
		if !r.Limited() && !slices.Contains(resistance.OfSheets, r.ID) && r.ID != "strength.none" && r.ID != "stack.input" {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

// ofSetting adds what a setting promises less than rules ask; what is said of the stack itself is said there.
func (c Judge) ofSetting(set setting.Setting, at ledger.Place) {
	words := at.Words
	for _, p := range set.Problems {
		switch p.Rule {
		case "stack.tensile.greatest":
			continue
		case "setting.tensile.greatest":
			at.Words = fmt.Sprintf("%s: its steel of %s MPa is none that setting table %s is for", words, finding.Brief(p.Value), set.Table)
		default:
			at.Words = fmt.Sprintf("%s: the nugget to expect is %s mm", words, finding.Tenths(p.Value))
		}
		c.Add(p, "", at)
	}
}

// asStrong adds where the strength rule in force does not hold for the sheets; under a load that no rule holds for is broken.
func (c Judge) asStrong(s *strips.Strip, at ledger.Place) error {
	w, err := strength.Single(s.Stack, s.Carries)
	switch {
	case errors.Is(err, strength.ErrNone) && loaded(s.Stated):
		at.Words += ": a load is stated, but no rule gives what a weld carries"
		c.Add(rule.Problem{Rule: "strength.none", Source: err.Error(), Certainty: rule.Memory}, "", at)
		return nil
	case errors.Is(err, strength.ErrNone):
		c.Unchecked("%s: what its welds carry: %v", at.Words, err)
		return nil
	case err != nil:
		return err
	}
	at.Words += ": the strength rule is used outside its range"
	for _, p := range resistance.Unique(resistance.SheetProblems(w.Problems)) {
		c.Add(p, "", at)
	}
	if len(w.Unchecked) > 0 {
		c.Unchecked("strength: %s, which the plan gives", strings.Join(w.Unchecked, ", "))
	}
	return nil
}

func loaded(j *shell.Joint) bool { return j.Load != (shell.Load{}) || len(j.Forces) > 0 }

// ofSettingCases are the rules that count in parts of the setting.
func (c Judge) ofSettingCases(s *strips.Strip, set setting.Setting, found bool) []Case {
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

// widthCases are the least widths by what ends the strip on its sides and by the tips at hand.
func (c Judge) widthCases(s *strips.Strip) []Case {
	between := c.Limit("row.staggered.least", s.Stack, rule.Given{}).Value
	type face struct {
		words string
		face  float64
	}
	faces := []face{{"the rule's tip", s.Limits.TipFace.Value}}
	if len(c.Shell.Tips) > 0 {
		faces = nil
	}
	for i := range c.Shell.Tips {
		faces = append(faces, face{"tip " + c.Shell.Tips[i].ID, c.Shell.Tips[i].Face})
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
			width := c.WidthNeeded(s, sides.left, sides.right, f.face)
			one := Case{"flange.width.least", what, width, "mm"}
			if !slices.Contains(out, one) {
				out = append(out, one, Case{"row.width.least", what, width + between, "mm"})
			}
		}
	}
	return out
}
