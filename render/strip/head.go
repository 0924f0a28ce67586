package strip

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

const linePitch = 4.1

// drawHead draws the title row of every page, and what else the first page needs. The fields of the title row
// are those of ISO 7200:2004 (from memory).
func (f *Flat) drawHead(p *paper.Page, plan *layout.Plan, page, of int, tabs bool) {
	sh := plan.Shell
	field := paper.NewField
	row := func(n float64, fields []paper.Field) {
		p.Fields(paper.Point{X: rim, Y: rim + n*paper.FieldHigh}, fields)
	}
	row(0, []paper.Field{
		field("Title", f.Flange.ID+" · "+sh.Name, 66), field("Identification number", sh.Number+" / strip "+f.Flange.ID, 64),
		field("Document type", "Marking strip", 30), field("Status", plan.Standing(), 64).Whole(), field("Date of issue", sh.Issued, 26),
		field("Rev.", sh.Revision, 11), field("Page", fmt.Sprintf("%d/%d", page, of), 16),
	})
	if page > 1 {
		return
	}
	row(1, []paper.Field{
		field("Lay on the outer face of", f.On, 50), field("Sheets", strings.Join(f.Flange.Panels, " + "), 84), field("Joint", f.Flange.Joint,
			38),
		field("Length there", words.Fixed(f.Length, 1)+" mm", 36), field("Width", widthText(f.Flange.Width), 30),
		field("Welds", f.weldText(), 39),
	})
	row(2, []paper.Field{
		field("START at x, y, z", f.startText(), 72), field("Laid flat, against the sheet", f.distortionText(), 110),
		field("Input", sh.Input, 95),
	})
	words := p.Layer("instructions", paper.Style{Fill: paper.Black})
	y := rim + 3*paper.FieldHigh + 4.5
	for _, line := range f.instructions(tabs) {
		indent := 0.0
		for _, part := range paper.Wrap(line, small, 168) {
			words.Text(paper.Point{X: rim + 1.5 + indent, Y: y}, small, paper.Start, part)
			indent = 3.5
			y += linePitch
		}
	}
	f.drawLegend(p, words, rim+184, rim+3*paper.FieldHigh+4.5)
}

func widthText(w layout.Range) string {
	if w.Greatest-w.Least < 0.15 {
		return words.Fixed(w.Mean, 1) + " mm"
	}
	return fmt.Sprintf("%s–%s mm", words.Fixed(w.Least, 1), words.Fixed(w.Greatest, 1))
}

// weldText counts the welds by station.
func (f *Flat) weldText() string {
	if len(f.welds) == 0 {
		return "none"
	}
	return fmt.Sprintf("%d of %s", len(f.welds), strings.Join(f.stations(), ", "))
}

// stations are those that weld the flange, in the order of its welds.
func (f *Flat) stations() []string {
	var out []string
	for _, w := range f.welds {
		if !slices.Contains(out, w.station) {
			out = append(out, w.station)
		}
	}
	return out
}

// startText says where the strip starts in the shell's frame.
func (f *Flat) startText() string {
	p := f.way.line[0]
	return fmt.Sprintf("%s, %s, %s, then to %s", words.Fixed(p.X, 0), words.Fixed(p.Y, 0), words.Fixed(p.Z, 0), f.heading())
}

// heading names the axes along which the line sets off, the strongest first.
func (f *Flat) heading() string {
	k, _ := f.locate(math.Min(30, f.total()))
	d := f.way.line[k+1].Sub(f.way.line[0]).Normalize()
	parts := []struct {
		name string
		v    float64
	}{{"X", d.X}, {"Y", d.Y}, {"Z", d.Z}}
	slices.SortStableFunc(parts, func(a, b struct {
		name string
		v    float64
	}) int {
		switch {
		case math.Abs(a.v) > math.Abs(b.v)+1e-6:
			return -1
		case math.Abs(b.v) > math.Abs(a.v)+1e-6:
			return 1
		}
		return 0
	})
	out := ""
	for _, p := range parts {
		if math.Abs(p.v) < 0.38 { // 22.5 degrees from the plane across the axis
			break
		}
		sign := "+"
		if p.v < 0 {
			sign = "-"
		}
		out += " " + sign + p.name
	}
	return strings.TrimSpace(out)
}

// distortionText says how far the sides' lengths on paper differ from those on the sheet.
func (f *Flat) distortionText() string {
	side := func(name string, d Distortion) string {
		diff := d.Difference()
		if math.Abs(diff) < 0.05 {
			return name + " true"
		}
		word := "longer"
		if diff < 0 {
			word = "shorter"
		}
		return fmt.Sprintf("%s %s mm (%s %%) %s", name, words.Fixed(math.Abs(diff), 1), words.Fixed(math.Abs(d.Percent()), 2), word)
	}
	return side("left side", f.LeftSide) + "; " + side("right side", f.RightSide) + "; centre true"
}

// instructions are what to do with the paper; tabs join pieces.
func (f *Flat) instructions(tabs bool) []string {
	steps := []string{"Print at 100 %, not fitted to the page. Both bars of every page must measure 100 mm."}
	if tabs {
		steps = append(steps, "Cut each piece out along its sides and ends. Leave its hatched tab on.",
			"Paste the next piece onto the tab: its end on the line with the same letter, centre line on centre line.")
	} else {
		steps = append(steps, "Cut the strip out along its sides and ends.")
	}
	lay := fmt.Sprintf("Lay the strip on %s, printed side up, START at the place above", words.OrDash(f.On))
	if f.Flange.Closed {
		lay += "; END meets START"
	}
	steps = append(steps, lay+". Wedges point to free edges of sheets.")
	if f.Folds > 0 {
		steps = append(steps, "The line turns more sharply than the strip is wide: slit the strip from that side up to the line.")
	}
	if len(f.welds) > 0 {
		steps = append(steps, "Mark every cross through. Numbers are those of the weld map.")
	}
	for i := range steps {
		steps[i] = fmt.Sprintf("%d %s", i+1, steps[i])
	}
	return steps
}

// drawLegend explains the marks in use.
func (f *Flat) drawLegend(p *paper.Page, words *paper.Layer, x, y float64) {
	thick := p.Layer("legend thick", paper.Style{Stroke: paper.Black, Width: paper.W50})
	thin := p.Layer("legend thin", paper.Style{Stroke: paper.Black, Width: paper.W25})
	broken := p.Layer("legend other side", paper.Style{Stroke: paper.Black, Width: paper.W25, Dash: []float64{4, 1}})
	full := p.Layer("legend full", paper.Style{Fill: paper.Black})
	at := func(dx, dy float64) paper.Point { return paper.Point{X: x + 4 + dx, Y: y - 1.2 + dy} }
	entries := []struct {
		used bool
		text string
		draw func()
	}{
		{f.any(func(w mark) bool { return w.step == layout.Tack }), "tack weld, true diameter",
			func() { thick.Polygon(at(-1.3, -1.3), at(1.3, -1.3), at(1.3, 1.3), at(-1.3, 1.3)) }},
		{f.any(func(w mark) bool { return w.step != layout.Tack && w.step != layout.Released }), "fill weld, true diameter",
			func() { thin.Circle(at(0, 0), 1.4) }},
		{f.any(func(w mark) bool { return w.step == layout.Released }), "weld made once a clamp is off",
			func() { thin.Polygon(at(-1.7, 0), at(0, -1.7), at(1.7, 0), at(0, 1.7)) }},
		{f.any(func(w mark) bool { return w.sheets > 2 }), "second outline: three sheets",
			func() { thin.Circle(at(0, 0), 1); thin.Circle(at(0, 0), 1.6) }},
		{f.hasEdge(true), "free edge of a sheet", func() {
			thick.Line(at(-4, -1), at(4, -1))
			full.Polygon(at(0, -1), at(-wedgeHalf, 0.4), at(wedgeHalf, 0.4))
		}},
		{f.hasEdge(false), "bend, or other end of the strip", func() { broken.Line(at(-4, 0), at(4, 0)) }},
		{len(f.holes) > 0, "hole", func() {
			thin.Circle(at(0, 0), 1.6)
			thin.Line(at(-1.1, -1.1), at(1.1, 1.1))
			thin.Line(at(-1.1, 1.1), at(1.1, -1.1))
		}},
		{len(f.seams) > 0, "roller seam; head at its start, bar at its end", func() {
			thin.Line(at(-4, 0), at(4, 0))
			for i := -3.0; i < 4; i += 2 {
				thin.Line(at(i, -0.7), at(i, 0.7))
			}
			full.Polygon(at(0.5, 0), at(-2.5, 1.1), at(-2.5, -1.1))
		}},
	}
	for _, e := range entries {
		if e.used {
			e.draw()
			words.Text(paper.Point{X: x + 11, Y: y}, small, paper.Start, e.text)
			y += linePitch
		}
	}
}

func (f *Flat) any(is func(mark) bool) bool { return slices.ContainsFunc(f.welds, is) }

// hasEdge reports whether a side is a free edge, or is none, anywhere.
func (f *Flat) hasEdge(free bool) bool {
	return len(f.sides) == 0 && !free || slices.ContainsFunc(f.sides, func(s layout.Side) bool {
		return (s.Left == layout.FreeEdge) == free || (s.Right == layout.FreeEdge) == free
	})
}
