package paper

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"
)

func svgOf(t *testing.T, p *Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := p.SVG(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestEverythingIsEscaped(t *testing.T) {
	const nasty = `a<&">'b</text><script>x</script>` + "\x00\x1b\u2028"
	p := New(A4, nasty)
	p.Desc = nasty
	l := p.Layer(nasty, Style{Fill: Ink(`red" onload="x`), Stroke: Ink(`"><script>`), Width: 1})
	l.Text(Point{50, 50}, 2.5, Start, nasty)
	got := svgOf(t, p)
	d := xml.NewDecoder(strings.NewReader(got))
	names := map[string]int{}
	for {
		token, err := d.Token()
		if token == nil {
			break
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, got)
		}
		if e, ok := token.(xml.StartElement); ok {
			names[e.Name.Local]++
			for _, a := range e.Attr {
				if strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("attribute %s came through", a.Name.Local)
				}
			}
		}
	}
	if names["script"] > 0 || names["text"] != 1 || names["g"] != 1 {
		t.Errorf("elements %v in\n%s", names, got)
	}
}

func TestRefusesWhatIsNoNumber(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e9} {
		for name, add := range map[string]func(l *Layer){
			"line":   func(l *Layer) { l.Line(Point{}, Point{bad, 0}) },
			"region": func(l *Layer) { l.Region([][]Point{{{0, 0}, {1, 0}, {0, bad}}}) },
			"circle": func(l *Layer) { l.Circle(Point{1, 1}, math.Abs(bad)) },
			"text":   func(l *Layer) { l.Text(Point{bad, 1}, 2.5, Start, "x") },
			"turned": func(l *Layer) { l.TextTurned(Point{1, 1}, bad, 2.5, Start, "x") },
		} {
			p := New(A4, "t")
			add(p.Layer("bad layer", Style{Stroke: Black, Width: 0.25}))
			var b bytes.Buffer
			err := p.SVG(&b)
			if !errors.Is(err, ErrNotANumber) || !strings.Contains(err.Error(), "bad layer") || b.Len() > 0 {
				t.Errorf("%s at %g: error %v, %d bytes written", name, bad, err, b.Len())
			}
		}
	}
	if err := (&Page{Title: "none"}).SVG(&bytes.Buffer{}); err == nil {
		t.Error("a sheet without size was written")
	}
}

type full struct{ room int }

func (f *full) Write(b []byte) (int, error) {
	if len(b) > f.room {
		return 0, errors.New("disk is full")
	}
	f.room -= len(b)
	return len(b), nil
}

func TestWriteErrorsAreReported(t *testing.T) {
	p := New(A4, "t")
	p.Layer("a", Style{Stroke: Black, Width: 0.25}).Line(Point{}, Point{1, 1})
	whole := len(svgOf(t, p))
	for _, room := range []int{0, 100, whole - 1} {
		if err := p.SVG(&full{room}); err == nil || !strings.Contains(err.Error(), "disk is full") {
			t.Errorf("room for %d bytes: error %v", room, err)
		}
	}
	if err := p.SVG(&full{whole}); err != nil {
		t.Error(err)
	}
}

func TestNumbersAreTidy(t *testing.T) {
	p := New(A4, "t")
	p.Layer("a", Style{Stroke: Black, Width: 0.25}).Polyline([]Point{{-0.001, 0.004}, {1, 2}, {3, 3}})
	if got := svgOf(t, p); !strings.Contains(got, `points="0.00,0.00 1.00,2.00 3.00,3.00"`) {
		t.Errorf("a negative zero or an empty line in\n%s", got)
	}
}

func TestParseSize(t *testing.T) {
	for name, want := range map[string]Size{"": A3, "a4": A4, " A1 ": A1} {
		if got, err := ParseSize(name); err != nil || got != want {
			t.Errorf("%q: %v, %v", name, got, err)
		}
	}
	if _, err := ParseSize("A9"); err == nil {
		t.Error("A9 was accepted")
	}
}

// Wrapped lines fit, and lose nothing but spaces.
func TestWrap(t *testing.T) {
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zA-Z0-9 ,/–é×-]{0,80}`).Draw(t, "text")
		width := rapid.Float64Range(4, 60).Draw(t, "width")
		lines := Wrap(text, 2.5, width)
		for _, l := range lines {
			if Width(l, 2.5) > width {
				t.Fatalf("line %q is %.1f mm wide, room %.1f", l, Width(l, 2.5), width)
			}
		}
		if got := squeeze(strings.Join(lines, "")); got != squeeze(text) {
			t.Fatalf("%q became %q", text, got)
		}
	})
}

// A word that is too long for a line fills each line but the last.
func TestWrapFillsLinesWithALongWord(t *testing.T) {
	word := strings.Repeat("weldthroughprimer", 5)
	for _, width := range []float64{5, 12, 40} {
		lines := Wrap(word, 2.5, width)
		for i, l := range lines[:len(lines)-1] {
			if next := l + lines[i+1][:1]; Width(next, 2.5) <= width {
				t.Errorf("in %g mm %q has room for one letter more", width, l)
			}
		}
		if strings.Join(lines, "") != word {
			t.Errorf("in %g mm: %q", width, lines)
		}
	}
}

func TestFit(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		want  string
	}{{"short", 60, "short"}, {"a rather long name", 20, "a rather…"}, {"x", 0.1, ""}} {
		if got := Fit(c.text, 2.5, c.width); got != c.want {
			t.Errorf("%q in %g mm: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

// Widths are those of DejaVu Sans as its file has them, but for letters that Helvetica has wider.
func TestWidthsAreTheFonts(t *testing.T) {
	const file = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"
	data, err := os.ReadFile(file)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%v: install the Debian package fonts-dejavu-core", err)
		}
		t.Skip("NOT TESTED: " + file + " is missing: install the Debian package fonts-dejavu-core")
	}
	f, err := sfnt.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	wider := ""
	for r := ' '; r <= 0xFF; r++ {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil || g == 0 {
			continue
		}
		has, err := f.GlyphAdvance(&buf, g, fixed.I(1000), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		switch want, is := int(has+63)>>6, advance(r); {
		case is > want:
			wider += string(r)
		case is < want:
			t.Errorf("%q is %d wide, in the font %d", r, is, want)
		}
	}
	if want := "@CEFGJKPRSY_c§¯·¿ÆÇÈÉÊËÝÞç"; wider != want {
		t.Errorf("wider than in the font are %q, want %q", wider, want)
	}
}

// What librsvg draws of a text lies within the box that TextBox promises, in the fonts of this machine.
func TestTextStaysInItsBox(t *testing.T) {
	program, err := exec.LookPath("rsvg-convert")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("rsvg-convert is missing: install the Debian package librsvg2-bin")
		}
		t.Skip("NOT TESTED: rsvg-convert is missing: install the Debian package librsvg2-bin")
	}
	p := New(A4, "texts")
	p.Layer("sheet", Style{Fill: White}).Rect(Box{0, 0, 210, 297})
	l := p.Layer("words", Style{Fill: Black})
	var boxes []Box
	for i, turn := range []float64{30, 90, 200, -75} {
		at := Point{float64(60 + 30*i), 275}
		l.TextTurned(at, turn, 2.5, Start, "turned 123")
		boxes = append(boxes, l.Items[len(l.Items)-1].Box())
	}
	for i, text := range []string{"12–31 A", "gjpqy (4.9) 20", "WWWWWWWWMMMMM", "iiiillll....", "Ölwanne É ±0.5 · × ° µ", "0123456789",
		"side-outer-l + roof", "@%&#{}[]|\\", "Straße ñ ç å", "–—…·×±²≤≥→"} {
		for k, a := range []Anchor{Start, Middle, End} {
			at := Point{[]float64{5, 105, 205}[k], float64(12 + 25*i + 7*k)}
			l.Text(at, 2.5, a, text)
			boxes = append(boxes, TextBox(at, 2.5, a, text))
		}
	}
	var out bytes.Buffer
	cmd := exec.Command(program, "-d", "254", "-p", "254")
	cmd.Stdin, cmd.Stdout = strings.NewReader(svgOf(t, p)), &out
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	ink, astray := 0, 0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if r, _, _, _ := img.At(x, y).RGBA(); r > 0x6000 {
				continue
			}
			ink++
			if at := (Point{(float64(x) + 0.5) / 10, (float64(y) + 0.5) / 10}); !within(at, boxes) {
				if astray++; astray < 5 {
					t.Logf("ink at %.1f, %.1f", at.X, at.Y)
				}
			}
		}
	}
	if ink < 1000 || astray > 0 {
		t.Errorf("%d of %d dark pixels lie outside their text's box", astray, ink)
	}
}

func within(p Point, boxes []Box) bool {
	for _, b := range boxes {
		if g := b.Grow(0.1); p.X > g.X0 && p.X < g.X1 && p.Y > g.Y0 && p.Y < g.Y1 {
			return true
		}
	}
	return false
}

func ExamplePage_SVG() {
	p := New(Size{"label", 40, 20}, "Roof & rail")
	p.Layer("outline", Style{Stroke: Black, Width: W35}).Rect(Box{5, 5, 35, 15})
	p.Layer("words", Style{Fill: Black}).Text(Point{20, 11}, 2.5, Middle, "Roof & rail")
	var b bytes.Buffer
	if err := p.SVG(&b); err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if strings.Contains(line, "<rect") || strings.Contains(line, "<text") {
			fmt.Println(line)
		}
	}
	// Output:
	// <rect x="5.00" y="5.00" width="30.00" height="10.00" />
	// <text x="20.00" y="11.00" font-size="3.492" text-anchor="middle" >Roof &amp; rail</text>
}
