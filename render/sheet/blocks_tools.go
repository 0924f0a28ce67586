package sheet

import (
	"fmt"
	"math"
	"slices"
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

// tool is a gun with a tip.
type tool struct{ gun, tip string }

// tipsBlock tells after which welds tips are due to be dressed, counted from a fresh face at the first weld of
// the shell here, and how long a pair of caps lasts.
func (j *job) tipsBlock() *block {
	b := &block{title: "Tips: dressing and caps due", note: "Counted from a fresh face at the first weld of this shell here; carry the " +
		"count over to the next shell.",
		head: []string{"Gun", "Tip", "Face mm", "Welds a shell", "Every", "Dress after weld", "New caps"}, share: []float64{0, 0, 0, 0, 0, 1, 0}}
	var order []tool
	welds := map[tool][]int{}
	for _, w := range j.welds {
		k := tool{w.Gun, w.Tip}
		if welds[k] == nil {
			order = append(order, k)
		}
		welds[k] = append(welds[k], w.Number)
	}
	for _, k := range order {
		t := layout.Tip{ID: k.tip, Name: k.tip}
		if i := slices.IndexFunc(j.plan.Tips, func(t layout.Tip) bool { return t.ID == k.tip }); i >= 0 {
			t = j.plan.Tips[i]
		}
		due, every := "not in this shell", "–"
		if t.Dress > 0 {
			every = fmt.Sprint(t.Dress)
			var at []string
			for i := t.Dress - 1; i < len(welds[k]); i += t.Dress {
				at = append(at, fmt.Sprint(welds[k][i]))
			}
			if len(at) > 0 {
				due = strings.Join(at, ", ")
			}
		}
		b.rows = append(b.rows, []string{j.letter(k.gun), t.Name, number(t.Face, 1), fmt.Sprint(len(welds[k])), every, due, j.caps(t.ID)})
	}
	return b
}

// caps says after how many shells a tip's caps are due, from the station's lines of labour.
func (j *job) caps(tip string) string {
	pairs := 0.0
	for _, l := range j.plan.Labour.Lines {
		if l.Station == j.station.ID && l.Kind == layout.WorkChangeCaps && l.Tip == tip {
			pairs += l.Quantity
		}
	}
	switch {
	case pairs <= 0:
		return "–"
	case pairs > 1:
		return number(pairs, 1) + " pairs a shell"
	}
	return fmt.Sprintf("every %d shells", int(1/pairs+1e-6))
}

// inspectionBlock says what is looked at, and what is chiselled or peeled: as much as the plan's labour counts.
func (j *job) inspectionBlock() *block {
	b := &block{title: "Inspection", head: []string{"How", "What", "How many", "Result, name"}, share: []float64{0, 1.6, 0, 0.7}, boxes: true,
		high: 7}
	if len(j.welds) > 0 {
		b.rows = append(b.rows, []string{"count", fmt.Sprintf("all welds, 1–%d", len(j.welds)), fmt.Sprint(len(j.welds)), ""})
		if looked := j.lookedAt(); len(looked) > 0 {
			b.rows = append(b.rows, []string{"visual", list(looked) + ": whole, in place, no crack, no hole, no metal pushed out at the edge",
				fmt.Sprint(len(looked)), ""})
		} else {
			b.rows = append(b.rows, []string{"visual", "the plan counts no time for it: as the works orders", "–", ""})
		}
	}
	for _, r := range j.rollers {
		b.rows = append(b.rows, []string{"visual", "roller seam " + r.ID + ", whole length: no gap, no crack, no burn",
			number(r.Length, 0) + " mm", ""})
	}
	if len(b.rows) == 0 {
		return b
	}
	coupons, settings := j.coupons(), j.settingsUsed()
	what := "coupons of " + strings.Join(settings, ", ") + ", with the same gun and tip, before the first weld (ISO 10447)"
	if coupons < float64(len(settings)) {
		what += "; they take turns from shell to shell"
	}
	count := number(coupons, 1) + " a shell"
	if coupons == 0 {
		what, count = "the plan counts no coupon: as the works orders", "–"
	}
	b.rows = append(b.rows, []string{"peel", what, count, ""},
		[]string{"chisel", "on the shell: any weld that looks doubtful, and its neighbours; drive in beside it, then bend back", "as found", ""})
	return b
}

// lookedAt lists the welds to look at: the last of every so many, which are numbered on the views where that is ten,
// and the very last.
func (j *job) lookedAt() []int {
	share := 0.0
	for _, l := range j.plan.Labour.Lines {
		if l.Station == j.station.ID && l.Kind == layout.WorkInspect {
			share += l.Quantity
		}
	}
	if share <= 0 {
		return nil
	}
	every := max(1, int(math.Round(float64(len(j.welds))/share)))
	var out []int
	for i := every - 1; i < len(j.welds); i += every {
		out = append(out, j.welds[i].Number)
	}
	if len(j.welds)%every != 0 {
		out = append(out, j.welds[len(j.welds)-1].Number)
	}
	return out
}

// coupons is how many test coupons the plan counts for a shell here.
func (j *job) coupons() float64 {
	count := 0.0
	for _, l := range j.plan.Labour.Lines {
		if l.Station == j.station.ID && l.Kind == layout.WorkCoupon {
			count += l.Quantity
		}
	}
	return count
}

// settingsUsed lists the settings of the station's welds and roller seams, in the plan's order.
func (j *job) settingsUsed() []string {
	var out []string
	for _, s := range j.plan.Settings {
		used := slices.ContainsFunc(j.welds, func(w layout.Weld) bool { return w.Setting == s.ID }) ||
			slices.ContainsFunc(j.rollers, func(r layout.Seam) bool { return r.Setting == s.ID })
		if used {
			out = append(out, s.ID)
		}
	}
	return out
}
