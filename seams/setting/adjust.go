package setting

import (
	"math"

	"seamwright/seams/rule"
)

// supply counts whole cycles for AC. Direct current of the same root mean square value heats the same
// resistance alike, so figures stay as they are; that is a conversion, not a published setting.
func (s *Setting) supply() {
	if s.Supply == DC {
		s.from("converted to direct current by equal heat", rule.Calculated)
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
		s.from("for three sheets by the second thickest", rule.Practice)
		s.note("The table is for two sheets, and its notes go by the thinner outside sheet (%.3g mm) and a pile-up of at most 4 T. Force, "+
			"current "+
			"and times here go by the second thickest (%.3g mm), as the weld's size does, whatever lies outside (common practice, no source): "+
			"prove the weld at every interface, the thinnest sheet's first.", stack.Outside(), s.Thickness)
	}
	book := opt.Book
	if book == nil {
		book = rule.Book()
	}
	s.judge(book, "stack.tensile.greatest", stack, strongest(stack))
	s.judge(book, "setting.tensile.greatest", stack, strongest(stack))
	s.judge(book, "weld.diameter.least", stack, s.Nugget)
}

func (s *Setting) judge(book rule.Rules, id string, stack rule.Stack, value float64) {
	p, ok := book.Judge(id, stack, value)
	if ok {
		return
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
