// Package planner makes the plan: it takes the shell file, its panels and the flanges found between them, and
// decides joints, welds, guns, settings, order, steps, time and money.
//
//	plan, err := planner.Build(ctx, planner.Input{Shell: sh, Parts: loaded, Found: found, Digest: digest})
//
// What cannot be kept becomes a finding of the plan. An error means that there is nothing to plan.
//
// Build is a row of stages. Each is a function of what it is given to a value, which it does not change afterwards: place, join,
// roll, lay, choose, arm, sequence, judge, finish. The plan is put together once welds are in order; no stage before has one.
package planner

import (
	"context"
	"fmt"
	"slices"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/arming"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/laying"
	"seamwright/seams/inforce"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// Input is what a plan is made of.
type Input struct {
	Shell    *shell.Shell
	Parts    []parts.Part // in the order of Shell.Panels
	Found    *flange.Found
	FoundBy  cache.Key    // what Found is kept by in Cache
	Digest   string       // of the shell file and all that it names
	Notes    []string     // of reading
	Cache    *cache.Cache // of what was planned before; nil: none
	Workers  int          // 0: one for each processor; the plan does not depend on it
	Progress func(stage string, done, total int)
	Stage    func(name string) (done func()) // called as a stage begins, and what it returns as it ends; nil: nothing is told
	// NoRemedies leaves out what would let a gun in where none at hand reaches; the findings say arming.NotSought.
	NoRemedies bool
}

// Build makes the plan.
func Build(ctx context.Context, in Input) (*layout.Plan, error) {
	sh := *in.Shell
	found := len(sh.Joints) == 0
	if found {
		sh.Joints = joining.FoundJoints(in.Parts, in.Found.Flanges)
	}
	rules, err := inforce.For(&sh)
	if err != nil {
		return nil, fmt.Errorf("plan %s: %w", sh.Name, err)
	}
	b := joining.Basis{Shell: &sh, Parts: in.Parts, Rules: rules, Make: finding.By(rules.Book), Book: joining.BookKey(in.Cache, rules.Book)}
	m := joining.Means{NoRemedies: in.NoRemedies, Cache: in.Cache, Workers: in.Workers, Progress: in.Progress, Ways: joining.NewWays(in.Parts)}
	if m.Progress == nil {
		m.Progress = func(string, int, int) {}
	}
	r := &row{ctx: ctx, told: in.Stage}
	at := stage(r, "arrange stations", func() (*joining.Placed, error) { return joining.Place(b) })
	joints := stage(r, "joints", func() (*joining.Joined, error) { return joining.Join(ctx, b, m, at, in.Found, in.FoundBy, found) })
	at = stage(r, "hold points", func() (*joining.Placed, error) { return guard(b, at, joints), nil })
	seams := stage(r, "roller seams", func() (*laying.Rolled, error) { return laying.Roll(ctx, b, m, at, joints) })
	welds := stage(r, "spots", func() (*laying.Laid, error) { return laying.Lay(ctx, b, m, at, joints, seams) })
	settings := stage(r, "settings", func() (*laying.Set, error) { return laying.Choose(b, joints, seams, welds) })
	guns := stage(r, "reach", func() ([]arming.Armed, error) { return arming.Arm(ctx, b, m, at, joints, welds, settings) })
	work := stage(r, "order", func() ([]ordered, error) { return sequence(ctx, b, m, at, joints, seams, settings, guns) })
	plan := stage(r, "strength and rules", func() (*layout.Plan, error) {
		p := assemble(in, b, at, joints, settings, work)
		p.Notes = slices.Concat(p.Notes, joints.Notes, welds.Notes)
		p.Findings = slices.Concat(at.Findings, joints.Findings, seams.Findings, welds.Findings, idleTackRules(b, at, joints, p))
		for _, g := range guns {
			p.Findings = append(p.Findings, g.Findings...)
		}
		return p, judge(ctx, b, m, joints.Strips, p)
	})
	plan = stage(r, "steps, time, money", func() (*layout.Plan, error) { return plan, finish(ctx, b, m.Cache, joints.Rounded, plan) })
	if r.err != nil {
		return nil, fmt.Errorf("plan %s: %w", sh.Name, r.err)
	}
	return plan, nil
}

// row is stages one after the other; after an error none is begun.
type row struct {
	ctx  context.Context
	told func(name string) (done func())
	err  error
}

func stage[T any](r *row, name string, do func() (T, error)) (out T) {
	if r.err == nil {
		r.err = r.ctx.Err()
	}
	if r.err != nil {
		return out
	}
	if r.told != nil {
		defer r.told(name)()
	}
	out, r.err = do()
	return out
}
