package annotate

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

const tagAir = 0.15 // mm about the text of a tag

// tag is a short text beside a mark, or on a leader when there is no room beside it.
func (a *annotator) tag(text string, at paper.Point, r float64) *label.Label {
	return a.tagOf("", text, at, r)
}

// tagOf is a tag of a weld's number and what is said of it, either of which may be empty. The number is the lower.
func (a *annotator) tagOf(number, text string, at paper.Point, r float64) *label.Label {
	box := paper.TextBox(paper.Point{}, paper.TextHeight, paper.Start, number)
	wide := box.Width()
	if text != "" {
		if number != "" {
			wide += 1
		}
		more := paper.TextBox(paper.Point{X: wide}, paper.AtJig, paper.Start, text)
		box = paper.Box{X0: box.X0, Y0: min(box.Y0, more.Y0), X1: more.X1, Y1: max(box.Y1, more.Y1)}
	}
	l := &label.Label{W: box.Width() + 2*tagAir, H: box.Height() + 2*tagAir, Targets: []label.Mark{{At: at, R: r}},
		Reach: label.Farthest, Must: true, Number: number != "", Says: strings.TrimSpace(number + " " + text)}
	l.Paint = func(at label.Placed) {
		foot := paper.Point{X: at.Box.X0 + tagAir, Y: at.Box.Y1 - tagAir - box.Y1}
		a.words.Text(foot, paper.TextHeight, paper.Start, number)
		a.words.Text(foot.Add(paper.Point{X: wide}), paper.AtJig, paper.Start, text)
	}
	return l
}

// runView is one run as far as a view numbers it.
type runView struct {
	run   layout.Run
	welds []int // indices of its welds that belong to the view, in order of number
}

// runs sorts the view's welds by run.
func (a *annotator) runs() []runView {
	var out []runView
	for _, r := range a.set.Here.Runs {
		v := runView{run: r}
		for i, w := range a.set.Here.Welds {
			if w.Run == r.ID && a.set.Shown(i) == a.f {
				v.welds = append(v.welds, i)
			}
		}
		if len(v.welds) > 0 {
			out = append(out, v)
		}
	}
	return out
}

// toolShort is a run's gun and setting.
func (a *annotator) toolShort(r layout.Run) string {
	return strings.TrimSpace(words.Gun(a.set.Index, r.Gun) + " " + r.Setting)
}

// shortRun is the count up to which welds are numbered one by one, without a call-out.
const shortRun = 2

// drawLabels places and draws all labels of a view. First come the numbers at the ends of runs, which
// have little choice; then tags of fixtures, call-outs of runs and roller seams, and last the numbers
// between, which may be left out.
func (a *annotator) drawLabels() {
	runs := a.runs()
	var ends, callouts, between []*label.Label
	for _, v := range runs {
		e, b := a.numbers(v)
		ends, between = append(ends, e...), append(between, b...)
		if v.run.Count > shortRun {
			callouts = append(callouts, a.runCallout(v))
			a.used[sign.Callout] = true
		} else {
			a.used[sign.ShortRun] = true
		}
	}
	for _, r := range a.set.Here.Seams {
		if l := a.rollerCallout(r); l != nil && !a.f.Gauge {
			callouts = append(callouts, l)
			a.used[sign.RollerCallout] = true
		}
	}
	a.used[sign.Guns] = a.used[sign.Guns] || len(runs) > 0 && a.set.Guns() != ""
	balloons := a.balloons()
	for _, group := range [][]*label.Label{a.tags, ends, callouts, balloons, between} {
		a.placer.PlaceAll(group)
	}
	a.placer.Improve(callouts)
	a.paintLabels(slices.Concat(a.tags, ends, callouts, balloons, between))
}

// numbers are the labels of single welds: the first and last of the view's part of a run, and every tenth
// number, or every fifth where welds are wide apart.
func (a *annotator) numbers(v runView) (ends, between []*label.Label) {
	every := 10
	if v.run.Pitch.Mean/float64(a.f.Scale) > 6 {
		every = 5
	}
	for k, i := range v.welds {
		w := a.set.Here.Welds[i]
		end := k == 0 || k == len(v.welds)-1
		if !end && w.Number%every != 0 {
			continue
		}
		tool := ""
		if v.run.Count <= shortRun {
			tool = a.toolShort(v.run)
		}
		l := a.tagOf(fmt.Sprint(w.Number), tool, a.f.On(w.Position.R3()), sign.Radius(w))
		if l.Must = end; end {
			ends = append(ends, l)
		} else {
			l.Reach = short
			between = append(between, l)
		}
		if end && v.run.Count > shortRun {
			l.Reach = 16 // the call-out says it too
			l.Must, l.Keen = false, true
		}
	}
	return ends, between
}

// short is how long the leader of a number between the ends of a run may be, mm.
const short = 5.0

// Measures of call-outs in mm: the reference line with one row of text on it and one below.
const (
	above    = 5.2
	below    = 6.2
	slot     = 2*sign.SpotRadius + 1.6
	textSide = 0.8
)

// callout sets a reference line after ISO 2553:2019 (from memory): what is left of the symbol, the symbol
// across the line, what is right of it; below the line our own words.
func (a *annotator) callout(left, right, under string, seam bool) *label.Label {
	lw, rw := paper.Width(left, paper.AtJig), paper.Width(right, paper.AtJig)
	l := &label.Label{W: max(lw+slot+rw, paper.Width(under, paper.AtJig)) + 2*textSide, H: above + below, Line: above, Ends: true,
		Reach: label.Farthest, Must: true, Says: under + ": " + strings.TrimPrefix(left+", "+right, ", ")}
	l.Paint = func(at label.Placed) {
		y := at.Box.Y0 + above
		x := at.Box.X0 + textSide
		a.lines.Line(paper.Point{X: at.Box.X0, Y: y}, paper.Point{X: at.Box.X1, Y: y})
		a.words.Text(paper.Point{X: x, Y: y - 1.2}, paper.AtJig, paper.Start, left)
		c := paper.Point{X: x + lw + slot/2, Y: y}
		sign.OnReference(a.lines, c, seam)
		a.words.Text(paper.Point{X: x + lw + slot, Y: y - 1.2}, paper.AtJig, paper.Start, right)
		a.words.Text(paper.Point{X: x, Y: y + 5.3}, paper.AtJig, paper.Start, under)
	}
	return l
}

// runCallout says all about a run: weld diameter, count, pitch; numbers and gun.
func (a *annotator) runCallout(v runView) *label.Label {
	right := fmt.Sprint(v.run.Count)
	if v.run.Pitch.Mean > 0 {
		right += " (" + words.Number(v.run.Pitch.Mean, 0) + ")"
	}
	l := a.callout(words.Diameter(a.set.Index, v.run), right, words.Span(v.run.From, v.run.To)+" "+a.toolShort(v.run), false)
	n := len(v.welds)
	for _, k := range []int{n / 2, n / 4, 3 * n / 4, n / 3, 2 * n / 3, n / 8, 7 * n / 8, 0, n - 1} {
		w := a.set.Here.Welds[v.welds[k]]
		t := label.Mark{At: a.f.On(w.Position.R3()), R: sign.Radius(w)}
		if !slices.Contains(l.Targets, t) {
			l.Targets = append(l.Targets, t)
		}
	}
	return l
}

// rollerCallout says all about a roller seam: its weld's width, its length, its id and what it waits for. It is nil
// when the view shows nothing of the seam.
func (a *annotator) rollerCallout(r layout.Seam) *label.Label {
	var best []paper.Point
	for _, s := range a.set.Seam(a.f, r) {
		if s.Seen && len(s.Points) > len(best) {
			best = s.Points
		}
	}
	if len(best) < 3 {
		return nil
	}
	under := r.ID
	if r.After > 0 {
		under += fmt.Sprintf(" after %d", r.After)
	}
	l := a.callout(words.SeamWidth(a.set.Index, r), words.Number(r.Length, 0), under, true)
	for _, k := range []int{2, 1, 3} {
		l.Targets = append(l.Targets, label.Mark{At: best[len(best)*k/4], R: 0.5})
	}
	return l
}

// paintLabels draws what was placed, and counts what was not.
func (a *annotator) paintLabels(labels []*label.Label) {
	backs := a.layer("label backs", paper.Style{Fill: paper.White})
	leaders := a.layer("leaders", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	a.lines = a.layer("label lines", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.White})
	a.words = a.layer("label words", paper.Style{Fill: paper.Black})
	a.dots = a.layer("balloon ends", paper.Style{Fill: paper.Black})
	for _, l := range labels {
		switch {
		case l.Done:
			a.Labels.Placed++
			backs.Rect(l.Place.Box)
			if l.Place.HasLeader() {
				leaders.Line(l.Place.From, l.Place.To)
				if d := l.Place.To.Sub(l.Place.From); l.Ends && d.Norm() > 2 {
					sign.Arrow(leaders, l.Place.To, d.Mul(1/d.Norm()), 1.6)
				}
			}
			l.Paint(l.Place)
		case l.Must:
			a.Labels.Unplaced++
			a.Lost = append(a.Lost, []string{a.f.Letter, l.Says})
		default:
			a.Labels.Dropped++
		}
	}
}
