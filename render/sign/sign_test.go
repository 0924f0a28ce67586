package sign

import (
	"math"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/render/flow"
	"seamwright/render/paper"
)

// all are the signs in use on a sheet that uses every one.
func all() Used {
	used := Used{}
	for k := Fill; k <= Panels; k++ {
		used[k] = true
	}
	return used
}

// texts are the words on a page.
func texts(p *paper.Page) string {
	out := ""
	for _, l := range p.Layers {
		for _, it := range l.Items {
			if it.Kind == paper.Text {
				out += it.Text + "\n"
			}
		}
	}
	return out
}

// Every sign has its line in the legend, and a sheet that uses one sign explains that one alone.
func TestEverySignIsExplained(t *testing.T) {
	said := map[string]Kind{}
	for k := range all() {
		list := (Legend{Guns: "A pinch", Panels: "1 roof"}).entries(paper.New(paper.A3, ""), Used{k: true})
		if len(list) != 1 {
			t.Fatalf("sign %d has %d lines", k, len(list))
		}
		if other, again := said[list[0].text]; again {
			t.Errorf("signs %d and %d are both %q", k, other, list[0].text)
		}
		said[list[0].text] = k
	}
}

// The lists of panels and guns give way first; what else finds no room is counted.
func TestLegendGivesWay(t *testing.T) {
	g := Legend{Guns: strings.Repeat("A pinch gun; ", 12), Panels: strings.Repeat("7 side-outer, ", 12), SeamWidth: true}
	for _, c := range []struct {
		high     float64
		panels   bool
		unplaced func(n int) bool
	}{
		{120, true, func(n int) bool { return n == 0 }},
		{75, false, func(n int) bool { return n == 0 }},
		{22, false, func(n int) bool { return n > 0 && n < 17 }},
		{6, false, func(n int) bool { return n == 17 }},
	} {
		p := paper.New(paper.A3, "")
		box := paper.Box{X0: 20, Y0: 20, X1: 190, Y1: 20 + c.high}
		panels, unplaced := g.Draw(flow.NewPen(p), box, all())
		said := strings.Contains(texts(p), "7 side-outer")
		if panels != c.panels || said != c.panels || !c.unplaced(unplaced) {
			t.Errorf("%g mm high: panels listed %v and said %v, %d signs without room", c.high, panels, said, unplaced)
		}
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if b := it.Box(); !box.Grow(0.5).Holds(b) {
					t.Errorf("%g mm high: layer %s leaves its box: %v", c.high, l.Name, b)
				}
			}
		}
	}
}

// What is drawn of a weld, fixture or start stays within the radius that labels keep clear of, and comes near it.
func TestRadii(t *testing.T) {
	at := paper.Point{X: 50, Y: 50}
	reach := func(draw func(k Ink, p *paper.Page)) float64 {
		p, most := paper.New(paper.A4, ""), 0.0
		draw(NewInk(p, "x"), p)
		for _, l := range p.Layers {
			for _, it := range l.Items {
				if it.Kind == paper.Circle {
					most = max(most, it.Points[0].Sub(at).Norm()+it.Radius)
					continue
				}
				for _, q := range it.Points {
					most = max(most, q.Sub(at).Norm())
				}
			}
		}
		return most
	}
	for _, step := range []layout.WeldStep{layout.Tack, layout.Fill, layout.Released} {
		for _, sheets := range []int{2, 3} {
			for _, tilt := range []float64{0, 0.4, -0.5, 8} {
				w := layout.Weld{Step: step, Sheets: make([]string, sheets), Tilt: tilt}
				got := reach(func(k Ink, _ *paper.Page) {
					k.Weld(OfWeld(w), at, sheets > 2, false)
					if Tilted(w) {
						k.Tilt(at)
					}
				})
				if r := Radius(w); got > r+0.5 || got < r-0.1 { // corners reach farther
					t.Errorf("%s of %d sheets, tilted %g: reaches %.2f, said %.2f", step, sheets, tilt, got, r)
				}
			}
		}
	}
	for _, kind := range []Kind{Clamp, ClampOpened, Dowel, Hold} {
		got := reach(func(k Ink, _ *paper.Page) { k.Fixture(kind, at, paper.Point{X: 1, Y: 2}) })
		if r := kind.Radius(); got > r+0.3 || got < r-0.5 {
			t.Errorf("fixture %d reaches %.2f, said %.2f", kind, got, r)
		}
	}
}

// Ticks and arrow heads stand every 2.5 mm along a seam, whatever the lengths of its pieces, and heads fly its way.
func TestSeamIsTickedEvenly(t *testing.T) {
	points := []paper.Point{{X: 10, Y: 10}, {X: 10, Y: 10}, {X: 10.7, Y: 10}, {X: 50, Y: 10}, {X: 50, Y: 71}}
	p := paper.New(paper.A4, "")
	k, line := NewInk(p, "seam"), p.Layer("line", paper.Style{})
	heads := k.Seam(line, points)
	if n, want := len(line.Items)+len(heads), int(math.Floor((40+61-1.25)/2.5))+1; n != want {
		t.Errorf("%d ticks and heads on 101 mm, want %d", n, want)
	}
	if len(heads) != 3 || heads[0] != (paper.Point{X: 10 + 1.25 + 4*2.5, Y: 10}) {
		t.Fatalf("heads at %v", heads)
	}
	for i, it := range k.black.Items {
		along, tip := it.Points[0].Sub(heads[i]), paper.Point{X: headLong / 2}
		if heads[i].X == 50 {
			tip = paper.Point{Y: headLong / 2}
		}
		if along.Sub(tip).Norm() > 1e-9 {
			t.Errorf("head %d flies %v", i, along)
		}
	}
}
