package planner

import (
	"cmp"
	"context"
	"slices"

	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/buy"
	"seamwright/layout/check"
	"seamwright/layout/crews"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/labour"
	"seamwright/layout/laying"
	"seamwright/layout/planfile"
	"seamwright/layout/quote"
	"seamwright/layout/stations"
)

// assemble puts the plan together as it is known once all welds are in order.
func assemble(in Input, b joining.Basis, at *joining.Placed, j *joining.Joined, s *laying.Set, all []ordered) *layout.Plan {
	sh := b.Shell
	p := &layout.Plan{
		Format: layout.Format, Notes: slices.Clone(in.Notes), Panels: at.Panels, Subassemblies: at.Subs, Stations: slices.Clone(at.Stations),
		Joints: slices.Clone(j.Joints), Flanges: slices.Clone(j.Flanges), Settings: slices.Clone(s.List),
		Shell: layout.Shell{
			Name: sh.Name, Number: sh.Number, Revision: sh.Revision, Batch: sh.Batch, Owner: sh.Owner, Creator: sh.Creator, Approver: sh.Approver,
			Status: cmp.Or(layout.Status(sh.Status), layout.Draft), Issued: sh.Issued, Input: in.Digest,
		},
	}
	welds := map[string]int{} // of each joint
	var guns, tips []string
	for i, o := range all {
		before := len(p.Runs)
		st := &p.Stations[i]
		st.Order, st.Welds, st.ClampTurns, st.Unreached = o.order, len(o.welds), o.turns, slices.Clone(o.apart)
		for k := range st.Unreached {
			st.Unreached[k].Run += before
		}
		for _, r := range o.runs {
			r.ID += before
			p.Runs = append(p.Runs, r)
		}
		for _, w := range o.welds {
			w.Run += before
			p.Welds = append(p.Welds, w)
			welds[w.Joint]++
		}
		p.Seams = append(p.Seams, o.seams...)
		guns, tips = append(guns, o.guns...), append(tips, o.tips...)
	}
	for i := range p.Joints {
		p.Joints[i].Welds = welds[p.Joints[i].ID]
	}
	for _, g := range sh.Guns {
		if slices.Contains(guns, g.ID) {
			p.Guns = append(p.Guns, layout.Gun{ID: g.ID, Letter: g.Letter, Name: g.Name, Mass: g.Mass})
		}
	}
	for _, r := range sh.Rollers {
		if slices.ContainsFunc(p.Seams, func(s layout.Seam) bool { return s.Roller == r.ID }) {
			p.Rollers = append(p.Rollers, layout.Roller{ID: r.ID, Letter: r.Letter, Name: r.Name, Dress: r.Dress, Wheels: r.Wheels})
		}
	}
	for _, t := range sh.Tips {
		if slices.Contains(tips, t.ID) {
			p.Tips = append(p.Tips, layout.Tip{ID: t.ID, Name: t.Name, Shape: t.Shape, Face: t.Face, Dress: t.Dress,
				Dressings: t.Dressings})
		}
	}
	return p
}

// judge works out what every weld and joint carries, and holds what was planned against the rules in force.
func judge(ctx context.Context, b joining.Basis, m joining.Means, strips []*joining.Strip, p *layout.Plan) error {
	var err error
	if p.NearWelds, err = nearWelds(ctx, m.Ways, strips, p.Welds); err != nil {
		return err
	}
	report, err := check.Judge(ctx, p, b.Shell, b.Rules)
	if err != nil {
		return err
	}
	p.Findings = append(p.Findings, report.Findings...)
	p.Findings = append(p.Findings, lateHolds(b, p)...)
	return nil
}

// finish words the steps and reckons time and money, which need everything else.
func finish(ctx context.Context, b joining.Basis, c *cache.Cache, rounded []layout.Flange, p *layout.Plan) (err error) {
	// Time and money are reckoned from what is written, so that they come out the same from a plan that was read back.
	if err := round(p, rounded); err != nil {
		return err
	}
	if p.Labour, p.Cost, err = labour.Estimate(ctx, p, b.Shell); err != nil {
		return err
	}
	for i := range p.Stations {
		p.Stations[i].Steps = stations.Steps(p, i, b.Shell.Elements.InspectEvery)
	}
	if err := crews.ShareOut(ctx, p, c); err != nil {
		return err
	}
	if err := reckon(ctx, b, p); err != nil {
		return err
	}
	finding.Settle(p)
	p.Findings = b.Make.Waive(p.Findings, b.Shell.Waivers)
	return round(p, rounded)
}

// reckon reckons how far the money may be off, and beside it who works when, what that is paid and what steel is bought: none of it reads
// what the other writes.
func reckon(ctx context.Context, b joining.Basis, p *layout.Plan) error {
	var notes []string
	beside := []func() error{
		func() error { return quote.Settle(ctx, p, b.Shell, quote.Options{Seed: quote.DefaultSeed}) },
		func() (err error) {
			if p.Flow, err = crews.Flow(p, b.Shell.Batch, b.Shell.WeekHours()); err != nil {
				return err
			}
			if p.Cost.Paid, err = crews.Paid(ctx, p, b.Shell); err != nil {
				return err
			}
			p.Cost.Steel, notes, err = buy.Of(p, b.Shell)
			return err
		},
	}
	err := work.Each(ctx, 0, len(beside), func(i int) error { return beside[i]() })
	p.Notes = append(p.Notes, notes...)
	return err
}

// round rounds the plan. The flanges' lists, which make up most of it, are rounded already.
func round(p *layout.Plan, rounded []layout.Flange) error {
	p.Flanges = slices.Clone(p.Flanges)
	for i := range p.Flanges {
		f := &p.Flanges[i]
		f.Line, f.Outline, f.Holes = nil, nil, nil
	}
	if err := planfile.Round(p); err != nil {
		return err
	}
	for i := range p.Flanges {
		f := &p.Flanges[i]
		f.Line, f.Outline, f.Holes = rounded[i].Line, rounded[i].Outline, rounded[i].Holes
	}
	return nil
}
