package strip

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"testing"

	"seamwright/render/paper"
)

const dotsPerInch = 300

// raster draws some layers of a page by librsvg.
func raster(t *testing.T, p *paper.Page, layers ...string) *image.Gray {
	t.Helper()
	program, err := exec.LookPath("rsvg-convert")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("rsvg-convert is missing: install the Debian package librsvg2-bin")
		}
		t.Skip("NOT MEASURED ON PAPER: rsvg-convert is missing; install the Debian package librsvg2-bin")
	}
	part := *p
	part.Layers = nil
	for _, l := range p.Layers {
		if slices.Contains(layers, l.Name) {
			part.Layers = append(part.Layers, l)
		}
	}
	var in, out bytes.Buffer
	if err := part.SVG(&in); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "-d", strconv.Itoa(dotsPerInch), "-p", strconv.Itoa(dotsPerInch))
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, os.Stderr
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	gray := image.NewGray(img.Bounds()) // white paper
	draw.Draw(gray, gray.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(gray, gray.Bounds(), img, image.Point{}, draw.Over)
	return gray
}

// blots are the centres of connected dark areas, in mm, by row and then across.
func blots(img *image.Gray) []paper.Point {
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	seen := make([]bool, w*h)
	dark := func(k int) float64 { return 1 - float64(img.Pix[k/w*img.Stride+k%w])/255 }
	var out []paper.Point
	for k := range seen {
		if seen[k] || dark(k) < 0.5 {
			continue
		}
		sum, sx, sy := 0.0, 0.0, 0.0
		todo := []int{k}
		seen[k] = true
		for len(todo) > 0 {
			p := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			d := dark(p)
			sum, sx, sy = sum+d, sx+d*(float64(p%w)+0.5), sy+d*(float64(p/w)+0.5)
			for _, n := range []int{p + 1, p - 1, p + w, p - w} { // dots keep clear of the rim
				if n >= 0 && n < w*h && !seen[n] && dark(n) > 0.02 {
					seen[n] = true
					todo = append(todo, n)
				}
			}
		}
		mm := 25.4 / dotsPerInch
		out = append(out, paper.Point{X: sx / sum * mm, Y: sy / sum * mm})
	}
	slices.SortStableFunc(out, func(a, b paper.Point) int {
		return cmp.Or(cmp.Compare(math.Round(a.Y/5), math.Round(b.Y/5)), cmp.Compare(a.X, b.X))
	})
	return out
}

// Measured in pixels of a picture, weld centres are as far apart as on the sheet.
func TestWeldCentresOnPaper(t *testing.T) {
	const pitch = 25.0
	p := planOf(flangeOf(straight(1000), 8), 0.9, pitch)
	dots := blots(raster(t, mustSheets(t, p, Options{})[0].Page, "sheet", "weld centres"))
	if len(dots) != 40 {
		t.Fatalf("%d dots, want 40", len(dots))
	}
	from := 0
	for i := 1; i <= len(dots); i++ {
		if i < len(dots) && dots[i].X > dots[i-1].X {
			if d := dots[i].Sub(dots[i-1]).Norm(); !(math.Abs(d-pitch) <= 0.03) {
				t.Errorf("dots %d and %d are %.3f mm apart, want %g", i, i+1, d, pitch)
			}
			continue
		}
		long, want := dots[i-1].Sub(dots[from]).Norm(), pitch*float64(i-1-from)
		if want < 200 || !(math.Abs(long-want) <= perMetre*want) {
			t.Errorf("dots %d to %d span %.3f mm, want %.3f", from+1, i, long, want)
		}
		from = i
	}
}

// On a ring the straight distances are those of its chords.
func TestRingOnPaper(t *testing.T) {
	const radius, pitch = 91.0, 27.0
	p := planOf(flangeOf(flatRing(radius), 9), 0, pitch)
	sheets := mustSheets(t, p, Options{})
	dots := blots(raster(t, sheets[0].Page, "sheet", "weld centres"))
	slices.SortFunc(dots, func(a, b paper.Point) int { return cmp.Compare(a.X, b.X) })
	first := sheets[0].Welds
	f := mustDevelop(t, p, Options{})
	pieces, err := f.cut()
	if err != nil {
		t.Fatal(err)
	}
	if len(dots) != first {
		t.Fatalf("%d dots, want %d", len(dots), first)
	}
	n := pieces[0].welds()
	var row []paper.Point // of the first piece: the upper dots
	slices.SortFunc(dots, func(a, b paper.Point) int { return cmp.Compare(a.Y, b.Y) })
	row = append(row, dots[:n]...)
	slices.SortFunc(row, func(a, b paper.Point) int { return cmp.Compare(a.X, b.X) })
	for i := range row {
		for k := range i {
			angle := pitch * float64(i-k) / radius
			want := 2 * radius * math.Sin(angle/2)
			if got := row[i].Sub(row[k]).Norm(); !(math.Abs(got-want) <= 0.03) {
				t.Errorf("dots %d and %d are %.3f mm apart, want %.3f", k+1, i+1, got, want)
			}
		}
	}
	if n < 4 {
		t.Errorf("only %d welds on the first piece", n)
	}
}

// Both bars measure 100 mm.
func TestBarsOnPaper(t *testing.T) {
	img := raster(t, mustSheets(t, rich(), Options{})[0].Page, "sheet", "check-bar")
	b := img.Bounds()
	black := func(x, y int) bool { return img.GrayAt(x, y).Y < 0x80 }
	longest := func(n, m int, at func(i, k int) bool) int {
		best := 0
		for i := range n {
			run := 0
			for k := range m {
				if run++; !at(i, k) {
					run = 0
				}
				best = max(best, run)
			}
		}
		return best
	}
	for name, pixels := range map[string]int{
		"level":   longest(b.Dy(), b.Dx(), func(y, x int) bool { return black(x, y) }),
		"upright": longest(b.Dx(), b.Dy(), func(x, y int) bool { return black(x, y) }),
	} {
		if mm := float64(pixels) * 25.4 / dotsPerInch; !(math.Abs(mm-100) <= 0.1) {
			t.Errorf("%s bar is %.3f mm", name, mm)
		}
	}
}
