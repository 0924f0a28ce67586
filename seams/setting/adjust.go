package setting

import (
	"math"

	"seamwright/seams/rule"
)

// Zinc: BS 1140:1993 settings of its hot-dip zinc group against those of uncoated sheet at high force, in thin sheet:
// about +12 to +15 % force, +1 to +3 cycles of 50 Hz, +1 to +2 kA. Read in a maker's brochure that reprints the tables.
const zincSource = "BS 1140:1993 tables, hot-dip zinc against uncoated sheet at high force, in thin sheet, as reprinted in a maker's " +
	"brochure"

// addForZinc adds the middle of the published range when a sheet is hot-dip zinc coated, and says so when a coating
// has no published addition here.
func (s *Setting) addForZinc(stack rule.Stack) {
	var hotDip, other, unknown bool
	for _, sheet := range stack {
		c, known := rule.ParseCoating(sheet.Coating)
		switch {
		case !known:
			unknown = true
		case c.Kind == rule.HotDipZinc:
			hotDip = true
		case c.Kind != rule.Bare:
			other = true
		}
	}
	if hotDip {
		s.add(&s.Force, Addition{What: "force", Least: s.Force * 0.12, Greatest: s.Force * 0.15, Unit: "N"})
		s.add(&s.Weld, Addition{What: "weld", Least: 1.0 / 50, Greatest: 3.0 / 50, Unit: "s"})
		s.add(&s.Current, Addition{What: "current", Least: 1000, Greatest: 2000, Unit: "A"})
		s.note("Hot-dip zinc: the middle of the published additions is in force, weld time and current; expected nugget and strength are " +
			"those of bare sheet.")
	}
	if other {
		s.note("A coating other than hot-dip zinc: no published addition at hand, figures are for bare sheet; find the current by test.")
	}
	if unknown {
		s.note("A coating that is not a designation of EN 10346 or EN 10152: figures are for bare sheet; find the current by test.")
	}
}

func (s *Setting) add(to *float64, a Addition) {
	a.Taken = (a.Least + a.Greatest) / 2
	a.Source, a.Certainty = zincSource, rule.Read
	*to += a.Taken
	s.Additions = append(s.Additions, a)
}

// supply counts whole cycles for AC. Direct current of the same root mean square value heats the same
// resistance alike, so figures stay as they are; that is a conversion, not a published setting.
func (s *Setting) supply() {
	if s.Supply == DC {
		s.Certainty = rule.Calculated
		s.note("Medium-frequency DC: converted from an AC table by equal heat (same force, time and root-mean-square current), not a " +
			"published setting; less current is often enough (common practice, no source).")
		return
	}
	s.SqueezeCycles = Cycles(s.Squeeze, s.Frequency)
	s.WeldCycles = Cycles(s.Weld, s.Frequency)
	s.HoldCycles = Cycles(s.Hold, s.Frequency)
	if s.Frequency != 60 {
		s.note("The table counts cycles of 60 Hz: times are kept and counted in whole cycles of %g Hz.", s.Frequency)
	}
}

// remarks says what the table does not cover.
func (s *Setting) remarks(stack rule.Stack, opt Options) {
	if len(stack) > 2 {
		s.note("The table is for two sheets; for three its notes go by the thinner outside sheet and a pile-up of at most 4 T. Prove the weld " +
			"at both interfaces.")
	}
	if s.Governing > s.Thickness {
		s.note("Settings go by the thinner outside sheet (%.3g mm), weld size by the governing thickness (%.3g mm): look at the thick "+
			"interface in the test.", s.Thickness, s.Governing)
	}
	book := opt.Book
	if book == nil {
		book = rule.Book()
	}
	s.judge(book, "stack.tensile.greatest", stack, strongest(stack))
	s.judge(book, "weld.diameter.least", stack, s.Nugget)
}

func (s *Setting) judge(book rule.Rules, id string, stack rule.Stack, value float64) {
	p, ok := book.Judge(id, stack, value)
	if ok {
		return
	}
	if id == "weld.diameter.least" { // expected, not measured
		p.Severity = rule.Doubt
	}
	s.Problems = append(s.Problems, p)
}

func strongest(stack rule.Stack) float64 {
	most := 0.0
	for _, sheet := range stack {
		most = math.Max(most, sheet.Tensile)
	}
	return most
}
