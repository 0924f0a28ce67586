package pack

import (
	"slices"

	"seamwright/layout"
	"seamwright/render/paper"
)

// phase is a sort of work at a jig, in the order in which it is done there.
type phase struct {
	letter string
	name   string
	tint   paper.Ink
	of     []layout.StepKind
}

// phases are told apart by their letters; tints are light, so that the letters survive a copier.
var phases = []phase{
	{"T", "prove settings, dress tips", "#ffffff", []layout.StepKind{layout.DoProve, layout.DoDress}},
	{"L", "load", "#ffffff", []layout.StepKind{layout.DoLoad}},
	{"C", "peg and clamp", "#e4e4e4", []layout.StepKind{layout.DoPeg, layout.DoClamp}},
	{"F", "mark out, fit flanges", "#ffffff", []layout.StepKind{layout.DoMark, layout.DoFit}},
	{"G", "gauge", "#d2d2d2", []layout.StepKind{layout.DoGauge}},
	{"S", "spot welds", "#c4c4c4", []layout.StepKind{layout.DoTack, layout.DoFill}},
	{"R", "roller seams", "#a8a8a8", []layout.StepKind{layout.DoRoll}},
	{"I", "inspect", "#ffffff", []layout.StepKind{layout.DoInspect}},
	{"O", "open clamps, lift out", "#e4e4e4", []layout.StepKind{layout.DoRelease, layout.DoLiftOut}},
	{"X", "other work", "#ffffff", nil},
}

// phaseOfStep is the index of the phase that a kind of step belongs to; what no phase names is other work.
func phaseOfStep(do layout.StepKind) int {
	for i, p := range phases {
		if slices.Contains(p.of, do) {
			return i
		}
	}
	return len(phases) - 1
}
