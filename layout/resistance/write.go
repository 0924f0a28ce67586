package resistance

import (
	"context"
	"fmt"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Write puts resistances and utilisations into the plan. A weld's shear resistance
// is that of its worst direction; a joint's is that of its weakest weld times their number.
func Write(all []*Joint) {
	for _, j := range all {
		if len(j.Welds) == 0 {
			continue
		}
		worst := j.Welds[0]
		shear, tension := math.Inf(1), math.Inf(1)
		direction := j.Stated.Load.Direction
		if len(j.Stated.Forces) > 0 {
			direction = ""
		}
		for _, w := range j.Welds {
			w.Weld.Shear, w.Weld.Tension, w.Weld.Utilisation = w.Any.Shear, w.Any.Tension, w.Utilisation()
			w.Weld.Accepted = w.Strip.Limits.LeastWeldDiameter.Value
			if j.Loaded() {
				w.Weld.Accepted = math.Max(w.Weld.Accepted, w.Any.Counted)
			}
			shear, tension = math.Min(shear, w.Under(direction).Shear), math.Min(tension, w.Any.Tension)
			if w.None != nil {
				worst = w
			}
			if worst.None == nil && w.Utilisation() > worst.Utilisation() {
				worst = w
			}
		}
		j.write(worst, shear, tension)
	}
}

func (j *Joint) write(worst *Weld, shear, tension float64) {
	n := float64(len(j.Welds))
	if worst.None != nil {
		even := j.Even()
		j.Plan.Shear = layout.Strength{Demand: even.Shear + even.Flow*j.Length, Source: worst.None.Error()}
		j.Plan.Tension = layout.Strength{Demand: even.Tension, Source: worst.None.Error()}
		return
	}
	how := ""
	if len(j.Stated.Forces) > 0 {
		how = "; weld group by elastic analysis about its middle, the demand is the even load that strains its worst weld alike"
	}
	balance := func(capacity, utilisation float64, source string, certainty rule.Certainty, basis strength.Basis) layout.Strength {
		return layout.Strength{Capacity: capacity, Demand: utilisation * capacity, Utilisation: utilisation,
			Source: fmt.Sprintf("%s, a %s%s", finding.Sourced(source, certainty), basis, how)}
	}
	most := func(of func(*Weld) float64) float64 {
		m := 0.0
		for _, w := range j.Welds {
			m = math.Max(m, of(w))
		}
		return m
	}
	j.Plan.Shear = balance(n*shear, most(func(w *Weld) float64 { return w.Shear }), worst.Any.ShearSource, worst.Any.ShearCertainty,
		worst.Any.ShearBasis)
	j.Plan.Tension = balance(n*tension, most(func(w *Weld) float64 { return w.Tension }), worst.Any.TensionSource,
		worst.Any.TensionCertainty, worst.Any.TensionBasis)
}

// Strengths writes every weld's resistance and utilisation, and every joint's balance, into the plan, each from the
// weld's real distances to ends and edges.
func Strengths(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) error {
	c, err := strips.Gather(ctx, p, sh, in)
	if err != nil {
		return fmt.Errorf("strength: %w", err)
	}
	all, err := Joints(ctx, c)
	if err != nil {
		return fmt.Errorf("strength: %w", err)
	}
	Write(all)
	return nil
}

// Group is the welds of one joint, on its flanges.
type Group struct {
	Joint   layout.Joint
	Flanges []layout.Flange
	Welds   []layout.Weld
}

// Utilisation is that of a group's worst weld under its joint's load; 0 without welds. Nothing is changed.
func Utilisation(ctx context.Context, g Group, sh *shell.Shell, in *inforce.Rules) (float64, error) {
	welds := slices.Clone(g.Welds)
	if err := Strengths(ctx, &layout.Plan{Joints: []layout.Joint{g.Joint}, Flanges: g.Flanges, Welds: welds}, sh, in); err != nil {
		return 0, err
	}
	worst := 0.0
	for _, w := range welds {
		worst = math.Max(worst, w.Utilisation)
	}
	return worst, nil
}
