package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// stacks judges the sheets themselves, once for each joint and stack-up. A note is said once for the shell.
func (c *checker) stacks() {
	type key struct{ joint, stack string }
	seen := map[key]bool{}
	var notes []*stackNote
	for _, s := range c.strips {
		k := key{s.flange.Joint, keyOf(s.stack)}
		if seen[k] {
			continue
		}
		seen[k] = true
		c.countStackRules(s)
		for _, p := range rule.CheckBy(c.in.Book, s.stack) {
			if p.Severity == rule.Note {
				notes = noted(notes, p, s)
				continue
			}
			c.add(p, "", place{words: fmt.Sprintf("joint %s: stack %s", s.flange.Joint, s.stack), at: s.at(s.flange.Length / 2),
				joint: s.flange.Joint})
		}
	}
	for _, n := range notes {
		c.add(n.problem, "", place{words: fmt.Sprintf("stack %s, of joint %s", some(n.stacks), some(n.joints)), at: n.at})
	}
}

// stackNote is one note and all that it is about.
type stackNote struct {
	problem        rule.Problem // with the greatest value
	stacks, joints []string
	at             r3.Vector
}

func noted(notes []*stackNote, p rule.Problem, s *strip) []*stackNote {
	i := slices.IndexFunc(notes, func(n *stackNote) bool { return n.problem.Rule == p.Rule })
	if i < 0 {
		notes = append(notes, &stackNote{problem: p, at: s.at(s.flange.Length / 2)})
		i = len(notes) - 1
	}
	n := notes[i]
	if p.Value > n.problem.Value {
		n.problem = p
	}
	add := func(list *[]string, word string) {
		if !slices.Contains(*list, word) {
			*list = append(*list, word)
		}
	}
	add(&n.stacks, s.stack.String())
	add(&n.joints, s.flange.Joint)
	return notes
}

// some names a few of several ids.
func some(ids []string) string {
	const most = 4
	if len(ids) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
	}
	return strings.Join(ids, ", ")
}

// countStackRules tallies the numeric stack rules: CheckBy says only what is broken.
func (c *checker) countStackRules(s *strip) {
	words := func() string { return fmt.Sprintf("joint %s: stack %s", s.flange.Joint, s.stack) }
	values := []struct {
		id    string
		value float64
	}{
		{"stack.sheets.greatest", float64(len(s.stack))}, {"stack.ratio.greatest", s.stack.Thickest() / s.stack.Thinnest()},
		{"stack.pileup.greatest", s.stack.Total()}, {"stack.sheet.least", s.stack.Thinnest()}, {"stack.sheet.greatest", s.stack.Thickest()},
	}
	if len(s.stack) > 2 {
		values = append(values, struct {
			id    string
			value float64
		}{"stack.total.greatest", s.stack.Total()})
	}
	for _, v := range values {
		c.keeps(c.limit(v.id, s.stack, rule.Given{}), v.value, 0, words)
	}
}

// settings judges that every weld has a starting setting and what the setting promises, joint by joint, so that a waiver
// can name one. What is said of the stack itself is said there.
func (c *checker) settings() {
	seen := map[string]bool{}
	for _, s := range c.strips {
		key := s.flange.Joint + " " + keyOf(s.stack)
		if !s.spotted() || len(s.welds) == 0 || seen[key] {
			continue
		}
		seen[key] = true
		l := c.limit("setting.found.least", s.stack, rule.Given{})
		words := fmt.Sprintf("joint %s: stack %s", s.flange.Joint, s.stack)
		at := place{words: words, at: s.at(s.flange.Length / 2), joint: s.flange.Joint}
		set, err := setting.Spot(s.stack, c.in.Spot(s.stated))
		found := 1.0
		if err != nil {
			found = 0
			at.remedy = err.Error() + ": find a setting by test"
		}
		if !c.keeps(l, found, 0, func() string { return words }) {
			c.find(l, found, s.stack, rule.Given{}, at)
			continue
		}
		c.keeps(c.limit("weld.diameter.least", s.stack, rule.Given{}), set.Nugget, 0, func() string { return words + ", expected nugget" })
		strongest := 0.0
		for _, sheet := range s.stack {
			strongest = math.Max(strongest, sheet.Tensile)
		}
		c.keeps(c.limit("setting.tensile.greatest", s.stack, rule.Given{}), strongest, 0, func() string { return words })
		for _, p := range set.Problems {
			what := fmt.Sprintf("%s: the nugget to expect is %s mm", words, tenths(p.Value))
			if p.Rule == "setting.tensile.greatest" {
				what = fmt.Sprintf("%s: its steel of %s MPa is none that setting table %s is for", words, brief(p.Value), set.Table)
			}
			if !strings.HasPrefix(p.Rule, "stack.") {
				c.add(p, "", place{words: what, at: at.at, joint: at.joint})
			}
		}
	}
}

// keyOf names a stack-up whichever side it is seen from, strengths included.
func keyOf(stack rule.Stack) string {
	back := slices.Clone(stack)
	slices.Reverse(back)
	return min(fmt.Sprintf("%v", []rule.Sheet(stack)), fmt.Sprintf("%v", []rule.Sheet(back)))
}

// use is one gun or tip on one stack-up of one joint, so that a waiver can name the joint.
type use struct {
	tool, joint, stack string
}

// uses gathers which tools make which welds, in the order of first use.
func (c *checker) uses(of func(*layout.Weld) string) ([]use, map[use][]spot) {
	var order []use
	welds := map[use][]spot{}
	for _, s := range c.strips {
		stack := keyOf(s.stack)
		for i, w := range s.welds {
			u := use{of(w), s.flange.Joint, stack}
			if u.tool == "" {
				continue
			}
			if _, ok := welds[u]; !ok {
				order = append(order, u)
			}
			welds[u] = append(welds[u], spot{w, s, i})
		}
	}
	return order, welds
}

// tips judges electrode faces against the weld and the stack, and the welds between dressings.
func (c *checker) tips() {
	order, welds := c.uses(func(w *layout.Weld) string { return w.Tip })
	for _, u := range order {
		list := welds[u]
		tip, ok := c.shell.Tip(u.tool)
		if !ok {
			continue
		}
		s := list[0].strip
		words := fmt.Sprintf("tip %s on stack %s (%d welds on joint %s)", tip.ID, s.stack, len(list), u.joint)
		judge := func(l rule.Limit, value float64, fact, fault string) {
			if !c.keeps(l, value, slackPlan, func() string { return words + fact }) {
				c.find(l, value, s.stack, rule.Given{}, placeOfUse(list, words+fact+fault))
			}
		}
		judge(c.partOf("tip.weld.least", s, setting.Setting{}), tip.Face,
			fmt.Sprintf(": its face of %s mm", brief(tip.Face)), " is smaller than the least weld")
		judge(c.limit("tip.face.worn.greatest", s.stack, rule.Given{}), tip.Face,
			fmt.Sprintf(": its fresh face of %s mm", brief(tip.Face)), " is that of a worn tip here")
		c.nugget(tip, s, list, words)
		dress := "tip.dress.bare.greatest"
		if zinc(s.stack) {
			dress = "tip.dress.zinc.greatest"
		}
		judge(c.limit(dress, s.stack, rule.Given{}), float64(tip.Dress), fmt.Sprintf(": dressed every %d welds", tip.Dress), "")
	}
}

// nugget judges that a weld fits under the face that presses on it.
func (c *checker) nugget(tip *shell.Tip, s *strip, list []spot, words string) {
	set, err := setting.Spot(s.stack, c.in.Spot(s.stated))
	if err != nil { // said with the settings
		return
	}
	l := c.partOf("tip.nugget.least", s, set)
	words += fmt.Sprintf(": its face of %s mm", brief(tip.Face))
	if !c.keeps(l, tip.Face, slackPlan, func() string { return words }) {
		c.find(l, tip.Face, s.stack, rule.Given{}, placeOfUse(list, words+" is narrower than the nugget to expect"))
	}
}

// faces judges each tip's face against those that its stacks' settings were published for, and says it once for the tip.
func (c *checker) faces() {
	order, welds := c.uses(func(w *layout.Weld) string { return w.Tip })
	type worst struct {
		off    float64
		set    setting.Setting
		list   []spot
		joints []string
	}
	byTip := map[string]*worst{}
	var tips []string
	l := c.limit("tip.setting.greatest", nil, rule.Given{})
	for _, u := range order {
		tip, ok := c.shell.Tip(u.tool)
		set, err := setting.Spot(welds[u][0].strip.stack, c.in.Spot(welds[u][0].strip.stated))
		if !ok || err != nil {
			continue
		}
		off := math.Abs(tip.Face/set.Face - 1)
		if c.keeps(l, off, 1e-6, func() string { return fmt.Sprintf("tip %s on joint %s", tip.ID, u.joint) }) {
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
		tip, _ := c.shell.Tip(id)
		at := placeOfUse(w.list, fmt.Sprintf("tip %s: its face of %s mm, where the setting of stack %s was published for up to %s mm: "+
			"current and "+
			"force are spread over %s of the area; on joints %s", id, brief(tip.Face), w.list[0].strip.stack, brief(w.set.Face),
			brief(tip.Face/w.set.Face*tip.Face/w.set.Face), some(w.joints)))
		c.find(l, w.off, w.list[0].strip.stack, rule.Given{}, at)
	}
}

func zinc(stack rule.Stack) bool {
	return slices.ContainsFunc(stack, func(s rule.Sheet) bool {
		coat, _ := rule.ParseCoating(s.Coating)
		return coat.Zinc()
	})
}

// placeOfUse is where a gun or tip makes welds of one joint: at the first of them.
func placeOfUse(list []spot, words string) place {
	return place{words: words, at: list[0].weld.Position.R3(), joint: list[0].strip.flange.Joint}
}

// guns judges the guns' force and duty against the settings.
func (c *checker) guns() {
	order, welds := c.uses(func(w *layout.Weld) string { return w.Gun })
	for _, u := range order {
		list := welds[u]
		gun, ok := c.shell.Gun(u.tool)
		set, err := setting.Spot(list[0].strip.stack, c.in.Spot(list[0].strip.stated))
		if !ok || err != nil { // without a setting: said there
			continue
		}
		words := fmt.Sprintf("gun %s on stack %s (%d welds on joint %s)", gun.Letter, list[0].strip.stack, len(list), u.joint)
		stack := list[0].strip.stack
		if gun.Force > 0 {
			l := c.partOf("gun.force.least", list[0].strip, set)
			at := placeOfUse(list, words+": its greatest force is below the setting's")
			if !c.keeps(l, gun.Force, 0.5, func() string { return words }) {
				c.find(l, gun.Force, stack, rule.Given{}, at)
			}
		}
		c.unstated(supplyOf(gun))
		c.forceUnstated(gun)
		c.current(supplyOf(gun), set, list[0].strip, placeOfUse(list, words))
		c.duty(supplyOf(gun), set, words, list)
	}
}

// current judges that a gun or roller head drives the setting's current, and that it draws at least what its welds take.
func (c *checker) current(s supply, set setting.Setting, on *strip, at place) {
	words := at.words
	judge := func(l rule.Limit, value float64, what string) {
		at.words = words + what
		if !c.keeps(l, value, 1e-6*l.Value, func() string { return words }) {
			c.find(l, value, on.stack, rule.Given{}, at)
		}
	}
	if s.deliverable() > 0 {
		heat := math.Min(1, math.Pow(s.deliverable()/set.Current, 2))
		judge(c.partOf("gun.current.least", on, set), s.deliverable(), fmt.Sprintf(": of its %s A in a short circuit it drives %s A through "+
			"the sheets, which gives %s %% of the weld's heat", brief(s.current), brief(s.deliverable()), brief(math.Floor(100*heat))))
	}
	if s.voltage > 0 {
		l := c.partOf("gun.voltage.least", on, set)
		judge(l, s.voltage, fmt.Sprintf(": %s V at its open %s, of which %s V fall over the sheets", brief(s.voltage), s.ends, brief(l.Value)))
	}
	if s.voltage > 0 && s.current > 0 && s.rating > 0 {
		l := c.limit("gun.short.least", on.stack, rule.Given{})
		l.Value, l.Unit = l.Value*s.rating, "kVA"
		judge(l, s.apparent(s.current), fmt.Sprintf(": %s kVA in a short circuit, rated at %s kVA", brief(s.apparent(s.current)),
			brief(s.rating)))
	}
	if energy, flows := c.drawnPerWeld(s, set); energy > 0 {
		l := c.partOf("gun.energy.least", on, set)
		judge(l, energy, fmt.Sprintf(": %s J drawn at %s A for a weld that takes %s J", brief(energy), brief(flows), brief(l.Value)))
	}
}

// drawnPerWeld is the energy in J that is drawn for one weld at the current (A) that really flows: the setting's, or the greatest that
// the gun drives through sheets. It is of open voltage times that current, and of no more than the rating where one is stated;
// 0: neither is stated.
func (c *checker) drawnPerWeld(s supply, set setting.Setting) (energy, flows float64) {
	flows = set.Current
	if s.deliverable() > 0 {
		flows = min(flows, s.deliverable())
	}
	power := s.apparent(flows)
	if s.rating > 0 && (power == 0 || s.rating < power) {
		power = s.rating
	}
	return c.drawn(power) * 1000 * set.Weld, flows
}

// duty judges the quickest rate at which the shell's own times let welds follow each other.
func (c *checker) duty(s supply, set setting.Setting, words string, list []spot) {
	apparent := s.apparent(set.Current)
	if !(s.rating > 0) || !(apparent > 0) {
		return
	}
	l := c.limit("gun.duty.greatest", list[0].strip.stack, rule.Given{})
	rate := c.rate(set)
	allowed, err := set.WeldsPerMinute(s.rating, apparent)
	if err != nil {
		return
	}
	l.Value, l.Unit = l.Value*allowed, "welds a minute"
	at := placeOfUse(list, fmt.Sprintf("%s: %s kVA drawn with current on, the rating of %s kVA at 50 %% duty is passed while welding "+
		"without a pause",
		words, brief(apparent), brief(s.rating)))
	if !c.keeps(l, rate, 1e-9, func() string { return words }) {
		c.find(l, rate, list[0].strip.stack, rule.Given{}, at)
	}
}

// drawn is the power in kW that a gun of a rating in kVA draws while current flows: an estimate of the shell file.
func (c *checker) drawn(power float64) float64 {
	part := c.shell.Rates.Utilisation / 100
	if !(part > 0) {
		part = 1
	}
	return power * part
}

// rate is welds a minute within a run: squeeze, weld and hold time, opening, and aiming at the next.
func (c *checker) rate(set setting.Setting) float64 {
	e := c.shell.Elements
	return 60 / (set.Squeeze + set.Weld + set.Hold + e.Open + e.Position)
}
