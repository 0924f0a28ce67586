// Package planner makes the plan: it takes the shell file, its panels and the flanges found between them, and
// decides joints, welds, guns, settings, order, steps, time and money.
//
//	plan, err := planner.Build(ctx, planner.Input{Shell: sh, Parts: loaded, Found: found, Digest: digest})
//
// What cannot be kept becomes a finding of the plan. An error means that there is nothing to plan.
package planner

import (
	"cmp"
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/along"
	"seamwright/layout/finding"
	"seamwright/layout/labour"
	"seamwright/layout/quote"
	"seamwright/layout/rollers"
	"seamwright/layout/spots"
	"seamwright/layout/stations"
	"seamwright/seams/inforce"
	"seamwright/seams/parts"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Input is what a plan is made of.
type Input struct {
	Shell    *shell.Shell
	Parts    []parts.Part // in the order of Shell.Panels
	Found    *flange.Found
	Digest   string       // of the shell file and all that it names
	Notes    []string     // of reading
	Cache    *cache.Cache // of what was planned before; nil: none
	Workers  int          // 0: one for each processor; the plan does not depend on it
	Progress func(stage string, done, total int)
	Stage    func(name string) (done func()) // called as a stage begins, and what it returns as it ends; nil: nothing is told
}

// strip is one flange on its way to welds.
type strip struct {
	id      string
	flange  flange.Flange
	panels  []string // ids in stack order
	stack   rule.Stack
	limits  rule.Limits
	joint   int // index into Plan.Joints; -1 for none
	request spots.Request
	adopted bool // welded at a survey's points
	edge    int  // 1 + the index of the part from whose free edge the weld line is measured; 0: it runs in the middle

	unrolled []rollers.Stretch // of a strip with a roller seam: what the roller does not follow
	parts    bool              // only parts of it are spotted
}

type builder struct {
	Input
	plan     *layout.Plan
	arranged *stations.Arrangement
	strips   []*strip
	welds    []*weld
	seams    []*seam
	settings settings
	rules    *inforce.Rules
	make     finding.Maker
	sheets   map[string]*along.Sheet // by panel, as they are asked for
}

// Build makes the plan.
func Build(ctx context.Context, in Input) (*layout.Plan, error) {
	own := *in.Shell // joints are added to it where the file states none
	in.Shell = &own
	b := &builder{Input: in, plan: &layout.Plan{Format: layout.Format, Notes: in.Notes}}
	b.plan.Shell = layout.Shell{
		Name: in.Shell.Name, Number: in.Shell.Number, Revision: in.Shell.Revision, Batch: in.Shell.Batch,
		Owner: in.Shell.Owner, Creator: in.Shell.Creator, Approver: in.Shell.Approver, Status: cmp.Or(layout.Status(in.Shell.Status),
			layout.Draft), Issued: in.Shell.Issued, Input: in.Digest,
	}
	for _, s := range []struct {
		name string
		do   func(context.Context) error
	}{
		{"rules", b.gatherRules}, {"arrange stations", b.arrange}, {"panels", b.panels}, {"joints", b.joints}, {"roller seams", b.laySeams},
		{"spots", b.laySpots}, {"settings", b.chooseSettings}, {"reach", b.chooseGuns}, {"order", b.order}, {"strength and rules", b.strength},
		{"steps, time, money", b.finish},
	} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := b.stage(ctx, s.name, s.do); err != nil {
			return nil, fmt.Errorf("plan %s: %w", in.Shell.Name, err)
		}
	}
	return b.plan, nil
}

func (b *builder) stage(ctx context.Context, name string, do func(context.Context) error) error {
	if b.Stage != nil {
		defer b.Stage(name)()
	}
	return do(ctx)
}

func (b *builder) progress(stage string, done, total int) {
	if b.Progress != nil {
		b.Progress(stage, done, total)
	}
}

// gatherRules finds what holds for this shell.
func (b *builder) gatherRules(context.Context) (err error) {
	if b.rules, err = inforce.For(b.Shell); err == nil {
		b.make = finding.By(b.rules.Book)
	}
	return err
}

func (b *builder) arrange(context.Context) error {
	a, err := stations.Arrange(b.Shell, b.make)
	if err != nil {
		return err
	}
	b.arranged = a
	b.plan.Stations = a.Stations
	b.plan.Findings = append(b.plan.Findings, a.Findings...)
	for _, s := range b.Shell.Subassemblies {
		b.plan.Subassemblies = append(b.plan.Subassemblies, layout.Subassembly{ID: s.ID, Name: s.Name, Parts: s.Parts})
	}
	return nil
}

func (b *builder) panels(context.Context) error {
	for _, p := range b.Parts {
		box := p.Sheet.Mesh.Box()
		var keep []layout.Outline
		for _, path := range p.KeepOuts {
			o := layout.Outline{Closed: path.Closed}
			for _, v := range path.Points {
				o.Points = append(o.Points, vec(v))
			}
			keep = append(keep, o)
		}
		b.plan.Panels = append(b.plan.Panels, layout.Panel{
			ID: p.Panel.ID, Name: p.Panel.Name, Steel: p.Panel.Steel, Grade: p.Steel.Grade, Thickness: p.Steel.Thickness,
			Coating: p.Steel.Coating, Surface: string(p.Sheet.Surface), Triangles: len(p.Sheet.Mesh.Triangles),
			Area: p.Area, Mass: p.Mass, Box: [2]layout.Vec{vec(box.Min), vec(box.Max)},
			Station: b.arranged.PanelStation(p.Panel.ID), Warnings: p.Notes, KeepOuts: keep,
		})
	}
	return nil
}

// finish words the steps and reckons time and money, which need everything else.
func (b *builder) finish(ctx context.Context) error {
	p := b.plan
	for i := range p.Stations {
		p.Stations[i].Steps = stations.Steps(p, i, b.Shell.Elements.InspectEvery)
	}
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(p, b.Shell); err != nil {
		return err
	}
	if err := stations.ShareOut(ctx, p, b.Shell.Elements); err != nil {
		return err
	}
	if err := quote.Settle(p, b.Shell, quote.Options{Seed: quote.DefaultSeed}); err != nil {
		return err
	}
	if p.Flow, err = stations.Flow(p, b.Shell.Batch, b.Shell.Rates.HoursPerWeek); err != nil {
		return err
	}
	finding.Settle(p)
	p.Findings = b.make.Waive(p.Findings, b.Shell.Waivers)
	return layout.Round(p)
}

// find adds a finding to the plan.
func (b *builder) find(p rule.Problem, about finding.About, where string) {
	b.plan.Findings = append(b.plan.Findings, b.make.Of(p, about, where))
}

// about is a place on a strip.
func (s *strip) about(at r3.Vector) finding.About { return finding.About{Flange: s.id, At: vec(at)} }

func vec(v r3.Vector) layout.Vec { return layout.Vec{v.X, v.Y, v.Z} }

func point(v [3]float64) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }
