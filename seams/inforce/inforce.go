// Package inforce says which rules, tables and methods hold for one shell: the default rule book, the works' book
// over it, the sources that the shell file chooses, and the figures that it states.
//
//	in, err := inforce.For(sh)
//	limits := in.Limits(stack, joint)
//	s, err := setting.Spot(stack, in.Spot(joint))
//
// Millimetres, newtons, seconds, MPa.
package inforce

import (
	"fmt"

	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Rules are what holds for one shell.
type Rules struct {
	Book  rule.Rules
	shell *shell.Shell
}

// For gathers the rules of a shell and reads the works' book where the shell file names one. An error names the file,
// the rule and what to mend.
func For(sh *shell.Shell) (*Rules, error) {
	in := &Rules{Book: rule.Book(), shell: sh}
	if name := sh.Rules.Book; name != "" {
		book, sum, err := rule.ReadBook(sh.Path(name), sh.MostBook)
		if err == nil {
			err = sh.Took(name, sum)
		}
		if err != nil {
			return nil, err
		}
		in.Book = book
	}
	seen := map[string]bool{}
	for i, u := range sh.Rules.Use {
		if seen[u.Rule] {
			return nil, fmt.Errorf("rules.use[%d]: rule %s stands twice; keep one", i, u.Rule)
		}
		seen[u.Rule] = true
		book, err := in.Book.Choose(u.Rule, u.Source, rule.FromShell)
		if err != nil {
			return nil, fmt.Errorf("rules.use[%d]: %w", i, err)
		}
		in.Book = book
	}
	return in, nil
}

// Options are the rules' options for a joint; nil: for no joint in particular. A joint's own pitch stands above the
// shell's.
func (in *Rules) Options(j *shell.Joint) rule.Options {
	r := in.shell.Rules
	o := rule.Options{
		Book: in.Book, LeastPitch: r.LeastPitch, GreatestPitch: r.GreatestPitch, EdgeDistance: r.EdgeDistance, EndDistance: r.EndDistance,
		BendClearance: r.BendClearance, TackEvery: r.TackEvery, GapLimit: in.shell.GapLimit,
		Tolerance: r.WeldTolerance,
	}
	if j == nil {
		return o
	}
	o.Compression, o.Sealed, o.Across = j.Compression, j.Sealed, MayCross(j)
	if j.Pitch > 0 {
		o.GreatestPitch = j.Pitch
	}
	if j.Tack > 0 {
		o.TackEvery = j.Tack
	}
	return o
}

// Apart is a limit of the distance between rows of welds, or of welds to edges and ends, as it counts for the places that are
// planned: with what a gun may be off.
func (in *Rules) Apart(id string, stack rule.Stack) (rule.Limit, error) {
	l, err := in.Book.Evaluate(id, stack)
	return l.Off(in.shell.Rules.WeldTolerance), err
}

// MayCross reports whether a load of the joint may act across its rows of welds: one that states no direction may.
func MayCross(j *shell.Joint) bool {
	return len(j.Forces) > 0 || (j.Load.Shear > 0 || j.Load.Flow > 0) && j.Load.Direction != shell.Along
}

// Limits are all limits for a stack of a joint. A stated pitch below the least is raised to it and says so: welds
// cannot be set out by it. rule.CheckLimits on rule.For(stack, in.Options(j)) calls it broken.
func (in *Rules) Limits(stack rule.Stack, j *shell.Joint) rule.Limits {
	l := rule.For(stack, in.Options(j))
	if l.GreatestPitch.Value < l.LeastPitch.Value {
		l.GreatestPitch.Note = fmt.Sprintf("the stated %g mm is below the least pitch", l.GreatestPitch.Value)
		l.GreatestPitch.Value = l.LeastPitch.Value
	}
	return l
}

// Stack is the sheets of panels, in the panels' order.
func (in *Rules) Stack(panels []string) (rule.Stack, error) {
	var out rule.Stack
	for _, id := range panels {
		p, ok := in.shell.Panel(id)
		if !ok {
			return nil, fmt.Errorf("there is no panel %s", id)
		}
		s, ok := in.shell.Steel(p.Steel)
		if !ok {
			return nil, fmt.Errorf("panel %s: there is no steel %s", id, p.Steel)
		}
		out = append(out, rule.Sheet{Thickness: s.Thickness, Tensile: s.Tensile, Yield: s.Yield, Coating: s.Coating})
	}
	return out, nil
}

// Spot is how the spot settings of a joint are found, or of none in particular (nil).
func (in *Rules) Spot(j *shell.Joint) setting.Options {
	o := setting.Options{Table: in.shell.Rules.Settings, Frequency: in.shell.Supply.Frequency, Squeeze: in.shell.Elements.Squeeze,
		Book: in.Book}
	if in.shell.Supply.Kind == string(setting.DC) {
		o.Supply = setting.DC
	}
	if j != nil && j.Settings != "" {
		o.Table = j.Settings
	}
	return o
}

// Roller is how the settings of a roller are found. A seam that is not stated to be tight is judged as if it were: a
// gutter is rolled to keep water out.
func (in *Rules) Roller(w *shell.Roller) roller.Options {
	return roller.Options{Frequency: in.shell.Supply.Frequency, Speed: w.Speed * 1000 / 60, Wheel: w.Wheel, Book: in.Book}
}

// Strength is how the resistances of a stack's welds on a joint are found, or on none in particular (nil), with the nugget that its
// setting lets expect; the distances are the caller's. A stack without a setting counts on 5 root t: that it has none is said with the
// settings.
func (in *Rules) Strength(stack rule.Stack, j *shell.Joint) strength.Options {
	o := strength.Options{TensionFactor: in.shell.Rules.TensionFactor}
	if set, err := setting.Spot(stack, in.Spot(j)); err == nil {
		o.Nugget = set.Nugget
	}
	switch in.shell.Rules.Strength {
	case string(strength.ByAISI):
		o.Method = strength.ByAISI
	case string(strength.ByAWS):
		o.Method = strength.ByAWS
	}
	return o
}
