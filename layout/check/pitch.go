package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
)

// pitches judges the pitch along every weld line, and across the places where one strip goes on as another.
func (c *checker) pitches() {
	for _, s := range c.Strips {
		if !s.Spotted() {
			continue
		}
		if p := rule.CheckLimits(rule.For(s.Stack, c.Rules.Options(s.Stated))); len(p) > 0 {
			for _, problem := range p {
				words := fmt.Sprintf("flange %s: the pitch asked for is %s mm", s.Flange.ID, finding.Tenths(problem.Value))
				c.Add(problem, "", ledger.Place{Words: words, At: s.Line.Points[0], Strip: s})
			}
		}
		c.OverYield(s, ledger.Place{Words: "flange " + s.Flange.ID, At: s.Line.At(s.Flange.Length / 2), Strip: s})
		gaps := s.Gaps(s.Welds)
		c.leastPitch(s, gaps)
		c.greatestPitches(s, gaps)
		c.acrossEnds(s)
	}
}

func (c *checker) leastPitch(s *strips.Strip, gaps []strips.Gap) {
	l := s.Limits.LeastPitch
	for _, g := range gaps {
		words := fmt.Sprintf("flange %s: welds %d and %d are %s mm apart", s.Flange.ID, g.A.Number, g.B.Number, finding.Tenths(g.Length()))
		at := ledger.Place{Words: words, At: g.B.Position.R3(), Strip: s, Weld: g.B.Number, Other: g.A}
		if !c.Keeps(l, g.Length(), ledger.SlackPlan, func() string { return at.Words }) {
			c.Find(l, g.Length(), s.Stack, rule.Given{}, at)
		}
	}
}

// greatestPitches judges every reason that a pitch may have an upper bound, and says each once for the strip, at its widest
// gap. The wanted pitch is said only of gaps that break no other bound.
func (c *checker) greatestPitches(s *strips.Strip, gaps []strips.Gap) {
	given := rule.Given{Compression: s.Stated.Compression}
	limits := []rule.Limit{s.Limits.BucklingPitch, s.Limits.SealedPitch, s.Limits.PitchBound, c.wanted(s)}
	wide := make([][]strips.Gap, len(limits))
	for i, l := range limits {
		if l.Rule == "pitch.buckling.greatest" { // the limit proper, also where it is below the least pitch
			limits[i] = c.Limit(l.Rule, s.Stack, given)
		}
	}
	for _, g := range gaps {
		said := false
		for i, l := range limits {
			if l.Rule == "" || l.Rule != "pitch.buckling.greatest" && !(l.Value > 0) || said && l.Rule == "pitch.wanted" {
				continue
			}
			if !c.Keeps(l, g.Length(), ledger.SlackPlan, func() string { return c.gapWords(s, g) }) {
				wide[i] = append(wide[i], g)
				said = true
			}
		}
	}
	for i, l := range limits {
		c.wideGaps(s, l, given, wide[i])
	}
}

func (c *checker) gapWords(s *strips.Strip, g strips.Gap) string {
	return fmt.Sprintf("flange %s: pitch of %s mm between welds %d and %d%s", s.Flange.ID, finding.Tenths(g.Length()), g.A.Number, g.B.Number,
		c.because(s, g.From, g.To))
}

// wideGaps says the widest of the gaps that pass a bound, and where the others are.
func (c *checker) wideGaps(s *strips.Strip, l rule.Limit, given rule.Given, wide []strips.Gap) {
	if len(wide) == 0 {
		return
	}
	worst := slices.MaxFunc(wide, func(a, b strips.Gap) int { return cmp.Compare(a.Length(), b.Length()) })
	at := ledger.Place{Words: c.gapWords(s, worst), At: s.Line.At(math.Mod((worst.From+worst.To)/2, s.Flange.Length)), Strip: s}
	if len(wide) == 1 {
		at.Weld, at.Other = worst.B.Number, worst.A
		c.Find(l, worst.Length(), s.Stack, given, at)
		return
	}
	var others []string
	for _, g := range wide {
		if g != worst {
			others = append(others, fmt.Sprintf("%d and %d", g.A.Number, g.B.Number))
		}
	}
	at.Words += fmt.Sprintf(", the widest of %d; also %s", len(wide), finding.Some(others))
	c.Find(l, worst.Length(), s.Stack, given, at)
}

// wanted is the pitch aimed at, as a rule of its own.
func (c *checker) wanted(s *strips.Strip) rule.Limit {
	l := s.Limits.GreatestPitch
	if l.From != rule.FromShell && l.Rule != "pitch.wanted" {
		return rule.Limit{} // another bound was put in its place and is judged itself
	}
	return l
}

// acrossEnds judges the pitch from the last weld of a strip to the first of the strip that the same sheets go on as.
// Each such place is judged once, from the strip that comes first in the plan.
func (c *checker) acrossEnds(s *strips.Strip) {
	l := s.Limits.PitchBound
	for end, o := range s.Onto {
		if o == nil || len(s.Welds) == 0 || len(o.Welds) == 0 {
			continue
		}
		if c.order(o) < c.order(s) && (o.Onto[0] == s || o.Onto[1] == s) {
			continue
		}
		w := s.Welds[0]
		if end == 1 {
			w = s.Welds[len(s.Welds)-1]
		}
		best, distance := o.Welds[0], math.Inf(1)
		for _, x := range o.Welds {
			if d := x.Position.R3().Distance(w.Position.R3()); d < distance {
				best, distance = x, d
			}
		}
		words := fmt.Sprintf("flange %s weld %d to flange %s weld %d: %s mm where the strips meet", s.Flange.ID, w.Number, o.Flange.ID,
			best.Number, finding.Tenths(distance))
		at := ledger.Place{Words: words, At: w.Position.R3().Add(best.Position.R3()).Mul(0.5), Strip: s, Weld: w.Number, Other: best}
		if !c.Keeps(l, distance, ledger.SlackPlan, func() string { return at.Words }) {
			c.Find(l, distance, s.Stack, rule.Given{}, at)
		}
	}
}

func (c *checker) order(s *strips.Strip) int {
	for i, x := range c.Strips {
		if x == s {
			return i
		}
	}
	return -1
}

// tacks judges how many tacks a strip has and how far they are apart.
func (c *checker) tacks() {
	for _, s := range c.Strips {
		if !s.Spotted() || len(s.Welds) == 0 {
			continue
		}
		var tacks []*layout.Weld
		for _, w := range s.Welds {
			if w.Step == layout.Tack {
				tacks = append(tacks, w)
			}
		}
		c.fewTacks(s, tacks)
		l := s.Limits.TackEvery
		for _, g := range s.TackGaps(tacks) {
			words := func() string {
				return fmt.Sprintf("flange %s: %s mm between tacks %d and %d%s", s.Flange.ID, finding.Brief(g.Length()), g.A.Number, g.B.Number,
					c.because(s, g.From, g.To))
			}
			if !c.Keeps(l, g.Length(), ledger.SlackPlan, words) {
				at := ledger.Place{Words: words(), At: s.Line.At(math.Mod((g.From+g.To)/2, s.Flange.Length)), Strip: s, Weld: g.B.Number, Other: g.A}
				c.Find(l, g.Length(), s.Stack, rule.Given{}, at)
			}
		}
	}
}

// fewTacks: a closed strip needs one tack more, and no strip needs more tacks than it has welds.
func (c *checker) fewTacks(s *strips.Strip, tacks []*layout.Weld) {
	l := c.Limit("tack.least", s.Stack, rule.Given{})
	if s.Flange.Closed {
		l.Value++
	}
	l.Value = math.Min(l.Value, float64(len(s.Welds)))
	words := func() string {
		return fmt.Sprintf("flange %s: %d of its %d welds are tacks%s", s.Flange.ID, len(tacks), len(s.Welds),
			c.because(s, 0, s.Flange.Length))
	}
	if !c.Keeps(l, float64(len(tacks)), 0, words) {
		c.Find(l, float64(len(tacks)), s.Stack, rule.Given{}, ledger.Place{Words: words(), At: s.Line.Points[0], Strip: s})
	}
}

// stretched is a stretch of a strip that is joined: rolled, or a weld.
type stretched struct {
	from, to float64
	weld     *layout.Weld // nil: rolled
}

// joined judges the stretches between what is rolled and spotted of strips that are to be rolled.
func (c *checker) joined() {
	for _, s := range c.Strips {
		if s.Kind != layout.RollerJoint {
			continue
		}
		all := c.stretchedOf(s)
		if len(all) == 0 {
			continue
		}
		c.leastPitch(s, s.Gaps(s.Welds))
		for i, a := range all {
			switch {
			case i+1 < len(all):
				c.openStretch(s, a, all[i+1])
			case s.Flange.Closed:
				c.openStretch(s, a, stretched{all[0].from + s.Flange.Length, all[0].to, all[0].weld})
			}
		}
	}
}

// stretchedOf lists what joins a strip, by growing place.
func (c *checker) stretchedOf(s *strips.Strip) []stretched {
	var out []stretched
	for _, r := range c.Plan.Seams {
		if r.Flange != s.Flange.ID || len(r.Path) < 2 {
			continue
		}
		if r.Closed {
			return []stretched{{0, s.Flange.Length, nil}}
		}
		from, _ := s.Line.Nearest(r.Path[0].R3())
		to, _ := s.Line.Nearest(r.Path[len(r.Path)-1].R3())
		if to < from && s.Flange.Closed {
			to += s.Line.Length()
		}
		out = append(out, stretched{from, to, nil})
	}
	for _, w := range s.Welds {
		out = append(out, stretched{w.Along, w.Along, w})
	}
	slices.SortStableFunc(out, func(a, b stretched) int { // a spot on the end of a seam is outside of it
		return cmp.Or(cmp.Compare(math.Round(a.from), math.Round(b.from)), cmp.Compare(a.to, b.to))
	})
	return out
}

// openStretch judges what is left open between two.
func (c *checker) openStretch(s *strips.Strip, a, b stretched) {
	l := s.Limits.PitchBound
	name := func(x stretched) string {
		if x.weld == nil {
			return "the roller seam"
		}
		return fmt.Sprintf("weld %d", x.weld.Number)
	}
	open := math.Max(0, b.from-a.to)
	words := fmt.Sprintf("flange %s: %s mm are neither rolled nor spotted between %s and %s", s.Flange.ID,
		finding.Tenths(open), name(a), name(b))
	at := ledger.Place{Words: words, At: s.Line.At(math.Mod((a.to+b.from)/2, s.Flange.Length)), Strip: s}
	if !c.Keeps(l, open, ledger.SlackPlan, func() string { return at.Words }) {
		c.Find(l, open, s.Stack, rule.Given{}, at)
	}
}
