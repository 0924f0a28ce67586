package rule

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Severity says how bad a problem is.
type Severity string

// The severities, worst first.
const (
	Broken Severity = "broken"
	Doubt  Severity = "doubt"
	Note   Severity = "note"
)

// Problem is one rule that a stack, weld or setting does not keep, or keeps in doubt.
type Problem struct {
	Rule      string
	Severity  Severity
	Value     float64
	Limit     float64
	Unit      string
	Source    string
	Remedy    string
	Certainty Certainty
	From      Origin // who set the limit; empty: as the book says
}

// String is one line for people.
func (p Problem) String() string {
	return fmt.Sprintf("%s: %s: %s %s, limit %s (%s): %s", p.Severity, p.Rule, number(p.Value), p.Unit, number(p.Limit), p.Source, p.Remedy)
}

// CheckBy judges a stack by a book, nil meaning the default one: sheets, thickness ratio, pile-up, scope, coatings, strength.
// Problems come in a fixed order; none: nil.
func CheckBy(book Rules, stack Stack) []Problem {
	if book == nil {
		book = defaultBook()
	}
	if !stack.Valid() {
		return []Problem{book.Problem(Limit{Rule: "stack.input", Unit: "mm", Source: "every sheet needs a thickness above zero",
			Certainty: Stated}, stack.Thinnest())}
	}
	c := checker{book: book, stack: stack}
	c.judge("stack.sheets.least", float64(len(stack)))
	c.judge("stack.sheets.greatest", float64(len(stack)))
	c.judge("stack.ratio.greatest", stack.Thickest()/stack.Thinnest())
	c.judge("stack.pileup.greatest", stack.Total())
	if len(stack) >= 3 {
		c.judge("stack.total.greatest", stack.Total())
	}
	c.judge("stack.sheet.least", stack.Thinnest())
	c.judge("stack.sheet.greatest", stack.Thickest())
	strongest := 0.0
	for _, s := range stack {
		strongest = max(strongest, s.Tensile)
	}
	c.judge("stack.tensile.greatest", strongest)
	c.coatings()
	return c.found
}

// CheckLimits finds limits that cannot be kept together, as stated figures may be.
func CheckLimits(l Limits) []Problem {
	var found []Problem
	if l.GreatestPitch.Value < l.LeastPitch.Value {
		found = append(found, Problem{Rule: "pitch.least", Severity: Broken, Value: l.GreatestPitch.Value, Limit: l.LeastPitch.Value, Unit: "mm",
			Source: l.LeastPitch.Source, Remedy: "state a greatest pitch above the least", Certainty: l.LeastPitch.Certainty})
	}
	if b := l.PitchBound; b.Value > 0 && l.GreatestPitch.Value > b.Value && !roundingOnly(l.GreatestPitch.Value, b.Value) {
		found = append(found, Problem{Rule: b.Rule, Severity: Doubt, Value: l.GreatestPitch.Value, Limit: b.Value, Unit: "mm",
			Source: b.Source, Remedy: "state a smaller pitch, or show the strength by test", Certainty: b.Certainty})
	}
	return found
}

// checker gathers problems of one stack.
type checker struct {
	book  Rules
	stack Stack
	found []Problem
}

func (c *checker) judge(id string, value float64) {
	if p, ok := c.book.Judge(id, c.stack, value); !ok {
		c.found = append(c.found, p)
	}
}

// coatings adds one problem for each kind of remark, not for each sheet.
func (c *checker) coatings() {
	zinc, unknown := 0.0, false
	hasZinc := false
	for _, s := range c.stack {
		coat, known := ParseCoating(s.Coating)
		unknown = unknown || !known
		hasZinc = hasZinc || coat.Zinc()
		zinc = max(zinc, coat.Mass)
	}
	if hasZinc {
		c.say("coating.zinc", zinc)
	}
	if unknown {
		c.say("coating.unknown", 0)
	}
}

func (c *checker) say(id string, value float64) {
	if l, err := c.book.Evaluate(id, c.stack); err == nil {
		c.found = append(c.found, c.book.Problem(l, value))
	}
}

// Judge compares a value with a rule's limit and returns the problem when it is not kept. A rule whose id
// ends in "greatest" is an upper bound, every other a lower one; a hair's breadth of rounding (1e-9) is let pass.
// A rule that the book does not have, or that cannot be worked out, is itself a problem, never a silent pass.
func (r Rules) Judge(id string, stack Stack, value float64) (Problem, bool) {
	l, err := r.Evaluate(id, stack)
	if err != nil {
		return Problem{Rule: id, Severity: Doubt, Value: value, Source: err.Error(), Remedy: "mend the works' rule book", Certainty: Calculated},
			false
	}
	if l.Keeps(value, 0) {
		return Problem{}, true
	}
	return r.Problem(l, value), false
}

// Upper reports whether a rule is an upper bound, by its id.
func Upper(id string) bool {
	return strings.HasSuffix(id, ".greatest") || slices.Contains([]string{"pitch.wanted", "tack.every", "reach.tilt", "survey.far"}, id)
}

// Keeps reports whether a value keeps the limit, to within slack in the limit's unit: how far the value itself is
// uncertain. A hair's breadth of rounding is let pass whatever the slack.
func (l Limit) Keeps(value, slack float64) bool {
	if Upper(l.Rule) {
		return value <= l.Value+slack || roundingOnly(value, l.Value)
	}
	return value >= l.Value-slack || roundingOnly(value, l.Value)
}

// roundingOnly lets 0.1 + 0.2 be 0.3: a limit is not broken by the last bits of a sum.
func roundingOnly(a, b float64) bool {
	return math.Abs(a-b) <= 1e-9*max(1, math.Abs(b))
}

// Problem words a value that does not keep a limit, with the severity and remedy of the book.
func (r Rules) Problem(l Limit, value float64) Problem {
	p := Problem{Rule: l.Rule, Severity: Note, Value: value, Limit: l.Value, Unit: l.Unit, Source: l.Source, Certainty: l.Certainty,
		From: l.From}
	if rule, ok := r.Find(l.Rule); ok {
		p.Remedy = rule.Remedy
		if rule.Severity != "" {
			p.Severity = rule.Severity
		}
	}
	return p
}
