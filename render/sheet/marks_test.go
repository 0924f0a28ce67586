package sheet

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/label"
	"seamwright/render/paper"
	"seamwright/render/sign"
	"seamwright/render/view"
)

// drawnWeld is a weld's mark as a view has it.
type drawnWeld struct {
	number int // 0: numbered elsewhere, a dot
	at     paper.Point
	r      float64
}

// drawnWelds are the marks of welds in a view, from the plan's places.
func drawnWelds(p *page, f *figure.Figure) []drawnWeld {
	var out []drawnWeld
	targets := p.job.set.Targets()
	for i, w := range p.job.set.Here.Welds {
		switch at := f.On(w.Position.R3()); {
		case p.job.set.Shown(i) == f:
			out = append(out, drawnWeld{w.Number, at, sign.Radius(w)})
		case !f.Gauge && f.Shows(w.Position.R3()) && f.Picture.Sees(targets[i]):
			out = append(out, drawnWeld{0, at, sign.DotRadius})
		}
	}
	return out
}

var onlyDigits = regexp.MustCompile(`^[0-9]+$`)

// strayNumbers tells of numbers that a reader could take for another weld's: without leader and not nearer by 1 mm to their own
// mark than to any other, or with a leader that ends elsewhere. It looks at what is drawn.
func strayNumbers(p *page) (stray []string, looked int) {
	for _, f := range p.figures {
		welds := drawnWelds(p, f)
		var leaders []segment
		for _, l := range p.paper.Layers {
			if l.Name == "view "+f.Letter+" leaders" {
				for _, it := range l.Items {
					if it.Kind == paper.Polyline {
						leaders = append(leaders, segment{it.Points[0], it.Points[1]})
					}
				}
			}
		}
		items := layer(p, "view "+f.Letter+" label words").Items
		for k, it := range items {
			if it.Height != paper.TextHeight || !onlyDigits.MatchString(it.Text) {
				continue
			}
			looked++
			box := it.Box()
			if k+1 < len(items) && items[k+1].Points[0].Y == it.Points[0].Y && items[k+1].Height == paper.AtJig &&
				items[k+1].Points[0].X-box.X1 < 1.5 {
				next := items[k+1].Box() // the gun and setting of a short run are of the same label
				box = box.With(paper.Point{X: next.X1, Y: next.Y0}).With(paper.Point{X: next.X1, Y: next.Y1})
			}
			if why := strayed(it.Text, box, welds, leaders); why != "" {
				stray = append(stray, fmt.Sprintf("view %s number %s: %s", f.Letter, it.Text, why))
			}
		}
	}
	return stray, looked
}

func strayed(text string, box paper.Box, welds []drawnWeld, leaders []segment) string {
	number, _ := strconv.Atoi(text)
	i := slices.IndexFunc(welds, func(w drawnWeld) bool { return w.number == number })
	if i < 0 {
		return "its weld is not in the view"
	}
	own := welds[i]
	for _, l := range leaders {
		if label.Away(l.a, box.Grow(0.5)) == 0 {
			if d := l.b.Sub(own.at).Norm(); d > own.r+0.05 {
				return fmt.Sprintf("its leader ends %.1f mm from the weld", d)
			}
			return ""
		}
	}
	mine := label.Away(own.at, box) - own.r
	for k, w := range welds {
		if d := label.Away(w.at, box) - w.r; k != i && d < mine+1 {
			return fmt.Sprintf("%.2f mm from its weld, %.2f mm from weld %d", mine, d, w.number)
		}
	}
	return ""
}

// inside reports whether a place lies within a drawn shape.
func inside(it paper.Item, p paper.Point) bool {
	switch it.Kind {
	case paper.Circle:
		return p.Sub(it.Points[0]).Norm() < it.Radius
	case paper.Rect:
		b := it.Box()
		return p.X > b.X0 && p.X < b.X1 && p.Y > b.Y0 && p.Y < b.Y1
	case paper.Polygon:
		return within(p, it.Points)
	}
	return false
}

// within reports whether a place lies within a polygon: an odd number of its sides lie beside it.
func within(at paper.Point, polygon []paper.Point) bool {
	in := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y > at.Y) != (b.Y > at.Y) && at.X < a.X+(at.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// layer is a page's layer of a name; an empty one where it has none.
func layer(p *page, name string) paper.Layer {
	for _, l := range p.paper.Layers {
		if l.Name == name {
			return *l
		}
	}
	return paper.Layer{}
}

// covered is the greatest share of a shape that another covers.
func covered(a, b paper.Item) float64 {
	share := 0.0
	for _, pair := range [][2]paper.Item{{a, b}, {b, a}} {
		n, both := 0, 0
		box := pair[0].Box()
		for x := box.X0; x < box.X1; x += 0.08 {
			for y := box.Y0; y < box.Y1; y += 0.08 {
				if at := (paper.Point{X: x, Y: y}); inside(pair[0], at) {
					n++
					if inside(pair[1], at) {
						both++
					}
				}
			}
		}
		share = max(share, float64(both)/float64(max(n, 1)))
	}
	return share
}

// coveredSymbols tells of symbols that cover more than a fifth of another in a view.
func coveredSymbols(p *page) (bad []string, looked int) {
	for _, f := range p.figures {
		var shapes []paper.Item
		for _, l := range p.paper.Layers {
			if !strings.HasPrefix(l.Name, "view "+f.Letter+" ") || !strings.HasSuffix(l.Name, " marks") && !strings.HasSuffix(l.Name, " starts") {
				continue
			}
			for _, it := range l.Items {
				if it.Kind == paper.Circle || it.Kind == paper.Rect || it.Kind == paper.Polygon {
					shapes = append(shapes, it)
				}
			}
		}
		looked += len(shapes)
		for i, a := range shapes {
			for _, b := range shapes[i+1:] {
				if a.Box().Overlaps(b.Box()) && covered(a, b) > 0.2 {
					bad = append(bad, fmt.Sprintf("view %s: %.0f %% at %.0f", f.Letter, 100*covered(a, b), a.Box().Center()))
				}
			}
		}
	}
	return bad, looked
}

// checkMarks holds a station's sheets to what a reader needs of numbers and symbols.
func checkMarks(t *testing.T, d drawing, numbers, symbols int) {
	t.Helper()
	n, m := 0, 0
	for _, p := range d.pages {
		stray, looked := strayNumbers(p)
		n += looked
		for _, what := range stray {
			t.Error(what)
		}
		bad, shapes := coveredSymbols(p)
		m += shapes
		for _, what := range bad {
			t.Error("covered: " + what)
		}
		checkHolds(t, p)
		checkLetters(t, p)
		checkCallouts(t, p)
	}
	if n < numbers || m < symbols {
		t.Errorf("looked at %d numbers and %d symbols, want at least %d and %d", n, m, numbers, symbols)
	}
}

// checkHolds holds each drawn dimension to be within 20 degrees of the paper with both ends in sight and marked.
func checkHolds(t *testing.T, p *page) {
	t.Helper()
	for _, x := range p.job.set.Fixtures() {
		f, _ := p.job.set.Belongs(x)
		if x.To == x.At || f == nil || !slices.Contains(p.figures, f) {
			continue
		}
		way := x.To.R3().Sub(x.At.R3())
		out := math.Asin(math.Abs(way.Normalize().Dot(f.Dir.Look))) * 180 / math.Pi
		if out > 20+1e-6 || !f.Picture.Shows(x.At.R3(), figure.Slack) || !f.Picture.Shows(x.To.R3(), figure.Slack) {
			t.Errorf("%s is drawn in %s, %.0f degrees out of the paper", x.Text, f.Caption(), out)
		}
		ends := 0
		for _, it := range layer(p, "view "+f.Letter+" fixtures open marks").Items {
			if it.Kind != paper.Polygon || len(it.Points) != 6 {
				continue
			}
			c := it.Box().Center()
			if min(c.Sub(f.On(x.At.R3())).Norm(), c.Sub(f.On(x.To.R3())).Norm()) < 14 {
				ends++
			}
		}
		if ends < 2 {
			t.Errorf("%d ends of %s are marked", ends, x.Text)
		}
	}
}

// checkLetters holds what is read at the jig to 3.5 mm and weld numbers to 2.5 mm; what is not read there may be 2.5 mm.
func checkLetters(t *testing.T, p *page) {
	t.Helper()
	if p.office {
		return
	}
	for _, l := range p.paper.Layers {
		office := l.Name == "title-names" || strings.HasPrefix(l.Name, "fields") || l.Name == "check-bar-text"
		for _, it := range l.Items {
			if it.Kind != paper.Text || office {
				continue
			}
			number := strings.HasSuffix(l.Name, "label words") && onlyDigits.MatchString(it.Text)
			if !number && it.Height < paper.AtJig || number && it.Height < paper.TextHeight {
				t.Errorf("layer %s: %q is %.1f mm high", l.Name, it.Text, it.Height)
			}
		}
	}
}

// checkCallouts holds the symbols on the reference lines of call-outs to touch none of their words: rings, lines and letters as drawn.
func checkCallouts(t *testing.T, p *page) {
	t.Helper()
	for _, f := range p.figures {
		for _, ring := range layer(p, "view "+f.Letter+" label lines").Items {
			if ring.Kind != paper.Circle || ring.Radius != sign.SpotRadius {
				continue
			}
			for _, word := range layer(p, "view "+f.Letter+" label words").Items {
				up := word.Box()
				up.Y1 = word.Points[0].Y // letters of these words that reach below their line stand beside the ring
				if d := label.Away(ring.Points[0], up) - sign.SpotRadius - paper.W25/2; d < 0.1 {
					t.Errorf("the ring at %.0f is %.2f mm from %q", ring.Points[0], d, word.Text)
				}
			}
		}
	}
}

// checkAllMarks draws every station of a plan and looks at marks and numbers.
func checkAllMarks(t *testing.T, plan *layout.Plan, panels []view.Panel, numbers, symbols int) {
	t.Helper()
	for _, st := range plan.Stations {
		t.Run(st.ID, func(t *testing.T) {
			d, err := station(context.Background(), layout.NewIndex(plan), panels, st.ID, Options{Hash: "x"}, &gallery{})
			if err != nil {
				t.Fatal(err)
			}
			checkMarks(t, d, numbers, symbols)
			checkFollowed(t, d)
			checkFaces(t, d)
			for _, x := range d.pages[0].job.set.Fixtures() {
				if f, _ := d.pages[0].job.set.Belongs(x); f == nil {
					t.Errorf("%s is in no view", x.Text)
				}
			}
		})
	}
}

// The demo with welds every 20 mm.
func TestMarksOfTheCrowdedDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("planning the demo takes its time")
	}
	plan, panels := planDemoWith(t, func(text []byte) []byte {
		return regexp.MustCompile(`pitch_mm: [0-9]+`).ReplaceAll(text, []byte("pitch_mm: 20"))
	})
	if len(plan.Welds) < 1500 {
		t.Fatalf("%d welds are no crowd", len(plan.Welds))
	}
	checkAllMarks(t, plan, panels, 12, 60)
}

// Shells with runs, clamps, dowels and hold points anywhere.
func TestMarksOfRandomShells(t *testing.T) {
	for seed := range uint64(8) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			plan, panels := randomShell(rand.New(rand.NewPCG(seed, 7)))
			d, err := station(context.Background(), layout.NewIndex(plan), panels, "st10", Options{Hash: "x"}, &gallery{})
			if err != nil {
				t.Fatal(err)
			}
			checkMarks(t, d, 4, 30)
			checkFollowed(t, d)
		})
	}
}

// randomShell is the cabin with runs of any pitch, and fixtures on and beside them.
func randomShell(r *rand.Rand) (*layout.Plan, []view.Panel) {
	plan, panels := sample.Cabin()
	b := &sample.Builder{Plan: plan}
	plan.Welds, plan.Runs = nil, nil
	st := &plan.Stations[0]
	for i, y := range []float64{500, -500} {
		name := []string{"left", "right"}[i]
		for side := range 4 {
			pitch := 15 + 40*r.Float64()
			for k, s := 0, 40.0; s < 820; k, s = k+1, s+pitch*(0.8+0.4*r.Float64()) {
				if k%(4+side) == 0 {
					step := []layout.WeldStep{"tack", "fill", "released"}[r.IntN(3)]
					b.Begin("frame-"+name, fmt.Sprintf("f%d%d", i, side), "c-350", "dome", "S1", step, pitch)
				}
				at := []r3.Vector{{X: 100 + s, Z: 40}, {X: 40, Z: s}, {X: 100 + s, Z: 860}, {X: 1160, Z: s}}[side]
				at.Y = y
				b.Weld(at, r3.Vector{Y: 1}, s, name+"-outer", name+"-inner")
				if r.IntN(9) == 0 {
					v := layout.Vec{at.X + 20*r.Float64(), at.Y, at.Z + 20*r.Float64()}
					st.Clamps = append(st.Clamps, layout.Fixture{ID: fmt.Sprintf("C%d", len(st.Clamps)+1), At: v, Release: "tacks"})
				}
			}
		}
	}
	b.Finish()
	st.Steps = nil
	for runs := range slices.Chunk(plan.Runs, 8) { // no more steps than find room beside their views
		s := layout.Step{Do: layout.DoFill, Text: "Fill."}
		for _, run := range runs {
			s.Runs = append(s.Runs, run.ID)
		}
		st.Steps = append(st.Steps, s)
	}
	at := layout.Vec{100 + 900*r.Float64(), 500, 100 + 700*r.Float64()}
	st.HoldPoints = []layout.HoldPoint{{ID: "H1", Text: "Width", Value: 1000.25, Tolerance: 0.25, At: at, To: layout.Vec{at[0], -500, at[2]}}}
	return plan, panels
}
