package rule

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"seamwright/seams/schedule"
)

// Given is what a value may depend on beside the stack.
type Given struct {
	Compression float64 // MPa along the row of welds; 0: none is stated
	Face        float64 // mm, electrode face at hand; 0: that of the rule tip.face
}

// Evaluate gives a rule's value for a stack by the source in force. It fails for a rule that the book does not
// have and for a stack without a thickness where one is needed.
func (r Rules) Evaluate(id string, stack Stack) (Limit, error) {
	return r.EvaluateGiven(id, stack, Given{})
}

// EvaluateGiven is Evaluate with what the joint and the tip at hand say.
func (r Rules) EvaluateGiven(id string, stack Stack, given Given) (Limit, error) {
	rule, ok := r.Find(id)
	if !ok {
		return Limit{}, fmt.Errorf("rule %s: not in the book", id)
	}
	s, ok := rule.source(rule.Use)
	if !ok {
		return Limit{}, fmt.Errorf("rule %s: no source %q", id, rule.Use)
	}
	return r.by(rule, s, stack, given)
}

// Sources gives a rule's value by every source of the book, the one in force first, so that a report can show
// where they disagree.
func (r Rules) Sources(id string, stack Stack, given Given) ([]Limit, error) {
	first, err := r.EvaluateGiven(id, stack, given)
	if err != nil {
		return nil, err
	}
	rule, _ := r.Find(id)
	limits := []Limit{first}
	for _, s := range rule.Sources {
		if s.ID == rule.Use {
			continue
		}
		l, err := r.by(rule, s, stack, given)
		if err != nil {
			return nil, err
		}
		limits = append(limits, l)
	}
	return limits, nil
}

// by gives a rule's value by one source.
func (r Rules) by(rule Rule, s Source, stack Stack, given Given) (Limit, error) {
	l := Limit{Rule: rule.ID, Unit: rule.Unit, By: s.ID, Source: s.Source, Certainty: s.Certainty, From: rule.From}
	if s.How != Constant && s.How != Seen && !stack.Valid() {
		return Limit{}, fmt.Errorf("rule %s: the stack has no sheet, or a sheet without a thickness above zero", rule.ID)
	}
	v, note, err := r.raw(s, stack, given)
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
func (r Rules) raw(s Source, stack Stack, given Given) (float64, string, error) {
	t := stack.thickness(s.Of)
	switch s.How {
	case Constant:
		return s.Value, "", nil
	case Seen:
		return 0, "", nil
	case Root:
		return float64(s.Factor * math.Sqrt(t)), "", nil
	case Multiple:
		return float64(s.Factor * t), "", nil
	case Diameters:
		d, err := r.Evaluate("weld.diameter", stack)
		return float64(s.Factor * d.Value), d.Note, err
	case Across:
		return r.across(stack, given)
	case AcrossTwo:
		width, note, err := r.across(stack, given)
		if err != nil {
			return 0, "", err
		}
		between, err := r.Evaluate("row.staggered.least", stack)
		return width + between.Value, note, err
	case Buckling:
		return s.buckling(stack, given.Compression)
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
		return v, fmt.Sprintf("%s mm is outside the table (%s to %s mm): its nearest row is taken", number(t), number(least), number(greatest)),
			nil
	}
	return 0, "", fmt.Errorf("source %s: how %q is not known", s.ID, s.How)
}

// buckling is the pitch at which a sheet reaches its buckling stress between welds: t root(eta factor E / stress). Of
// Outside, the weaker of the two outside sheets counts, since each has its own yield stress.
func (s Source) buckling(stack Stack, stress float64) (float64, string, error) {
	if !(stress > 0) {
		return 0, "no compressive stress is stated", nil
	}
	sheets := []Sheet{{Thickness: stack.thickness(s.Of), Yield: stack.leastYield()}}
	if s.Of == Outside {
		sheets = []Sheet{stack[0], stack[len(stack)-1]}
	}
	least, note := math.Inf(1), ""
	for _, sheet := range sheets {
		modulus, word := s.modulus(stress, sheet.Yield)
		if v := float64(sheet.Thickness * math.Sqrt(modulus*s.Factor*s.Value/stress)); v < least {
			least, note = v, word
		}
	}
	return least, note, nil
}

// modulus is the tangent modulus over Young's at a stress.
func (s Source) modulus(stress, yield float64) (eta float64, note string) {
	share := stress / yield
	switch {
	case !(yield > 0):
		return 1, "elastic: the yield stress is not known"
	case share >= 1:
		return 0, "the stress passes the yield stress of " + number(yield) + " MPa: no pitch holds"
	case s.Inelastic == Johnson && share > 0.5:
		return float64(4 * share * (1 - share)), "inelastic, above half the yield stress of " + number(yield) + " MPa"
	}
	return 1, ""
}

func (s Stack) leastYield() float64 {
	least := math.Inf(1)
	for _, sheet := range s {
		least = min(least, sheet.Yield)
	}
	return least
}

// across adds up the width that a weld needs between a free edge and a bend.
func (r Rules) across(stack Stack, given Given) (float64, string, error) {
	var part [3]float64
	for i, id := range []string{"edge.least", "tip.face", "bend.clearance"} {
		l, err := r.Evaluate(id, stack)
		if err != nil {
			return 0, "", err
		}
		part[i] = l.Value
	}
	note := ""
	if given.Face > 0 {
		part[1] = given.Face
	} else {
		note = "for an electrode face of " + number(part[1]) + " mm"
	}
	return part[0] + part[1]/2 + part[2], note, nil
}

// Formula says in words how a source gives its value; unit is the rule's and stands behind figures that have it.
func (s Source) Formula(unit string) string {
	var b strings.Builder
	switch s.How {
	case Constant:
		b.WriteString(number(s.Value))
	case Seen:
		b.WriteString(cmp.Or(s.Note, "so or not"))
	case Root:
		fmt.Fprintf(&b, "%s x root of the %s sheet in mm", number(s.Factor), s.Of)
	case Multiple:
		fmt.Fprintf(&b, "%s x the %s sheet", number(s.Factor), s.Of)
	case Diameters:
		fmt.Fprintf(&b, "%s x weld diameter", number(s.Factor))
	case FromTable:
		fmt.Fprintf(&b, "table %s, column %s, by the %s sheet", s.Table, s.Column, s.Of)
	case Buckling:
		fmt.Fprintf(&b, "%s sheet x root(%s x %s MPa / compressive stress)", s.Of, number(s.Factor), number(s.Value))
		if s.Inelastic == Johnson {
			b.WriteString(", the modulus by Johnson's parabola above half the yield stress")
		}
	case Across:
		b.WriteString("edge.least + half the electrode face + bend.clearance")
	case AcrossTwo:
		b.WriteString("edge.least + half the electrode face + bend.clearance + row.staggered.least")
	}
	if s.Plus > 0 {
		fmt.Fprintf(&b, " + %s", number(s.Plus))
	}
	if s.ThreeSheets > 0 {
		fmt.Fprintf(&b, ", x %s for three sheets", number(s.ThreeSheets))
	}
	if s.Least > 0 {
		fmt.Fprintf(&b, ", at least %s", number(s.Least))
	}
	if s.Greatest > 0 {
		fmt.Fprintf(&b, ", at most %s", number(s.Greatest))
	}
	if unit != "" && (s.How == Constant || s.Plus > 0 || s.Least > 0 || s.Greatest > 0) {
		b.WriteString(" " + unit)
	}
	return b.String()
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

// Stated are the figures of the shell file by the rules that they stand above; zero where none is stated.
func (o Options) Stated() map[string]float64 {
	return map[string]float64{"pitch.least": o.LeastPitch, "pitch.wanted": o.GreatestPitch, "edge.least": o.EdgeDistance,
		"end.least": o.EndDistance, "bend.clearance": o.BendClearance, "tack.every": o.TackEvery, "gap.greatest": o.GapLimit}
}

// Explain lists the whole book as it applies to a stack, the shell's figures included, in the book's order.
func Explain(stack Stack, opt Options) ([]Line, error) {
	book, given := opt.book(), opt.given()
	stated := opt.Stated()
	var lines []Line
	for _, rule := range book {
		all, err := book.Sources(rule.ID, stack, given)
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
