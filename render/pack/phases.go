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
	of     []layout.LabourKind
}

// phases are told apart by their letters; tints are light, so that the letters survive a copier.
var phases = []phase{
	{"L", "load and carry", "#ffffff", []layout.LabourKind{layout.WorkLoad, layout.WorkCarry}},
	{"C", "peg and clamp", "#e4e4e4", []layout.LabourKind{layout.WorkPeg, layout.WorkClamp}},
	{"F", "fit flanges, mark out", "#ffffff", []layout.LabourKind{layout.WorkFit, layout.WorkMark}},
	{"G", "gauge", "#d2d2d2", []layout.LabourKind{layout.WorkGauge}},
	{"T", "tools, tips, coupons", "#ffffff", []layout.LabourKind{layout.WorkTakeTool, layout.WorkChangeTip,
		layout.WorkChangeSetting, layout.WorkCoupon,
		layout.WorkDressTip, layout.WorkChangeCaps, layout.WorkDressWheel, layout.WorkChangeWheel}},
	{"S", "spot welds", "#c4c4c4", []layout.LabourKind{layout.WorkPosition, layout.WorkMove, layout.WorkOpen, layout.WorkStartRun,
		layout.WorkPosture,
		layout.WorkAgain, layout.WorkSqueeze, layout.WorkWeld, layout.WorkHold}},
	{"R", "roller seams", "#a8a8a8", []layout.LabourKind{layout.WorkStartSeam, layout.WorkRoll}},
	{"I", "inspect", "#ffffff", []layout.LabourKind{layout.WorkInspect}},
	{"O", "release and lift out", "#e4e4e4", []layout.LabourKind{layout.WorkRelease, layout.WorkLiftOut}},
	{"X", "other work", "#ffffff", nil},
}

// adjusts are lines that are laid on other work: they are shared over it.
func adjusts(l layout.Line) bool {
	return l.Kind == layout.WorkPractice || l.Kind == layout.WorkAllowances
}

// phaseOf is the index of the phase that a line belongs to; what no phase names is other work.
func phaseOf(l layout.Line) int {
	for i, p := range phases {
		if slices.Contains(p.of, l.Kind) {
			return i
		}
	}
	return len(phases) - 1
}

// phaseMinutes shares a station's man-minutes over the phases: those of their own lines, with practice and
// allowances laid on all in proportion, so that they add up to what the plan counts.
func phaseMinutes(here *layout.AtStation) []float64 {
	out := make([]float64, len(phases))
	own := 0.0
	for _, l := range here.Lines {
		if !adjusts(l) {
			out[phaseOf(l)] += l.Total / 60
			own += l.Total / 60
		}
	}
	total := here.Labour.ManMinutes
	for i := range out {
		if own > 0 {
			out[i] *= total / own
		}
	}
	if own == 0 {
		out[len(out)-1] = total
	}
	return out
}
