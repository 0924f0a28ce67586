package program

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/engine"
	"seamwright/render/view"
	"seamwright/seams/changes"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// Planned is a plan with what drawing it needs.
type Planned struct {
	Plan  *layout.Plan
	Shell *shell.Shell
	Made  *engine.Planned // the plan as it was made of the shell file; what is reckoned anew has another plan
	Kept  *cache.Cache    // nil: nothing is kept
}

// Build reads a shell file and everything that it names, and plans it.
func (p *Call) Build(ctx context.Context, path string) (Planned, error) {
	changed, err := p.Changed(path)
	if err != nil {
		return Planned{}, err
	}
	b := p.Bar()
	defer b.Clear()
	return p.PlanWith(ctx, path, changed, b.Show)
}

// PlanWith does so with certain changes, and says how far it is.
func (p *Call) PlanWith(ctx context.Context, path string, changed changes.Changes, show func(stage string, done, total int)) (Planned,
	error) {
	overrides, err := p.OverrideMap(changed)
	if err != nil {
		return Planned{}, err
	}
	sh, notes, err := p.ReadShell(path, overrides)
	if err != nil {
		return Planned{}, BadInput(err)
	}
	e := engine.Engine{Cache: p.Cache(), Writer: p.writer, Workers: p.Workers, Progress: show, Stage: p.Stage, NoRemedies: p.NoRemedies}
	done, err := e.Plan(ctx, engine.Input{Shell: sh, Notes: notes, Digest: func(files string) string { return withChanges(files, changed) }})
	if err != nil {
		return Planned{}, BadInput(err)
	}
	return Planned{Plan: done.Plan, Shell: sh, Made: done, Kept: e.Cache}, nil
}

// Panels are the shell's panels ready to be drawn, once they are asked for.
func (d Planned) Panels(ctx context.Context) ([]view.Panel, error) {
	loaded, err := d.Made.Parts(ctx)
	if err != nil {
		return nil, BadInput(err)
	}
	out := make([]view.Panel, len(loaded))
	return out, work.Each(ctx, 0, len(loaded), func(i int) (err error) {
		part := loaded[i]
		id, thick := part.Panel.ID, part.Steel.Thickness
		if d.Kept == nil {
			out[i] = view.NewPanel(id, part.Shape, thick)
			return nil
		}
		key := d.Kept.KeyOf("view", cache.Input{Name: "id", Value: id}, cache.Input{Name: "shape", Value: part.Shape.Hash()},
			cache.Input{Name: "thickness", Value: thick})
		out[i], err = cache.GetHere(d.Kept, key, func() (view.Panel, error) { return view.NewPanel(id, part.Shape, thick), nil })
		return err
	})
}

// ReadShell reads a shell file, and says how large what it names may be.
func (p *Call) ReadShell(path string, overrides map[string]string) (*shell.Shell, []string, error) {
	sh, notes, err := shellfile.Read(path, overrides)
	if sh != nil {
		sh.Most, sh.MostBook = p.Most, p.mostBook
	}
	return sh, notes, err
}

// Verdict is errBroken when the plan breaks a rule.
func Verdict(plan *layout.Plan) error { return VerdictOf(plan.Findings, "seamwright check tells more") }

// VerdictOf is errBroken when a finding is broken, with the rules; more says where to read on.
func VerdictOf(findings []layout.Finding, more string) error {
	rules := CountRules(findings, layout.Broken)
	if len(rules) == 0 {
		return nil
	}
	return fmt.Errorf("%w: %s: %s", ErrBroken, strings.Join(rules, ", "), more)
}

// CountRules lists the rules of findings of one severity, each with how often it is said where that is more than once.
func CountRules(findings []layout.Finding, severity layout.Severity) []string {
	var order []string
	count := map[string]int{}
	for _, f := range findings {
		if f.Severity != severity {
			continue
		}
		if count[f.Rule]++; count[f.Rule] == 1 {
			order = append(order, f.Rule)
		}
	}
	for i, id := range order {
		if n := count[id]; n > 1 {
			order[i] = fmt.Sprintf("%s %d times", id, n)
		}
	}
	return order
}

// FindingLine is a finding on one line.
func FindingLine(f layout.Finding) string {
	figures := ""
	if f.Limited() {
		figures = fmt.Sprintf(": %.4g, limit %.4g %s", f.Value, f.Limit, f.Unit)
	} // what has a value alone says it in its words
	return fmt.Sprintf("%s: %s: %s%s (%s): %s", f.Severity, f.Rule, f.Where, figures, f.Source, f.Remedy)
}

// Many is so many of a thing, such as 1 joint or 2 joints.
func Many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// BuildWith plans a shell that has to have the station; empty stands for all. It asks after planning, which may arrange
// the stations itself.
func (p *Call) BuildWith(ctx context.Context, file, station string) (Planned, error) {
	done, err := p.Build(ctx, file)
	if err != nil {
		return Planned{}, err
	}
	return done, knownStation(done.Plan, station, file)
}

// knownStation refuses a station that the plan does not have; empty stands for all.
func knownStation(plan *layout.Plan, station, file string) error {
	var ids []string
	for _, s := range plan.Stations {
		ids = append(ids, s.ID)
	}
	if station != "" && !slices.Contains(ids, station) {
		return Wrong("station %q is not in %s: it has %s", station, file, strings.Join(ids, ", "))
	}
	return nil
}

// Rounded is x to so many steps of a unit, without a negative zero.
func Rounded(x, steps float64) float64 {
	r := math.Round(x*steps) / steps
	if r == 0 {
		return 0 // no negative zero
	}
	return r
}
