package pack

import (
	"fmt"
	"math"
	"strings"

	"seamwright/layout"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// twig is a panel or sub-assembly in the tree.
type twig struct {
	name  string
	thick string   // of a panel, mm
	lines []string // what stands below the name of a sub-assembly
	parts []*twig
	below bool // a sub-assembly whose own tree is drawn elsewhere
}

// panel reports whether it is drawn as a single line.
func (t *twig) panel() bool { return len(t.parts) == 0 && len(t.lines) == 0 }

// Measures of the tree on paper, mm.
const (
	leafHigh  = 6.2
	boxAir    = 2.5   // between boxes
	treeWide  = 180.0 // of a page
	panelWide = 58.0
	columnAir = 8.0 // between columns, for the lines
	deepest   = 3   // sub-assemblies within each other that find room side by side
)

// tree is the sheet of sub-assemblies: panels on the left, what they become on the right.
func (b *binder) tree() []*paper.Page {
	w := b.work("Tree of sub-assemblies", b.plan.Shell.Name, b.plan.Shell.Number)
	w.Title("What is made of what, and where", 30)
	w.Note("Each line leads a panel, with its sheet thickness in mm, or a sub-assembly to the station where it is welded on.")
	for _, root := range b.roots() {
		for _, t := range split(root, w.Box.Height()-24) {
			w.grow(t)
		}
	}
	return w.Pages()
}

// roots are what no other part is made of.
func (b *binder) roots() []*twig {
	inside := map[string]bool{}
	for _, s := range b.plan.Subassemblies {
		for _, p := range s.Parts {
			inside[p] = true
		}
	}
	for _, st := range b.plan.Stations {
		if st.Makes == "" {
			for _, p := range st.Arrives {
				inside[p] = true
			}
		}
	}
	var out []*twig
	for _, s := range b.plan.Subassemblies {
		if !inside[s.ID] {
			out = append(out, b.twig(s.ID, len(b.plan.Subassemblies)))
		}
	}
	for _, st := range b.plan.Stations {
		if st.Makes != "" || len(st.Arrives) == 0 {
			continue
		}
		root := &twig{name: b.plan.Shell.Name, lines: b.made(st)}
		for _, p := range st.Arrives {
			root.parts = append(root.parts, b.twig(p, len(b.plan.Subassemblies)))
		}
		out = append(out, root)
	}
	return out
}

// twig builds a part's tree, at most depth levels down.
func (b *binder) twig(id string, depth int) *twig {
	t := &twig{name: id}
	if b.index.HasPanel(id) {
		p := b.index.Panel(id)
		t.thick = number(p.Thickness, 2)
		if p.Name != "" {
			t.name = p.Name
		}
		return t
	}
	s, ok := b.index.Subassembly(id)
	if !ok || depth < 0 {
		return t
	}
	if s.Name != "" {
		t.name = s.Name
	}
	for _, st := range b.plan.Stations {
		if st.Makes == id {
			t.lines = b.made(st)
		}
	}
	for _, p := range s.Parts {
		t.parts = append(t.parts, b.twig(p, depth-1))
	}
	return t
}

// made says where and with how much work a product is made.
func (b *binder) made(st layout.Station) []string {
	seams := b.index.Station(st.ID).Rolled / 1000
	out := []string{"at " + st.ID}
	if st.Welds > 0 {
		out = append(out, fmt.Sprintf("%d welds", st.Welds))
	}
	if seams > 0 {
		out = append(out, number(seams, 1)+" m rolled")
	}
	return append(out, number(st.Minutes, 0)+" min")
}

// boxWide is the width of a sub-assembly's box where so many stand side by side.
func boxWide(columns int) float64 {
	return math.Min(60, (treeWide-panelWide-columnAir*float64(columns))/float64(max(1, columns)))
}

// text is what stands in a sub-assembly's box.
func (t *twig) text(width float64) []string {
	var out []string
	for _, line := range append([]string{t.name}, t.lines...) {
		out = append(out, paper.Wrap(line, small, width-2.4)...)
	}
	return out
}

func (t *twig) boxHigh(width float64) float64 {
	return float64(len(t.text(width)))*linePitch + 2.5
}

// high is the height that a tree takes when its boxes are so wide.
func (t *twig) high(width float64) float64 {
	if t.panel() {
		return leafHigh
	}
	return math.Max(t.partsHigh(width), t.boxHigh(width)) + boxAir
}

func (t *twig) partsHigh(width float64) float64 {
	sum := 0.0
	for _, p := range t.parts {
		sum += p.high(width)
	}
	return sum
}

// rank is how many sub-assemblies stand side by side up to this one; panels have none.
func (t *twig) rank() int {
	if t.panel() {
		return 0
	}
	most := 0
	for _, p := range t.parts {
		most = max(most, p.rank())
	}
	return most + 1
}

// split cuts a tree that is too high for a page or too many levels deep: its sub-assemblies then get trees of
// their own, before it. A single sub-assembly with more parts than fit is cut into several.
func split(t *twig, page float64) []*twig {
	if t.rank() <= deepest && t.high(boxWide(t.rank())) <= page {
		return []*twig{t}
	}
	var out []*twig
	short := *t
	short.parts = nil
	for _, p := range t.parts {
		if len(p.parts) > 0 {
			out = append(out, split(p, page)...)
			p = &twig{name: p.name, lines: []string{"see its own tree"}, below: true}
		}
		short.parts = append(short.parts, p)
	}
	width := boxWide(2)
	for part := short; ; {
		n, sum := 0, boxAir
		for n < len(part.parts) && sum+part.parts[n].high(width) <= page {
			sum += part.parts[n].high(width)
			n++
		}
		some := part
		some.parts = part.parts[:max(n, 1)]
		out = append(out, &some)
		if part.parts = part.parts[len(some.parts):]; len(part.parts) == 0 {
			return out
		}
		part.name = strings.TrimSuffix(t.name, " (continued)") + " (continued)"
	}
}

// grow draws a tree.
func (w *work) grow(t *twig) {
	const above = 6.0
	width := boxWide(t.rank())
	high := t.high(width)
	w.Draw(above+high, func(pen flow.Pen, box paper.Box) {
		canopy{pen, box.X0, width}.branch(t, box.Y0+above)
	})
}

// canopy is where a tree is drawn: from the left end of its panels on, with boxes of one width.
type canopy struct {
	flow.Pen
	left, width float64
}

// place is where a part of some rank stands across the page.
func (c canopy) place(rank int) (from, to float64) {
	if rank == 0 {
		return c.left, c.left + panelWide
	}
	from = c.left + panelWide + columnAir + float64(rank-1)*(c.width+columnAir)
	return from, from + c.width
}

// branch draws a tree from a height on and returns the middle of its own box.
func (c canopy) branch(t *twig, y float64) float64 {
	high := t.high(c.width)
	middle := y + high/2
	x0, x1 := c.place(t.rank())
	if t.panel() {
		c.panel(t, paper.Box{X0: x0, Y0: middle - leafHigh/2 + 0.5, X1: x1, Y1: middle + leafHigh/2 - 0.5})
		return middle
	}
	at := y + (high-t.partsHigh(c.width))/2
	for _, p := range t.parts {
		m := c.branch(p, at)
		_, end := c.place(p.rank())
		bend := x0 - columnAir/2 // one upright for all
		c.Rules.Polyline([]paper.Point{{X: end, Y: m}, {X: bend, Y: m}, {X: bend, Y: middle}, {X: x0, Y: middle}})
		at += p.high(c.width)
	}
	box := c.Strong
	if t.below {
		box = c.Thin
	}
	half := t.boxHigh(c.width) / 2
	box.Rect(paper.Box{X0: x0, Y0: middle - half, X1: x1, Y1: middle + half})
	for i, line := range t.text(c.width) {
		c.Words.Text(paper.Point{X: x0 + 1.2, Y: middle - half + 0.4 + linePitch*float64(i+1)}, small, paper.Start, line)
	}
	return middle
}

// panel draws a panel's line: its name, and its thickness at the right.
func (c canopy) panel(t *twig, box paper.Box) {
	c.Thin.Rect(box)
	y := box.Center().Y + small/2
	c.Words.Text(paper.Point{X: box.X1 - 1.2, Y: y}, small, paper.End, t.thick)
	c.Words.Text(paper.Point{X: box.X0 + 1.2, Y: y}, small, paper.Start, paper.Fit(t.name, small, box.Width()-4-paper.Width(t.thick, small)))
}
