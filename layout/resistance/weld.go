// Package resistance works out what every weld of a plan carries, and what is asked of it: its resistance along the weld line and across
// it, from its own distances to neighbours, ends and edges (seams/strength), and its share of its joint's load, even or at places.
//
//	err := resistance.Strengths(ctx, plan, sh, in) // written into the plan's welds and joints
//	used, err := resistance.Utilisation(ctx, resistance.Group{Joint: j, Flanges: flanges, Welds: welds}, sh, in)
//
// Whether that is enough is for layout/check to say. Newtons, millimetres, N·mm.
package resistance

import (
	"errors"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// Weld is what one weld carries and what is asked of it.
type Weld struct {
	strips.Spot
	Along    strength.Weld // loaded along the weld line: the strip's ends are the ends of the sheet
	Across   strength.Weld // loaded across it: the nearer free edge is the end of the sheet
	Any      strength.Weld // the weaker of the two, with the problems of both
	None     error         // why no rule gives a figure; the three are empty then
	Problems []rule.Problem
	Shear    float64 // utilisation in shear, of every load together
	Tension  float64 // and in tension
}

// Under is the resistance under a load whose direction is stated: along, across, or empty for either.
func (w *Weld) Under(direction string) strength.Weld {
	switch direction {
	case shell.Along:
		return w.Along
	case shell.Across:
		return w.Across
	}
	return w.Any
}

// Utilisation is the part of the weld's resistance that is used, shear and tension added.
func (w *Weld) Utilisation() float64 { return w.Shear + w.Tension }

// carriedBy is the resistance of one weld, off mm nearer to edges than it is planned: along the line, across it, and in the direction
// that is worst for it. A load aslant has its ends further off than the nearer of both.
func carriedBy(w strips.Spot, off float64) (*Weld, error) {
	opt := w.Strip.Carries
	opt.Pitch = finite(w.Next())
	if o, _, across := w.Strip.Opposite(w.Weld); o != nil {
		opt.Row = math.Max(across, 1e-6)
	}
	opt.End, opt.Edge = finite(w.End()-off), finite(w.Across()-off)
	if w.Strip.Inner(w.Weld) {
		opt.Edge = 0 // farther in than the outer rows, which hold the edges
	}
	along, err := strength.Single(w.Strip.Stack, opt)
	if errors.Is(err, strength.ErrNone) {
		return &Weld{Spot: w, None: err}, nil
	}
	if err != nil {
		return nil, err
	}
	// Across the line the pitch of the row is p2, the distance of the rows p1, and the edge is the end of the sheet.
	opt.End, opt.Edge, opt.Pitch, opt.Row = opt.Edge, opt.End, opt.Row, opt.Pitch
	across, err := strength.Single(w.Strip.Stack, opt)
	if err != nil {
		return nil, err
	}
	any := along
	if across.Shear < along.Shear {
		any = across
	}
	any.Problems = Unique(slices.Concat(along.Problems, across.Problems))
	return &Weld{Spot: w, Along: along, Across: across, Any: any}, nil
}

// finite turns "no edge there" into "not known", as the strength rules take it.
func finite(v float64) float64 {
	if math.IsInf(v, 0) {
		return 0
	}
	return math.Max(v, 1e-6)
}

// pull is the part of a force along the axis that pulls the sheets apart: the panel that the load acts on is drawn away
// from the others. Where the panel is not stated, or lies between others, either sense counts as pull.
func (w *Weld) pull(panel string, along float64) float64 {
	panels := w.Strip.Flange.Panels
	switch panel {
	case panels[len(panels)-1]:
		return along
	case panels[0]:
		return -along
	}
	return math.Abs(along)
}

// take adds a force to a weld's utilisation, with the resistance that its direction gives it, off in mm nearer to the end.
func (w *Weld) take(shear r3.Vector, pull, off float64) error {
	w.Tension += math.Max(0, pull) / w.Any.Tension
	size := shear.Norm()
	if size < 1e-9 {
		w.Problems = Unique(append(w.Problems, SheetProblems(w.Along.Problems)...))
		return nil
	}
	direction := shear.Mul(1 / size)
	w.Problems = Unique(slices.Concat(w.Problems, w.Under(w.way(direction)).Problems))
	opt := w.Strip.Carries
	opt.End = finite(w.Toward(direction) - off)
	r, err := strength.Single(w.Strip.Stack, opt)
	if err != nil {
		return err
	}
	w.Shear += size / r.Shear
	return nil
}

// nearlyStraight is the cosine of the angle, about 6 degrees, within which a force counts as along a weld line or across it.
// Chosen: its other part is then a tenth.
const nearlyStraight = 0.995

// way is the direction of a force by which the range of the strength rule is judged: empty for one aslant.
func (w *Weld) way(direction r3.Vector) string {
	switch lengthwise := math.Abs(direction.Dot(w.Strip.Line.Tangent(w.Weld.Along))); {
	case lengthwise >= nearlyStraight:
		return shell.Along
	case lengthwise*lengthwise <= 1-nearlyStraight*nearlyStraight:
		return shell.Across
	}
	return ""
}

// OfSheets are the rules of strength that go by the sheets alone.
var OfSheets = []string{"strength.en.thin", "strength.en.thick", "strength.en.tensile", "strength.aws.thin", "strength.tension.cap"}

// SheetProblems are those that do not depend on where a weld sits: its sheets are outside of the rule.
func SheetProblems(all []rule.Problem) []rule.Problem {
	var out []rule.Problem
	for _, p := range all {
		if slices.Contains(OfSheets, p.Rule) {
			out = append(out, p)
		}
	}
	return out
}

// Unique keeps the first problem of each rule: a stack of three sheets has each at both interfaces.
func Unique(all []rule.Problem) []rule.Problem {
	var out []rule.Problem
	for _, p := range all {
		if !slices.ContainsFunc(out, func(o rule.Problem) bool { return o.Rule == p.Rule }) {
			out = append(out, p)
		}
	}
	return out
}
