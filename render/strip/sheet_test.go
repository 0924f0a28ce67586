package strip

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/render/paper"
)

var update = flag.Bool("update", false, "write the golden files")

func mustSheets(t testing.TB, p *layout.Plan, opt Options) []Sheet {
	t.Helper()
	sheets, err := Sheets(layout.NewIndex(p), "strip", opt)
	if err != nil {
		t.Fatal(err)
	}
	return sheets
}

// rich is a plan with everything that a strip can show.
func rich() *layout.Plan {
	p := planOf(flangeOf(coneRing(91, 1.2), 9), 1, 27)
	f := &p.Flanges[0]
	setSides(f, layout.Side{From: 0, To: 300, Left: layout.FreeEdge, Right: layout.Bend},
		layout.Side{From: 300, To: 400, Left: layout.GapOpens, Right: layout.StackEnds}, layout.Side{From: 400, To: 571.8})
	f.Holes = []layout.Hole{{At: f.Line[51].At, Radius: 4}}
	for i := range p.Welds {
		if i%3 == 0 {
			p.Welds[i].Sheets = append(p.Welds[i].Sheets, "third")
		}
	}
	r := layout.Seam{ID: "roll", Station: "st1", Flange: "strip", Closed: true}
	for i := range f.Line {
		k := (i + 40) % len(f.Line)
		r.Path, r.Normals = append(r.Path, f.Line[k].At), append(r.Normals, f.Line[k].Normal)
	}
	p.Seams = append(p.Seams, r)
	return p
}

func samples() map[string]*layout.Plan {
	return map[string]*layout.Plan{
		"straight": planOf(flangeOf(straight(1000), 8), 0.9, 25),
		"narrow":   planOf(flangeOf(straight(620), 5.5), 0.9, 30),
		"short":    planOf(flangeOf(straight(41), 8), 0.9, 20),
		"crowded":  planOf(flangeOf(straight(700), 8), 0.9, 11),
		"lamp":     planOf(flangeOf(flatRing(91), 9), 0.9, 27),
		"cone":     rich(),
		"bare":     planOf(flangeOf(helix(200, 0.4, 900), 10), 1.5, 0),
	}
}

// Every weld stands on one piece, everything within the page, every number in free room.
func TestEveryWeldOnce(t *testing.T) {
	for name, p := range samples() {
		t.Run(name, func(t *testing.T) {
			welds, dots := 0, 0
			for _, s := range mustSheets(t, p, Options{}) {
				welds += s.Welds
				if s.Crowded > 0 {
					t.Errorf("page %d: %d numbers or letters without room", s.Number, s.Crowded)
				}
				page := paper.Box{X0: rim - 1e-9, Y0: rim - 1e-9, X1: pageWide - rim + 1e-9, Y1: pageHigh - rim + 1e-9}
				for _, l := range s.Page.Layers {
					for _, it := range l.Items {
						if l.Name != "sheet" && !page.Holds(it.Box()) {
							t.Errorf("page %d: layer %s: %v is beyond the rim", s.Number, l.Name, it.Box())
						}
						if l.Name == "weld centres" {
							dots++
						}
					}
				}
			}
			if welds != len(p.Welds) || dots != len(p.Welds) {
				t.Errorf("%d welds, %d centres drawn, want %d", welds, dots, len(p.Welds))
			}
		})
	}
}

// On a level strip the words' boxes can be compared: none touches another or leaves the strip.
func TestWordsKeepClear(t *testing.T) {
	for _, name := range []string{"straight", "narrow", "crowded"} {
		for _, s := range mustSheets(t, samples()[name], Options{}) {
			var boxes []paper.Box
			for _, l := range s.Page.Layers {
				for _, it := range l.Items {
					if it.Kind == paper.Text && l.Name == "words" {
						boxes = append(boxes, it.Box())
					}
				}
			}
			if len(boxes) == 0 {
				t.Fatalf("%s: no words", name)
			}
			for i, a := range boxes {
				for _, b := range boxes[:i] {
					if a.Overlaps(b) {
						t.Errorf("%s: page %d: words at %v and %v overlap", name, s.Number, a, b)
					}
				}
			}
		}
	}
}

// Cuts stay clear of welds, and pieces are about equally long.
func TestCutsAreClear(t *testing.T) {
	for name, p := range samples() {
		f := mustDevelop(t, p, Options{})
		pieces, err := f.cut()
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range pieces {
			if i > 0 && c.from != pieces[i-1].to || i == 0 && c.from != 0 {
				t.Errorf("%s: piece %d starts at %g", name, c.number, c.from)
			}
			for _, w := range f.welds {
				if c.to < f.total() && w.s-c.to < w.radius() && c.to-w.s < w.radius() {
					t.Errorf("%s: the cut at %.1f mm goes through weld %d at %.1f", name, c.to, w.number, w.s)
				}
			}
			if len(pieces) > 1 && c.to-c.from < 0.5*f.total()/float64(len(pieces)) {
				t.Errorf("%s: piece %d of %d is %.0f mm of %.0f", name, c.number, c.of, c.to-c.from, f.total())
			}
		}
		if last := pieces[len(pieces)-1]; last.to != f.total() {
			t.Errorf("%s: ends at %g of %g", name, last.to, f.total())
		}
	}
}

// A closed flange is cut between welds, its sides and welds keep their places.
func TestClosedFlangeIsCutBetweenWelds(t *testing.T) {
	p := planOf(flangeOf(flatRing(91), 9), 0.9, 0)
	for i, along := range []float64{0.5, 40, 80, 560} {
		at := polar(91, along/91, 5)
		p.Welds = append(p.Welds, layout.Weld{Number: i + 1, Station: "st1", Flange: "strip", Along: along, Position: layout.Vec{at.X, at.Y,
			at.Z}, WeldDiameter: 5})
	}
	setSides(&p.Flanges[0], layout.Side{From: 0, To: 100, Left: layout.FreeEdge}, layout.Side{From: 100, To: 571.77, Left: layout.Bend})
	f := mustDevelop(t, p, Options{})
	if f.CutAt < 565 || f.CutAt > 567 { // half-way from 560 round to 0.5
		t.Errorf("cut at %.1f mm", f.CutAt)
	}
	for i, want := range []float64{0.5 - f.CutAt + f.total(), 40 - f.CutAt + f.total(), 80 - f.CutAt + f.total(), 560 - f.CutAt + f.total()} {
		k := 0
		for k < len(f.welds) && f.welds[k].number != i+1 {
			k++
		}
		if got := f.welds[k].s; got-want > 0.05 || want-got > 0.05 {
			t.Errorf("weld %d at %.2f mm, want %.2f", i+1, got, want)
		}
	}
	var text []string
	for _, s := range f.sides {
		text = append(text, fmt.Sprintf("%.0f-%.0f %s", s.From, s.To, s.Left))
	}
	if got := strings.Join(text, ", "); got != "0-5 bend, 5-107 free edge, 107-572 bend" {
		t.Error(got)
	}
}

func TestGolden(t *testing.T) {
	for _, name := range []string{"cone", "narrow"} {
		for _, s := range mustSheets(t, samples()[name], Options{}) {
			file := filepath.Join("testdata", fmt.Sprintf("%s-%d.svg", name, s.Number))
			if *update {
				if err := os.WriteFile(file, s.SVG, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(s.SVG), "\n")); d != "" {
				t.Errorf("%s differs; look at the change and run with -update:\n%.3000s", file, d)
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	a, b := mustSheets(t, rich(), Options{}), mustSheets(t, rich(), Options{})
	for i := range a {
		if !bytes.Equal(a[i].SVG, b[i].SVG) {
			t.Errorf("page %d differs", i+1)
		}
	}
}

// Whatever lies on the line, drawing does not fail, and every weld is drawn once.
func TestAnyLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := flangeOf(straight(rapid.Float64Range(5, 900).Draw(t, "length")), rapid.Float64Range(2, 40).Draw(t, "half width"))
		p := planOf(f, rapid.Float64Range(0, 3).Draw(t, "thickness"), 0)
		for i := range rapid.IntRange(0, 40).Draw(t, "welds") {
			s := rapid.Float64Range(0, f.Length).Draw(t, "at")
			at := straight(1).point(s)
			p.Welds = append(p.Welds, layout.Weld{
				Number: i + 1, Station: "st1", Flange: "strip", Position: layout.Vec{at.X, at.Y, at.Z}, Along: s,
				WeldDiameter: rapid.Float64Range(0, 9).Draw(t, "diameter"), Step: rapid.SampledFrom([]layout.WeldStep{layout.Tack,
					layout.Fill, layout.Released, ""}).Draw(t, "step"),
			})
		}
		sheets, err := Sheets(layout.NewIndex(p), "strip", Options{})
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, s := range sheets {
			n += s.Welds
		}
		if n != len(p.Welds) {
			t.Fatalf("%d of %d welds", n, len(p.Welds))
		}
	})
}

func ExampleSheets() {
	plan := planOf(flangeOf(straight(1000), 8), 0.9, 25)
	sheets, err := Sheets(layout.NewIndex(plan), "strip", Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range sheets {
		fmt.Printf("%s: page %d of %d, %d pieces, %d welds\n", s.Name, s.Number, s.Of, s.Pieces, s.Welds)
	}
	// Output:
	// strip-strip-1: page 1 of 1, 4 pieces, 40 welds
}

// Every page carries the whole hash of the plan, as the maps do, clear of the bar that is measured.
func TestPlanOnEveryPage(t *testing.T) {
	hash := strings.Repeat("0123456789abcdef", 4)
	for name, plan := range samples() {
		sheets, err := Sheets(layout.NewIndex(plan), plan.Flanges[0].ID, Options{Hash: hash})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			if n := strings.Count(string(s.SVG), ">Plan "+hash+"<"); n != 1 {
				t.Errorf("%s, page %d: the plan stands on it %d times", name, s.Number, n)
			}
		}
	}
}

// On a ring of 60 mm, which would fit onto the page whole, a piece ends where it would lean by more than 50 degrees on either side of its
// chord, which lies level: after 100 degrees, its tab counted in, less at most the step of cutting and what is between two points.
func TestPiecesLieLevel(t *testing.T) {
	const radius = 60.0
	p := planOf(flangeOf(flatRing(radius), 8), 1, 0)
	pieces, err := mustDevelop(t, p, Options{}).cutAt(math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	want := 100*math.Pi/180*radius - tab
	if first := pieces[0]; first.to-first.from > want+2 || first.to-first.from < want-2-cutStep {
		t.Errorf("the first of %d pieces runs from %.1f to %.1f, want %.1f", len(pieces), first.from, first.to, want)
	}
}

// A cut keeps clear of holes and welds as far as it may move back; no cut goes through a hole that lies where the paper ends.
func TestCutsKeepClearOfHoles(t *testing.T) {
	p := planOf(flangeOf(straight(900), 8), 1, 0)
	plain, err := mustDevelop(t, p, Options{}).cut()
	if err != nil || len(plain) < 3 {
		t.Fatal(len(plain), err)
	}
	const radius = 6.0
	first := plain[0].to
	for _, off := range []float64{0, radius + clearOfCut - 0.5, -(radius + clearOfCut - 0.5)} {
		q := planOf(flangeOf(straight(900), 8), 1, 0)
		f := mustDevelop(t, q, Options{})
		k, s := f.locate(first + off)
		at := mix(f.way.line[k], f.way.line[k+1], s)
		q.Flanges[0].Holes = []layout.Hole{{At: layout.Vec{at.X, at.Y, at.Z}, Radius: radius}}
		pieces, err := mustDevelop(t, q, Options{}).cut()
		if err != nil {
			t.Fatal(err)
		}
		moved := false
		for _, c := range pieces[:len(pieces)-1] {
			if d := math.Abs(c.to - first - off); d < radius+clearOfCut-1e-9 {
				t.Errorf("hole %g mm beside the end of the paper: a cut %.1f mm from its middle", off, d)
			}
			moved = moved || !(math.Abs(c.to-first) <= 0.5)
		}
		if !moved {
			t.Errorf("hole %g mm beside the end of the paper: no cut has moved", off)
		}
	}
}
