package strength

import (
	"fmt"
	"math"

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

// Options steer Single. Every zero value means the default beside it.
type Options struct {
	Method        Method
	Diameter      float64 // mm, weld diameter; 0: 5 root t of each pair of sheets
	End           float64 // mm, e1; 0: not known, so that the end of the sheet is not checked
	Edge          float64 // mm, e2
	Pitch         float64 // mm, p1
	Row           float64 // mm, p2
	TensionFactor float64 // partial factor on tension; 0: 1, the bare least test value
}

// Weld is what one weld of a stack carries: the least of the interfaces between its sheets.
type Weld struct {
	Shear            float64 // N
	Tension          float64 // N, pulling the sheets apart
	Diameter         float64 // mm, that the shear resistance was worked out with
	Mode             Mode    // of failing in shear, for EN 1993-1-3
	Interface        int     // the weakest in shear: 0 is between the first sheet and the second
	ShearSource      string
	TensionSource    string
	ShearCertainty   rule.Certainty
	TensionCertainty rule.Certainty
	Problems         []rule.Problem
	Unchecked        []string
}

// Single gives the resistance of one weld through a stack. Each pair of neighbouring sheets is one interface, with the
// lower tensile strength of the two; the weakest interface counts, since the rules do not say which one a load crosses.
// Tension is the least cross-tension strength of AWS D8.1M (memory): a bound for tests, taken for want of a design rule.
func Single(stack rule.Stack, opt Options) (Weld, error) {
	if !stack.Valid() || len(stack) < 2 {
		return Weld{}, fmt.Errorf("strength of %q: two sheets with thicknesses above zero are needed", stack)
	}
	weakest := Weld{Shear: math.Inf(1), Tension: math.Inf(1)}
	for i := range len(stack) - 1 {
		w, err := opt.between(stack[i], stack[i+1])
		if err != nil {
			return Weld{}, fmt.Errorf("strength of %s, sheets %d and %d: %w", stack, i+1, i+2, err)
		}
		tension := min(weakest.Tension, w.Tension)
		if w.Shear < weakest.Shear {
			w.Problems = append(weakest.Problems, w.Problems...)
			w.Interface = i
			weakest = w
		} else {
			weakest.Problems = append(weakest.Problems, w.Problems...)
		}
		weakest.Tension = tension
	}
	return weakest, nil
}

// between is one interface.
func (o Options) between(a, b rule.Sheet) (Weld, error) {
	thin, thick := min(a.Thickness, b.Thickness), max(a.Thickness, b.Thickness)
	tension, err := LeastCrossTension(thin)
	if err != nil {
		return Weld{}, err
	}
	factor := o.TensionFactor
	if factor == 0 {
		factor = 1
	}
	if !(factor >= 1) || math.IsInf(factor, 0) {
		return Weld{}, fmt.Errorf("partial factor %g on tension: give 1 or more", factor)
	}
	w := Weld{Tension: tension / factor, TensionSource: AWSSource, TensionCertainty: rule.Memory}
	return w, o.shear(&w, thin, thick, min(a.Tensile, b.Tensile))
}

func (o Options) shear(w *Weld, thin, thick, tensile float64) error {
	w.Diameter = o.Diameter
	if w.Diameter == 0 {
		w.Diameter = Diameter(thin, false)
	}
	switch o.Method {
	case ByEurocode:
		if !(tensile > 0) {
			return fmt.Errorf("%s: the tensile strength is not known; state it or the grade", EurocodeSource)
		}
		r := Eurocode(Spot{Thin: thin, Thick: thick, Tensile: tensile, Diameter: o.Diameter, End: o.End, Edge: o.Edge, Pitch: o.Pitch,
			Row: o.Row})
		w.Shear, w.Mode, w.Problems, w.Unchecked = r.Design, r.Mode, r.Problems, r.Unchecked
		w.ShearSource, w.ShearCertainty = r.Source, r.Certainty
		if r.Design == 0 {
			return fmt.Errorf("%s: a distance or diameter is not a number of zero or above", EurocodeSource)
		}
		return nil
	case ByAISI:
		n, err := AISI(thin)
		w.Shear, w.ShearSource, w.ShearCertainty = n.Design, n.Source, n.Certainty
		return err
	case ByAWS:
		v, err := LeastShear(thin, tensile)
		w.Shear, w.ShearSource, w.ShearCertainty = v, AWSSource, rule.Memory
		return err
	}
	return fmt.Errorf("method %q is not known; choose from \"\" (EN 1993-1-3), aisi, aws", o.Method)
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
