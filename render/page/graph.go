package page

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"seamwright/layout"

	"github.com/golang/geo/r3"
)

// Sizes of the graph in its own units: one to a pixel of a small screen.
const (
	graphWide  = 760.0 // as wide as it is drawn at most
	graphLeast = 300.0
	graphHigh  = 150.0
	graphSide  = 46.0
	letterWide = 5.9 // of its writing, on average
	gapHigh    = 36.0
	markRadius = 3.2
)

// graph is one flange unrolled: along it to the right, to the left of its way upwards.
type graph struct {
	bytes.Buffer
	flange        layout.Flange
	marks         Marks
	wide, high    float64 // of the whole
	scale, across float64 // units to a mm
	middle        float64
}

// Marks are what rules and shell file ask of a flange, in mm; zero where nothing is asked.
type Marks struct {
	Edge, End                 float64 // least distances of a weld from a free edge and from the strip's end
	LeastPitch, GreatestPitch float64
	Gap                       float64 // greatest air
	KeepOuts                  []KeepOut
}

// KeepOut is a ball that no weld may be in.
type KeepOut struct {
	At     r3.Vector
	Radius float64
	Why    string
}

// Graph draws a flange unrolled as SVG: its width to the left and right of the weld line, what ends it there, how near the edge and
// the ends a weld may come, openings, where none may be, the air between the sheets, and its welds with their numbers. It is drawn as
// wide as there is room, in pixels; 0: as wide as it is at most. It fails on a flange that the plan does not have.
func Graph(plan *layout.Plan, id string, wide float64, marks Marks) ([]byte, error) {
	k := slices.IndexFunc(plan.Flanges, func(f layout.Flange) bool { return f.ID == id })
	if k < 0 {
		return nil, fmt.Errorf("there is no flange %q in the plan", id)
	}
	g := &graph{flange: plan.Flanges[k], marks: marks, wide: min(graphWide, max(graphLeast, math.Round(wide)))}
	if wide == 0 {
		g.wide = graphWide
	}
	words := g.words()
	g.high = graphHigh + gapHigh + 18 + 13*float64(len(words))
	widest := 1.0
	for _, p := range g.flange.Line {
		widest = math.Max(widest, math.Max(p.Left, p.Right))
	}
	g.scale = (g.wide - 2*graphSide) / math.Max(1, g.flange.Length)
	g.across = (graphHigh/2 - 14) / widest // above and below it stand words
	g.middle = graphHigh / 2
	fmt.Fprintf(g, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" fill="none" stroke="currentColor" `+
		`font-size="10" font-family="DejaVu Sans, sans-serif" data-side="%g" data-wide="%g">`, g.wide, g.high, g.wide, g.high,
		graphSide, g.wide-2*graphSide)
	left := graphSide
	if g.wide < graphWide {
		left = 6
	}
	for i, line := range words {
		g.text(left, graphHigh+gapHigh+26+13*float64(i), "start", line)
	}
	g.strip()
	g.sides()
	g.limits()
	g.openings()
	g.keepOuts()
	g.air()
	g.welds(plan)
	g.WriteString("</svg>\n")
	return g.Bytes(), nil
}

func (g *graph) x(along float64) float64 { return graphSide + along*g.scale }

func (g *graph) text(x, y float64, anchor, words string) {
	fmt.Fprintf(g, `<text x="%.1f" y="%.1f" text-anchor="%s" fill="currentColor" stroke="none">%s</text>`, x, y, anchor,
		html.EscapeString(words))
}

// words are what stands below the graph, in lines that fit.
func (g *graph) words() []string {
	f := g.flange
	all := []string{fmt.Sprintf("%s: %.1f mm long, %.1f to %.1f mm wide, %.2f to %.2f mm of air", f.ID, f.Length, f.Width.Least,
		f.Width.Greatest, f.Air.Least, f.Air.Greatest)}
	if m := g.marks; m.LeastPitch > 0 {
		all = append(all, fmt.Sprintf("dashed: the rules' limits: %.1f mm to a free edge, %.1f to the ends; pitch of %.0f to %.0f mm; "+
			"at most %.2f mm of air", m.Edge, m.End, m.LeastPitch, m.GreatestPitch, m.Gap))
	}
	room := int((g.wide - 12) / letterWide)
	var out []string
	for _, text := range all {
		line := ""
		for _, word := range strings.Fields(text) {
			if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > room {
				out, line = append(out, line), ""
			}
			line = strings.TrimSpace(line + " " + word)
		}
		out = append(out, line)
	}
	return out
}

// limits draws how near a free edge and the ends a weld may come.
func (g *graph) limits() {
	line := g.flange.Line
	dashed := func(d string) { fmt.Fprintf(g, `<path stroke-width=".6" stroke-dasharray="3 3" d="%s"/>`, d) }
	for side, sign := range []float64{1, -1} {
		var d bytes.Buffer
		pen := 'M'
		for _, p := range line {
			wide := []float64{p.Left, p.Right}[side]
			if p.Ends[side] != layout.FreeEdge || g.marks.Edge <= 0 || wide <= g.marks.Edge {
				pen = 'M'
				continue
			}
			fmt.Fprintf(&d, "%c%.1f %.1f ", pen, g.x(p.Along), g.middle-sign*(wide-g.marks.Edge)*g.across)
			pen = 'L'
		}
		if d.Len() > 0 {
			dashed(d.String())
		}
	}
	if g.flange.Closed || len(line) == 0 || g.marks.End <= 0 || 2*g.marks.End >= g.flange.Length {
		return
	}
	first, last := line[0], line[len(line)-1]
	dashed(fmt.Sprintf("M%.1f %.1fV%.1f", g.x(g.marks.End), g.middle-first.Left*g.across, g.middle+first.Right*g.across))
	dashed(fmt.Sprintf("M%.1f %.1fV%.1f", g.x(g.flange.Length-g.marks.End), g.middle-last.Left*g.across, g.middle+last.Right*g.across))
}

// openings draws the holes of the strip where they are; one unit along is not one across, so that they are ellipses.
func (g *graph) openings() {
	for _, h := range g.flange.Holes {
		k := g.nearest(h.At.R3())
		if k < 0 {
			continue
		}
		p := g.flange.Line[k]
		way := g.flange.Line[min(k+1, len(g.flange.Line)-1)].At.R3().Sub(g.flange.Line[max(k-1, 0)].At.R3()).Normalize()
		d := h.At.R3().Sub(p.At.R3())
		left := d.Dot(p.Normal.R3().Cross(way))
		fmt.Fprintf(g, `<ellipse cx="%.1f" cy="%.1f" rx="%.1f" ry="%.1f" stroke-width=".8"/>`, g.x(p.Along+d.Dot(way)), g.middle-left*g.across,
			h.Radius*g.scale, h.Radius*g.across)
	}
}

// nearest is the point of the weld line nearest to a place; -1 without one.
func (g *graph) nearest(to r3.Vector) int {
	best := -1
	for i, p := range g.flange.Line {
		if best < 0 || p.At.R3().Sub(to).Norm2() < g.flange.Line[best].At.R3().Sub(to).Norm2() {
			best = i
		}
	}
	return best
}

// keepOuts hatches the stretches of the weld line that lie in a ball.
func (g *graph) keepOuts() {
	for _, ball := range g.marks.KeepOuts {
		for _, s := range g.inside(ball) {
			a, b := g.x(s[0]), g.x(s[1])
			g.WriteString(`<path stroke-width=".6" d="`)
			for x := a; x+8 <= b; x += 5 {
				fmt.Fprintf(g, "M%.1f %.1fl%g %g", x, g.middle+18, 8.0, -36.0)
			}
			fmt.Fprintf(g, `M%.1f %.1fV%.1fM%.1f %.1fV%.1f"/>`, a, g.middle-18, g.middle+18, b, g.middle-18, g.middle+18)
			why := "no welds"
			if ball.Why != "" {
				why += ": " + ball.Why
			}
			g.text((a+b)/2, g.middle+30, "middle", why)
		}
	}
}

// inside are the stretches of the weld line in a ball, from and to in mm along it.
func (g *graph) inside(ball KeepOut) (out [][2]float64) {
	line := g.flange.Line
	for i := 1; i < len(line); i++ {
		a, way := line[i-1].At.R3(), line[i].At.R3().Sub(line[i-1].At.R3())
		long := way.Norm()
		if long == 0 {
			continue
		}
		middle := ball.At.Sub(a).Dot(way) / long
		off := a.Add(way.Mul(middle / long)).Sub(ball.At).Norm2()
		half := math.Sqrt(math.Max(0, ball.Radius*ball.Radius-off))
		from, to := math.Max(0, middle-half), math.Min(long, middle+half)
		if off > ball.Radius*ball.Radius || from >= to {
			continue
		}
		scale := (line[i].Along - line[i-1].Along) / long
		from, to = line[i-1].Along+from*scale, line[i-1].Along+to*scale
		if n := len(out); n > 0 && from-out[n-1][1] < 1e-6 {
			out[n-1][1] = to
			continue
		}
		out = append(out, [2]float64{from, to})
	}
	return out
}

// strip draws the outline, the weld line and a scale in mm.
func (g *graph) strip() {
	line := g.flange.Line
	g.WriteString(`<path stroke-width="1.2" d="`)
	for i, p := range line {
		fmt.Fprintf(g, "%c%.1f %.1f ", "ML"[min(i, 1)], g.x(p.Along), g.middle-p.Left*g.across)
	}
	for _, p := range slices.Backward(line) {
		fmt.Fprintf(g, "L%.1f %.1f ", g.x(p.Along), g.middle+p.Right*g.across)
	}
	g.WriteString(`Z"/>`)
	fmt.Fprintf(g, `<path stroke-width=".6" stroke-dasharray="8 2 1 2" d="M%.1f %.1fH%.1f"/>`, g.x(0), g.middle, g.x(g.flange.Length))
	if len(line) > 0 {
		g.text(graphSide-4, g.middle-line[0].Left*g.across+8, "end", fmt.Sprintf("%.1f", line[0].Left))
		g.text(graphSide-4, g.middle+line[0].Right*g.across, "end", fmt.Sprintf("%.1f", line[0].Right))
	}
	g.text(g.x(0), graphHigh+10, "middle", "0")
	g.text(g.x(g.flange.Length), graphHigh+10, "middle", fmt.Sprintf("%.0f mm", g.flange.Length))
}

// sides says what limits the width, once for each stretch.
func (g *graph) sides() {
	line := g.flange.Line
	for side, y := range []float64{9, graphHigh - 2} {
		for i := 0; i < len(line); {
			j := i
			for j+1 < len(line) && line[j+1].Ends[side] == line[i].Ends[side] {
				j++
			}
			if word := string(line[i].Ends[side]); word != "" && g.x(line[j].Along)-g.x(line[i].Along) > 40 {
				g.text((g.x(line[i].Along)+g.x(line[j].Along))/2, y, "middle", word)
			}
			i = j + 1
		}
	}
}

// air draws the gap between the sheets below the strip, against its greatest.
func (g *graph) air() {
	most := math.Max(g.flange.Air.Greatest, 0.1)
	foot := graphHigh + 10 + gapHigh
	g.WriteString(`<path stroke-width=".8" d="`)
	for i, p := range g.flange.Line {
		fmt.Fprintf(g, "%c%.1f %.1f ", "ML"[min(i, 1)], g.x(p.Along), foot-math.Max(0, p.Air)/most*(gapHigh-12))
	}
	g.WriteString(`"/>`)
	fmt.Fprintf(g, `<path stroke-width=".4" d="M%.1f %.1fH%.1f"/>`, g.x(0), foot, g.x(g.flange.Length))
	if m := g.marks.Gap; m > 0 && m <= most {
		y := foot - m/most*(gapHigh-12)
		fmt.Fprintf(g, `<path stroke-width=".6" stroke-dasharray="3 3" d="M%.1f %.1fH%.1f"/>`, g.x(0), y, g.x(g.flange.Length))
	}
	g.text(graphSide-4, foot-(gapHigh-12), "end", fmt.Sprintf("%.2f", most))
	g.text(graphSide-4, foot, "end", "0")
}

// welds are drawn as on the maps: a ring for a fill weld, a full square for a tack, a diamond for one behind a clamp.
func (g *graph) welds(plan *layout.Plan) {
	var numbered [][2]float64 // from and to
	for _, w := range plan.Welds {
		if w.Flange != g.flange.ID {
			continue
		}
		x, y, r := g.x(w.Along), g.middle-g.offset(w)*g.across, markRadius
		switch w.Step {
		case layout.Tack:
			fmt.Fprintf(g, `<rect x="%.1f" y="%.1f" width="%g" height="%g" fill="currentColor"/>`, x-r, y-r, 2*r, 2*r)
		case layout.Released:
			fmt.Fprintf(g, `<path d="M%.1f %.1fl%g %gl%g %gl%g %gZ"/>`, x, y-r, r, r, -r, r, -r, -r)
		default:
			fmt.Fprintf(g, `<circle cx="%.1f" cy="%.1f" r="%g"/>`, x, y, r)
		}
		number := fmt.Sprint(w.Number)
		half := float64(len(number))*letterWide/2 + 2.5
		if !slices.ContainsFunc(numbered, func(n [2]float64) bool { return n[0] < x+half && x-half < n[1] }) {
			g.text(x, y-6, "middle", number)
			numbered = append(numbered, [2]float64{x - half, x + half})
		}
	}
}

// offset is how far a weld lies to the left of the weld line: what its right side has more than the line's there.
func (g *graph) offset(w layout.Weld) float64 {
	line := g.flange.Line
	if len(line) == 0 {
		return 0
	}
	k := 0
	for i := range line {
		if math.Abs(line[i].Along-w.Along) < math.Abs(line[k].Along-w.Along) {
			k = i
		}
	}
	return w.Right - line[k].Right
}
