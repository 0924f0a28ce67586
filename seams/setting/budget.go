package setting

import (
	"fmt"
	"math"
)

// PanelResistance is the resistance across two low-carbon sheets between the tips, ohm: 100 µΩ, a "panel" value
// read in one source; recalled figures for 0.8 to 1.0 mm pairs run from 70 µΩ late in the weld to 150 µΩ at its peak.
const PanelResistance = 100e-6

// Energy is the heat that one weld takes between the tips, J: I² R t. Resistance in ohm; 0 means PanelResistance.
// It leaves out the loss in cables and transformer, which is the greater part of what is drawn.
func (s Setting) Energy(resistance float64) float64 {
	if resistance == 0 {
		resistance = PanelResistance
	}
	return float64(s.Current*s.Current) * resistance * s.Weld
}

// Duty is the part of the time that current flows at a rate of welds a minute.
func (s Setting) Duty(weldsPerMinute float64) float64 { return s.Weld * weldsPerMinute / 60 }

// WeldsPerMinute is the greatest steady rate at which a gun of the given rating (kVA at 50 % duty, ISO 669) is not
// overheated when it draws the given power (kVA) during a weld: power² x duty may not pass rating² x 0.5.
func (s Setting) WeldsPerMinute(rating, drawn float64) (float64, error) {
	if !(rating > 0) || !(drawn > 0) || math.IsInf(rating, 0) || math.IsInf(drawn, 0) {
		return 0, fmt.Errorf("gun rating %g kVA, drawn %g kVA: give both above zero", rating, drawn)
	}
	duty := min(1, 0.5*(rating/drawn)*(rating/drawn))
	cycle := s.Squeeze + s.Weld + s.Hold
	return min(60*duty/s.Weld, 60/cycle), nil
}
