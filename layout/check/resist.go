package check

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// carried is what one weld carries and what is asked of it.
type carried struct {
	spot
	along    strength.Weld // loaded along the weld line: the strip's ends are the ends of the sheet
	across   strength.Weld // loaded across it: the nearer free edge is the end of the sheet
	any      strength.Weld // the weaker of the two, with the problems of both
	none     error         // why no rule gives a figure; the three are empty then
	problems []rule.Problem
	shear    float64 // utilisation in shear, of every load together
	tension  float64 // and in tension
}

// under is the resistance under a load whose direction is stated: along, across, or empty for either.
func (w *carried) under(direction string) strength.Weld {
	switch direction {
	case shell.Along:
		return w.along
	case shell.Across:
		return w.across
	}
	return w.any
}

func (w *carried) utilisation() float64 { return w.shear + w.tension }

// joint is one joint's welds under its load.
type joint struct {
	plan   *layout.Joint
	stated *shell.Joint
	length float64 // mm, of the strips that have welds
	welds  []*carried
	free   float64 // N·mm that the welds cannot resist
	moment float64 // N·mm about their middle
}

// loaded reports whether anything is asked of the joint.
func (j *joint) loaded() bool { return j.even() != (strength.Demand{}) || len(j.stated.Forces) > 0 }

func (j *joint) even() strength.Demand {
	l := j.stated.Load
	return strength.Demand{Shear: l.Shear, Flow: l.Flow, Tension: l.Tension}
}

// joints works out every joint's welds: each with the resistance that its own place on the sheets gives it.
func (c *checker) joints() ([]*joint, error) {
	if c.carry != nil {
		return c.carry, nil
	}
	out := make([]*joint, len(c.plan.Joints))
	err := work.Each(c.ctx, 0, len(out), func(i int) (err error) {
		out[i], err = c.joint(&c.plan.Joints[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	c.carry = out
	return out, nil
}

// joint works out one joint's welds.
func (c *checker) joint(plan *layout.Joint) (*joint, error) {
	j := &joint{plan: plan, stated: &shell.Joint{ID: plan.ID}}
	if stated, ok := c.shell.Joint(plan.ID); ok {
		j.stated = stated
	}
	for _, s := range c.strips {
		if s.flange.Joint != plan.ID {
			continue
		}
		j.length += s.flange.Length
		for k, w := range s.welds {
			r, err := c.resistance(spot{w, s, k})
			if err != nil {
				return nil, fmt.Errorf("joint %s: flange %s: weld %d: %w", plan.ID, s.flange.ID, w.Number, err)
			}
			j.welds = append(j.welds, r)
		}
	}
	if err := j.load(c); err != nil {
		return nil, fmt.Errorf("joint %s: %w", plan.ID, err)
	}
	return j, nil
}

// resistance of one weld: along the line, across it, and in the direction that is worst for it. A load aslant has its ends
// further off than the nearer of both.
func (c *checker) resistance(w spot) (*carried, error) {
	opt := w.strip.carries
	opt.Pitch = w.strip.nextWeld(w.index)
	if o, _, across := w.strip.opposite(w.weld); o != nil {
		opt.Row = math.Max(across, 1e-6)
	}
	opt.End, opt.Edge = finite(w.end()-c.off()), finite(w.across()-c.off())
	if w.strip.inner(w.weld) {
		opt.Edge = 0 // farther in than the outer rows, which hold the edges
	}
	along, err := strength.Single(w.strip.stack, opt)
	if errors.Is(err, strength.ErrNone) {
		return &carried{spot: w, none: err}, nil
	}
	if err != nil {
		return nil, err
	}
	// Across the line the pitch of the row is p2, the distance of the rows p1, and the edge is the end of the sheet.
	opt.End, opt.Edge, opt.Pitch, opt.Row = opt.Edge, opt.End, opt.Row, opt.Pitch
	across, err := strength.Single(w.strip.stack, opt)
	if err != nil {
		return nil, err
	}
	any := along
	if across.Shear < along.Shear {
		any = across
	}
	any.Problems = unique(slices.Concat(along.Problems, across.Problems))
	return &carried{spot: w, along: along, across: across, any: any}, nil
}

// off is how far in mm a weld may be nearer to an edge than it is planned.
func (c *checker) off() float64 { return c.shell.Rules.WeldTolerance }

// finite turns "no edge there" into "not known", as the strength rules take it.
func finite(v float64) float64 {
	if math.IsInf(v, 0) {
		return 0
	}
	return math.Max(v, 1e-6)
}

// end is the distance along the line from the first or the last weld of an open strip to its end, where that is the end
// of a sheet; +Inf for every other weld.
func (w spot) end() float64 {
	e := math.Inf(1)
	if w.strip.flange.Closed {
		return e
	}
	if !w.strip.goesOn[0] && w.outermost(1) {
		e = w.weld.Along
	}
	if !w.strip.goesOn[1] && w.outermost(-1) {
		e = math.Min(e, w.strip.flange.Length-w.weld.Along)
	}
	return e
}

// outermost reports whether the weld is the first of its row, or with a step of -1 the last: in a second row, one that begins
// no later than a pitch after the first.
func (w spot) outermost(step int) bool {
	all := w.strip.welds
	first := 0
	if step < 0 {
		first = len(all) - 1
	}
	for k := w.index - step; k >= 0 && k < len(all); k -= step {
		if inRow(all[k], w.weld) {
			return false
		}
	}
	return w.index == first || w.strip.apart(all[first].Along, w.weld.Along) <= w.strip.limits.LeastPitch.Value
}

// across is the distance across the line to the nearer free edge; +Inf without one.
func (w spot) across() float64 {
	if !w.strip.measure {
		return math.Inf(1)
	}
	left, right := w.strip.sides(w.weld.Along)
	e := math.Inf(1)
	if left == layout.FreeEdge {
		e = w.weld.Left
	}
	if right == layout.FreeEdge {
		e = math.Min(e, w.weld.Right)
	}
	return e
}

// toward is the distance to the sheet's end in a direction of the weld's plane, either way along it.
func (w spot) toward(direction r3.Vector) float64 {
	t := w.strip.tangent(w.weld.Along)
	lengthwise := math.Abs(direction.Dot(t))
	crosswise := math.Sqrt(math.Max(0, 1-lengthwise*lengthwise))
	e := math.Inf(1)
	if lengthwise > 1e-6 {
		e = w.end() / lengthwise
	}
	if crosswise > 1e-6 {
		e = math.Min(e, w.across()/crosswise)
	}
	return e
}

// nextWeld is the distance along the line to the nearer neighbour in its row; 0 without one.
func (s *strip) nextWeld(index int) float64 {
	least := math.Inf(1)
	for k, w := range s.welds {
		if k != index && inRow(w, s.welds[index]) {
			least = math.Min(least, s.apart(w.Along, s.welds[index].Along))
		}
	}
	return finite(least)
}

// load puts the joint's loads on its welds. Even loads are shared evenly; forces at places are shared by elastic
// analysis of the weld group.
func (j *joint) load(c *checker) error {
	n := float64(len(j.welds))
	if n == 0 {
		return nil
	}
	even := j.even()
	for _, w := range j.welds {
		if w.none != nil {
			continue
		}
		carries := w.under(j.stated.Load.Direction)
		w.shear = (even.Shear + even.Flow*j.length) / n / carries.Shear
		w.tension = even.Tension / n / carries.Tension
		switch {
		case even.Shear > 0 || even.Flow > 0:
			w.problems = carries.Problems
		case even.Tension > 0:
			w.problems = w.along.Problems
		}
	}
	if len(j.stated.Forces) == 0 {
		return nil
	}
	return j.group(c)
}

// group adds the forces at places. Each load keeps its own sense of pull and push, so they are resolved one by one and
// the forces on a weld added as vectors where they act on the same panel.
func (j *joint) group(c *checker) error {
	places := make([]strength.Place, len(j.welds))
	for i, w := range j.welds {
		places[i] = strength.Place{At: w.weld.Position.R3(), Axis: w.weld.Axis.R3()}
	}
	shear, pull := make([]r3.Vector, len(j.welds)), make([]float64, len(j.welds))
	var moment, free r3.Vector
	for _, f := range j.stated.Forces {
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
			pull[i] += j.welds[i].pull(f.On, along)
		}
	}
	j.moment, j.free = moment.Norm(), free.Norm()
	for i, w := range j.welds {
		if w.none != nil {
			continue
		}
		if err := w.take(shear[i], pull[i], c.off()); err != nil {
			return err
		}
	}
	return nil
}

func triple(v [3]float64) r3.Vector { return r3.Vector{X: v[0], Y: v[1], Z: v[2]} }

// pull is the part of a force along the axis that pulls the sheets apart: the panel that the load acts on is drawn away
// from the others. Where the panel is not stated, or lies between others, either sense counts as pull.
func (w *carried) pull(panel string, along float64) float64 {
	panels := w.strip.flange.Panels
	switch panel {
	case panels[len(panels)-1]:
		return along
	case panels[0]:
		return -along
	}
	return math.Abs(along)
}

// take adds a force to a weld's utilisation, with the resistance that its direction gives it, off in mm nearer to the end.
func (w *carried) take(shear r3.Vector, pull, off float64) error {
	w.tension += math.Max(0, pull) / w.any.Tension
	size := shear.Norm()
	if size < 1e-9 {
		w.problems = unique(append(w.problems, sheetProblems(w.along.Problems)...))
		return nil
	}
	direction := shear.Mul(1 / size)
	w.problems = unique(slices.Concat(w.problems, w.under(w.way(direction)).Problems))
	opt := w.strip.carries
	opt.End = finite(w.toward(direction) - off)
	r, err := strength.Single(w.strip.stack, opt)
	if err != nil {
		return err
	}
	w.shear += size / r.Shear
	return nil
}

// nearlyStraight is the cosine of the angle, about 6 degrees, within which a force counts as along a weld line or across it.
// Chosen: its other part is then a tenth.
const nearlyStraight = 0.995

// way is the direction of a force by which the range of the strength rule is judged: empty for one aslant.
func (w spot) way(direction r3.Vector) string {
	switch lengthwise := math.Abs(direction.Dot(w.strip.tangent(w.weld.Along))); {
	case lengthwise >= nearlyStraight:
		return shell.Along
	case lengthwise*lengthwise <= 1-nearlyStraight*nearlyStraight:
		return shell.Across
	}
	return ""
}

// ofSheets are the rules of strength that go by the sheets alone.
var ofSheets = []string{"strength.en.thin", "strength.en.thick", "strength.en.tensile", "strength.aws.thin", "strength.tension.cap"}

// sheetProblems are those that do not depend on where a weld sits: its sheets are outside of the rule.
func sheetProblems(all []rule.Problem) []rule.Problem {
	var out []rule.Problem
	for _, p := range all {
		if slices.Contains(ofSheets, p.Rule) {
			out = append(out, p)
		}
	}
	return out
}

// strengths writes resistances and utilisations into the plan. A weld's shear resistance
// is that of its worst direction; a joint's is that of its weakest weld times their number.
func (c *checker) strengths() error {
	all, err := c.joints()
	if err != nil {
		return err
	}
	for _, j := range all {
		if len(j.welds) == 0 {
			continue
		}
		worst := j.welds[0]
		shear, tension := math.Inf(1), math.Inf(1)
		direction := j.stated.Load.Direction
		if len(j.stated.Forces) > 0 {
			direction = ""
		}
		for _, w := range j.welds {
			w.weld.Shear, w.weld.Tension, w.weld.Utilisation = w.any.Shear, w.any.Tension, w.utilisation()
			w.weld.Accepted = w.strip.limits.LeastWeldDiameter.Value
			if j.loaded() {
				w.weld.Accepted = math.Max(w.weld.Accepted, w.any.Counted)
			}
			shear, tension = math.Min(shear, w.under(direction).Shear), math.Min(tension, w.any.Tension)
			if w.none != nil {
				worst = w
			}
			if worst.none == nil && w.utilisation() > worst.utilisation() {
				worst = w
			}
		}
		j.write(worst, shear, tension)
	}
	return nil
}

func (j *joint) write(worst *carried, shear, tension float64) {
	n := float64(len(j.welds))
	if worst.none != nil {
		even := j.even()
		j.plan.Shear = layout.Strength{Demand: even.Shear + even.Flow*j.length, Source: worst.none.Error()}
		j.plan.Tension = layout.Strength{Demand: even.Tension, Source: worst.none.Error()}
		return
	}
	how := ""
	if len(j.stated.Forces) > 0 {
		how = "; weld group by elastic analysis about its middle, the demand is the even load that strains its worst weld alike"
	}
	balance := func(capacity, utilisation float64, source string, certainty rule.Certainty, basis strength.Basis) layout.Strength {
		return layout.Strength{Capacity: capacity, Demand: utilisation * capacity, Utilisation: utilisation,
			Source: fmt.Sprintf("%s, a %s%s", finding.Sourced(source, certainty), basis, how)}
	}
	most := func(of func(*carried) float64) float64 {
		m := 0.0
		for _, w := range j.welds {
			m = math.Max(m, of(w))
		}
		return m
	}
	j.plan.Shear = balance(n*shear, most(func(w *carried) float64 { return w.shear }), worst.any.ShearSource, worst.any.ShearCertainty,
		worst.any.ShearBasis)
	j.plan.Tension = balance(n*tension, most(func(w *carried) float64 { return w.tension }), worst.any.TensionSource,
		worst.any.TensionCertainty, worst.any.TensionBasis)
}
