package resistance

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/strips"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Joint is one joint's welds under its load.
type Joint struct {
	Plan   *layout.Joint
	Stated *shell.Joint
	Length float64 // mm, of the strips that have welds
	Welds  []*Weld
	Free   float64 // N·mm that the welds cannot resist
	Moment float64 // N·mm about their middle
}

// Loaded reports whether anything is asked of the joint.
func (j *Joint) Loaded() bool { return j.Even() != (strength.Demand{}) || len(j.Stated.Forces) > 0 }

// Even is the load that is shared evenly.
func (j *Joint) Even() strength.Demand {
	l := j.Stated.Load
	return strength.Demand{Shear: l.Shear, Flow: l.Flow, Tension: l.Tension}
}

// Joints works out every joint's welds, in the plan's order: each with the resistance that its own place on the sheets gives it.
func Joints(ctx context.Context, c *strips.Set) ([]*Joint, error) {
	out := make([]*Joint, len(c.Plan.Joints))
	err := work.Each(ctx, 0, len(out), func(i int) (err error) {
		out[i], err = jointOf(c, &c.Plan.Joints[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// jointOf works out one joint's welds, each by off mm nearer to edges than it is planned.
func jointOf(c *strips.Set, plan *layout.Joint) (*Joint, error) {
	off := c.Shell.Rules.WeldTolerance
	j := &Joint{Plan: plan, Stated: &shell.Joint{ID: plan.ID}}
	if stated, ok := c.Shell.Joint(plan.ID); ok {
		j.Stated = stated
	}
	for _, s := range c.Strips {
		if s.Flange.Joint != plan.ID {
			continue
		}
		j.Length += s.Flange.Length
		for k, w := range s.Welds {
			r, err := carriedBy(s.Spot(k), off)
			if err != nil {
				return nil, fmt.Errorf("joint %s: flange %s: weld %d: %w", plan.ID, s.Flange.ID, w.Number, err)
			}
			j.Welds = append(j.Welds, r)
		}
	}
	if err := j.load(off); err != nil {
		return nil, fmt.Errorf("joint %s: %w", plan.ID, err)
	}
	return j, nil
}

// load puts the joint's loads on its welds. Even loads are shared evenly; forces at places are shared by elastic
// analysis of the weld group.
func (j *Joint) load(off float64) error {
	n := float64(len(j.Welds))
	if n == 0 {
		return nil
	}
	even := j.Even()
	for _, w := range j.Welds {
		if w.None != nil {
			continue
		}
		carries := w.Under(j.Stated.Load.Direction)
		w.Shear = (even.Shear + even.Flow*j.Length) / n / carries.Shear
		w.Tension = even.Tension / n / carries.Tension
		switch {
		case even.Shear > 0 || even.Flow > 0:
			w.Problems = carries.Problems
		case even.Tension > 0:
			w.Problems = w.Along.Problems
		}
	}
	if len(j.Stated.Forces) == 0 {
		return nil
	}
	return j.group(off)
}

// group adds the forces at places. Each load keeps its own sense of pull and push, so they are resolved one by one and
// the forces on a weld added as vectors where they act on the same panel.
func (j *Joint) group(off float64) error {
	places := make([]strength.Place, len(j.Welds))
	for i, w := range j.Welds {
		places[i] = strength.Place{At: w.Weld.Position.R3(), Axis: w.Weld.Axis.R3()}
	}
	shear, pull := make([]r3.Vector, len(j.Welds)), make([]float64, len(j.Welds))
	var moment, free r3.Vector
	for _, f := range j.Stated.Forces {
		load := strength.Load{Force: triple(f.Force), Moment: triple(f.Moment).Mul(1000), At: triple(f.At)}
		g, err := strength.Group(places, load)
		if err != nil {
			return err
		}
		moment = moment.Add(load.Moment.Add(load.At.Sub(g.Centroid).Cross(load.Force)))
		free = free.Add(g.Free)
		for i, force := range g.Each {
			axis := places[i].Axis.Normalize()
			along := force.Vector.Dot(axis)
			shear[i] = shear[i].Add(force.Vector.Sub(axis.Mul(along)))
			pull[i] += j.Welds[i].pull(f.On, along)
		}
	}
	j.Moment, j.Free = moment.Norm(), free.Norm()
	for i, w := range j.Welds {
		if w.None != nil {
			continue
		}
		if err := w.take(shear[i], pull[i], off); err != nil {
			return err
		}
	}
	return nil
}

func triple(v [3]float64) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }
