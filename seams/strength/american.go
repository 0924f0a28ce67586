package strength

import (
	"fmt"
	"math"

	"seamwright/seams/rule"
	"seamwright/seams/schedule"
)

// Nominal is what AISI S100 gives for one weld in shear, N. P_n was read in a transcription; phi and Omega are recalled,
// and so is every figure made with them.
type Nominal struct {
	Strength  float64 // P_n
	Design    float64 // phi P_n, phi = 0.65
	Allowed   float64 // P_n / Omega, Omega = 2.35
	Source    string
	Certainty rule.Certainty // of Design and Allowed
}

// Factors of AISI S100 for resistance welds (memory).
const (
	AISIPhi   = 0.65
	AISIOmega = 2.35
)

// Bounds of the AISI formula, mm: 0.01, 0.14 and 0.18 in (memory; a transcription rounds them to 0.25, 3.6 and 4.6).
const (
	aisiLeast  = 0.01 * schedule.Inch
	aisiBranch = 0.14 * schedule.Inch
	aisiMost   = 0.18 * schedule.Inch
)

// AISI gives the shear strength of one resistance weld by AISI S100 for the thinnest outside sheet, mm:
// P_n = 5.51 t^1.47 kN below 0.14 in, 7.6 t + 8.57 kN from there to 0.18 in (read in a transcription of a code that
// adopts it). It does not depend on the steel's strength. Outside 0.01 to 0.18 in there is no formula: an error.
func AISI(thickness float64) (Nominal, error) {
	// A table's 0.01 in may come as 0.25 mm: metric limits are printed rounded, so a fiftieth is let pass.
	if !(thickness >= aisiLeast*0.98) || thickness > aisiMost*(1+1e-9) {
		return Nominal{}, fmt.Errorf("%s: sheet of %g mm is outside %.3g to %.3g mm; show the strength by test", AISISource, thickness,
			aisiLeast, aisiMost)
	}
	kN := 5.51 * math.Pow(thickness, 1.47)
	if thickness >= aisiBranch*(1-1e-12) {
		kN = float64(7.6*thickness) + 8.57
	}
	p := 1000 * kN
	return Nominal{Strength: p, Design: AISIPhi * p, Allowed: p / AISIOmega, Source: AISISource, Certainty: rule.Memory}, nil
}

// Bounds of the formulas of AWS D8.1M: sheet of 0.6 to 3.0 mm, mm, and steel below 1300 MPa (memory). From 1300 MPa on
// recollection has another branch, which does not join up with this one.
const (
	awsLeast   = 0.6
	awsMost    = 3.0
	awsTensile = 1300.0
)

// LeastShear is the least shear-tension strength of one weld by AWS D8.1M, N: thickness is the governing one in mm,
// tensile strength in MPa. Memory. Steel of 1300 MPa and above is refused. Sheet outside 0.6 to 3.0 mm has a figure all
// the same; Single says that it is outside.
func LeastShear(thickness, tensile float64) (float64, error) {
	if !(thickness > 0) || !(tensile > 0) || math.IsInf(thickness, 0) || tensile >= awsTensile {
		return 0, fmt.Errorf("%s: %g mm of %g MPa: thickness above zero and strength above zero and below 1300 MPa are needed; show the "+
			"strength by test", AWSSource, thickness, tensile)
	}
	k := float64(-6.36e-7*tensile*tensile) + float64(6.58e-4*tensile) + 1.674
	return k * tensile * 4 * math.Pow(thickness, 1.5), nil
}

// LeastCrossTension is the least cross-tension strength of one weld by AWS D8.1M, N, for the governing thickness in
// mm: 1.25 t^2.2 kN. Memory. Alone it passes the least shear-tension strength of the same source from 2.0 mm on, which no
// weld does: Single caps it.
func LeastCrossTension(thickness float64) (float64, error) {
	if !(thickness > 0) || math.IsInf(thickness, 0) {
		return 0, fmt.Errorf("%s: thickness of %g mm: a number above zero is needed", AWSSource, thickness)
	}
	return 1250 * math.Pow(thickness, 2.2), nil
}

// inAWS says where a thickness lies outside the range of AWS D8.1M's formulas.
func inAWS(thickness float64) []rule.Problem {
	b := bound{"strength.aws.thin", "t", thickness, awsLeast, awsMost, "mm", "show the strength by test"}
	limit, outside := b.broken()
	if !outside {
		return nil
	}
	return []rule.Problem{{Rule: b.id, Severity: rule.Doubt, Value: thickness, Limit: limit, Unit: b.unit, Source: AWSSource +
		", range 0.6 to 3.0 mm", Remedy: b.remedy, Certainty: rule.Memory}}
}
