package instructions

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/flow"
	"seamwright/render/sign"
)

// tilt lists the welds whose gun has to be tilted, by run and angle.
func (in *Tables) tilt() *flow.Table {
	t := in.table("Gun tilted off square", []string{"Welds", "Joint", "Gun", "Tilt"}, []float64{1, 1, 0, 0})
	t.Note = "Panels are in the way of a square gun. Prove the setting with the gun tilted likewise."
	for _, r := range in.here.Runs {
		angles, numbers := in.numbersBy(func(_ int, w layout.Weld) string {
			if w.Run != r.ID || !sign.Tilted(w) {
				return ""
			}
			return words.Number(math.Abs(w.Tilt), 0) + "°"
		})
		for _, a := range angles {
			t.Rows = append(t.Rows, []string{words.List(numbers[a]), r.Joint, words.Gun(in.index, r.Gun), a})
		}
	}
	return t
}

// tips tells after how many welds tips are dressed and caps changed, and after which of the first shell tips are due, as the
// station's card counts it.
func (in *Tables) tips() *flow.Table {
	t := in.table("Tips: dressing and caps due", []string{"Gun", "Tip", "Face\nmm", "Welds\na shell", "Dress\nafter",
		"On shell 1\nafter weld", "New caps\nafter"}, []float64{0, 1, 0, 0, 0, 1, 0})
	t.Note = "Counted from fresh caps at shell 1; the station's card counts on."
	for _, u := range in.here.Tools {
		every, due, caps := "–", "–", "–"
		if u.Tip.Dress > 0 {
			every, due, caps = fmt.Sprint(u.Tip.Dress), cmp.Or(words.First(mostListed, in.dressed(u)), "none"), fmt.Sprint(u.Tip.CapLife())
		}
		t.Rows = append(t.Rows, []string{words.Gun(in.index, u.Gun), u.Tip.Name, words.Number(u.Tip.Face, 1),
			fmt.Sprint(len(u.Welds)), every, due, caps})
	}
	return t
}

// mostListed is how many numbers a row lists; how many more there are is said, and the inspection sheet and the card go by all.
const mostListed = 100

// dressed are the welds of shell 1 after which a tool's tip is dressed.
func (in *Tables) dressed(u layout.ToolUse) []int {
	var out []int
	for _, c := range in.here.CareDue(1) {
		if c.Gun == u.Gun && c.Tip == u.Tip.ID {
			out = append(out, c.After)
		}
	}
	return out
}

// inspection says what is looked at, and what is chiselled or peeled: as much as the plan's labour counts.
func (in *Tables) inspection() *flow.Table {
	t := in.table("Inspection", []string{"How", "What", "How many", "Result, name"}, []float64{0, 1.6, 0, 0.6})
	t.Boxes, t.High = true, 8
	if made := len(in.here.Made()); made > 0 {
		t.Rows = append(t.Rows, []string{"count", fmt.Sprintf("all welds, 1–%d", made), fmt.Sprint(made), ""})
		if looked := in.here.Look; len(looked) > 0 {
			t.Rows = append(t.Rows, []string{"visual", words.First(mostListed, looked) +
				": whole, in place, no crack, no hole, no metal pushed out at the edge",
				fmt.Sprint(len(looked)), ""})
		} else {
			t.Rows = append(t.Rows, []string{"visual", "the plan counts no time for it: as the works orders", "–", ""})
		}
	}
	for _, r := range in.here.Seams {
		t.Rows = append(t.Rows, []string{"visual", "roller seam " + r.ID + ", whole length: no gap, no crack, no burn",
			words.Number(r.Length, 0) + " mm", ""})
	}
	if len(t.Rows) == 0 {
		return t
	}
	coupons := in.here.Coupons
	settings := make([]string, len(in.here.Settings))
	for i, s := range in.here.Settings {
		settings[i] = s.ID
	}
	what := "coupons of " + strings.Join(settings, ", ") + ", same gun and tip (ISO 10447): all before the batch's first weld, then by " +
		"turns before a shell's first weld; one more after new caps"
	if good := words.GoodFrom(in.here); good != "" {
		what += "; good from " + good
	}
	count := words.Number(coupons, 2) + " a shell"
	if coupons == 0 {
		what, count = "the plan counts no coupon: as the works orders", "–"
	}
	t.Rows = append(t.Rows, []string{"peel", what, count, ""},
		[]string{"chisel", "on the shell: any weld that looks doubtful, and its neighbours; drive in beside it, then bend back", "as found", ""})
	return t
}
