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

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/finding"
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
	// NoRemedies leaves out what would let a gun in where none at hand reaches; the findings say NotSought.
	NoRemedies bool
}

// NotSought is the remedy of findings for which none was looked for.
const NotSought = "what would let a gun in was not looked for yet"

// basis is what every stage reads and none changes.
type basis struct {
	shell *shell.Shell // with the joints that were found where it states none
	parts []parts.Part
	rules *inforce.Rules
	make  finding.Maker
	book  cache.Key // of the rules
}

// means are how a stage does its work; no result depends on them, but for remedies that are not looked for.
type means struct {
	noRemedies bool
	cache      *cache.Cache
	workers    int
	progress   func(stage string, done, total int)
	ways       *ways
}

// Build makes the plan.
func Build(ctx context.Context, in Input) (*layout.Plan, error) {
	sh := *in.Shell
	found := len(sh.Joints) == 0
	if found {
		sh.Joints = foundJoints(in.Parts, in.Found.Flanges)
	}
	rules, err := inforce.For(&sh)
	if err != nil {
		return nil, fmt.Errorf("plan %s: %w", sh.Name, err)
	}
	b := basis{shell: &sh, parts: in.Parts, rules: rules, make: finding.By(rules.Book), book: bookKey(in.Cache, rules.Book)}
	m := means{noRemedies: in.NoRemedies, cache: in.Cache, workers: in.Workers, progress: in.Progress, ways: newWays(in.Parts)}
	if m.progress == nil {
		m.progress = func(string, int, int) {}
	}
	r := &row{ctx: ctx, told: in.Stage}
	at := stage(r, "arrange stations", func() (*placed, error) { return place(b) })
	joints := stage(r, "joints", func() (*joined, error) { return join(ctx, b, m, at, in, found) })
	at = stage(r, "hold points", func() (*placed, error) { return guard(b, at, joints), nil })
	seams := stage(r, "roller seams", func() (*rolled, error) { return roll(ctx, b, m, at, joints) })
	welds := stage(r, "spots", func() (*laid, error) { return lay(ctx, b, m, at, joints, seams) })
	settings := stage(r, "settings", func() (*set, error) { return choose(b, joints, seams, welds) })
	guns := stage(r, "reach", func() ([]armed, error) { return arm(ctx, b, m, at, joints, welds, settings) })
	work := stage(r, "order", func() ([]ordered, error) { return sequence(ctx, b, m, at, joints, seams, settings, guns) })
	plan := stage(r, "strength and rules", func() (*layout.Plan, error) {
		p := assemble(in, b, at, joints, settings, work)
		p.Notes = slices.Concat(p.Notes, joints.notes, welds.notes)
		p.Findings = slices.Concat(at.findings, joints.findings, seams.findings, welds.findings, idleTackRules(b, at, joints, p))
		for _, g := range guns {
			p.Findings = append(p.Findings, g.findings...)
		}
		return p, judge(ctx, b, m, joints.strips, p)
	})
	plan = stage(r, "steps, time, money", func() (*layout.Plan, error) { return plan, finish(ctx, b, m.cache, joints.rounded, plan) })
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

func vec(v r3.Vector) layout.Vec { return layout.Vec{v.X, v.Y, v.Z} }

func point(v [3]float64) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }
