package table

import (
	"slices"
	"strings"

	"seamwright/layout"
)

// cause is what findings have in common that are told together.
type cause struct {
	severity, was                              layout.Severity
	rule, remedy, source, others, name, reason string
}

func causeOf(f layout.Finding) cause {
	return cause{f.Severity, f.Was, f.Rule, f.Remedy, sourceOf(f), f.Others, f.Name, f.Reason}
}

// findings lists what rules object to, the worst first. Findings of one cause are told together, where the first of
// them stands; within a severity they keep the plan's order.
func (r *report) findings() {
	r.head("Findings")
	list := slices.Clone(r.plan.Findings)
	order := layout.Severities()
	slices.SortStableFunc(list, func(a, b layout.Finding) int {
		return slices.Index(order, a.Severity) - slices.Index(order, b.Severity)
	})
	if len(list) == 0 {
		r.line("None: every rule is kept.")
	}
	var causes []cause
	of := map[cause][]layout.Finding{}
	for _, f := range list {
		c := causeOf(f)
		if of[c] == nil {
			causes = append(causes, c)
		}
		of[c] = append(of[c], f)
	}
	for _, c := range causes {
		r.cause(c, of[c])
	}
}

// cause writes one rule's findings: where and how much for each, remedy and source once.
func (r *report) cause(c cause, list []layout.Finding) {
	if len(list) == 1 {
		r.line("%-6s  %s: %s", c.severity, c.rule, list[0].Where)
		r.line("        %s", measured(list[0]))
	} else {
		r.line("%-6s  %s, %d times:", c.severity, c.rule, len(list))
		for _, f := range list {
			r.wrap("        - ", f.Where+": "+measured(f))
		}
	}
	for _, part := range [][2]string{{"Remedy: ", c.remedy}, {"Source: ", c.source}, {"Other sources: ", c.others}} {
		if part[1] != "" {
			r.wrap("        ", part[0]+part[1])
		}
	}
	if c.severity == layout.Waived {
		r.wrap("        ", "Waived by "+c.name+", was "+string(c.was)+": "+c.reason)
	}
}

// measured writes a finding's value and limit, and its place where it has one.
func measured(f layout.Finding) string {
	var parts []string
	if f.Limited() {
		parts = append(parts, "is "+orDash(number(f.Value, 2)), "limit "+strings.TrimSpace(orDash(number(f.Limit, 2))+" "+f.Unit))
	}
	if !f.Plain() && !f.Limited() {
		parts = append(parts, strings.TrimSpace("is "+orDash(number(f.Value, 2))+" "+f.Unit))
	}
	if f.At != (layout.Vec{}) {
		parts = append(parts, "at "+place(f.At))
	}
	return strings.Join(parts, ", ")
}

// wanted is the rule on what the shell file asks for.
const wanted = "pitch.wanted"

// sourceOf is where a finding's limit comes from. What is wanted of a pitch is this shell's own word, and no standard
// speaks for it.
func sourceOf(f layout.Finding) string {
	if f.Rule == wanted || f.From == layout.FromShell {
		return "stated in the shell file for this shell"
	}
	return f.Source
}
