package setup

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout/finding"
	"seamwright/layout/ledger"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
)

// stacks judges the sheets themselves, once for each joint and stack-up. A note is said once for the shell.
func (c Judge) stacks() {
	type key struct{ joint, stack string }
	seen := map[key]bool{}
	var notes []*stackNote
	for _, s := range c.Strips {
		k := key{s.Flange.Joint, strips.StackKey(s.Stack)}
		if seen[k] {
			continue
		}
		seen[k] = true
		c.countStackRules(s)
		for _, p := range rule.CheckBy(c.Rules.Book, s.Stack) {
			if p.Severity == rule.Note {
				notes = noted(notes, p, s)
				continue
			}
			c.Add(p, "", ledger.Place{Words: fmt.Sprintf("joint %s: stack %s", s.Flange.Joint, s.Stack), At: s.Line.At(s.Flange.Length / 2),
				Joint: s.Flange.Joint})
		}
	}
	for _, n := range notes {
		c.Add(n.problem, "", ledger.Place{Words: fmt.Sprintf("stack %s, of joint %s", finding.Some(n.stacks), finding.Some(n.joints)), At: n.at})
	}
}

// stackNote is one note and all that it is about.
type stackNote struct {
	problem        rule.Problem // with the greatest value
	stacks, joints []string
	at             r3.Vector
}

func noted(notes []*stackNote, p rule.Problem, s *strips.Strip) []*stackNote {
	i := slices.IndexFunc(notes, func(n *stackNote) bool { return n.problem.Rule == p.Rule })
	if i < 0 {
		notes = append(notes, &stackNote{problem: p, at: s.Line.At(s.Flange.Length / 2)})
		i = len(notes) - 1
	}
	n := notes[i]
	if p.Value > n.problem.Value {
		n.problem = p
	}
	add := func(list *[]string, word string) {
		if !slices.Contains(*list, word) {
			*list = append(*list, word)
		}
	}
	add(&n.stacks, s.Stack.String())
	add(&n.joints, s.Flange.Joint)
	return notes
}

// countStackRules tallies the numeric stack rules: CheckBy says only what is broken.
func (c Judge) countStackRules(s *strips.Strip) {
	words := func() string { return fmt.Sprintf("joint %s: stack %s", s.Flange.Joint, s.Stack) }
	values := []struct {
		id    string
		value float64
	}{
		{"stack.sheets.greatest", float64(len(s.Stack))}, {"stack.ratio.greatest", s.Stack.Thickest() / s.Stack.Thinnest()},
		{"stack.pileup.greatest", s.Stack.Total()}, {"stack.sheet.least", s.Stack.Thinnest()}, {"stack.sheet.greatest", s.Stack.Thickest()},
	}
	if len(s.Stack) > 2 {
		values = append(values, struct {
			id    string
			value float64
		}{"stack.total.greatest", s.Stack.Total()})
	}
	for _, v := range values {
		c.Keeps(c.Limit(v.id, s.Stack, rule.Given{}), v.value, 0, words)
	}
}

// settings judges that every weld has a starting setting and what the setting promises, joint by joint, so that a waiver
// can name one. What is said of the stack itself is said there.
func (c Judge) settings() {
	seen := map[string]bool{}
	for _, s := range c.Strips {
		key := s.Flange.Joint + " " + strips.StackKey(s.Stack)
		if !s.Spotted() || len(s.Welds) == 0 || seen[key] {
			continue
		}
		seen[key] = true
		l := c.Limit("setting.found.least", s.Stack, rule.Given{})
		words := fmt.Sprintf("joint %s: stack %s", s.Flange.Joint, s.Stack)
		at := ledger.Place{Words: words, At: s.Line.At(s.Flange.Length / 2), Joint: s.Flange.Joint}
		set, err := setting.Spot(s.Stack, c.Rules.Spot(s.Stated))
		found := 1.0
		if err != nil {
			found = 0
			at.Remedy = err.Error() + ": find a setting by test"
		}
		if !c.Keeps(l, found, 0, func() string { return words }) {
			c.Find(l, found, s.Stack, rule.Given{}, at)
			continue
		}
		c.Keeps(c.Limit("weld.diameter.least", s.Stack, rule.Given{}), set.Nugget, 0, func() string { return words + ", expected nugget" })
		strongest := 0.0
		for _, sheet := range s.Stack {
			strongest = math.Max(strongest, sheet.Tensile)
		}
		c.Keeps(c.Limit("setting.tensile.greatest", s.Stack, rule.Given{}), strongest, 0, func() string { return words })
		for _, p := range set.Problems {
			what := fmt.Sprintf("%s: the nugget to expect is %s mm", words, finding.Tenths(p.Value))
			if p.Rule == "setting.tensile.greatest" {
				what = fmt.Sprintf("%s: its steel of %s MPa is none that setting table %s is for", words, finding.Brief(p.Value), set.Table)
			}
			if !strings.HasPrefix(p.Rule, "stack.") {
				c.Add(p, "", ledger.Place{Words: what, At: at.At, Joint: at.Joint})
			}
		}
	}
}
