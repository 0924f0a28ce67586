package stations

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
)

// lines are those of the station's labour that are of one kind, at one joint or all.
func (w *writer) lines(kind layout.LabourKind) []layout.Line {
	var out []layout.Line
	for _, l := range w.plan.Labour.Lines {
		if l.Station == w.station.ID && l.Kind == kind {
			out = append(out, l)
		}
	}
	return out
}

// hundredth is half the last figure that a number of coupons is written with: what is nearer to one is one.
const hundredth = 0.005

// prove writes the test coupons of a shell, if the labour counts any.
func (w *writer) prove() {
	coupons := 0.0
	for _, l := range w.lines(layout.WorkCoupon) {
		coupons += l.Quantity
	}
	tools := w.tools()
	if !(coupons > 0) || len(tools) == 0 {
		return
	}
	each := cmp.Or(w.plan.Labour.CouponsEach, coupons/float64(len(tools)))
	text := fmt.Sprintf("Weld a test coupon with %s and break it open", words.And(tools))
	if len(tools) > 1 {
		text = fmt.Sprintf("Weld a test coupon with each of %s and break them open", words.And(tools))
	}
	switch {
	case each >= 1+hundredth:
		text += fmt.Sprintf(", %s with each on one shell", words.Number(each, 2))
	case each <= 1-hundredth:
		text = "When due, " + strings.ToLower(text[:1]) + text[1:] + fmt.Sprintf(": %s with each on one shell", words.Number(each, 2))
	}
	w.add(layout.DoProve, text+"; settings take turns, on the first shell of the batch all of them; once more after new caps. Go on only "+
		"when the "+
		"weld is as large as wanted.")
}

// tools are the guns and rollers in use, as they are to be read.
func (w *writer) tools() []string {
	var guns, rollers []string
	for _, r := range w.runs {
		if name := "gun " + w.letter(r.Gun); r.Gun != "" && !slices.Contains(guns, name) {
			guns = append(guns, name)
		}
	}
	for _, s := range w.plan.Seams {
		if name := "roller " + w.roller(s.Roller); s.Station == w.station.ID && s.Roller != "" && !slices.Contains(rollers, name) {
			rollers = append(rollers, name)
		}
	}
	return append(guns, rollers...)
}

// letter is a gun's letter, or its id.
func (w *writer) letter(gun string) string {
	for _, g := range w.plan.Guns {
		if g.ID == gun && g.Letter != "" {
			return g.Letter
		}
	}
	return gun
}

// ready writes the marking out and fitting of the joints that have all their panels now.
func (w *writer) ready() {
	w.along(layout.DoMark, layout.WorkMark, "Mark out the weld lines of joint")
	w.along(layout.DoFit, layout.WorkFit, "Pull the flanges together with hand clamps, look for gaps, and take the clamps off as the welds "+
		"come: joint")
}

func (w *writer) along(do layout.StepKind, kind layout.LabourKind, verb string) {
	var joints []string
	metres := 0.0
	for _, l := range w.lines(kind) {
		if w.done[doneAt{do, l.Joint}] || w.wantsPart(w.joints[l.Joint]) {
			continue
		}
		w.done[doneAt{do, l.Joint}] = true
		joints, metres = append(joints, l.Joint), metres+l.Quantity
	}
	if len(joints) == 0 {
		return
	}
	w.add(do, fmt.Sprintf("%s%s, %s m.", verb, several(joints), words.Number(metres, 2)))
	w.steps[len(w.steps)-1].Joints = joints
}

// dress writes what tips need on the way through a shell, on the average.
func (w *writer) dress() {
	var parts []string
	var tips []string
	dressings, caps := map[string]float64{}, map[string]float64{}
	for _, l := range w.lines(layout.WorkDressTip) {
		if dressings[l.Tip] += l.Quantity; !slices.Contains(tips, l.Tip) {
			tips = append(tips, l.Tip)
		}
	}
	for _, l := range w.lines(layout.WorkChangeCaps) {
		caps[l.Tip] += l.Quantity
	}
	for _, id := range tips {
		every := 0
		for _, t := range w.plan.Tips {
			if t.ID == id {
				every = t.Dress
			}
		}
		parts = append(parts, fmt.Sprintf("tip %s after every %d welds (%s dressings and %s pairs of caps a shell)", id, every,
			words.Number(dressings[id], 2), words.Number(caps[id], 3)))
	}
	if len(parts) > 0 {
		w.add(layout.DoDress, "Whenever due on the way, dress "+words.And(parts)+"; new caps once worn.")
	}
}
