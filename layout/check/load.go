package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/resistance"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// counts judges that every strip is welded and that joints have the welds asked for.
func (c *checker) counts() {
	for _, s := range c.Strips {
		if !s.Spotted() {
			continue
		}
		l := c.Limit("count.flange.least", s.Stack, rule.Given{})
		words := func() string {
			return fmt.Sprintf("flange %s: %d welds on %s mm%s", s.Flange.ID, len(s.Welds), finding.Brief(s.Flange.Length),
				c.because(s, 0, s.Flange.Length))
		}
		if !c.Keeps(l, float64(len(s.Welds)), 0, words) {
			at := ledger.Place{Words: words(), At: s.Line.At(s.Flange.Length / 2), Strip: s}
			c.Find(l, float64(len(s.Welds)), s.Stack, rule.Given{}, at)
		}
	}
	for i := range c.Plan.Joints {
		j := &c.Plan.Joints[i]
		stated, ok := c.Shell.Joint(j.ID)
		if !ok || stated.Count == 0 || j.Kind == layout.RollerJoint {
			continue
		}
		c.count("count.stated.least", j, c.WeldsOf(j.ID), stated.Count, "are asked for")
	}
}

// count judges a joint's welds against a number; the rule itself counts in parts of that number.
func (c *checker) count(id string, j *layout.Joint, have, want int, words string) {
	l := c.Limit(id, nil, rule.Given{})
	l.Value, l.Unit = l.Value*float64(want), "welds"
	at := c.placeOf(j, fmt.Sprintf("joint %s: %d welds, %d %s", j.ID, have, want, words))
	if !c.Keeps(l, float64(have), 0, func() string { return at.Words }) {
		c.Find(l, float64(have), nil, rule.Given{}, at)
		if stated, ok := c.Shell.Joint(j.ID); ok && stated.Rows == 0 { // with rows asked for it is said anyway
			c.rowWidths(stated)
		}
	}
}

// placeOf is a joint as a place: the middle of its longest strip.
func (c *checker) placeOf(j *layout.Joint, words string) ledger.Place {
	at := ledger.Place{Words: words, Joint: j.ID}
	longest := 0.0
	for _, s := range c.Strips {
		if s.Flange.Joint == j.ID && s.Flange.Length > longest {
			longest, at.At = s.Flange.Length, s.Line.At(s.Flange.Length/2)
		}
	}
	return at
}

// loads judges what joints carry: the count that an even load needs, the worst weld of a group, the range in which the
// strength rule holds.
func (c *checker) loads() {
	all, err := c.joints()
	if err != nil {
		c.Fail(err)
		return
	}
	for _, j := range all {
		if j.Plan.Kind == layout.RollerJoint && j.Loaded() && len(j.Plan.Flanges) > 0 {
			c.rolledUnderLoad(j)
			continue
		}
		if len(j.Welds) == 0 || c.without(j) {
			continue
		}
		c.strengthRange(j)
		if !j.Loaded() {
			continue
		}
		if len(j.Stated.Forces) == 0 {
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
func (c *checker) needed(j *resistance.Joint) {
	most := 0
	for _, w := range j.Welds {
		n, err := w.Under(j.Stated.Load.Direction).Needed(j.Even(), j.Length)
		if err != nil {
			c.Fail(fmt.Errorf("joint %s: %w", j.Plan.ID, err))
			return
		}
		most = max(most, n)
	}
	c.count("count.load.least", j.Plan, len(j.Welds), most, "carry its load by its weakest weld"+mixed(j.Welds[0]))
}

// mixed marks figures of two kinds that are added.
func mixed(w *resistance.Weld) string {
	if !(w.Shear > 0) || !(w.Tension > 0) || w.Any.ShearBasis == w.Any.TensionBasis {
		return ""
	}
	return fmt.Sprintf("; two kinds of figure are added: shear by a %s, tension by a %s", w.Any.ShearBasis, w.Any.TensionBasis)
}

// without says of a joint that no rule gives a figure for its welds: broken under a load, which nothing shows to be carried.
func (c *checker) without(j *resistance.Joint) bool {
	k := slices.IndexFunc(j.Welds, func(w *resistance.Weld) bool { return w.None != nil })
	if k < 0 {
		return false
	}
	w := j.Welds[k]
	if !j.Loaded() {
		c.Unchecked("joint %s: what its welds carry: %v", j.Plan.ID, w.None)
		return true
	}
	c.Add(rule.Problem{Rule: "strength.none", Source: w.None.Error(), Certainty: rule.Memory}, "",
		ledger.Place{Words: fmt.Sprintf("joint %s: a load is stated, but no rule gives what a weld of stack %s carries", j.Plan.ID,
			w.Strip.Stack), At: w.Weld.Position.R3(), Strip: w.Strip})
	return true
}

// rolledUnderLoad says of a rolled joint with a load that no rule gives what its seam carries.
func (c *checker) rolledUnderLoad(j *resistance.Joint) {
	at := c.placeOf(j.Plan, fmt.Sprintf("joint %s: a load is stated, but no rule gives what a roller seam carries", j.Plan.ID))
	at.Remedy = "show by test what the seam carries, or make the joint's kind spot+roller, so that its spots carry the load"
	c.Add(rule.Problem{Rule: "strength.none", Source: "the strength rules here are for spots", Certainty: rule.Calculated}, "", at)
}

// basis says that a load is held against a test value without a partial factor.
func (c *checker) basis(j *resistance.Joint) {
	if w := j.Welds[0]; w.Any.ShearBasis == strength.LeastTest {
		at := c.placeOf(j.Plan, fmt.Sprintf("joint %s: its load is held against the least that a test of one weld may show", j.Plan.ID))
		c.Add(rule.Problem{Rule: "strength.basis", Value: 1, Limit: strength.GammaM2}, "", at)
	}
}

// netSection judges the sheet itself under a force across the weld lines: rows behind each other share its section, and no
// further weld adds to that. A spot takes nothing from the section.
func (c *checker) netSection(j *resistance.Joint) {
	demand := j.Even().Shear + j.Even().Flow*j.Length
	if !(demand > 0) || j.Stated.Load.Direction == shell.Along {
		return
	}
	carries := 0.0
	for _, s := range c.Strips {
		if s.Flange.Joint != j.Plan.ID || len(s.Welds) == 0 {
			continue
		}
		if s.Carries.Method != strength.ByEurocode {
			return
		}
		least := math.Inf(1)
		for _, sheet := range s.Stack {
			r := strength.Eurocode(strength.Spot{Thin: sheet.Thickness, Thick: sheet.Thickness, Tensile: sheet.Tensile,
				NetArea: s.Flange.Length * sheet.Thickness})
			least = math.Min(least, r.Net)
		}
		carries += least
	}
	l := c.Limit("strength.utilisation.greatest", nil, rule.Given{})
	l.Source, l.Certainty = strength.EurocodeSource+", F_n = A_net f_u / gamma_M2", rule.Memory
	used := demand / math.Max(carries, 1e-9)
	at := c.placeOf(j.Plan, fmt.Sprintf("joint %s: the weaker sheet itself carries %s N across %s mm of weld line, %s N are asked for",
		j.Plan.ID, finding.Brief(carries), finding.Brief(j.Length), finding.Brief(demand)))
	at.Remedy = "no further weld helps: take thicker or stronger sheet, or a longer joint"
	if !c.Keeps(l, used, 1e-9, func() string { return at.Words }) {
		c.Find(l, used, nil, rule.Given{}, at)
	}
}

// worstWeld judges the weld of a group that is strained most.
func (c *checker) worstWeld(j *resistance.Joint) {
	l := c.Limit("strength.utilisation.greatest", nil, rule.Given{})
	worst := slices.MaxFunc(j.Welds, func(a, b *resistance.Weld) int {
		return cmp.Or(cmp.Compare(a.Utilisation(), b.Utilisation()), cmp.Compare(b.Weld.Number, a.Weld.Number))
	})
	over := 0
	for _, w := range j.Welds {
		words := func() string { return fmt.Sprintf("joint %s: weld %d", j.Plan.ID, w.Weld.Number) }
		if !c.Keeps(l, w.Utilisation(), 1e-9, words) {
			over++
		}
	}
	if over == 0 {
		return
	}
	words := fmt.Sprintf("joint %s: weld %d carries %s %% of its resistance (shear %s %%, tension %s %%)", j.Plan.ID, worst.Weld.Number,
		finding.Brief(100*worst.Utilisation()), finding.Brief(100*worst.Shear), finding.Brief(100*worst.Tension)) + mixed(worst)
	if over > 1 {
		words += fmt.Sprintf(", the worst of %d", over)
	}
	at := ledger.Place{Words: words, At: worst.Weld.Position.R3(), Strip: worst.Strip}
	if over == 1 {
		at.Weld = worst.Weld.Number
	}
	c.Find(l, worst.Utilisation(), nil, rule.Given{}, at)
	if j.Stated.Rows == 0 {
		c.rowWidths(j.Stated)
	}
}

// freeShare is the part of a moment below which what a group cannot resist is the rounding of its weld line: welds on a
// nearly straight line. Chosen.
const freeShare = 0.01

// freeMoment judges the moment about a straight row, which hinges.
func (c *checker) freeMoment(j *resistance.Joint) {
	l := c.Limit("strength.free.greatest", nil, rule.Given{})
	l.Value = math.Max(l.Value, freeShare*j.Moment/1000)
	at := c.placeOf(j.Plan, fmt.Sprintf("joint %s: %s N·m about its straight row of welds, which hinges", j.Plan.ID,
		finding.Brief(j.Free/1000)))
	if !c.Keeps(l, j.Free/1000, 1e-9, func() string { return at.Words }) {
		c.Find(l, j.Free/1000, nil, rule.Given{}, at)
	}
}

// strengthRange says where the strength rule is used outside the range that it is valid in, once for each bound.
func (c *checker) strengthRange(j *resistance.Joint) {
	type seen struct {
		problem rule.Problem
		weld    *resistance.Weld
		count   int
	}
	byRule := map[string]*seen{}
	var ids []string
	for _, w := range j.Welds {
		problems := w.Problems
		if !j.Loaded() { // what is printed of its welds must hold for their sheets all the same
			problems = resistance.SheetProblems(w.Along.Problems)
		}
		for _, p := range resistance.Unique(problems) {
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
	inside := insideUnder(j)
	for _, id := range ids {
		t := byRule[id]
		words := fmt.Sprintf("joint %s: %d of its %d welds, worst weld %d: the strength rule is used outside its range%s", j.Plan.ID, t.count,
			len(j.Welds), t.weld.Weld.Number, ways(j))
		at := ledger.Place{Words: words, At: t.weld.Weld.Position.R3(), Strip: t.weld.Strip}
		if t.count == 1 {
			at.Weld = t.weld.Weld.Number
		}
		if inside != "" {
			remedy := t.problem.Remedy
			if r, ok := c.Rules.Book.Find(id); ok {
				remedy = cmp.Or(remedy, r.Remedy)
			}
			at.Remedy = fmt.Sprintf("state load.direction: %s where the load runs so, as all welds are inside the range then; else %s", inside,
				remedy)
		}
		c.Add(t.problem, "", at)
	}
}

// insideUnder is the direction of the load under which none of the joint's welds is outside the strength rule's range, where none is
// stated; empty where there is no such direction.
func insideUnder(j *resistance.Joint) string {
	if ways(j) == "" || len(j.Stated.Forces) > 0 {
		return ""
	}
	for _, direction := range []string{shell.Along, shell.Across} {
		if !slices.ContainsFunc(j.Welds, func(w *resistance.Weld) bool { return w.None != nil || len(w.Under(direction).Problems) > 0 }) {
			return direction
		}
	}
	return ""
}

// saidOfPitch reports whether a long pitch has been said of the joint by the rule of its pitch: the range of the strength rule is
// where that comes from.
func (c *checker) saidOfPitch(j *resistance.Joint, p rule.Problem) bool {
	if p.Rule != "strength.en.p1" && p.Rule != "strength.en.p2" || p.Value < p.Limit {
		return false
	}
	return slices.ContainsFunc(c.Report.Findings, func(f layout.Finding) bool {
		return (f.Rule == "pitch.greatest" || f.Rule == "pitch.across.greatest") && f.Joint == j.Plan.ID && p.Value <= f.Value+1e-6 &&
			p.Limit >= f.Limit-1e-6
	})
}

// ways says how a load without a direction was judged.
func ways(j *resistance.Joint) string {
	if l := j.Stated.Load; l.Direction == "" && (l.Shear > 0 || l.Flow > 0) {
		return ", for a load along the row or across it (load.direction is not stated)"
	}
	return ""
}
