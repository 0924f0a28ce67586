package strength

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"seamwright/seams/rule"
)

// Method names the rule that a weld's shear resistance follows.
type Method string

// The methods.
const (
	ByEurocode Method = ""     // EN 1993-1-3, design value
	ByAISI     Method = "aisi" // AISI S100, phi P_n
	ByAWS      Method = "aws"  // AWS D8.1M, the least that a test may show; no partial factor
)

// Basis says what kind of figure a resistance is, so that figures of two kinds are not added unmarked.
type Basis string

// The kinds of figure.
const (
	DesignValue  Basis = "design value"
	LeastTest    Basis = "least test value, no partial factor"
	TestFactored Basis = "least test value over a partial factor"
)

// ErrNone is a weld for which no rule here gives a figure.
var ErrNone = errors.New("no strength figure holds")

// Options steer Single. Every zero value means the default beside it.
type Options struct {
	Method        Method
	Diameter      float64 // mm, weld diameter; 0: 5 root t of each pair of sheets
	Nugget        float64 // mm, that the setting lets expect: strength counts on no more; 0: not known
	End           float64 // mm, e1; 0: not known, so that the end of the sheet is not checked
	Edge          float64 // mm, e2
	Pitch         float64 // mm, p1
	Row           float64 // mm, p2
	TensionFactor float64 // partial factor on tension, whose rules are test values; 0: GammaM2
}

// Weld is what one weld of a stack carries: the least of the interfaces between its sheets.
type Weld struct {
	Shear            float64 // N
	Tension          float64 // N, pulling the sheets apart
	Diameter         float64 // mm, that the shear resistance was worked out with
	Counted          float64 // mm, the greatest of the interfaces: every weld must come to it
	Mode             Mode    // of failing in shear
	Interface        int     // the weakest in shear: 0 is between the first sheet and the second
	ShearBasis       Basis
	TensionBasis     Basis
	TensionBy        Mode // which rule governs the tension
	ShearSource      string
	TensionSource    string
	ShearCertainty   rule.Certainty
	TensionCertainty rule.Certainty
	Problems         []rule.Problem
	Unchecked        []string
}

// The rules that may govern a weld's tension, and its shear in steel above EN 1993-1-3's.
const (
	ByCrossTension Mode = "least cross tension of AWS D8.1M"
	ByLapShear     Mode = "0.74 of the lap shear"
	ByLeastShear   Mode = "least shear tension of AWS D8.1M"
)

// Single gives the resistance of one weld through a stack. Each pair of neighbouring sheets is one interface, with the
// lower tensile strength of the two; the weakest interface counts, since the rules do not say which one a load crosses.
//
// Shear follows the method. EN 1993-1-3 holds up to EurocodeTensile; for stronger steel the smaller of it and of AWS
// D8.1M's least test value over GammaM2 is taken, with a Problem, and from 1300 MPa on nothing holds: ErrNone.
//
// Tension is the least cross-tension strength of AWS D8.1M (memory), capped by 0.74 times the lap shear of the same weld by
// EN 1993-1-3 (ratio read, formulas memory): cross tension is the weaker way to load a weld. Both are test values and go
// over TensionFactor.
func Single(stack rule.Stack, opt Options) (Weld, error) {
	if !stack.Valid() || len(stack) < 2 {
		return Weld{}, fmt.Errorf("strength of %q: two sheets with thicknesses above zero are needed", stack)
	}
	weakest := Weld{Shear: math.Inf(1)}
	softest := Weld{Tension: math.Inf(1)}
	var problems []rule.Problem
	counted := 0.0
	for i := range len(stack) - 1 {
		w, err := opt.between(stack[i], stack[i+1])
		if err != nil {
			return Weld{}, fmt.Errorf("strength of %s, sheets %d and %d: %w", stack, i+1, i+2, err)
		}
		w.Interface = i
		problems, counted = append(problems, w.Problems...), max(counted, w.Diameter)
		if w.Shear < weakest.Shear {
			weakest = w
		}
		if w.Tension < softest.Tension {
			softest = w
		}
	}
	weakest.Tension, weakest.TensionBasis, weakest.TensionBy = softest.Tension, softest.TensionBasis, softest.TensionBy
	weakest.TensionSource, weakest.TensionCertainty = softest.TensionSource, softest.TensionCertainty
	weakest.Problems, weakest.Counted = problems, counted
	return weakest, nil
}

// between is one interface.
func (o Options) between(a, b rule.Sheet) (Weld, error) {
	thin, thick, tensile := min(a.Thickness, b.Thickness), max(a.Thickness, b.Thickness), min(a.Tensile, b.Tensile)
	if o.TensionFactor == 0 {
		o.TensionFactor = GammaM2
	}
	if !(o.TensionFactor >= 1) || math.IsInf(o.TensionFactor, 0) {
		return Weld{}, fmt.Errorf("partial factor %g on tension: give 1 or more", o.TensionFactor)
	}
	if !(o.Nugget >= 0) || math.IsInf(o.Nugget, 0) {
		return Weld{}, fmt.Errorf("nugget of %g mm: give a number above zero, or 0 where it is not known", o.Nugget)
	}
	if tensile >= awsTensile {
		return Weld{}, fmt.Errorf("%w for steel of %g MPa: EN 1993-1-3 lists none above %g MPa, AWS D8.1M has no figure from %g MPa on; show "+
			"the strength by test", ErrNone, tensile, EurocodeTensile, awsTensile)
	}
	w := Weld{Diameter: o.diameter(thin)}
	if err := o.shear(&w, thin, thick, tensile); err != nil {
		return Weld{}, err
	}
	return w, o.tension(&w, thin, thick, tensile)
}

// diameter is what strength counts on, mm: 5 root t, or the setting's nugget where that is smaller.
func (o Options) diameter(thin float64) float64 {
	d := o.Diameter
	if d == 0 {
		d = Diameter(thin, false)
	}
	if o.Nugget > 0 {
		d = min(d, o.Nugget)
	}
	return d
}

func (o Options) shear(w *Weld, thin, thick, tensile float64) error {
	switch o.Method {
	case ByEurocode:
		return o.eurocode(w, thin, thick, tensile)
	case ByAISI:
		n, err := AISI(thin)
		w.Shear, w.ShearBasis, w.ShearSource, w.ShearCertainty = n.Design, DesignValue, n.Source+", phi P_n, phi = 0.65", n.Certainty
		if err != nil {
			return fmt.Errorf("%w: %w", ErrNone, err)
		}
		return nil
	case ByAWS:
		v, err := LeastShear(thin, tensile)
		w.Shear, w.ShearBasis, w.ShearSource, w.ShearCertainty = v, LeastTest, AWSSource, rule.Memory
		w.Problems = append(w.Problems, inAWS(thin)...)
		return err
	}
	return fmt.Errorf("method %q is not known; choose from \"\" (EN 1993-1-3), aisi, aws", o.Method)
}

func (o Options) eurocode(w *Weld, thin, thick, tensile float64) error {
	if !(tensile > 0) {
		return fmt.Errorf("%s: the tensile strength is not known; state it or the grade", EurocodeSource)
	}
	r := Eurocode(Spot{Thin: thin, Thick: thick, Tensile: tensile, Diameter: w.Diameter, End: o.End, Edge: o.Edge, Pitch: o.Pitch,
		Row: o.Row})
	if r.Design == 0 {
		return fmt.Errorf("%s: a distance or diameter is not a number of zero or above", EurocodeSource)
	}
	w.Shear, w.Mode, w.Problems, w.Unchecked = r.Design, r.Mode, r.Problems, r.Unchecked
	w.ShearBasis, w.ShearSource, w.ShearCertainty = DesignValue, r.Source, r.Certainty
	if tensile <= EurocodeTensile {
		return nil
	}
	least, err := LeastShear(thin, tensile)
	if err != nil {
		return err
	}
	w.Problems = append(w.Problems, inAWS(thin)...)
	w.ShearSource = fmt.Sprintf("the smaller of %s and of %s over %g: the steel is stronger than those of the former", EurocodeSource,
		AWSSource,
		GammaM2)
	if least /= GammaM2; least < w.Shear {
		w.Shear, w.Mode, w.ShearBasis = least, ByLeastShear, TestFactored
	}
	return nil
}

// tension caps the least cross tension by the lap shear of the weld itself: the edges of the sheets do not count.
func (o Options) tension(w *Weld, thin, thick, tensile float64) error {
	least, err := LeastCrossTension(thin)
	if err != nil {
		return err
	}
	for _, p := range inAWS(thin) {
		if !slices.Contains(w.Problems, p) {
			w.Problems = append(w.Problems, p)
		}
	}
	w.TensionBasis, w.TensionCertainty, w.TensionBy = TestFactored, rule.Memory, ByCrossTension
	governs := string(ByCrossTension) + " governs"
	if !(tensile > 0) {
		w.Problems = append(w.Problems, rule.Problem{Rule: "strength.tension.cap", Severity: rule.Doubt, Value: least, Unit: "N",
			Source: RatioSource,
			Remedy: "state the tensile strength, so that the tension can be capped", Certainty: rule.Read})
		governs += ", not capped because the tensile strength is not known"
	} else {
		r := Eurocode(Spot{Thin: thin, Thick: thick, Tensile: tensile, Diameter: w.Diameter, Factor: 1})
		lap := min(r.Tearing, r.Shear)
		if tensile > EurocodeTensile {
			if shear, err := LeastShear(thin, tensile); err == nil {
				lap = min(lap, shear)
			}
		}
		if limit := CrossTensionRatio * lap; limit < least {
			least, w.TensionBy = limit, ByLapShear
			governs = string(ByLapShear) + " by " + EurocodeSource + " governs, below the " + string(ByCrossTension)
		} else {
			governs += ", below " + string(ByLapShear) + " by " + EurocodeSource
		}
	}
	w.Tension = least / o.TensionFactor
	w.TensionSource = fmt.Sprintf("%s (%s), a test value over %g, no design value of a code", governs, RatioSource, o.TensionFactor)
	return nil
}

// Demand is what a joint must carry, design values.
type Demand struct {
	Shear   float64 // N in the plane of the sheets, over the whole joint
	Flow    float64 // N/mm in the plane of the sheets, along the joint's length
	Tension float64 // N pulling the sheets apart, over the whole joint
}

// Needed is the least number of welds that carries a demand over a joint of the given length in mm; 0 when nothing is
// asked.
func (w Weld) Needed(d Demand, length float64) (int, error) {
	shear, err := d.shear(length)
	if err != nil {
		return 0, err
	}
	if !(w.Shear > 0) || !(w.Tension > 0) {
		return 0, fmt.Errorf("welds needed: a weld that carries %g N in shear and %g N in tension cannot be counted by", w.Shear, w.Tension)
	}
	n := shear/w.Shear + d.Tension/w.Tension
	if n > 1e6 {
		return 0, fmt.Errorf("welds needed: the load asks for %.3g welds; look at its unit", n)
	}
	// A load that is exactly n welds must not ask for one more by a rounding error.
	return int(math.Ceil(n - 1e-9)), nil
}

func (d Demand) shear(length float64) (float64, error) {
	for _, v := range []float64{d.Shear, d.Flow, d.Tension, length} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return 0, fmt.Errorf("joint demand: shear %g N, flow %g N/mm, tension %g N, length %g mm: give numbers of zero or above", d.Shear,
				d.Flow, d.Tension, length)
		}
	}
	return d.Shear + float64(d.Flow*length), nil
}
