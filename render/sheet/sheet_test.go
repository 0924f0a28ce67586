package sheet

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"seamwright/internal/sample"
	"seamwright/layout"
	"seamwright/render/label"
	"seamwright/render/paper"
)

var update = flag.Bool("update", false, "rewrite the golden files in testdata")

// drawn keeps the sample's sheets by size: tests only look at them.
var drawn = map[paper.Size][]Sheet{}

func drawSample(t *testing.T, opt Options) []Sheet {
	t.Helper()
	if sheets, ok := drawn[opt.Size]; ok {
		return sheets
	}
	drawn[opt.Size] = drawSampleAnew(t, opt)
	return drawn[opt.Size]
}

func drawSampleAnew(t *testing.T, opt Options) []Sheet {
	t.Helper()
	plan, panels := sample.Plan()
	sheets, err := Station(context.Background(), plan, panels, "st10", opt)
	if err != nil {
		t.Fatal(err)
	}
	return sheets
}

// The whole drawing of the sample station, one element a line. After a change look at the pictures, not only
// at the difference. The plan's hash is a fixed one, so that a new field of the plan does not change the drawing.
func TestGolden(t *testing.T) {
	for _, s := range drawSampleAnew(t, Options{Hash: strings.Repeat("0f", 32)}) {
		file := filepath.Join("testdata", s.Name+".svg")
		if *update {
			if err := os.WriteFile(file, s.SVG, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(want, s.SVG) {
			t.Errorf("%s differs from %s; look at it, then run with -update:\n%s", s.Name, file, differences(want, s.SVG))
		}
	}
}

// differences tells, layer by layer, which elements went and which came.
func differences(want, got []byte) string {
	old, order := elements(want, nil)
	now, order := elements(got, order)
	var out strings.Builder
	for _, layer := range order {
		gone, come := without(old[layer], now[layer]), without(now[layer], old[layer])
		if len(gone)+len(come) == 0 {
			continue
		}
		fmt.Fprintf(&out, "layer %s: %d elements went, %d came\n", layer, len(gone), len(come))
		for sign, list := range [][]string{gone, come} {
			for _, line := range list[:min(3, len(list))] {
				fmt.Fprintf(&out, "  %c %.160s\n", "-+"[sign], line)
			}
		}
	}
	if out.Len() == 0 {
		return "the same elements in another order"
	}
	return out.String()
}

// elements sorts a drawing's lines by layer; order lists the layers as they are first met.
func elements(svg []byte, order []string) (map[string][]string, []string) {
	out, layer := map[string][]string{}, "sheet"
	for _, line := range strings.Split(string(svg), "\n") {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "<g id=") {
			layer = strings.Split(line, `"`)[1]
		}
		if !slices.Contains(order, layer) {
			order = append(order, layer)
		}
		out[layer] = append(out[layer], line)
	}
	return out, order
}

// without leaves out of a what b holds too, each as often as b holds it.
func without(a, b []string) []string {
	count := map[string]int{}
	for _, line := range b {
		count[line]++
	}
	var out []string
	for _, line := range a {
		if count[line]--; count[line] < 0 {
			out = append(out, line)
		}
	}
	return out
}

func TestDifferencesAreReadable(t *testing.T) {
	got := differences([]byte("<svg>\n<g id=\"l-a\" x>\n<line 1>\n<line 2>\n</g>\n"),
		[]byte("<svg>\n<g id=\"l-a\" x>\n<line 2>\n<line 3>\n</g>\n"))
	if want := "layer l-a: 1 elements went, 1 came\n  - <line 1>\n  + <line 3>\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestSameBytesTwice(t *testing.T) {
	a, b := drawSample(t, Options{}), drawSampleAnew(t, Options{})
	for i := range a {
		if !bytes.Equal(a[i].SVG, b[i].SVG) {
			t.Errorf("%s differs between two calls", a[i].Name)
		}
	}
}

// sizes are all sheet sizes.
var sizes = []paper.Size{paper.A4, paper.A3, paper.A2, paper.A1}

func TestWellFormedAndSafe(t *testing.T) {
	for _, size := range sizes {
		for _, s := range drawSample(t, Options{Size: size}) {
			text := checkSafe(t, s)
			if strings.Contains(text, "Rail, lower half") && !strings.Contains(text, sample.Nasty) {
				t.Errorf("%s %s: the name %q did not survive", size.Name, s.Name, sample.Nasty)
			}
		}
	}
}

// checkSafe parses a sheet, refuses what it must not hold, and returns its words.
func checkSafe(t *testing.T, s Sheet) string {
	t.Helper()
	text, ids := "", map[string]bool{}
	d := xml.NewDecoder(bytes.NewReader(s.SVG))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%s: %v", s.Name, err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			checkElement(t, e, ids)
		case xml.CharData:
			text += string(e) + "\n"
		case xml.Directive:
			t.Errorf("%s: directive %s may name outside files", s.Name, e)
		case xml.ProcInst:
			if e.Target != "xml" {
				t.Errorf("%s: instruction %s to a reader", s.Name, e.Target)
			}
		}
	}
	if bytes.Contains(s.SVG, []byte("NaN")) || bytes.Contains(s.SVG, []byte("-0.00")) {
		t.Errorf("%s: a number is not fit to print", s.Name)
	}
	return text
}

// checkElement refuses what a drawing must not hold: scripts, pictures, references and repeated ids.
func checkElement(t *testing.T, e xml.StartElement, ids map[string]bool) {
	t.Helper()
	switch e.Name.Local {
	case "svg", "title", "desc", "g", "line", "polyline", "polygon", "path", "circle", "rect", "text":
	default:
		t.Errorf("element %s in a sheet", e.Name.Local)
	}
	for _, a := range e.Attr {
		if strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "href" || a.Name.Local == "style" || strings.Contains(a.Value, "url(") {
			t.Errorf("attribute %s=%q in a sheet", a.Name.Local, a.Value)
		}
		if a.Name.Local == "id" {
			if ids[a.Value] {
				t.Errorf("id %q twice", a.Value)
			}
			ids[a.Value] = true
		}
	}
}

// count tallies what overlaps on a page, from what is drawn rather than from what was planned.
type count struct {
	textText, textMark, textLeader, leaderLeader, outside, small int
}

type segment struct{ a, b paper.Point }

// overlaps looks at every pair of things drawn.
func overlaps(t *testing.T, s Sheet, frame paper.Box) count {
	var n count
	var texts, marks []paper.Box
	var words []string
	var leaders []segment
	for _, l := range s.Page.Layers {
		view := strings.HasPrefix(l.Name, "view ")
		for _, it := range l.Items {
			switch {
			case it.Kind == paper.Text:
				if it.Height < paper.TextHeight {
					n.small++
				}
				if l.Name != "grid-names" {
					texts, words = append(texts, it.Box()), append(words, it.Text)
					if !frame.Holds(it.Box()) {
						n.outside++
						t.Logf("outside: %q", it.Text)
					}
				}
			case view && strings.HasSuffix(l.Name, "leaders") && it.Kind == paper.Polyline:
				leaders = append(leaders, segment{it.Points[0], it.Points[1]})
			case view && (strings.HasSuffix(l.Name, "marks") || strings.HasSuffix(l.Name, "rings") || strings.HasSuffix(l.Name, "dots")):
				marks = append(marks, it.Box())
			}
		}
	}
	for i, a := range texts {
		for k, b := range texts[i+1:] {
			if a.Overlaps(b) {
				n.textText++
				t.Logf("text on text: %q and %q", words[i], words[i+1+k])
			}
		}
		for _, m := range marks {
			if a.Overlaps(m.Grow(-0.2)) { // round marks do not fill their boxes
				n.textMark++
				t.Logf("text on mark: %q", words[i])
			}
		}
		for _, l := range leaders {
			if label.Crosses(l.a, l.b, a) {
				n.textLeader++
				t.Logf("leader through %q", words[i])
			}
		}
	}
	for i, a := range leaders {
		for _, b := range leaders[i+1:] {
			if properlyCross(a, b) {
				n.leaderLeader++
			}
		}
	}
	return n
}

// properlyCross is written on its own, not with what the placer uses.
func properlyCross(s, o segment) bool {
	d, e := s.b.Sub(s.a), o.b.Sub(o.a)
	det := d.X*e.Y - d.Y*e.X
	if math.Abs(det) < 1e-12 {
		return false
	}
	w := o.a.Sub(s.a)
	u, v := (w.X*e.Y-w.Y*e.X)/det, (w.X*d.Y-w.Y*d.X)/det
	return u >= 0 && u <= 1 && v >= 0 && v <= 1
}

func TestNothingOverlaps(t *testing.T) {
	for _, size := range sizes {
		for _, s := range drawSample(t, Options{Size: size}) {
			if n := overlaps(t, s, size.Frame()); n != (count{}) {
				t.Errorf("%s %s: %+v", size.Name, s.Name, n)
			}
			if s.Labels.Unplaced > 0 {
				t.Errorf("%s %s: %d labels found no place", size.Name, s.Name, s.Labels.Unplaced)
			}
		}
	}
}

// Every weld is drawn once with its own mark, and each run's numbers can be read on some sheet.
func TestEveryWeldIsDrawn(t *testing.T) {
	plan, panels := sample.Plan()
	sheets, err := Station(context.Background(), plan, panels, "st10", Options{})
	if err != nil {
		t.Fatal(err)
	}
	marks := 0
	text := ""
	for _, s := range sheets {
		text += string(s.SVG)
		marks += weldMarks(s)
		if s.Labels.Hidden > 0 {
			t.Errorf("%s: %d welds hidden", s.Name, s.Labels.Hidden)
		}
	}
	if marks != len(plan.Welds) {
		t.Errorf("%d weld marks, want %d", marks, len(plan.Welds))
	}
	for _, want := range []string{"1–4 A", "9–20 A", "33–48 B", "R1 after 47", ">32<", ">A S1<", ">C1", ">D2<", ">H1 160 ±0.5<",
		"ISO 10447",
		"Sample shell · st10 Front rail", plan.Shell.Input, "pitch.least"} {
		if !strings.Contains(text, want) {
			t.Errorf("no sheet says %q", want)
		}
	}
	if strings.Contains(text, "f99") {
		t.Error("a finding of another station is on the sheet")
	}
}

func TestHiddenWeldsAreSaid(t *testing.T) {
	plan, panels := sample.Plan()
	plan.Welds[5].Position[2] = 20 // inside the box rail
	sheets, err := Station(context.Background(), plan, panels, "st10", Options{})
	if err != nil {
		t.Fatal(err)
	}
	hidden, said := 0, false
	for _, s := range sheets {
		hidden += s.Labels.Hidden
		said = said || strings.Contains(string(s.SVG), "Welds that no view shows")
	}
	if hidden != 0 && !said {
		t.Errorf("%d welds hidden, but no table says so", hidden)
	}
	plan.Welds[5].Position[1] = 0
	if sheets, err = Station(context.Background(), plan, panels, "st10", Options{}); err != nil {
		t.Fatal(err)
	}
	hidden, said = 0, false
	for _, s := range sheets {
		hidden += s.Labels.Hidden
		said = said || strings.Contains(string(s.SVG), "Welds that no view shows")
	}
	if hidden != 1 || !said {
		t.Errorf("a weld inside the rail: %d hidden, said %v", hidden, said)
	}
}

func TestBadRequests(t *testing.T) {
	plan, panels := sample.Plan()
	for _, c := range []struct {
		name string
		do   func() error
		want string
	}{
		{"unknown station", func() error { _, err := Station(context.Background(), plan, panels, "st99", Options{}); return err }, "st10"},
		{"missing mesh", func() error { _, err := Station(context.Background(), plan, panels[1:], "st10", Options{}); return err }, "rail-top"},
		{"not a number", func() error {
			p, v := sample.Plan()
			p.Stations[0].HoldPoints[0].To[0] = math.NaN()
			_, err := Station(context.Background(), p, v, "st10", Options{})
			return err
		}, "not a number"},
	} {
		err := c.do()
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one that holds %q", c.name, err, c.want)
		}
	}
}

func TestEmptyStationIsDrawn(t *testing.T) {
	plan, panels := sample.Plan()
	plan.Welds, plan.Runs, plan.Seams, plan.Findings = nil, nil, nil, nil
	plan.Stations[0].Clamps, plan.Stations[0].Dowels, plan.Stations[0].HoldPoints, plan.Stations[0].Steps = nil, nil, nil, nil
	if _, err := Station(context.Background(), plan, panels, "st10", Options{}); err != nil {
		t.Fatal(err)
	}
}

// A clamp that no view can show is named in a table.
func TestFixturesOutsideTheViewsAreSaid(t *testing.T) {
	plan, panels := sample.Plan()
	plan.Stations[0].Clamps[0].At = layout.Vec{-900, 5000, 0}
	sheets, err := Station(context.Background(), plan, panels, "st10", Options{})
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, s := range sheets {
		text += string(s.SVG)
	}
	if !strings.Contains(text, "outside the views") || !strings.Contains(text, "-900, 5000, 0") {
		t.Error("the clamp is neither drawn nor named")
	}
}

// Tables that take several sheets flow on, and a row that fits on no sheet is said.
func TestLongTables(t *testing.T) {
	plan, panels := sample.Plan()
	for range 300 {
		plan.Stations[0].Steps = append(plan.Stations[0].Steps, plan.Stations[0].Steps[0])
	}
	sheets, err := Station(context.Background(), plan, panels, "st10", Options{Size: paper.A4})
	if err != nil {
		t.Fatal(err)
	}
	if len(sheets) < 6 || !strings.Contains(string(sheets[4].SVG), "Order of work (continued)") {
		t.Errorf("%d sheets for 310 steps", len(sheets))
	}
	plan.Stations[0].Steps[0].Text = strings.Repeat("a very long step ", 1000)
	if _, err = Station(context.Background(), plan, panels, "st10", Options{Size: paper.A4}); err == nil ||
		!strings.Contains(err.Error(), "Order of work") {
		t.Errorf("a step longer than a sheet: error %v", err)
	}
}

func ExampleStation() {
	plan, panels := sample.Plan()
	sheets, err := Station(context.Background(), plan, panels, "st10", Options{Size: paper.A3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range sheets {
		fmt.Println(s.Name, s.Number, "of", s.Of, s.Views)
	}
	// Output:
	// st10-1 1 of 4 [View A, from above (+Z), 1:6]
	// st10-2 2 of 4 []
	// st10-3 3 of 4 []
	// st10-4 4 of 4 []
}

// weldMarks counts the welds that a sheet draws with a mark of their own.
func weldMarks(s Sheet) int {
	n := 0
	for _, l := range s.Page.Layers {
		if strings.HasPrefix(l.Name, "view ") && strings.HasSuffix(l.Name, " marks") && len(strings.Fields(l.Name)) == 4 {
			n += len(l.Items)
		}
	}
	return n
}
