// Package chart draws the pictures of an estimate into boxes on a sheet: where minutes and money go, what moves the cost, how far it
// may be off, how practice shortens the work, and what each of the crew does. All is black on white with light tints, so that it
// can still be read once a copier has made it black and white.
//
//	high := chart.BarsHigh(bars)
//	chart.Bars(page, paper.Box{X0: 20, Y0: 30, X1: 200, Y1: 30 + high}, bars)
//
// Measures are mm on the sheet.
package chart

import (
	"cmp"
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

// Bar is one line of a bar chart.
type Bar struct {
	Name  string
	Value float64
	Text  string // behind it
}

const (
	letters = 3.5 // as on the sheets for the jig, where charts stand, too
	barHigh = 6.6
	figures = 44.0 // width of what stands behind

	leastNames = 58.0 // width of the names, which are written smaller beyond the most
	mostNames  = 82.0
	tint       = paper.Ink("#d2d2d2")
)

// brush is the layers that a chart is drawn with.
type brush struct{ white, grey, black, words, rules, thin, strong, backs *paper.Layer }

func brushOn(p *paper.Page) brush {
	line := func(name string, fill paper.Ink, width float64) *paper.Layer {
		return p.Layer("chart "+name, paper.Style{Stroke: paper.Black, Width: width, Fill: fill})
	}
	return brush{
		thin: line("scale", paper.NoInk, paper.W13), white: line("white", paper.White, paper.W18), grey: line("grey", tint, paper.W18),
		black: line("black", paper.Black, paper.W18), rules: line("rules", paper.NoInk, paper.W25), strong: line("lines", paper.NoInk, paper.W50),
		backs: p.Layer("chart backs", paper.Style{Fill: paper.White}), words: p.Layer("chart words", paper.Style{Fill: paper.Black}),
	}
}

// mostBars are drawn; the smallest are put together.
const mostBars = 16

// Shares adds lines up by what they are for, greatest first, in units of so many of theirs, with their shares in per cent.
func Shares(lines []layout.Line, unit float64, places int) []Bar {
	var out []Bar
	total := 0.0
	for _, l := range lines {
		k := slices.IndexFunc(out, func(b Bar) bool { return b.Name == l.What })
		if k < 0 {
			k = len(out)
			out = append(out, Bar{Name: l.What})
		}
		out[k].Value += l.Total * unit
		total += l.Total * unit
	}
	slices.SortStableFunc(out, func(a, b Bar) int { return cmp.Compare(b.Value, a.Value) })
	if len(out) > mostBars {
		rest := Bar{Name: "all else"}
		var below []Bar
		for _, b := range out[mostBars-2:] {
			if b.Value < 0 {
				below = append(below, b)
				continue
			}
			rest.Value += b.Value
		}
		out = append(append(out[:mostBars-2:mostBars-2], rest), below...)
	}
	for i, b := range out {
		out[i].Text = words.Fixed(b.Value, places)
		if total > 0 {
			out[i].Text += "  " + words.Fixed(100*b.Value/total, 1) + " %"
		}
	}
	return out
}

// BarsHigh is the height that bars take.
func BarsHigh(bars []Bar) float64 { return float64(len(bars))*barHigh + 1 }

// Bars draws values as bars from one zero; values below zero go to the left of it and are white.
func Bars(p *paper.Page, box paper.Box, bars []Bar) {
	least, greatest := 0.0, 0.0
	for _, b := range bars {
		least, greatest = math.Min(least, b.Value), math.Max(greatest, b.Value)
	}
	if !(greatest > least) || !finite(least, greatest) {
		return
	}
	b := brushOn(p)
	left := names(bars, func(b Bar) string { return b.Name })
	scale := (box.Width() - left - figures) / (greatest - least)
	zero := box.X0 + left - least*scale
	for i, v := range bars {
		y := box.Y0 + float64(i)*barHigh
		row(b, box, y, left, v.Name, v.Text)
		fill, from, to := b.grey, zero, zero+v.Value*scale
		if v.Value < 0 {
			fill, from, to = b.white, to, from
		}
		if to > from {
			fill.Rect(paper.Box{X0: from, Y0: y + 0.7, X1: to, Y1: y + barHigh - 0.7})
		}
	}
	b.rules.Line(paper.Point{X: zero, Y: box.Y0}, paper.Point{X: zero, Y: box.Y0 + float64(len(bars))*barHigh})
}

// names is how wide the names before bars are.
func names[T any](rows []T, of func(T) string) float64 {
	wide := leastNames
	for _, r := range rows {
		wide = math.Max(wide, paper.Width(of(r), letters)+2)
	}
	return math.Min(wide, mostNames)
}

// row writes what stands before and behind a bar.
func row(b brush, box paper.Box, y, wide float64, name, text string) {
	foot := y + barHigh/2 + letters/2
	name, high := paper.Shrink(name, letters, wide-2)
	b.words.Text(paper.Point{X: box.X0, Y: foot}, high, paper.Start, name)
	text, high = paper.Shrink(text, letters, figures-1)
	b.words.Text(paper.Point{X: box.X1, Y: foot}, high, paper.End, text)
}

// Mover is an input by what it makes of a figure: at its low end, and at its high one.
type Mover struct {
	Name      string
	Low, High float64
	Text      string
}

// MoversHigh is the height that movers take.
func MoversHigh(movers []Mover) float64 { return float64(len(movers))*barHigh + 6 }

// Movers draws each input as a bar from its low to its high figure about the stated one: white where it comes to less, grey where it
// comes to more.
func Movers(p *paper.Page, box paper.Box, stated float64, movers []Mover) {
	least, greatest := stated, stated
	for _, m := range movers {
		least, greatest = math.Min(least, m.Low), math.Max(greatest, m.High)
	}
	if !finite(least, greatest) || flat(least, greatest) {
		return
	}
	b := brushOn(p)
	before := names(movers, func(m Mover) string { return m.Name })
	left, wide := box.X0+before, box.Width()-before-figures
	at := func(v float64) float64 { return left + (v-least)/(greatest-least)*wide }
	top, foot := box.Y0+5, box.Y0+5+float64(len(movers))*barHigh
	step := Step(greatest-least, 4)
	for v := math.Ceil(least/step) * step; v <= greatest+1e-9*step; v += step {
		b.thin.Line(paper.Point{X: at(v), Y: top}, paper.Point{X: at(v), Y: foot})
		b.words.Text(paper.Point{X: at(v), Y: top - 1.4}, letters, paper.Middle, number(v, step))
	}
	for i, m := range movers {
		y := top + float64(i)*barHigh
		row(b, box, y, before, m.Name, m.Text)
		for _, part := range []struct {
			from, to float64
			fill     *paper.Layer
		}{{at(m.Low), at(math.Min(stated, m.High)), b.white}, {at(math.Max(stated, m.Low)), at(m.High), b.grey}} {
			if part.to > part.from {
				part.fill.Rect(paper.Box{X0: part.from, Y0: y + 0.7, X1: part.to, Y1: y + barHigh - 0.7})
			}
		}
	}
	b.strong.Line(paper.Point{X: at(stated), Y: top}, paper.Point{X: at(stated), Y: foot})
}

// Plot is points over two axes.
type Plot struct {
	XName, YName string
	Line         []paper.Point // joined
	Dots         bool          // a dot at each of them
	Level        float64       // a dashed line across at this y; 0: none
	LevelText    string
	Marks        []Mark // places that are named
	FromZero     bool   // of y
}

// Mark is a place on the line that is named.
type Mark struct {
	At   paper.Point
	Text string
}

// Draw draws the plot into a box, axes included.
func (plot Plot) Draw(p *paper.Page, box paper.Box) {
	least, greatest := paper.Point{X: math.Inf(1), Y: math.Inf(1)}, paper.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	grow := func(q paper.Point) {
		least = paper.Point{X: math.Min(least.X, q.X), Y: math.Min(least.Y, q.Y)}
		greatest = paper.Point{X: math.Max(greatest.X, q.X), Y: math.Max(greatest.Y, q.Y)}
	}
	for _, q := range plot.Line {
		grow(q)
	}
	if plot.Level != 0 {
		grow(paper.Point{X: least.X, Y: plot.Level})
	}
	if plot.FromZero {
		least.Y = math.Min(0, least.Y)
	}
	for _, span := range []*[2]*float64{{&least.X, &greatest.X}, {&least.Y, &greatest.Y}} {
		if finite(*span[0], *span[1]) && flat(*span[0], *span[1]) {
			*span[1] = *span[0] + math.Max(1, math.Abs(*span[0])*0.1)
		}
	}
	if len(plot.Line) == 0 || !finite(least.X, least.Y, greatest.X, greatest.Y) {
		return
	}
	b := brushOn(p)
	in := paper.Box{X0: box.X0 + 18, Y0: box.Y0 + 10, X1: box.X1 - 8, Y1: box.Y1 - 12}
	at := func(q paper.Point) paper.Point {
		return paper.Point{X: in.X0 + (q.X-least.X)/(greatest.X-least.X)*in.Width(), Y: in.Y1 - (q.Y-least.Y)/(greatest.Y-least.Y)*in.Height()}
	}
	plot.axes(b, box, in, least, greatest, at)
	var points []paper.Point
	for _, q := range plot.Line {
		points = append(points, at(q))
	}
	b.strong.Polyline(points)
	if plot.Dots {
		for _, q := range points {
			b.black.Circle(q, 0.8)
		}
	}
	if plot.Level != 0 {
		dashed := p.Layer("chart level", paper.Style{Stroke: paper.Black, Width: paper.W25, Dash: []float64{2, 1.2}})
		y := at(paper.Point{X: least.X, Y: plot.Level}).Y
		dashed.Line(paper.Point{X: in.X0, Y: y}, paper.Point{X: in.X1, Y: y})
		b.clear(paper.Point{X: in.X1, Y: y - 1.2}, paper.End, plot.LevelText)
	}
	for _, m := range plot.Marks {
		q := at(m.At)
		b.white.Circle(q, 1.4)
		wide := paper.Width(m.Text, letters)
		place, anchor := paper.Point{X: q.X + 2.4, Y: q.Y + 4.4}, paper.Start
		if plot.falls(m.At) {
			place.Y = q.Y - 0.8
		}
		if place.X+wide > in.X1 {
			place, anchor = paper.Point{X: q.X - 2.4, Y: q.Y - 1.6}, paper.End
		}
		b.clear(place, anchor, m.Text)
	}
}

// clear writes words on white, so that no line of the scale strikes them through.
func (b brush) clear(at paper.Point, anchor paper.Anchor, text string) {
	b.backs.Rect(paper.TextBox(at, letters, anchor, text))
	b.words.Text(at, letters, anchor, text)
}

// falls tells whether the line goes down to the right of a place, where words below it would be struck through.
func (plot Plot) falls(at paper.Point) bool {
	for _, q := range plot.Line {
		if q.X > at.X {
			return q.Y < at.Y
		}
	}
	return false
}

// axes draws the scales.
func (plot Plot) axes(b brush, box, in paper.Box, least, greatest paper.Point, at func(paper.Point) paper.Point) {
	step := Step(greatest.X-least.X, 6)
	for v := math.Ceil(least.X/step-1e-9) * step; v <= greatest.X+1e-9*step; v += step {
		x := at(paper.Point{X: v, Y: least.Y}).X
		b.thin.Line(paper.Point{X: x, Y: in.Y0}, paper.Point{X: x, Y: in.Y1})
		b.words.Text(paper.Point{X: x, Y: in.Y1 + 5}, letters, paper.Middle, number(v, step))
	}
	step = Step(greatest.Y-least.Y, 5)
	for v := math.Ceil(least.Y/step-1e-9) * step; v <= greatest.Y+1e-9*step; v += step {
		y := at(paper.Point{X: least.X, Y: v}).Y
		b.thin.Line(paper.Point{X: in.X0, Y: y}, paper.Point{X: in.X1, Y: y})
		b.words.Text(paper.Point{X: in.X0 - 1.5, Y: y + letters/2}, letters, paper.End, number(v, step))
	}
	b.rules.Polyline([]paper.Point{{X: in.X0, Y: in.Y0}, {X: in.X0, Y: in.Y1}, {X: in.X1, Y: in.Y1}})
	b.words.Text(paper.Point{X: in.X1, Y: box.Y1 - 1.5}, letters, paper.End, plot.XName)
	b.words.Text(paper.Point{X: box.X0, Y: box.Y0 + letters}, letters, paper.Start, plot.YName)
}

// Person is one of a crew: how long of a shell's takt they work, and wait for each other at the jig; the rest they wait for the line.
type Person struct {
	Name          string
	Works, Awaits float64
}

// CrewHigh is the height that persons take.
func CrewHigh(persons []Person) float64 { return float64(len(persons))*barHigh + 12 }

// Crew draws each person's share of a takt: grey at work, white waiting at the jig for another, blank until the next shell.
func Crew(p *paper.Page, box paper.Box, takt float64, persons []Person) {
	if !(takt > 0) || !finite(takt) {
		return
	}
	for _, one := range persons {
		if !finite(one.Works, one.Awaits) {
			return
		}
	}
	b := brushOn(p)
	before := names(persons, func(one Person) string { return one.Name })
	left, wide := box.X0+before, box.Width()-before-figures
	top, foot := box.Y0+5, box.Y0+5+float64(len(persons))*barHigh
	step := Step(takt, 6)
	for v := 0.0; v <= takt+1e-9; v += step {
		x := left + v/takt*wide
		b.thin.Line(paper.Point{X: x, Y: top}, paper.Point{X: x, Y: foot})
		b.words.Text(paper.Point{X: x, Y: top - 1.4}, letters, paper.Middle, number(v, step))
	}
	for i, one := range persons {
		y := top + float64(i)*barHigh
		row(b, box, y, before, one.Name, number(one.Works, 0.1)+" min, "+number(100*one.Works/takt, 1)+" %")
		x, end := left+math.Min(1, one.Works/takt)*wide, left+math.Min(takt, one.Works+one.Awaits)/takt*wide
		b.grey.Rect(paper.Box{X0: left, Y0: y + 0.7, X1: x, Y1: y + barHigh - 0.7})
		if end > x {
			b.white.Rect(paper.Box{X0: x, Y0: y + 0.7, X1: end, Y1: y + barHigh - 0.7})
		}
	}
	b.rules.Line(paper.Point{X: left, Y: top}, paper.Point{X: left, Y: foot})
	b.strong.Line(paper.Point{X: left + wide, Y: top}, paper.Point{X: left + wide, Y: foot})
	key(b, paper.Point{X: box.X0, Y: foot + 2})
}

// key says what the fills of a crew's bars mean.
func key(b brush, at paper.Point) {
	for _, k := range []struct {
		fill *paper.Layer
		text string
	}{{b.grey, "at work"}, {b.white, "waits at the jig"}, {nil, "blank: until the next shell"}} {
		if k.fill != nil {
			k.fill.Rect(paper.Box{X0: at.X, Y0: at.Y, X1: at.X + 5, Y1: at.Y + 3})
			at.X += 6.5
		}
		b.words.Text(paper.Point{X: at.X, Y: at.Y + 3.25}, letters, paper.Start, k.text)
		at.X += paper.Width(k.text, letters) + 4
	}
}

// finite says whether all are numbers that can be drawn: a chart of others is left out as a whole.
func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// flat says whether two figures are too near each other for a scale between them.
func flat(least, greatest float64) bool {
	return greatest-least <= 1e-9*math.Max(math.Abs(least), math.Abs(greatest))
}

// Step divides a length into at most n steps of 1, 2 or 5 times a power of ten.
func Step(length float64, n int) float64 {
	step := math.Pow(10, math.Floor(math.Log10(length/float64(n))))
	for _, k := range []float64{1, 2, 5, 10} {
		if length/(k*step) <= float64(n)+1e-9 {
			return k * step
		}
	}
	return 10 * step
}

// number writes a value with the decimals that steps of some size need.
func number(v, step float64) string {
	places := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	return words.Fixed(v, places)
}
