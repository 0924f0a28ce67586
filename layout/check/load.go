package check

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Strengths writes every weld's resistance and utilisation, and every joint's balance, into the plan, each from the
// weld's real distances to ends and edges.
func Strengths(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) error {
	c, err := newChecker(ctx, p, sh, in)
	if err == nil {
		err = c.strengths()
	}
	if err != nil {
		return fmt.Errorf("strength: %w", err)
	}
	return nil
}

// counts judges that every strip is welded and that joints have the welds asked for.
func (c *checker) counts() {
	for _, s := range c.strips {
		if !s.spotted() {
			continue
		}
		l := c.limit("count.flange.least", s.stack, rule.Given{})
		words := func() string {
			return fmt.Sprintf("flange %s: %d welds on %s mm%s", s.flange.ID, len(s.welds), brief(s.flange.Length),
				c.because(s, 0, s.flange.Length))
		}
		if !c.keeps(l, float64(len(s.welds)), 0, words) {
			at := place{words: words(), at: s.at(s.flange.Length / 2), strip: s}
			c.find(l, float64(len(s.welds)), s.stack, rule.Given{}, at)
		}
	}
	for i := range c.plan.Joints {
		j := &c.plan.Joints[i]
		stated, ok := c.shell.Joint(j.ID)
		if !ok || stated.Count == 0 || j.Kind == layout.RollerJoint {
			continue
		}
		c.count("count.stated.least", j, c.weldsOf(j.ID), stated.Count, "are asked for")
	}
}

func (c *checker) weldsOf(joint string) int {
	n := 0
	for _, w := range c.plan.Welds {
		if w.Joint == joint {
			n++
		}
	}
	return n
}

// count judges a joint's welds against a number; the rule itself counts in parts of that number.
func (c *checker) count(id string, j *layout.Joint, have, want int, words string) {
	l := c.limit(id, nil, rule.Given{})
	l.Value, l.Unit = l.Value*float64(want), "welds"
	at := c.placeOf(j, fmt.Sprintf("joint %s: %d welds, %d %s", j.ID, have, want, words))
	if !c.keeps(l, float64(have), 0, func() string { return at.words }) {
		c.find(l, float64(have), nil, rule.Given{}, at)
		if stated, ok := c.shell.Joint(j.ID); ok && stated.Rows == 0 { // with rows asked for it is said anyway
			c.rowWidths(stated)
		}
	}
}

// placeOf is a joint as a place: the middle of its longest strip.
func (c *checker) placeOf(j *layout.Joint, words string) place {
	at := place{words: words, joint: j.ID}
	longest := 0.0
	for _, s := range c.strips {
		if s.flange.Joint == j.ID && s.flange.Length > longest {
			longest, at.at = s.flange.Length, s.at(s.flange.Length/2)
		}
	}
	return at
}

// loads judges what joints carry: the count that an even load needs, the worst weld of a group, the range in which the
// strength rule holds.
func (c *checker) loads() {
	all, err := c.joints()
	if err != nil {
		c.failed = cmp.Or(c.failed, err)
		return
	}
	for _, j := range all {
		if j.plan.Kind == layout.RollerJoint && j.loaded() && len(j.plan.Flanges) > 0 {
			c.rolledUnderLoad(j)
			continue
		}
		if len(j.welds) == 0 || c.without(j) {
			continue
		}
		c.strengthRange(j)
		if !j.loaded() {
			continue
		}
		if len(j.stated.Forces) == 0 {
			c.needed(j)
			c.netSection(j)
		} else {
			c.worstWeld(j)
			c.freeMoment(j)
		}
		c.basis(j)
	}
}

// needed judges the count that an even load needs by the joint's weakest weld.
func (c *checker) needed(j *joint) {
	most := 0
	for _, w := range j.welds {
		n, err := w.under(j.stated.Load.Direction).Needed(j.even(), j.length)
		if err != nil {
			c.failed = cmp.Or(c.failed, fmt.Errorf("joint %s: %w", j.plan.ID, err))
			return
		}
		most = max(most, n)
	}
	c.count("count.load.least", j.plan, len(j.welds), most, "carry its load by its weakest weld"+j.welds[0].mixed())
}

// mixed marks figures of two kinds that are added.
func (w *carried) mixed() string {
	if !(w.shear > 0) || !(w.tension > 0) || w.any.ShearBasis == w.any.TensionBasis {
		return ""
	}
	return fmt.Sprintf("; two kinds of figure are added: shear by a %s, tension by a %s", w.any.ShearBasis, w.any.TensionBasis)
}

// without says of a joint that no rule gives a figure for its welds: broken under a load, which nothing shows to be carried.
func (c *checker) without(j *joint) bool {
	k := slices.IndexFunc(j.welds, func(w *carried) bool { return w.none != nil })
	if k < 0 {
		return false
	}
	w := j.welds[k]
	if !j.loaded() {
		c.unchecked("joint %s: what its welds carry: %v", j.plan.ID, w.none)
		return true
	}
	c.add(rule.Problem{Rule: "strength.none", Source: w.none.Error(), Certainty: rule.Memory}, "",
		place{words: fmt.Sprintf("joint %s: a load is stated, but no rule gives what a weld of stack %s carries", j.plan.ID, w.strip.stack),
			at: w.weld.Position.R3(), strip: w.strip})
	return true
}

// rolledUnderLoad says of a rolled joint with a load that no rule gives what its seam carries.
func (c *checker) rolledUnderLoad(j *joint) {
	at := c.placeOf(j.plan, fmt.Sprintf("joint %s: a load is stated, but no rule gives what a roller seam carries", j.plan.ID))
	at.remedy = "show by test what the seam carries, or make the joint's kind spot+roller, so that its spots carry the load"
	c.add(rule.Problem{Rule: "strength.none", Source: "the strength rules here are for spots", Certainty: rule.Calculated}, "", at)
}

// basis says that a load is held against a test value without a partial factor.
func (c *checker) basis(j *joint) {
	if w := j.welds[0]; w.any.ShearBasis == strength.LeastTest {
		at := c.placeOf(j.plan, fmt.Sprintf("joint %s: its load is held against the least that a test of one weld may show", j.plan.ID))
		c.add(rule.Problem{Rule: "strength.basis", Value: 1, Limit: strength.GammaM2}, "", at)
	}
}

// netSection judges the sheet itself under a force across the weld lines: rows behind each other share its section, and no
// further weld adds to that. A spot takes nothing from the section.
func (c *checker) netSection(j *joint) {
	demand := j.even().Shear + j.even().Flow*j.length
	if !(demand > 0) || j.stated.Load.Direction == shell.Along {
		return
	}
	carries := 0.0
	for _, s := range c.strips {
		if s.flange.Joint != j.plan.ID || len(s.welds) == 0 {
			continue
		}
		if s.carries.Method != strength.ByEurocode {
			return
		}
		least := math.Inf(1)
		for _, sheet := range s.stack {
			r := strength.Eurocode(strength.Spot{Thin: sheet.Thickness, Thick: sheet.Thickness, Tensile: sheet.Tensile,
				NetArea: s.flange.Length * sheet.Thickness})
			least = math.Min(least, r.Net)
		}
		carries += least
	}
	l := c.limit("strength.utilisation.greatest", nil, rule.Given{})
	l.Source, l.Certainty = strength.EurocodeSource+", F_n = A_net f_u / gamma_M2", rule.Memory
	used := demand / math.Max(carries, 1e-9)
	at := c.placeOf(j.plan, fmt.Sprintf("joint %s: the weaker sheet itself carries %s N across %s mm of weld line, %s N are asked for",
		j.plan.ID, brief(carries), brief(j.length), brief(demand)))
	at.remedy = "no further weld helps: take thicker or stronger sheet, or a longer joint"
	if !c.keeps(l, used, 1e-9, func() string { return at.words }) {
		c.find(l, used, nil, rule.Given{}, at)
	}
}

// worstWeld judges the weld of a group that is strained most.
func (c *checker) worstWeld(j *joint) {
	l := c.limit("strength.utilisation.greatest", nil, rule.Given{})
	worst := slices.MaxFunc(j.welds, func(a, b *carried) int {
		return cmp.Or(cmp.Compare(a.utilisation(), b.utilisation()), cmp.Compare(b.weld.Number, a.weld.Number))
	})
	over := 0
	for _, w := range j.welds {
		words := func() string { return fmt.Sprintf("joint %s: weld %d", j.plan.ID, w.weld.Number) }
		if !c.keeps(l, w.utilisation(), 1e-9, words) {
			over++
		}
	}
	if over == 0 {
		return
	}
	words := fmt.Sprintf("joint %s: weld %d carries %s %% of its resistance (shear %s %%, tension %s %%)", j.plan.ID, worst.weld.Number,
		brief(100*worst.utilisation()), brief(100*worst.shear), brief(100*worst.tension)) + worst.mixed()
	if over > 1 {
		words += fmt.Sprintf(", the worst of %d", over)
	}
	at := place{words: words, at: worst.weld.Position.R3(), strip: worst.strip}
	if over == 1 {
		at.weld = worst.weld.Number
	}
	c.find(l, worst.utilisation(), nil, rule.Given{}, at)
	if j.stated.Rows == 0 {
		c.rowWidths(j.stated)
	}
}

// freeShare is the part of a moment below which what a group cannot resist is the rounding of its weld line: welds on a
// nearly straight line. Chosen.
const freeShare = 0.01

// freeMoment judges the moment about a straight row, which hinges.
func (c *checker) freeMoment(j *joint) {
	l := c.limit("strength.free.greatest", nil, rule.Given{})
	l.Value = math.Max(l.Value, freeShare*j.moment/1000)
	at := c.placeOf(j.plan, fmt.Sprintf("joint %s: %s N·m about its straight row of welds, which hinges", j.plan.ID, brief(j.free/1000)))
	if !c.keeps(l, j.free/1000, 1e-9, func() string { return at.words }) {
		c.find(l, j.free/1000, nil, rule.Given{}, at)
	}
}

// strengthRange says where the strength rule is used outside the range that it is valid in, once for each bound.
func (c *checker) strengthRange(j *joint) {
	type seen struct {
		problem rule.Problem
		weld    *carried
		count   int
	}
	byRule := map[string]*seen{}
	var ids []string
	for _, w := range j.welds {
		problems := w.problems
		if !j.loaded() { // what is printed of its welds must hold for their sheets all the same
			problems = sheetProblems(w.along.Problems)
		}
		for _, p := range unique(problems) {
			if c.saidOfPitch(j, p) {
				continue
			}
			t, ok := byRule[p.Rule]
			if !ok {
				t = &seen{problem: p, weld: w}
				byRule[p.Rule] = t
				ids = append(ids, p.Rule)
			}
			t.count++
			if math.Abs(p.Value-p.Limit) > math.Abs(t.problem.Value-t.problem.Limit) {
				t.problem, t.weld = p, w
			}
		}
	}
	slices.Sort(ids)
	inside := j.insideUnder()
	for _, id := range ids {
		t := byRule[id]
		words := fmt.Sprintf("joint %s: %d of its %d welds, worst weld %d: the strength rule is used outside its range%s", j.plan.ID, t.count,
			len(j.welds), t.weld.weld.Number, j.ways())
		at := place{words: words, at: t.weld.weld.Position.R3(), strip: t.weld.strip}
		if t.count == 1 {
			at.weld = t.weld.weld.Number
		}
		if inside != "" {
			remedy := t.problem.Remedy
			if r, ok := c.in.Book.Find(id); ok {
				remedy = cmp.Or(remedy, r.Remedy)
			}
			at.remedy = fmt.Sprintf("state load.direction: %s where the load runs so, as all welds are inside the range then; else %s", inside,
				remedy)
		}
		c.add(t.problem, "", at)
	}
}

// insideUnder is the direction of the load under which none of the joint's welds is outside the strength rule's range, where none is
// stated; empty where there is no such direction.
func (j *joint) insideUnder() string {
	if j.ways() == "" || len(j.stated.Forces) > 0 {
		return ""
	}
	for _, direction := range []string{shell.Along, shell.Across} {
		if !slices.ContainsFunc(j.welds, func(w *carried) bool { return w.none != nil || len(w.under(direction).Problems) > 0 }) {
			return direction
		}
	}
	return ""
}

// saidOfPitch reports whether a long pitch has been said of the joint by the rule of its pitch: the range of the strength rule is
// where that comes from.
func (c *checker) saidOfPitch(j *joint, p rule.Problem) bool {
	if p.Rule != "strength.en.p1" && p.Rule != "strength.en.p2" || p.Value < p.Limit {
		return false
	}
	return slices.ContainsFunc(c.report.Findings, func(f layout.Finding) bool {
		return (f.Rule == "pitch.greatest" || f.Rule == "pitch.across.greatest") && f.Joint == j.plan.ID && p.Value <= f.Value+1e-6 &&
			p.Limit >= f.Limit-1e-6
	})
}

// ways says how a load without a direction was judged.
func (j *joint) ways() string {
	if l := j.stated.Load; l.Direction == "" && (l.Shear > 0 || l.Flow > 0) {
		return ", for a load along the row or across it (load.direction is not stated)"
	}
	return ""
}

// unique keeps the first problem of each rule: a stack of three sheets has each at both interfaces.
func unique(all []rule.Problem) []rule.Problem {
	var out []rule.Problem
	for _, p := range all {
		if !slices.ContainsFunc(out, func(o rule.Problem) bool { return o.Rule == p.Rule }) {
			out = append(out, p)
		}
	}
	return out
}

// Group is the welds of one joint, on its flanges.
type Group struct {
	Joint   layout.Joint
	Flanges []layout.Flange
	Welds   []layout.Weld
}

// Utilisation is that of a group's worst weld under its joint's load; 0 without welds. Nothing is changed.
func Utilisation(ctx context.Context, g Group, sh *shell.Shell, in *inforce.Rules) (float64, error) {
	welds := slices.Clone(g.Welds)
	if err := Strengths(ctx, &layout.Plan{Joints: []layout.Joint{g.Joint}, Flanges: g.Flanges, Welds: welds}, sh, in); err != nil {
		return 0, err
	}
	worst := 0.0
	for _, w := range welds {
		worst = math.Max(worst, w.Utilisation)
	}
	return worst, nil
}
