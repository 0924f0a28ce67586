package supply

import (
	"seamwright/seams/setting"
	"seamwright/seams/shell"
)

// Supply is what a gun or roller head can give, by the shell file.
type Supply struct {
	Name    string
	Ends    string  // what presses on the sheets, in words
	Rating  float64 // kVA at 50 % duty
	Current float64 // A in a short circuit, greatest; 0: not stated
	Voltage float64 // V at the open tips; 0: not stated
}

// Of is the supply of a gun.
func Of(g *shell.Gun) Supply {
	return Supply{"gun " + g.ID, "tips", g.Power, g.Current, g.Voltage}
}

// OfRoller is the supply of a roller head.
func OfRoller(w *shell.Roller) Supply {
	return Supply{"roller " + w.ID, "wheels", w.Power, w.Current, w.Voltage}
}

// loadShare is the part of the short-circuit current that flows through sheets at the greatest welding power, 80 % of the
// short-circuit power: ISO 669, memory.
const loadShare = 0.8

// Deliverable is the greatest current through sheets, A; 0 where the current in a short circuit is not stated.
func (s Supply) Deliverable() float64 { return loadShare * s.Current }

// Apparent is the power drawn while a current flows, kVA; 0: not known. The transformer turns down what it does not need by
// phase control, which lessens kW and not kVA.
func (s Supply) Apparent(current float64) float64 { return s.Voltage * current / 1000 }

// Power in kW is what is drawn of an apparent power in kVA: an estimate of the shell file.
func Power(sh *shell.Shell, apparent float64) float64 {
	part := sh.Rates.Utilisation / 100
	if !(part > 0) {
		part = 1
	}
	return apparent * part
}

// Rate is welds a minute within a run: squeeze, weld and hold time, opening, and aiming at the next.
func Rate(sh *shell.Shell, set setting.Setting) float64 {
	e := sh.Elements
	return 60 / (set.Squeeze + set.Weld + set.Hold + e.Open + e.Position)
}
