package sheet

import (
	"fmt"
	"math"
	"strings"

	"seamwright/layout"
)

// tilted reports whether a weld's gun stands off square by what a welder would notice: half a degree.
func tilted(w layout.Weld) bool { return math.Abs(w.Tilt) >= 0.5 }

// tiltBlock lists the welds whose gun has to be tilted, by run and angle.
func (j *job) tiltBlock() *block {
	b := &block{title: "Gun tilted off square", note: "Panels are in the way of a square gun. Prove the setting with the gun tilted " +
		"likewise.", head: []string{"Welds", "Joint", "Gun", "Tilt"}, share: []float64{1, 1, 0, 0}}
	for _, r := range j.runs {
		var angles []string
		numbers := map[string][]int{}
		for _, w := range j.welds {
			if w.Run == r.ID && tilted(w) {
				a := number(math.Abs(w.Tilt), 0) + "°"
				if numbers[a] == nil {
					angles = append(angles, a)
				}
				numbers[a] = append(numbers[a], w.Number)
			}
		}
		for _, a := range angles {
			b.rows = append(b.rows, []string{list(numbers[a]), r.Joint, j.letter(r.Gun), a})
		}
	}
	return b
}

// tipsBlock tells after which welds tips are due to be dressed, counted from a fresh face at the first weld of
// the shell here, and how long a pair of caps lasts.
func (j *job) tipsBlock() *block {
	b := &block{title: "Tips: dressing and caps due", note: "Counted from a fresh face at the first weld of this shell here; carry the " +
		"count over to the next shell.",
		head: []string{"Gun", "Tip", "Face mm", "Welds a shell", "Every", "Dress after weld", "New caps"}, share: []float64{0, 0, 0, 0, 0, 1, 0}}
	for _, u := range j.here.Tools {
		due, every := "not in this shell", "–"
		if u.Tip.Dress > 0 {
			every = fmt.Sprint(u.Tip.Dress)
			var at []string
			for _, n := range u.Dress {
				at = append(at, fmt.Sprint(n))
			}
			if len(at) > 0 {
				due = strings.Join(at, ", ")
			}
		}
		b.rows = append(b.rows, []string{j.letter(u.Gun), u.Tip.Name, number(u.Tip.Face, 1), fmt.Sprint(len(u.Welds)), every, due, caps(u)})
	}
	return b
}

// caps says after how many shells a tip's caps are due.
func caps(u layout.ToolUse) string {
	switch {
	case u.Caps <= 0:
		return "–"
	case u.Caps > 1:
		return number(u.Caps, 1) + " pairs a shell"
	}
	return fmt.Sprintf("every %d shells", int(1/u.Caps+1e-6))
}

// inspectionBlock says what is looked at, and what is chiselled or peeled: as much as the plan's labour counts.
func (j *job) inspectionBlock() *block {
	b := &block{title: "Inspection", head: []string{"How", "What", "How many", "Result, name"}, share: []float64{0, 1.6, 0, 0.7}, boxes: true,
		high: 7}
	if len(j.welds) > 0 {
		b.rows = append(b.rows, []string{"count", fmt.Sprintf("all welds, 1–%d", len(j.welds)), fmt.Sprint(len(j.welds)), ""})
		if looked := j.here.Look; len(looked) > 0 {
			b.rows = append(b.rows, []string{"visual", list(looked) + ": whole, in place, no crack, no hole, no metal pushed out at the edge",
				fmt.Sprint(len(looked)), ""})
		} else {
			b.rows = append(b.rows, []string{"visual", "the plan counts no time for it: as the works orders", "–", ""})
		}
	}
	for _, r := range j.seams {
		b.rows = append(b.rows, []string{"visual", "roller seam " + r.ID + ", whole length: no gap, no crack, no burn",
			number(r.Length, 0) + " mm", ""})
	}
	if len(b.rows) == 0 {
		return b
	}
	coupons := j.here.Coupons
	var settings []string
	for _, s := range j.here.Settings {
		if good := j.here.Accepted(s.ID); good > 0 {
			settings = append(settings, fmt.Sprintf("%s (good from %s mm)", s.ID, number(good, 1)))
			continue
		}
		settings = append(settings, s.ID)
	}
	what := "coupons of " + strings.Join(settings, ", ") + ", with the same gun and tip (ISO 10447): all before the batch's first weld, " +
		"then in " +
		"turn from shell to shell, before its first weld; one more after new caps"
	count := number(coupons, 1) + " a shell"
	if coupons == 0 {
		what, count = "the plan counts no coupon: as the works orders", "–"
	}
	b.rows = append(b.rows, []string{"peel", what, count, ""},
		[]string{"chisel", "on the shell: any weld that looks doubtful, and its neighbours; drive in beside it, then bend back", "as found", ""})
	return b
}
