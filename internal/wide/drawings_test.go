package wide_test

import (
	"crypto/sha256"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/outline"
	"seamwright/internal/record"
)

// Drawings of every kind of curve, drawn at random, in blocks that are turned and scaled, in several units and with chords of several
// sizes, come out as they did: each path's length and points, what they chain to and fill, and what is said of them.
func TestDrawingsAsBefore(t *testing.T) {
	var b strings.Builder
	dir := t.TempDir()
	for i := range 60 {
		rng := rand.New(rand.NewPCG(uint64(i), 81))
		file := filepath.Join(dir, fmt.Sprintf("drawing%d.dxf", i))
		if err := os.WriteFile(file, []byte(drawnFile(rng)), 0o600); err != nil {
			t.Fatal(err)
		}
		d, err := drawing.ReadFile(file, drawing.Options{Chord: []float64{0, .1, .5}[i%3]})
		if err != nil {
			fmt.Fprintf(&b, "%d: %s\n", i, strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), ""))
			continue
		}
		fmt.Fprintf(&b, "%d: in %s\n", i, d.Unit)
		told(&b, "path", d.Paths)
		closed, notes := outline.Outlines(d.Paths)
		var chained strings.Builder
		told(&chained, "outline", closed)
		fmt.Fprintf(&b, "  %d outlines, %x\n", len(closed), sha256.Sum256([]byte(chained.String())))
		for _, n := range append(d.Notes, notes...) {
			fmt.Fprintf(&b, "  %s\n", strings.ReplaceAll(n, dir+string(filepath.Separator), ""))
		}
		for _, p := range closed {
			if m, err := outline.Fill([][]r3.Vector{p.Points}); err != nil {
				fmt.Fprintf(&b, "  not filled: %v\n", err)
			} else {
				fmt.Fprintf(&b, "  filled: %d triangles of %.3f mm²\n", len(m.Triangles), m.Area())
			}
		}
	}
	record.Hold(t, "testdata/drawings.txt", b.String())
}

func told(b *strings.Builder, what string, paths []drawing.Path) {
	for _, p := range paths {
		sum := sha256.New()
		for _, q := range p.Points {
			fmt.Fprintf(sum, "%.6f %.6f %.6f\n", q.X, q.Y, q.Z)
		}
		fmt.Fprintf(b, "  %s %s on %s: closed %t, %.4f mm, %d points, %x\n", what, p.Kind, p.Layer, p.Closed, p.Length, len(p.Points),
			sum.Sum(nil)[:4])
	}
}

// drawnFile is a DXF file of curves that lie apart from each other, and of a block of them that is put in several times.
func drawnFile(rng *rand.Rand) string {
	var b strings.Builder
	fmt.Fprintf(&b, "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n", []int{4, 4, 1, 5, 6, 0}[rng.IntN(6)])
	b.WriteString("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nPART\n10\n0\n20\n0\n30\n0\n")
	for range 1 + rng.IntN(3) {
		curve(&b, rng, 0, 0)
	}
	b.WriteString("0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	for k := range 2 + rng.IntN(6) {
		curve(&b, rng, 150*float64(k), 0)
	}
	for k := range rng.IntN(3) {
		x := []float64{1, 1, -1, 1.5}[rng.IntN(4)]
		y := x * []float64{1, 1, -1, .7}[rng.IntN(4)]
		fmt.Fprintf(&b, "0\nINSERT\n8\nPARTS\n2\nPART\n10\n%g\n20\n300\n41\n%g\n42\n%g\n50\n%g\n", 200*float64(k), x, y,
			float64(rng.IntN(8))*22.5)
		if rng.IntN(3) == 0 {
			fmt.Fprintf(&b, "70\n2\n71\n3\n44\n120\n45\n130\n")
		}
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	return b.String()
}

// curve writes one entity about a place.
func curve(b *strings.Builder, rng *rand.Rand, x, y float64) {
	number := func(from, to float64) float64 { return math.Round(1000*(from+(to-from)*rng.Float64())) / 1000 }
	layer := []string{"EDGE", "HOLES"}[rng.IntN(2)]
	up := []string{"", "", "210\n0\n220\n0\n230\n-1\n", "210\n0.6\n220\n0\n230\n0.8\n"}[rng.IntN(4)]
	switch rng.IntN(7) {
	case 0:
		fmt.Fprintf(b, "0\nCIRCLE\n8\n%s\n10\n%g\n20\n%g\n40\n%g\n%s", layer, x, y, number(2, 50), up)
	case 1:
		fmt.Fprintf(b, "0\nARC\n8\n%s\n10\n%g\n20\n%g\n40\n%g\n50\n%g\n51\n%g\n%s", layer, x, y, number(2, 50), number(0, 360),
			number(0, 360), up)
	case 2:
		fmt.Fprintf(b, "0\nELLIPSE\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n40\n%g\n41\n%g\n42\n%g\n", layer, x, y, number(5, 40), number(-30, 30),
			number(.1, 1), number(0, 2), number(3, 6.2))
	case 3:
		n := 3 + rng.IntN(6)
		fmt.Fprintf(b, "0\nLWPOLYLINE\n8\n%s\n90\n%d\n70\n%d\n%s", layer, n, rng.IntN(2), up)
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			fmt.Fprintf(b, "10\n%g\n20\n%g\n42\n%g\n", x+number(20, 50)*cos, y+number(20, 50)*sin, number(-.6, .9)*float64(rng.IntN(2)))
		}
	case 4, 5:
		spline(b, layer, number, x, y, 2+rng.IntN(3), 5+rng.IntN(5), rng.IntN(3) == 0)
	default:
		fmt.Fprintf(b, "0\nLINE\n8\n%s\n10\n%g\n20\n%g\n30\n%g\n11\n%g\n21\n%g\n31\n%g\n", layer, x, y, number(0, 9),
			x+number(1, 50), y+number(-50, 50), number(0, 9))
	}
}

// spline is clamped, of a degree and so many control points, weighed or not.
func spline(b *strings.Builder, layer string, number func(from, to float64) float64, x, y float64, degree, n int, weighed bool) {
	fmt.Fprintf(b, "0\nSPLINE\n8\n%s\n70\n%d\n71\n%d\n72\n%d\n73\n%d\n", layer, 8, degree, n+degree+1, n)
	for k := range n + degree + 1 {
		fmt.Fprintf(b, "40\n%d\n", min(max(0, k-degree), n-degree))
	}
	for k := range n {
		if weighed {
			fmt.Fprintf(b, "41\n%g\n", number(.4, 3))
		}
		fmt.Fprintf(b, "10\n%g\n20\n%g\n30\n%g\n", x+12*float64(k), y+number(-40, 40), number(-3, 3))
	}
}
