package paper

import (
	"bytes"
	"image/png"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/boombuler/barcode/qr"
)

// The area of the outlines, by the even-odd rule, is that of the dark modules, module by module.
func TestQRCoversItsModules(t *testing.T) {
	for _, text := range []string{"", "SW-1", strings.Repeat("0123456789abcdef", 8) + " <&\"> größer"} {
		q, err := NewQR(text)
		if err != nil {
			t.Fatal(err)
		}
		code, err := qr.Encode(text, qr.M, qr.Auto)
		if err != nil {
			t.Fatal(err)
		}
		l := &Layer{}
		const module = 0.5
		l.QR(Point{10, 20}, module, q)
		n := q.Modules()
		if n != code.Bounds().Dx()+8 {
			t.Fatalf("%d modules with the white, the code itself has %d", n, code.Bounds().Dx())
		}
		for y := range n {
			for x := range n {
				at := Point{10 + (float64(x)+0.5)*module, 20 + (float64(y)+0.5)*module}
				dark := false
				if x >= 4 && y >= 4 && x < n-4 && y < n-4 {
					r, _, _, _ := code.At(x-4, y-4).RGBA()
					dark = r == 0
				}
				if inside(at, l.Items[0].Loops) != dark {
					t.Fatalf("%q: module %d, %d: dark is %v", text, x, y, !dark)
				}
			}
		}
	}
	if _, err := NewQR(strings.Repeat("x", 4000)); err == nil {
		t.Error("4000 bytes fit into no code")
	}
	if (QR{}).Modules() != 0 {
		t.Error("no code has modules")
	}
}

// inside counts crossings of a ray to the right.
func inside(p Point, loops [][]Point) bool {
	odd := false
	for _, loop := range loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				odd = !odd
			}
		}
	}
	return odd
}

// What a renderer shows is what the code holds, at the resolution of an office printer.
func TestQRRendered(t *testing.T) {
	program, err := exec.LookPath("rsvg-convert")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("rsvg-convert is missing: install the Debian package librsvg2-bin")
		}
		t.Skip("NOT TESTED: rsvg-convert is missing: install the Debian package librsvg2-bin")
	}
	q, err := NewQR("SW-001 rev B " + strings.Repeat("0f", 32))
	if err != nil {
		t.Fatal(err)
	}
	p := New(Size{"code", 40, 40}, "code")
	p.Layer("sheet", Style{Fill: White}).Rect(Box{0, 0, 40, 40})
	p.Layer("code", Style{Fill: Black}).QR(Point{2, 2}, 0.5, q)
	var out bytes.Buffer
	cmd := exec.Command(program, "-d", "300", "-p", "300")
	cmd.Stdin, cmd.Stdout = strings.NewReader(svgOf(t, p)), &out
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	for y := range q.Modules() {
		for x := range q.Modules() {
			pixel := func(i int) int { return int(math.Floor((2 + (float64(i)+0.5)*0.5) / 25.4 * 300)) }
			r, _, _, _ := img.At(pixel(x), pixel(y)).RGBA()
			if want := q.at(x-quiet, y-quiet); (r < 0x8000) != want {
				t.Fatalf("module %d, %d: dark is %v", x, y, !want)
			}
		}
	}
}
