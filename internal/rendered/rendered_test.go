// Package rendered_test looks at sheets as programs of others draw them: true to size, the same in each, and fit to be copied.
package rendered_test

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/sample"
	"seamwright/render/paper"
	"seamwright/render/sheet"
)

// kept is the sample's sheets by size: tests only look at them.
var kept = map[paper.Size][]sheet.Sheet{}

func drawn(t *testing.T, opt sheet.Options) []sheet.Sheet {
	t.Helper()
	if sheets, ok := kept[opt.Size]; ok {
		return sheets
	}
	plan, panels := sample.Plan()
	sheets, err := sheet.Station(t.Context(), plan, panels, "st10", opt)
	if err != nil {
		t.Fatal(err)
	}
	kept[opt.Size] = sheets
	return sheets
}

// perMM is how many pixels a millimetre of paper has in these tests: 127 pixels an inch.
const perMM = 5.0

// need finds an outside program; without it the test fails where CI is true and is skipped elsewhere.
func need(t *testing.T, program, debian string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is missing: install the Debian package %s", program, debian)
	}
	t.Skipf("NOT TESTED: %s is missing: install the Debian package %s", program, debian)
	return ""
}

// byLibrsvg draws a sheet with librsvg, which must not complain.
func byLibrsvg(t *testing.T, svg []byte) *image.Gray {
	t.Helper()
	return byLibrsvgAt(t, svg, 127)
}

// byLibrsvgAt draws at a number of pixels an inch.
func byLibrsvgAt(t *testing.T, svg []byte, inch int) *image.Gray {
	t.Helper()
	cmd := exec.Command(need(t, "rsvg-convert", "librsvg2-bin"), "-d", fmt.Sprint(inch), "-p", fmt.Sprint(inch))
	var out, complaints bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(svg), &out, &complaints
	if err := cmd.Run(); err != nil {
		t.Fatalf("rsvg-convert: %v: %s", err, complaints.String())
	}
	if complaints.Len() > 0 {
		t.Errorf("rsvg-convert complains: %s", complaints.String())
	}
	return decode(t, out.Bytes())
}

// byChromium draws a sheet with a browser.
func byChromium(t *testing.T, svg []byte) *image.Gray {
	t.Helper()
	browser := need(t, "chromium", "chromium")
	dir := t.TempDir()
	in, out := filepath.Join(dir, "sheet.svg"), filepath.Join(dir, "sheet.png")
	if err := os.WriteFile(in, svg, 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--screenshot="+out, "--window-size=1600,1140",
		"--force-device-scale-factor=1.3229166667", "--hide-scrollbars", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"), "file://"+in)
	if text, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("chromium: %v: %s", err, text)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return decode(t, data)
}

func decode(t *testing.T, data []byte) *image.Gray {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	grey := image.NewGray(image.Rect(0, 0, img.Bounds().Dx(), img.Bounds().Dy()))
	draw.Draw(grey, grey.Bounds(), img, img.Bounds().Min, draw.Src)
	return grey
}

// barBox is where the check bar was drawn.
func barBox(t *testing.T, p *paper.Page) paper.Box {
	t.Helper()
	for _, l := range p.Layers {
		if l.Name == "check-bar" {
			return l.Items[0].Box()
		}
	}
	t.Fatal("no check bar")
	return paper.Box{}
}

// measure gives the length of the dark stretch along the bar's middle, in mm, each pixel counting by how
// dark it is.
func measure(img *image.Gray, bar paper.Box) float64 {
	y := int(math.Round((bar.Y0 + bar.Y1) / 2 * perMM))
	sum := 0.0
	for x := int((bar.X0 - 1.5) * perMM); x < int((bar.X1+1.5)*perMM); x++ {
		sum += darkness(img, x, y)
	}
	return sum / perMM
}

func darkness(img *image.Gray, x, y int) float64 {
	return 1 - float64(img.GrayAt(x, y).Y)/255
}

func TestTrueMillimetres(t *testing.T) {
	s := drawn(t, sheet.Options{})[0]
	bar := barBox(t, s.Page)
	for name, render := range map[string]func(*testing.T, []byte) *image.Gray{"librsvg": byLibrsvg, "chromium": byChromium} {
		t.Run(name, func(t *testing.T) {
			img := render(t, s.SVG)
			if got := measure(img, bar); !(math.Abs(got-100) <= 0.3) {
				t.Errorf("the 100 mm bar is %.2f mm long", got)
			}
		})
	}
}

func TestPixelSize(t *testing.T) {
	for _, size := range []paper.Size{paper.A4, paper.A3, paper.A2, paper.A1} {
		s := drawn(t, sheet.Options{Size: size})[0]
		b := byLibrsvg(t, s.SVG).Bounds()
		if !(math.Abs(float64(b.Dx())-size.Width*perMM) <= 1) || !(math.Abs(float64(b.Dy())-size.Height*perMM) <= 1) {
			t.Errorf("%s: %d x %d pixels at 5 a millimetre", size.Name, b.Dx(), b.Dy())
		}
	}
}

// Two renderers smooth edges and place letters a little differently; what a reader sees must be the same. The
// sheets are compared as squares of 0.6 mm, by their mean darkness.
func TestRenderersAgree(t *testing.T) {
	tables := 0
	for _, s := range drawn(t, sheet.Options{}) {
		if len(s.Views) == 0 {
			if tables++; tables > 1 {
				continue // one sheet of tables is drawn as another
			}
		}
		a, b := byLibrsvg(t, s.SVG), byChromium(t, s.SVG)
		const side = 3 // pixels
		squares, differ := 0, 0
		for y := 0; y+side <= int(s.Page.Height*perMM); y += side {
			for x := 0; x+side <= int(s.Page.Width*perMM); x += side {
				da, db := 0.0, 0.0
				for k := range side * side {
					da += darkness(a, x+k%side, y+k/side)
					db += darkness(b, x+k%side, y+k/side)
				}
				squares++
				if !(math.Abs(da-db) <= 0.2*side*side) {
					differ++
				}
			}
		}
		if share := float64(differ) / float64(squares); share > 0.01 {
			t.Errorf("%s: %.2f %% of the squares differ", s.Name, 100*share)
		} else {
			t.Logf("%s: %.3f %% of %d squares differ", s.Name, 100*share, squares)
		}
	}
}

// A copier in black and white drops the tints and keeps every line.
func TestCopyInBlackAndWhite(t *testing.T) {
	for _, s := range drawn(t, sheet.Options{}) {
		for _, l := range s.Page.Layers {
			for _, ink := range []paper.Ink{l.Style.Fill, l.Style.Stroke} {
				if ink != paper.NoInk && ink != paper.Black && ink < "#d8d8d8" {
					t.Errorf("layer %s: %s may turn black in a copy", l.Name, ink)
				}
			}
			if l.Style.Stroke != paper.NoInk && l.Style.Width < paper.W13 {
				t.Errorf("layer %s: a line of %.2f mm is lost in a copy", l.Name, l.Style.Width)
			}
		}
	}
}

// perMMCopy is the resolution of a copier, 300 pixels an inch.
const perMMCopy = 300 / 25.4

// copyLimit is how dark a pixel has to be to turn black in the copy.
const copyLimit = 0.4

// A copy of one bit keeps what words and symbols are made of: in the box of each, as much black as there was grey, and
// both some black and some white, so that nothing is lost and nothing runs together.
func TestCopyOfOneBit(t *testing.T) {
	for _, s := range drawn(t, sheet.Options{Size: paper.A3}) {
		img := byLibrsvgAt(t, s.SVG, 300)
		texts, symbols := 0, 0
		for _, l := range s.Page.Layers {
			symbol := strings.HasPrefix(l.Name, "view ") && (strings.HasSuffix(l.Name, " marks") || strings.HasSuffix(l.Name, " rings"))
			for _, it := range l.Items {
				if it.Kind != paper.Text && !symbol {
					continue
				}
				grey, black, all := copied(img, it.Box())
				if it.Kind == paper.Text {
					texts++
				} else {
					symbols++
				}
				if share := black / all; black < 0.75*grey || share < 0.02 || it.Kind == paper.Text && share > 0.6 {
					t.Errorf("%s, layer %s, %q at %.1f: %.0f of %.0f pixels are black, %.0f were grey", s.Name, l.Name, it.Text, it.Box(), black, all,
						grey)
				}
			}
		}
		if texts < 50 || s.Number == 1 && symbols < 48 {
			t.Errorf("%s: looked at %d texts and %d symbols only", s.Name, texts, symbols)
		}
	}
}

// copied adds up, over the pixels of a box, how dark they are and how many turn black.
func copied(img *image.Gray, b paper.Box) (grey, black, all float64) {
	for y := int(b.Y0 * perMMCopy); y <= int(b.Y1*perMMCopy); y++ {
		for x := int(b.X0 * perMMCopy); x <= int(b.X1*perMMCopy); x++ {
			d := darkness(img, x, y)
			grey += d
			all++
			if d > copyLimit {
				black++
			}
		}
	}
	return grey, black, all
}
