package page

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"slices"

	"seamwright/layout"
)

// Sizes of the graph in its own units: one to a pixel of a small screen.
const (
	graphWide  = 760.0
	graphHigh  = 150.0
	graphSide  = 46.0
	gapHigh    = 36.0
	markRadius = 3.2
)

// graph is one flange unrolled: along it to the right, to the left of its way upwards.
type graph struct {
	bytes.Buffer
	flange        layout.Flange
	scale, across float64 // units to a mm
	middle        float64
}

// Graph draws a flange unrolled as SVG: its width to the left and right of the weld line, what ends it there, the air between the
// sheets, and its welds with their numbers. It fails on a flange that the plan does not have.
func Graph(plan *layout.Plan, id string) ([]byte, error) {
	k := slices.IndexFunc(plan.Flanges, func(f layout.Flange) bool { return f.ID == id })
	if k < 0 {
		return nil, fmt.Errorf("there is no flange %q in the plan", id)
	}
	g := &graph{flange: plan.Flanges[k]}
	widest := 1.0
	for _, p := range g.flange.Line {
		widest = math.Max(widest, math.Max(p.Left, p.Right))
	}
	g.scale = (graphWide - 2*graphSide) / math.Max(1, g.flange.Length)
	g.across = (graphHigh/2 - 14) / widest // above and below it stand words
	g.middle = graphHigh / 2
	fmt.Fprintf(g, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" fill="none" stroke="currentColor" `+
		`font-size="10" font-family="DejaVu Sans, sans-serif" data-side="%g" data-wide="%g">`, graphWide, graphHigh+gapHigh+30, graphWide,
		graphHigh+gapHigh+30, graphSide, graphWide-2*graphSide)
	g.title()
	g.strip()
	g.sides()
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

func (g *graph) title() {
	f := g.flange
	g.text(graphSide, graphHigh+gapHigh+26, "start", fmt.Sprintf("%s: %.1f mm long, %.1f to %.1f mm wide, %.2f to %.2f mm of air", f.ID,
		f.Length,
		f.Width.Least, f.Width.Greatest, f.Air.Least, f.Air.Greatest))
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
	g.text(graphSide-4, foot-(gapHigh-12), "end", fmt.Sprintf("%.2f", most))
	g.text(graphSide-4, foot, "end", "0")
}

// welds are drawn as on the maps: a ring for a fill weld, a full square for a tack, a diamond for one behind a clamp.
func (g *graph) welds(plan *layout.Plan) {
	last := math.Inf(-1)
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
		if math.Abs(x-last) > 18 {
			g.text(x, y-6, "middle", fmt.Sprint(w.Number))
			last = x
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
