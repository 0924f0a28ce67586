package check

import "seamwright/seams/shell"

// supply is what a gun or roller head can give, by the shell file.
type supply struct {
	name    string
	ends    string  // what presses on the sheets, in words
	rating  float64 // kVA at 50 % duty
	current float64 // A in a short circuit, greatest; 0: not stated
	voltage float64 // V at the open tips; 0: not stated
}

func supplyOf(g *shell.Gun) supply {
	return supply{"gun " + g.ID, "tips", g.Power, g.Current, g.Voltage}
}

func supplyOfRoller(w *shell.Roller) supply {
	return supply{"roller " + w.ID, "wheels", w.Power, w.Current, w.Voltage}
}

// loadShare is the part of the short-circuit current that flows through sheets at the greatest welding power, 80 % of the
// short-circuit power: ISO 669, memory.
const loadShare = 0.8

// deliverable is the greatest current through sheets, A; 0: not known.
func (s supply) deliverable() float64 { return loadShare * s.current }

// Deliverable is the greatest current that a gun drives through sheets, A; 0 where its short-circuit current is not stated.
func Deliverable(g *shell.Gun) float64 { return supplyOf(g).deliverable() }

// apparent is the power drawn while a current flows, kVA; 0: not known. The transformer turns down what it does not need by
// phase control, which lessens kW and not kVA.
func (s supply) apparent(current float64) float64 { return s.voltage * current / 1000 }
