package strength

import (
	"fmt"
	"math"
)

// Model is a formula for the sheet between two welds buckling under compression along the row.
type Model string

// The models. The column form asks for the nearest pitch of the first two.
const (
	Column Model = ""      // sigma = c pi² E t² / (12 s²), c = 3.5; Flabel, Practical Stress Analysis for Design Engineers (read), marked there as not verified by testing
	Plate  Model = "plate" // the same over (1 - nu²), nu = 0.3; Bruhn C7 (memory)
	Spaced Model = "aisi"  // s = 1.16 t root(E / f): AISI S100, spacing of connections in compression elements (memory)
)

// BucklingSource names the model's source.
func BucklingSource(m Model) string {
	switch m {
	case Plate:
		return "Bruhn, Analysis and Design of Flight Vehicle Structures, C7, c = 3.5 for spot welds (memory)"
	case Spaced:
		return "AISI S100, spacing of connections in compression elements, 1.16 t root(E/f) (memory)"
	}
	return "Flabel, Practical Stress Analysis for Design Engineers, inter-fastener buckling, c = 3.5 for spot welds (read; not verified by testing)"
}

const (
	spotFixity = 3.5 // c of spot welds, both sources
	poisson    = 0.3 // steel
)

// coefficient k in sigma = k E (t/s)².
func (m Model) coefficient() (float64, error) {
	column := spotFixity * math.Pi * math.Pi / 12
	switch m {
	case Column:
		return column, nil
	case Plate:
		return column / (1 - poisson*poisson), nil
	case Spaced:
		return 1.16 * 1.16, nil
	}
	return 0, fmt.Errorf("buckling model %q is not known; choose from \"\", plate, aisi", m)
}

// BucklingStress is the elastic stress, MPa, at which the sheet between welds buckles: thickness and pitch in mm, modulus
// in MPa. Where it is above the yield strength, yield governs: compare the two. Flat sheet, uniform compression.
func BucklingStress(thickness, pitch, modulus float64, m Model) (float64, error) {
	if err := positive(thickness, pitch, modulus); err != nil {
		return 0, err
	}
	k, err := m.coefficient()
	ratio := thickness / pitch
	return k * modulus * ratio * ratio, err
}

// BucklingPitch is the greatest pitch, mm, at which the sheet between welds still carries the wanted compressive stress,
// MPa, without buckling.
func BucklingPitch(thickness, stress, modulus float64, m Model) (float64, error) {
	if err := positive(thickness, stress, modulus); err != nil {
		return 0, err
	}
	k, err := m.coefficient()
	return thickness * math.Sqrt(k*modulus/stress), err
}

func positive(values ...float64) error {
	for _, v := range values {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("buckling between welds: %g: thickness, pitch or stress, and modulus must be above zero", v)
		}
	}
	return nil
}
