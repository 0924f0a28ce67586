package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/seams/rule"
	"seamwright/seams/strength"
)

// strength works out what every weld and joint carries, and judges what was planned by the rules.
func (b *builder) strength(context.Context) error {
	carries, err := b.weldStrengths()
	if err != nil {
		return err
	}
	for i := range b.plan.Welds {
		w := &b.plan.Welds[i]
		w.Shear, w.Tension = carries[w.Flange].Shear, carries[w.Flange].Tension
	}
	for i := range b.plan.Joints {
		if err := b.jointStrength(i, carries); err != nil {
			return err
		}
	}
	for _, s := range b.strips {
		if s.joint >= 0 {
			b.fitFindings(s)
		}
	}
	return nil
}

func (b *builder) weldStrengths() (map[string]strength.Weld, error) {
	out := map[string]strength.Weld{}
	for _, s := range b.strips {
		if s.joint < 0 || len(s.laid.Welds) == 0 {
			continue
		}
		w, err := strength.Single(s.stack, strength.Options{
			End: s.limits.EndDistance.Value, Edge: s.limits.EdgeDistance.Value, Pitch: s.laid.Pitch.Mean,
		})
		if err != nil {
			return nil, fmt.Errorf("flange %s: strength: %w", s.id, err)
		}
		for _, p := range w.Problems {
			b.problem(p, "flange "+s.id, vec(s.flange.Line[0].Point))
		}
		out[s.id] = w
	}
	return out, nil
}

// jointStrength adds up the joint's welds; a joint of several stack-ups carries by its weakest weld.
func (b *builder) jointStrength(joint int, carries map[string]strength.Weld) error {
	j, load := &b.plan.Joints[joint], b.Shell.Joints[joint].Load
	var weakest strength.Weld
	for _, s := range b.stripsOf(joint) {
		if w, ok := carries[s.id]; ok && (weakest.Shear == 0 || w.Shear < weakest.Shear) {
			weakest = w
		}
	}
	if j.Welds == 0 {
		return nil
	}
	demand := strength.Demand{Shear: load.Shear, Flow: load.Flow, Tension: load.Tension}
	carried, err := weakest.Carry(demand, j.Length, j.Welds)
	if err != nil {
		return fmt.Errorf("joint %s: load: %w", j.ID, err)
	}
	j.Shear = layout.Strength{Capacity: carried.Shear.Capacity, Demand: carried.Shear.Demand, Utilisation: carried.Shear.Utilisation, Source: source(rule.Limit{Source: weakest.ShearSource, Certainty: weakest.ShearCertainty})}
	j.Tension = layout.Strength{Capacity: carried.Tension.Capacity, Demand: carried.Tension.Demand, Utilisation: carried.Tension.Utilisation, Source: source(rule.Limit{Source: weakest.TensionSource, Certainty: weakest.TensionCertainty})}
	if carried.Together > 1 {
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: "strength.joint", Severity: layout.Broken, Where: "joint " + j.ID, Value: carried.Together, Limit: 1, Unit: "utilisation",
			Source: j.Shear.Source, Remedy: "more welds, thicker sheet or less load",
		})
	}
	return nil
}

// fitFindings says where the sheets stand open and where the flange is narrower than the overlap wanted.
func (b *builder) fitFindings(s *strip) {
	limit := s.limits.GreatestGap
	for _, open := range s.flange.Open {
		if open.Gap <= limit.Value {
			continue
		}
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: "fit.gap", Severity: layout.Broken, Where: fmt.Sprintf("flange %s from %.0f to %.0f mm", s.id, open.From, open.To),
			Value: open.Gap, Limit: limit.Value, Unit: "mm", Source: source(limit), Remedy: "dress the flange or add a clamp: the gun must not pull the sheets together",
			At: vec(stationAt(s, open.From)),
		})
	}
	if wanted := s.limits.LeastOverlap; wanted.Value > 0 && s.flange.Width.Least < wanted.Value {
		b.plan.Findings = append(b.plan.Findings, layout.Finding{
			Rule: "flange.overlap", Severity: layout.Note, Where: "flange " + s.id, Value: s.flange.Width.Least, Limit: wanted.Value, Unit: "mm",
			Source: source(wanted), Remedy: "narrower than the table wants: prove the setting on strips of this width", At: vec(s.flange.Line[0].Point),
		})
	}
}

func (b *builder) sortFindings() {
	rank := map[string]int{layout.Broken: 0, layout.Doubt: 1, layout.Note: 2}
	slices.SortStableFunc(b.plan.Findings, func(x, y layout.Finding) int {
		return cmp.Or(cmp.Compare(rank[x.Severity], rank[y.Severity]), cmp.Compare(x.Rule, y.Rule), cmp.Compare(x.Where, y.Where))
	})
}

// stationAt is the place on the strip's weld line at a length.
func stationAt(s *strip, along float64) r3.Vector {
	for _, st := range s.flange.Line {
		if st.S >= along {
			return st.Point
		}
	}
	return s.flange.Line[len(s.flange.Line)-1].Point
}
