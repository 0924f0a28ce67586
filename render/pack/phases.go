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
	of     []string // elements of the shell file, and words of lines that have none
}

// phases are told apart by their letters; tints are light, so that the letters survive a copier.
var phases = []phase{
	{"L", "load and carry", "#ffffff", []string{"load_panel_s", "load_per_kg_s"}},
	{"C", "peg and clamp", "#e4e4e4", []string{"dowel_s", "clamp_s"}},
	{"F", "fit flanges, mark out", "#ffffff", []string{"fit_s_per_m", "mark_s_per_m"}},
	{"G", "gauge", "#d2d2d2", []string{"gauge_s"}},
	{"T", "tools, tips, coupons", "#ffffff", []string{"take_gun_s", "tip_change_s", "coupon_s", "dressing_s", "cap_change_s",
		"wheel_change_s"}},
	{"S", "spot welds", "#c4c4c4", []string{"position_s", "move_mm_per_s", "open_s", "start_run_s", "rework_pct", "squeeze", "weld", "hold"}},
	{"R", "roller seams", "#a8a8a8", []string{"roller_start_s", "roll"}},
	{"I", "inspect", "#ffffff", []string{"inspect_s"}},
	{"O", "release and lift out", "#e4e4e4", []string{"release_s", "lift_out_s"}},
	{"X", "other work", "#ffffff", nil},
}

// adjusts are elements that are laid on other work: they are shared over it.
func adjusts(l layout.Line) bool {
	return l.Element == "learning" || l.Element == "" && l.What == "allowances"
}

// phaseOf is the index of the phase that a line belongs to; what no phase names is other work.
func phaseOf(l layout.Line) int {
	key := l.Element
	if key == "" {
		key = l.What
	}
	for i, p := range phases {
		if slices.Contains(p.of, key) {
			return i
		}
	}
	return len(phases) - 1
}

// phaseMinutes shares a station's man-minutes over the phases: those of their own lines, with practice and
// allowances laid on all in proportion, so that they add up to what the plan counts.
func phaseMinutes(plan *layout.Plan, station string) []float64 {
	out := make([]float64, len(phases))
	own := 0.0
	for _, l := range plan.Labour.Lines {
		if l.Station == station && !adjusts(l) {
			out[phaseOf(l)] += l.Total / 60
			own += l.Total / 60
		}
	}
	total := 0.0
	for _, s := range plan.Labour.Stations {
		if s.Station == station {
			total += s.ManMinutes
		}
	}
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
