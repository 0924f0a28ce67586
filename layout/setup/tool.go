package setup

import (
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/layout/supply"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// use is one gun or tip on one stack-up of one joint, so that a waiver can name the joint.
type use struct {
	tool, joint, stack string
}

// uses gathers which tools make which welds, in the order of first use.
func (c Judge) uses(of func(*layout.Weld) string) ([]use, map[use][]strips.Spot) {
	var order []use
	welds := map[use][]strips.Spot{}
	for _, s := range c.Strips {
		stack := strips.StackKey(s.Stack)
		for i, w := range s.Welds {
			u := use{of(w), s.Flange.Joint, stack}
			if u.tool == "" {
				continue
			}
			if _, ok := welds[u]; !ok {
				order = append(order, u)
			}
			welds[u] = append(welds[u], s.Spot(i))
		}
	}
	return order, welds
}

// tips judges electrode faces against the weld and the stack, and the welds between dressings.
func (c Judge) tips() {
	order, welds := c.uses(func(w *layout.Weld) string { return w.Tip })
	for _, u := range order {
		list := welds[u]
		tip, ok := c.Shell.Tip(u.tool)
		if !ok {
			continue
		}
		s := list[0].Strip
		words := fmt.Sprintf("tip %s on stack %s (%d welds on joint %s)", tip.ID, s.Stack, len(list), u.joint)
		judge := func(l rule.Limit, value float64, fact, fault string) {
			if !c.Keeps(l, value, ledger.SlackPlan, func() string { return words + fact }) {
				c.Find(l, value, s.Stack, rule.Given{}, placeOfUse(list, words+fact+fault))
			}
		}
		judge(c.partOf("tip.weld.least", s, setting.Setting{}), tip.Face,
			fmt.Sprintf(": its face of %s mm", finding.Brief(tip.Face)), " is smaller than the least weld")
		judge(c.Limit("tip.face.worn.greatest", s.Stack, rule.Given{}), tip.Face,
			fmt.Sprintf(": its fresh face of %s mm", finding.Brief(tip.Face)), " is that of a worn tip here")
		c.nugget(tip, s, list, words)
		dress := "tip.dress.bare.greatest"
		if zinc(s.Stack) {
			dress = "tip.dress.zinc.greatest"
		}
		judge(c.Limit(dress, s.Stack, rule.Given{}), float64(tip.Dress), fmt.Sprintf(": dressed every %d welds", tip.Dress), "")
	}
}

// nugget judges that a weld fits under the face that presses on it.
func (c Judge) nugget(tip *shell.Tip, s *strips.Strip, list []strips.Spot, words string) {
	set, err := setting.Spot(s.Stack, c.Rules.Spot(s.Stated))
	if err != nil { // said with the settings
		return
	}
	l := c.partOf("tip.nugget.least", s, set)
	words += fmt.Sprintf(": its face of %s mm", finding.Brief(tip.Face))
	if !c.Keeps(l, tip.Face, ledger.SlackPlan, func() string { return words }) {
		c.Find(l, tip.Face, s.Stack, rule.Given{}, placeOfUse(list, words+" is narrower than the nugget to expect"))
	}
}

// faces judges each tip's face against those that its stacks' settings were published for, and says it once for the tip.
func (c Judge) faces() {
	order, welds := c.uses(func(w *layout.Weld) string { return w.Tip })
	type worst struct {
		off    float64
		set    setting.Setting
		list   []strips.Spot
		joints []string
	}
	byTip := map[string]*worst{}
	var tips []string
	l := c.Limit("tip.setting.greatest", nil, rule.Given{})
	for _, u := range order {
		tip, ok := c.Shell.Tip(u.tool)
		set, err := setting.Spot(welds[u][0].Strip.Stack, c.Rules.Spot(welds[u][0].Strip.Stated))
		if !ok || err != nil {
			continue
		}
		off := math.Abs(tip.Face/set.Face - 1)
		if c.Keeps(l, off, 1e-6, func() string { return fmt.Sprintf("tip %s on joint %s", tip.ID, u.joint) }) {
			continue
		}
		w := byTip[u.tool]
		if w == nil {
			w = &worst{}
			byTip[u.tool] = w
			tips = append(tips, u.tool)
		}
		if !slices.Contains(w.joints, u.joint) {
			w.joints = append(w.joints, u.joint)
		}
		if off > w.off {
			w.off, w.set, w.list = off, set, welds[u]
		}
	}
	for _, id := range tips {
		w := byTip[id]
		tip, _ := c.Shell.Tip(id)
		at := placeOfUse(w.list, fmt.Sprintf("tip %s: its face of %s mm, where the setting of stack %s was published for up to %s mm: "+
			"current and "+
			"force are spread over %s of the area; on joints %s", id, finding.Brief(tip.Face), w.list[0].Strip.Stack, finding.Brief(w.set.Face),
			finding.Brief(tip.Face/w.set.Face*tip.Face/w.set.Face), finding.Some(w.joints)))
		c.Find(l, w.off, w.list[0].Strip.Stack, rule.Given{}, at)
	}
}

func zinc(stack rule.Stack) bool {
	return slices.ContainsFunc(stack, func(s rule.Sheet) bool {
		coat, _ := rule.ParseCoating(s.Coating)
		return coat.Zinc()
	})
}

// placeOfUse is where a gun or tip makes welds of one joint: at the first of them.
func placeOfUse(list []strips.Spot, words string) ledger.Place {
	return ledger.Place{Words: words, At: list[0].Weld.Position.R3(), Joint: list[0].Strip.Flange.Joint}
}

// guns judges the guns' force and duty against the settings.
func (c Judge) guns() {
	order, welds := c.uses(func(w *layout.Weld) string { return w.Gun })
	for _, u := range order {
		list := welds[u]
		gun, ok := c.Shell.Gun(u.tool)
		set, err := setting.Spot(list[0].Strip.Stack, c.Rules.Spot(list[0].Strip.Stated))
		if !ok || err != nil { // without a setting: said there
			continue
		}
		words := fmt.Sprintf("gun %s on stack %s (%d welds on joint %s)", gun.Letter, list[0].Strip.Stack, len(list), u.joint)
		stack := list[0].Strip.Stack
		if gun.Force > 0 {
			l := c.partOf("gun.force.least", list[0].Strip, set)
			at := placeOfUse(list, words+": its greatest force is below the setting's")
			if !c.Keeps(l, gun.Force, 0.5, func() string { return words }) {
				c.Find(l, gun.Force, stack, rule.Given{}, at)
			}
		}
		c.Unstated(supply.Of(gun))
		c.forceUnstated(gun)
		c.Current(supply.Of(gun), set, list[0].Strip, placeOfUse(list, words))
		c.duty(supply.Of(gun), set, words, list)
	}
}
