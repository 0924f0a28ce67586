// Package finding makes the findings of a plan. There is one way to make one: say which rule, with which value and
// limit, and what it is about; the rule book gives unit, source, severity and remedy, and the finished plan the ids and
// the place that were left out.
//
//	make := finding.By(book)
//	f := make.Of(rule.Problem{Rule: "reach.tilt", Value: 6}, finding.About{Flange: "roof/1"}, "flange roof/1: 3 welds lean")
//	finding.Settle(plan)
//
// Millimetres in the shell's frame.
package finding

import (
	"cmp"
	"fmt"
	"slices"

	"seamwright/layout"
	"seamwright/seams/rule"
)

// Maker makes findings by one rule book.
type Maker struct {
	book rule.Rules
}

// By is the maker of findings by a book.
func By(book rule.Rules) Maker { return Maker{book} }

// About is what a finding is about. A weld's flange, a flange's joint and a joint's station need not be given: Settle
// fills them in, and the place where it is zero.
type About struct {
	Station, Joint, Flange string
	Weld                   int // number of the weld at Station, where one alone is meant
	Panels                 []string
	Setting, Seam          string
	At                     layout.Vec
	Also                   []layout.Subject // what it is about in equal measure, such as the other one of two welds
}

// Of makes the finding of a rule. What the problem leaves out is the book's: unit, source with its certainty, remedy,
// and the limit where the book states one that no stack is needed for. The severity is the book's; the problem's own
// counts only for a rule that the book lets aim. A remedy that a works' book states stands above the problem's.
// A rule that the book does not have is a fault of the program: the finding is broken and says so.
func (m Maker) Of(p rule.Problem, about About, where string) layout.Finding {
	r, known := m.book.Find(p.Rule)
	s := r.InForce()
	if p.Limit == 0 && s.How == rule.Constant && p.Source == "" {
		p.Limit = s.Value
	}
	if p.Source == "" {
		p.Source, p.Certainty = s.Source, s.Certainty
	}
	p.Severity = cmp.Or(r.Severity, p.Severity, rule.Note)
	if p.Remedy == "" || worksRemedy(r) {
		p.Remedy = r.Remedy
	}
	f := layout.Finding{
		Rule: p.Rule, Severity: p.Severity, Where: where, Value: p.Value, Limit: p.Limit, Unit: cmp.Or(p.Unit, r.Unit),
		Source: Sourced(p.Source, p.Certainty), Remedy: p.Remedy, At: about.At, Station: about.Station, Joint: about.Joint,
		Flange: about.Flange, Weld: about.Weld, Panels: about.Panels, Setting: about.Setting, Seam: about.Seam, Also: about.Also,
		From: cmp.Or(p.From, r.From),
	}
	if f.Value == 0 && f.Limit == 0 && s.How == rule.Seen {
		f.Unit = ""
	}
	if !known {
		f.Severity, f.Source = layout.Broken, "not in the rule book: a fault of the program"
	}
	return f
}

func worksRemedy(r rule.Rule) bool {
	if r.From != rule.FromWorks {
		return false
	}
	was, _ := rule.Book().Find(r.ID)
	return was.Remedy != r.Remedy
}

// Sourced is a source with its certainty in brackets.
func Sourced(source string, certainty rule.Certainty) string {
	if certainty == "" {
		return source
	}
	return fmt.Sprintf("%s (%s)", source, certainty)
}

// Settle fills into the plan's findings what follows from what they are about: of a weld its flange, of a flange its
// joint, of a joint its station, and the place.
func Settle(p *layout.Plan) {
	for i := range p.Findings {
		settle(p, &p.Findings[i])
	}
}

func settle(p *layout.Plan, f *layout.Finding) {
	about := layout.Subject{Station: f.Station, Joint: f.Joint, Flange: f.Flange, Weld: f.Weld}
	at := complete(p, &about)
	f.Station, f.Joint, f.Flange = about.Station, about.Joint, about.Flange
	for i := range f.Also {
		complete(p, &f.Also[i])
	}
	if f.At == (layout.Vec{}) {
		f.At = cmp.Or(at, middleOfPanels(p, f.Panels))
	}
}

// complete fills in what a subject's ids say of each other, and gives its place.
func complete(p *layout.Plan, s *layout.Subject) (at layout.Vec) {
	if k := slices.IndexFunc(p.Welds, func(w layout.Weld) bool { return s.Weld > 0 && w.Number == s.Weld && w.Station == s.Station }); k >= 0 {
		s.Flange, at = p.Welds[k].Flange, p.Welds[k].Position
	}
	if k := slices.IndexFunc(p.Flanges, func(f layout.Flange) bool { return f.ID == s.Flange && f.ID != "" }); k >= 0 {
		s.Joint = cmp.Or(s.Joint, p.Flanges[k].Joint)
		at = cmp.Or(at, middle(p.Flanges[k]))
	}
	k := slices.IndexFunc(p.Joints, func(j layout.Joint) bool { return j.ID == s.Joint && j.ID != "" })
	if k < 0 {
		return at
	}
	s.Station = cmp.Or(s.Station, p.Joints[k].Station)
	longest := -1
	for i, f := range p.Flanges {
		if f.Joint == s.Joint && (longest < 0 || f.Length > p.Flanges[longest].Length) {
			longest = i
		}
	}
	if longest >= 0 {
		at = cmp.Or(at, middle(p.Flanges[longest]))
	}
	return cmp.Or(at, middleOfPanels(p, p.Joints[k].Panels))
}

func middle(f layout.Flange) layout.Vec {
	if len(f.Line) == 0 {
		return layout.Vec{}
	}
	return f.Line[len(f.Line)/2].At
}

// middleOfPanels is the middle of the first panel's box.
func middleOfPanels(p *layout.Plan, ids []string) layout.Vec {
	k := slices.IndexFunc(p.Panels, func(x layout.Panel) bool { return len(ids) > 0 && x.ID == ids[0] })
	if k < 0 {
		return layout.Vec{}
	}
	box := p.Panels[k].Box
	var at layout.Vec
	for i := range at {
		at[i] = (box[0][i] + box[1][i]) / 2
	}
	return at
}

// Exceeds holds a value against a rule's limit for a stack, and gives the problem where it is not kept. A rule that cannot
// be worked out, as without a thickness, is not exceeded.
func (m Maker) Exceeds(id string, stack rule.Stack, value float64) (rule.Problem, bool) {
	l, err := m.book.Evaluate(id, stack)
	if err != nil || l.Keeps(value, 0) {
		return rule.Problem{}, false
	}
	return m.book.Problem(l, value), true
}
