package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/seams/rule"
)

// gap is the way along the weld line between two neighbouring welds.
type gap struct {
	a, b     *layout.Weld
	from, to float64 // mm along the line; over the closing point of a closed one to is beyond its length
}

func (g gap) length() float64 { return g.to - g.from }

// pitchesOf lists the gaps of a strip, row by row.
func (s *strip) pitchesOf(welds []*layout.Weld) []gap {
	var out []gap
	for _, lane := range lanes(welds) {
		for i := 1; i < len(lane.welds); i++ {
			a, b := lane.welds[i-1], lane.welds[i]
			out = append(out, gap{a, b, a.Along, b.Along})
		}
		if n := len(lane.welds); s.flange.Closed && n > 1 && lane.whole {
			a, b := lane.welds[n-1], lane.welds[0]
			out = append(out, gap{a, b, a.Along, b.Along + s.flange.Length})
		}
	}
	return out
}

// pitches judges the pitch along every weld line, and across the places where one strip goes on as another.
func (c *checker) pitches() {
	for _, s := range c.strips {
		if !s.spotted() {
			continue
		}
		if p := rule.CheckLimits(rule.For(s.stack, c.in.Options(s.stated))); len(p) > 0 {
			for _, problem := range p {
				c.add(problem, "", place{words: fmt.Sprintf("flange %s: the pitch asked for is %s mm", s.flange.ID, tenths(problem.Value)),
					at: s.line.Points[0], strip: s})
			}
		}
		c.overYield(s, place{words: "flange " + s.flange.ID, at: s.at(s.flange.Length / 2), strip: s})
		gaps := s.pitchesOf(s.welds)
		c.leastPitch(s, gaps)
		c.greatestPitches(s, gaps)
		c.acrossEnds(s)
	}
}

func (c *checker) leastPitch(s *strip, gaps []gap) {
	l := s.limits.LeastPitch
	for _, g := range gaps {
		at := place{words: fmt.Sprintf("flange %s: welds %d and %d are %s mm apart", s.flange.ID, g.a.Number, g.b.Number, tenths(g.length())),
			at: g.b.Position.R3(), strip: s, weld: g.b.Number, other: g.a}
		if !c.keeps(l, g.length(), slackPlan, func() string { return at.words }) {
			c.find(l, g.length(), s.stack, rule.Given{}, at)
		}
	}
}

// greatestPitches judges every reason that a pitch may have an upper bound, and says each once for the strip, at its widest
// gap. The wanted pitch is said only of gaps that break no other bound.
func (c *checker) greatestPitches(s *strip, gaps []gap) {
	given := rule.Given{Compression: s.stated.Compression}
	limits := []rule.Limit{s.limits.BucklingPitch, s.limits.SealedPitch, s.limits.PitchBound, c.wanted(s)}
	wide := make([][]gap, len(limits))
	for i, l := range limits {
		if l.Rule == "pitch.buckling.greatest" { // the limit proper, also where it is below the least pitch
			limits[i] = c.limit(l.Rule, s.stack, given)
		}
	}
	for _, g := range gaps {
		said := false
		for i, l := range limits {
			if l.Rule == "" || l.Rule != "pitch.buckling.greatest" && !(l.Value > 0) || said && l.Rule == "pitch.wanted" {
				continue
			}
			if !c.keeps(l, g.length(), slackPlan, func() string { return c.gapWords(s, g) }) {
				wide[i] = append(wide[i], g)
				said = true
			}
		}
	}
	for i, l := range limits {
		c.wideGaps(s, l, given, wide[i])
	}
}

func (c *checker) gapWords(s *strip, g gap) string {
	return fmt.Sprintf("flange %s: pitch of %s mm between welds %d and %d%s", s.flange.ID, tenths(g.length()), g.a.Number, g.b.Number,
		c.because(s, g.from, g.to))
}

// wideGaps says the widest of the gaps that pass a bound, and where the others are.
func (c *checker) wideGaps(s *strip, l rule.Limit, given rule.Given, wide []gap) {
	if len(wide) == 0 {
		return
	}
	worst := slices.MaxFunc(wide, func(a, b gap) int { return cmp.Compare(a.length(), b.length()) })
	at := place{words: c.gapWords(s, worst), at: s.at(math.Mod((worst.from+worst.to)/2, s.flange.Length)), strip: s}
	if len(wide) == 1 {
		at.weld, at.other = worst.b.Number, worst.a
		c.find(l, worst.length(), s.stack, given, at)
		return
	}
	var others []string
	for _, g := range wide {
		if g != worst {
			others = append(others, fmt.Sprintf("%d and %d", g.a.Number, g.b.Number))
		}
	}
	at.words += fmt.Sprintf(", the widest of %d; also %s", len(wide), some(others))
	c.find(l, worst.length(), s.stack, given, at)
}

// wanted is the pitch aimed at, as a rule of its own.
func (c *checker) wanted(s *strip) rule.Limit {
	l := s.limits.GreatestPitch
	if l.From != rule.FromShell && l.Rule != "pitch.wanted" {
		return rule.Limit{} // another bound was put in its place and is judged itself
	}
	return l
}

// acrossEnds judges the pitch from the last weld of a strip to the first of the strip that the same sheets go on as.
// Each such place is judged once, from the strip that comes first in the plan.
func (c *checker) acrossEnds(s *strip) {
	l := s.limits.PitchBound
	for end, o := range s.onto {
		if o == nil || len(s.welds) == 0 || len(o.welds) == 0 {
			continue
		}
		if c.order(o) < c.order(s) && (o.onto[0] == s || o.onto[1] == s) {
			continue
		}
		w := s.welds[0]
		if end == 1 {
			w = s.welds[len(s.welds)-1]
		}
		best, distance := o.welds[0], math.Inf(1)
		for _, x := range o.welds {
			if d := x.Position.R3().Distance(w.Position.R3()); d < distance {
				best, distance = x, d
			}
		}
		at := place{words: fmt.Sprintf("flange %s weld %d to flange %s weld %d: %s mm where the strips meet", s.flange.ID, w.Number, o.flange.ID,
			best.Number, tenths(distance)),
			at: w.Position.R3().Add(best.Position.R3()).Mul(0.5), strip: s, weld: w.Number, other: best}
		if !c.keeps(l, distance, slackPlan, func() string { return at.words }) {
			c.find(l, distance, s.stack, rule.Given{}, at)
		}
	}
}

func (c *checker) order(s *strip) int {
	for i, x := range c.strips {
		if x == s {
			return i
		}
	}
	return -1
}

// tacks judges how many tacks a strip has and how far they are apart.
func (c *checker) tacks() {
	for _, s := range c.strips {
		if !s.spotted() || len(s.welds) == 0 {
			continue
		}
		var tacks []*layout.Weld
		for _, w := range s.welds {
			if w.Step == layout.Tack {
				tacks = append(tacks, w)
			}
		}
		c.fewTacks(s, tacks)
		l := s.limits.TackEvery
		for _, g := range s.tackGaps(tacks) {
			words := func() string {
				return fmt.Sprintf("flange %s: %s mm between tacks %d and %d%s", s.flange.ID, brief(g.length()), g.a.Number, g.b.Number,
					c.because(s, g.from, g.to))
			}
			if !c.keeps(l, g.length(), slackPlan, words) {
				at := place{words: words(), at: s.at(math.Mod((g.from+g.to)/2, s.flange.Length)), strip: s, weld: g.b.Number, other: g.a}
				c.find(l, g.length(), s.stack, rule.Given{}, at)
			}
		}
	}
}

// tackGaps lists the gaps between tacks along a strip, whichever row they stand in: a tack holds all of the flange's width. A broad
// contact is held row by row.
func (s *strip) tackGaps(tacks []*layout.Weld) []gap {
	if s.flange.Patch {
		return s.pitchesOf(tacks)
	}
	var out []gap
	for i := 1; i < len(tacks); i++ {
		out = append(out, gap{tacks[i-1], tacks[i], tacks[i-1].Along, tacks[i].Along})
	}
	if n := len(tacks); s.flange.Closed && n > 1 {
		out = append(out, gap{tacks[n-1], tacks[0], tacks[n-1].Along, tacks[0].Along + s.flange.Length})
	}
	return out
}

// fewTacks: a closed strip needs one tack more, and no strip needs more tacks than it has welds.
func (c *checker) fewTacks(s *strip, tacks []*layout.Weld) {
	l := c.limit("tack.least", s.stack, rule.Given{})
	if s.flange.Closed {
		l.Value++
	}
	l.Value = math.Min(l.Value, float64(len(s.welds)))
	words := func() string {
		return fmt.Sprintf("flange %s: %d of its %d welds are tacks%s", s.flange.ID, len(tacks), len(s.welds),
			c.because(s, 0, s.flange.Length))
	}
	if !c.keeps(l, float64(len(tacks)), 0, words) {
		c.find(l, float64(len(tacks)), s.stack, rule.Given{}, place{words: words(), at: s.line.Points[0], strip: s})
	}
}
