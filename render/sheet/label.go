package sheet

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/label"
	"seamwright/render/paper"
)

const tagAir = 0.15 // mm about the text of a tag

// tag is a short text beside a mark, or on a leader when there is no room beside it.
func (p *page) tag(f *figure, text string, at paper.Point, r float64) *label.Label {
	return p.tagOf(f, "", text, at, r)
}

// tagOf is a tag of a weld's number and what is said of it, either of which may be empty. The number is the lower.
func (p *page) tagOf(f *figure, number, text string, at paper.Point, r float64) *label.Label {
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
		p.labelWords(f).Text(foot, paper.TextHeight, paper.Start, number)
		p.labelWords(f).Text(foot.Add(paper.Point{X: wide}), paper.AtJig, paper.Start, text)
	}
	return l
}

// runView is one run as far as a view numbers it.
type runView struct {
	run   layout.Run
	welds []int // indices of its welds that belong to the view, in order of number
}

// runsIn sorts the view's welds by run.
func (j *job) runsIn(f *figure) []runView {
	var out []runView
	for _, r := range j.runs {
		v := runView{run: r}
		for i, w := range j.welds {
			if w.Run == r.ID && j.shown[i] == f {
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
func (j *job) toolShort(r layout.Run) string {
	return strings.TrimSpace(j.letter(r.Gun) + " " + r.Setting)
}

// shortRun is the count up to which welds are numbered one by one, without a call-out.
const shortRun = 2

// labelFigure places and draws all labels of a view. First come the numbers at the ends of runs, which
// have little choice; then tags of fixtures, call-outs of runs and roller seams, and last the numbers
// between, which may be left out.
func (p *page) labelFigure(f *figure, lab *placing, used symbols) {
	runs := p.job.runsIn(f)
	var ends, callouts, between []*label.Label
	for _, v := range runs {
		e, b := p.numbers(f, v)
		ends, between = append(ends, e...), append(between, b...)
		if v.run.Count > shortRun {
			callouts = append(callouts, p.runCallout(f, v))
			used[symCallout] = true
		} else {
			used[symShortRun] = true
		}
	}
	for _, r := range p.job.seams {
		if l := p.rollerCallout(f, r); l != nil && !f.gauge {
			callouts = append(callouts, l)
			used[symRollerCallout] = true
		}
	}
	used[symGuns] = used[symGuns] || len(runs) > 0 && p.guns() != ""
	balloons := p.balloons(f)
	for _, group := range [][]*label.Label{lab.tags, ends, callouts, balloons, between} {
		lab.PlaceAll(group)
	}
	lab.Improve(callouts)
	p.paintLabels(f, slices.Concat(lab.tags, ends, callouts, balloons, between))
}

// numbers are the labels of single welds: the first and last of the view's part of a run, and every tenth
// number, or every fifth where welds are wide apart.
func (p *page) numbers(f *figure, v runView) (ends, between []*label.Label) {
	j := p.job
	every := 10
	if v.run.Pitch.Mean/float64(f.scale) > 6 {
		every = 5
	}
	for k, i := range v.welds {
		w := j.welds[i]
		end := k == 0 || k == len(v.welds)-1
		if !end && w.Number%every != 0 {
			continue
		}
		tool := ""
		if v.run.Count <= shortRun {
			tool = j.toolShort(v.run)
		}
		l := p.tagOf(f, fmt.Sprint(w.Number), tool, f.on(w.Position.R3()), j.radius(w))
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

// radius is how far a weld's mark reaches.
func (j *job) radius(w layout.Weld) float64 {
	switch {
	case tilted(w):
		return tiltRadius
	case len(w.Sheets) > 2:
		return threeRadius
	case weldSymbol(w) == symReleased:
		return 1.2
	}
	return weldRadius
}

// short is how long the leader of a number between the ends of a run may be, mm.
const short = 5.0

// Measures of call-outs in mm: the reference line with one row of text on it and one below.
const (
	above    = 5.2
	below    = 6.2
	symbolR  = 1.3 // of the spot symbol on the reference line
	slot     = 2*symbolR + 1.6
	textSide = 0.8
)

// callout sets a reference line after ISO 2553:2019 (from memory): what is left of the symbol, the symbol
// across the line, what is right of it; below the line our own words.
func (p *page) callout(f *figure, left, right, under string, seam bool) *label.Label {
	lw, rw := paper.Width(left, paper.AtJig), paper.Width(right, paper.AtJig)
	l := &label.Label{W: max(lw+slot+rw, paper.Width(under, paper.AtJig)) + 2*textSide, H: above + below, Line: above, Ends: true,
		Reach: label.Farthest, Must: true, Says: under + ": " + strings.TrimPrefix(left+", "+right, ", ")}
	l.Paint = func(at label.Placed) {
		y := at.Box.Y0 + above
		x := at.Box.X0 + textSide
		words, lines := p.labelWords(f), p.labelLines(f)
		lines.Line(paper.Point{X: at.Box.X0, Y: y}, paper.Point{X: at.Box.X1, Y: y})
		words.Text(paper.Point{X: x, Y: y - 1.2}, paper.AtJig, paper.Start, left)
		c := paper.Point{X: x + lw + slot/2, Y: y}
		lines.Circle(c, symbolR)
		if seam {
			for _, d := range []float64{-0.4, 0.4} {
				lines.Line(paper.Point{X: c.X - 1.8, Y: y + d}, paper.Point{X: c.X + 1.8, Y: y + d})
			}
		}
		words.Text(paper.Point{X: x + lw + slot, Y: y - 1.2}, paper.AtJig, paper.Start, right)
		words.Text(paper.Point{X: x, Y: y + 5.3}, paper.AtJig, paper.Start, under)
	}
	return l
}

// runCallout says all about a run: weld diameter, count, pitch; numbers and gun.
func (p *page) runCallout(f *figure, v runView) *label.Label {
	j := p.job
	right := fmt.Sprint(v.run.Count)
	if v.run.Pitch.Mean > 0 {
		right += " (" + words.Number(v.run.Pitch.Mean, 0) + ")"
	}
	l := p.callout(f, words.Diameter(j.index, v.run), right, words.Span(v.run.From, v.run.To)+" "+j.toolShort(v.run), false)
	n := len(v.welds)
	for _, k := range []int{n / 2, n / 4, 3 * n / 4, n / 3, 2 * n / 3, n / 8, 7 * n / 8, 0, n - 1} {
		w := j.welds[v.welds[k]]
		t := label.Mark{At: f.on(w.Position.R3()), R: j.radius(w)}
		if !slices.Contains(l.Targets, t) {
			l.Targets = append(l.Targets, t)
		}
	}
	return l
}

// nugget is the expected width of a roller seam's weld at the faying surface, where its setting knows one.
func (j *job) nugget(r layout.Seam) string {
	if s, ok := j.index.Setting(r.Setting); ok && s.Nugget > 0 {
		return words.Number(s.Nugget, 1)
	}
	return ""
}

// rollerCallout says all about a roller seam: its weld's width, its length, its id and what it waits for. It is nil
// when the view shows nothing of the seam.
func (p *page) rollerCallout(f *figure, r layout.Seam) *label.Label {
	j := p.job
	var best []paper.Point
	for _, s := range p.job.seam(f, r) {
		if s.seen && len(s.points) > len(best) {
			best = s.points
		}
	}
	if len(best) < 3 {
		return nil
	}
	under := r.ID
	if r.After > 0 {
		under += fmt.Sprintf(" after %d", r.After)
	}
	l := p.callout(f, j.nugget(r), words.Number(r.Length, 0), under, true)
	for _, k := range []int{2, 1, 3} {
		l.Targets = append(l.Targets, label.Mark{At: best[len(best)*k/4], R: 0.5})
	}
	return l
}
