package rule

import (
	"fmt"
	"math"

	"seamwright/seams/schedule"
)

// Evaluate gives a rule's value for a stack by the source in force. It fails for a rule that the book does not
// have and for a stack without a thickness where one is needed.
func (r Rules) Evaluate(id string, stack Stack) (Limit, error) {
	rule, ok := r.Find(id)
	if !ok {
		return Limit{}, fmt.Errorf("rule %s: not in the book", id)
	}
	s, ok := rule.source(rule.Use)
	if !ok {
		return Limit{}, fmt.Errorf("rule %s: no source %q", id, rule.Use)
	}
	return r.by(rule, s, stack)
}

// Sources gives a rule's value by every source of the book, the one in force first, so that a report can show
// where they disagree.
func (r Rules) Sources(id string, stack Stack) ([]Limit, error) {
	first, err := r.Evaluate(id, stack)
	if err != nil {
		return nil, err
	}
	rule, _ := r.Find(id)
	limits := []Limit{first}
	for _, s := range rule.Sources {
		if s.ID == rule.Use {
			continue
		}
		l, err := r.by(rule, s, stack)
		if err != nil {
			return nil, err
		}
		limits = append(limits, l)
	}
	return limits, nil
}

// by gives a rule's value by one source.
func (r Rules) by(rule Rule, s Source, stack Stack) (Limit, error) {
	l := Limit{Rule: rule.ID, Unit: rule.Unit, Source: s.Source, Certainty: s.Certainty, From: rule.From}
	if s.How != Constant && !stack.Valid() {
		return Limit{}, fmt.Errorf("rule %s: the stack has no sheet, or a sheet without a thickness above zero", rule.ID)
	}
	v, note, err := r.raw(s, stack)
	if err != nil {
		return Limit{}, fmt.Errorf("rule %s: %w", rule.ID, err)
	}
	v += s.Plus
	if len(stack) >= 3 && s.ThreeSheets > 0 {
		v = float64(v * s.ThreeSheets)
	}
	v = max(v, s.Least)
	if s.Greatest > 0 {
		v = min(v, s.Greatest)
	}
	l.Value, l.Note = v, note
	return l, nil
}

// raw is the value before anything is added, and a note where there is something to say.
func (r Rules) raw(s Source, stack Stack) (float64, string, error) {
	t := stack.thickness(s.Of)
	switch s.How {
	case Constant:
		return s.Value, "", nil
	case Root:
		return float64(s.Factor * math.Sqrt(t)), "", nil
	case Multiple:
		return float64(s.Factor * t), "", nil
	case Diameters:
		d, err := r.Evaluate("weld.diameter", stack)
		return float64(s.Factor * d.Value), d.Note, err
	case FromTable:
		table, err := schedule.Named(s.Table)
		if err != nil {
			return 0, "", err
		}
		v, outside := table.At(s.Column, t)
		if !outside {
			return v, "", nil
		}
		least, greatest := table.Range()
		return v, fmt.Sprintf("%s mm is outside the table (%s to %s mm): its nearest row is taken", number(t), number(least), number(greatest)), nil
	}
	return 0, "", fmt.Errorf("source %s: how %q is not known", s.ID, s.How)
}

func (s Stack) thickness(of Thickness) float64 {
	switch of {
	case Governing:
		return s.Governing()
	case Outside:
		return s.Outside()
	case Thinnest:
		return s.Thinnest()
	case Thickest:
		return s.Thickest()
	}
	return 0
}

// Line is one rule as it applies to a stack: the value in force and what the other sources would say.
type Line struct {
	Rule    Rule
	InForce Limit
	Others  []Limit
	Spread  float64 // greatest value of all sources over the least; 1 with a single source, 0 where a value is zero
}

// Explain lists the whole book as it applies to a stack, the shell's figures included, in the book's order.
func Explain(stack Stack, opt Options) ([]Line, error) {
	book := opt.book()
	stated := map[string]float64{"pitch.least": opt.LeastPitch, "pitch.wanted": opt.GreatestPitch, "edge.least": opt.EdgeDistance,
		"end.least": opt.EndDistance, "bend.clearance": opt.BendClearance, "tack.every": opt.TackEvery, "gap.greatest": opt.GapLimit}
	var lines []Line
	for _, rule := range book {
		all, err := book.Sources(rule.ID, stack)
		if err != nil {
			return nil, err
		}
		line := Line{Rule: rule, InForce: state(all[0], stated[rule.ID]), Others: all[1:], Spread: spread(all)}
		if line.InForce.From == FromShell {
			line.Others = all
		}
		lines = append(lines, line)
	}
	return lines, nil
}

func spread(all []Limit) float64 {
	least, greatest := math.Inf(1), 0.0
	for _, l := range all {
		least, greatest = min(least, l.Value), max(greatest, l.Value)
	}
	if least <= 0 {
		return 0
	}
	return greatest / least
}
