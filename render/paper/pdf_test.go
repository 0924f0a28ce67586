package paper

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	imagedraw "image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// poppler returns one of its programs, or fails under CI=true and skips loudly elsewhere.
func poppler(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is missing: install the Debian package poppler-utils", name)
		}
		t.Skipf("NOT TESTED: %s is missing: install the Debian package poppler-utils", name)
	}
	return path
}

func pdfFile(t testing.TB, b Book) string {
	t.Helper()
	var out bytes.Buffer
	if err := b.PDF(&out); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "book.pdf")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func output(t testing.TB, program string, args ...string) []byte {
	t.Helper()
	var errs bytes.Buffer
	cmd := exec.Command(program, args...)
	cmd.Env = append(os.Environ(), "TZ=UTC")
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil || errs.Len() > 0 {
		t.Fatalf("%s: %v: %s", program, err, errs.String())
	}
	return out
}

// onWhite decodes a picture and lays it on white paper.
func onWhite(t testing.TB, data []byte) *image.Gray {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	gray := image.NewGray(img.Bounds())
	imagedraw.Draw(gray, gray.Bounds(), image.NewUniform(color.White), image.Point{}, imagedraw.Src)
	imagedraw.Draw(gray, gray.Bounds(), img, img.Bounds().Min, imagedraw.Over)
	return gray
}

func rasterPDF(t testing.TB, b Book, dpi int) *image.Gray {
	t.Helper()
	return onWhite(t, output(t, poppler(t, "pdftoppm"), "-r", fmt.Sprint(dpi), "-png", "-singlefile", pdfFile(t, b)))
}

// kinds is a page with every kind of item in every style.
func kinds() *Page {
	p := New(Size{"card", 120, 80}, "Kinds & <styles>")
	styles := []Style{
		{Stroke: Black, Width: 0.5}, {Fill: Grey}, {Stroke: Black, Width: 0.7, Fill: "#dddddd"},
		{Stroke: Grey, Width: 0.5, Dash: []float64{2, 1}}, {}, {Stroke: Black},
	}
	for i, st := range styles {
		y := 4 + 12*float64(i)
		l := p.Layer("style", st)
		l.Line(Point{4, y}, Point{12, y + 8})
		l.Polyline([]Point{{16, y}, {24, y + 2}, {18, y + 8}})
		l.Polygon(Point{30, y}, Point{38, y + 8}, Point{30, y + 8})
		l.Region([][]Point{{{44, y}, {56, y}, {56, y + 9}, {44, y + 9}}, {{46, y + 2}, {54, y + 2}, {54, y + 6}, {46, y + 6}}})
		l.Circle(Point{66, y + 4}, 4)
		l.Rect(Box{74, y, 84, y + 7})
	}
	return p
}

// The PDF and the SVG of one page are the same picture: fewer than one pixel in a hundred of those that are not
// white differs by more than antialiasing does.
func TestPDFShowsWhatSVGShows(t *testing.T) {
	rsvg, err := exec.LookPath("rsvg-convert")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("rsvg-convert is missing: install the Debian package librsvg2-bin")
		}
		t.Skip("NOT TESTED: rsvg-convert is missing: install the Debian package librsvg2-bin")
	}
	p := kinds()
	pdf := rasterPDF(t, Book{Pages: []*Page{p}}, 254)
	file := filepath.Join(t.TempDir(), "page.svg")
	if err := os.WriteFile(file, []byte(svgOf(t, p)), 0o600); err != nil {
		t.Fatal(err)
	}
	svg := onWhite(t, output(t, rsvg, "-d", "254", "-p", "254", file))
	ink, off := 0, 0
	for y := range min(pdf.Bounds().Dy(), svg.Bounds().Dy()) {
		for x := range min(pdf.Bounds().Dx(), svg.Bounds().Dx()) {
			a, b := int(pdf.GrayAt(x, y).Y), int(svg.GrayAt(x, y).Y)
			if a < 250 || b < 250 {
				ink++
			}
			if !(math.Abs(float64(a-b)) <= 130) {
				off++
			}
		}
	}
	if dx, dy := pdf.Bounds().Dx(), pdf.Bounds().Dy(); !(math.Abs(float64(dx)-1200) <= 1) || !(math.Abs(float64(dy)-800) <= 1) {
		t.Errorf("%d x %d pixels, want 1200 x 800", dx, dy)
	}
	if ink < 20000 || off > ink/100 {
		t.Errorf("%d of %d pixels differ", off, ink)
	}
}

// What is drawn of a text lies within the box that TextBox promises, as in the SVG.
func TestPDFTextStaysInItsBox(t *testing.T) {
	p := New(A4, "texts")
	l := p.Layer("words", Style{Fill: Black})
	var boxes []Box
	texts := []string{
		"12–31 A", "gjpqy (4.9) 20", "WWWWWWWWMMMMM", "iiiillll....", "Ölwanne É ±0.5 · × ° µ", "0123456789", "side-outer-l + roof",
		"@%&#{}[]|\\", "-----*****", "IIIIIIII???", "–—…·×±²≤≥→", "кузов Αλφα", "漢字 \U0001F527",
	}
	for i, text := range texts {
		for k, a := range []Anchor{Start, Middle, End} {
			at := Point{[]float64{5, 105, 205}[k], float64(12 + 20*i + 6*k)}
			l.Text(at, 2.5, a, text)
			boxes = append(boxes, TextBox(at, 2.5, a, text))
		}
	}
	for i, turn := range []float64{30, 90, 200, -75} {
		l.TextTurned(Point{float64(60 + 30*i), 282}, turn, 2.5, Start, "turned 123")
		boxes = append(boxes, l.Items[len(l.Items)-1].Box())
	}
	img := rasterPDF(t, Book{Pages: []*Page{p}}, 254)
	ink, astray := 0, 0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if img.GrayAt(x, y).Y > 0x60 {
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

// Capitals are as high as asked for: H reaches exactly from the line to the height.
func TestPDFCapitalsAreAsHighAsAsked(t *testing.T) {
	p := New(Size{"card", 60, 30}, "")
	p.Layer("words", Style{Fill: Black}).Text(Point{10, 20}, 7, Start, "HHH")
	img := rasterPDF(t, Book{Pages: []*Page{p}}, 508)
	top, bottom := math.Inf(1), 0.0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if img.GrayAt(x, y).Y < 0x80 {
				top, bottom = math.Min(top, float64(y)/20), float64(y+1)/20
			}
		}
	}
	if !(math.Abs(top-13) <= 0.08) || !(math.Abs(bottom-20) <= 0.08) {
		t.Errorf("from %.2f to %.2f mm, want 13 to 20", top, bottom)
	}
}

func TestBookIsReadable(t *testing.T) {
	b := Book{Title: "Größe & <Titel>", Subject: "subject", Author: "author"}
	for i := range 3 {
		p := New(A4, "page")
		p.Layer("words", Style{Fill: Black}).Text(Point{30, 50}, 3.5, Start, fmt.Sprintf("Page %d (of \\ three) äöü 12–31 → 4.9", i+1))
		b.Pages = append(b.Pages, p)
	}
	b.Pages[1].Width, b.Pages[1].Height = 420, 297
	b.Marks = []Mark{{"First", 0, 0}, {"Übersicht", 1, 1}, {"Third", 2, 0}}
	path := pdfFile(t, b)
	text := string(output(t, poppler(t, "pdftotext"), path, "-"))
	for i := range 3 {
		if want := fmt.Sprintf("Page %d (of \\ three) äöü 12–31 → 4.9", i+1); !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	info := string(output(t, poppler(t, "pdfinfo"), "-f", "1", "-l", "3", path))
	for _, want := range []string{"Größe & <Titel>", "Pages:           3", "size:  595.28 x 841.89 pts (A4)",
		"size:  1190.55 x 841.89 pts (A3)", "Sat Jan  1 00:00:00 2000"} {
		if !strings.Contains(info, want) {
			t.Errorf("%q is not in\n%s", want, info)
		}
	}
	fonts := string(output(t, poppler(t, "pdffonts"), path))
	if !strings.Contains(fonts, "TrueType") || !strings.Contains(fonts, "yes") || strings.Count(fonts, "\n") != 3 {
		t.Errorf("want one embedded font:\n%s", fonts)
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(raw, []byte("/Dest [")); n != 3 {
		t.Errorf("%d bookmarks, want 3", n)
	}
}

func TestPDFSameBytes(t *testing.T) {
	var first []byte
	for range 5 {
		b := Book{Title: "t", Pages: []*Page{kinds(), New(A4, "")}, Marks: []Mark{{"kinds", 0, 0}}}
		b.Pages[1].Layer("w", Style{Fill: Black}).Text(Point{50, 50}, 2.5, Start, "The quick brown fox 0123456789 äöüß→≤")
		var out bytes.Buffer
		if err := b.PDF(&out); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = out.Bytes()
		} else if !bytes.Equal(first, out.Bytes()) {
			t.Fatal("the same book gave other bytes")
		}
	}
}

func TestPDFRefuses(t *testing.T) {
	bad := New(A4, "t")
	bad.Layer("bad layer", Style{Stroke: Black, Width: 1}).Line(Point{}, Point{math.NaN(), 0})
	good := []*Page{New(A4, "a"), New(A4, "b")}
	unknown := New(A4, "t")
	unknown.Layer("odd", Style{Fill: Black}).Items = []Item{{Kind: 99, Points: []Point{{1, 1}}}}
	for name, c := range map[string]struct {
		book Book
		want string
	}{
		"not a number":  {Book{Pages: []*Page{bad}}, "bad layer"},
		"no such page":  {Book{Pages: good, Marks: []Mark{{"x", 2, 0}}}, `bookmark "x": page 3 of 2`},
		"level skipped": {Book{Pages: good, Marks: []Mark{{"a", 0, 0}, {"x", 0, 2}}}, "level 2"},
		"back to front": {Book{Pages: good, Marks: []Mark{{"a", 1, 0}, {"x", 0, 0}}}, "later page"},
		"unknown kind":  {Book{Pages: []*Page{unknown}}, "kind 99"},
	} {
		var out bytes.Buffer
		if err := c.book.PDF(&out); err == nil || !strings.Contains(err.Error(), c.want) || out.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes", name, err, out.Len())
		}
	}
	if err := bad.PDF(&bytes.Buffer{}); !errors.Is(err, ErrNotANumber) {
		t.Errorf("page: %v", err)
	}
	if err := good[0].PDF(&full{100}); err == nil || !strings.Contains(err.Error(), "disk is full") {
		t.Errorf("full disk: %v", err)
	}
}
