package outline

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
)

func TestThinned(t *testing.T) {
	circle := func(n int, radius float64) []r3.Vector {
		var out []r3.Vector
		for i := range n {
			sin, cos := math.Sincos(2 * pi * float64(i) / float64(n))
			out = append(out, vec(radius*cos, radius*sin, 3))
		}
		return out
	}
	var square []r3.Vector // 10,000 points on its sides, its corners among them
	for side, corner := range []r3.Vector{vec(0, 0, 0), vec(100, 0, 0), vec(100, 100, 0), vec(0, 100, 0)} {
		way := []r3.Vector{vec(0.04, 0, 0), vec(0, 0.04, 0), vec(-0.04, 0, 0), vec(0, -0.04, 0)}[side]
		for i := range 2500 {
			square = append(square, corner.Add(way.Mul(float64(i))))
		}
	}
	for _, c := range []struct {
		name        string
		points      []r3.Vector
		least, most int
	}{
		{"few", circle(2000, 100), 2000, 2000},
		{"circle", circle(30_000, 100), 400, 1100}, // chords 0.001 mm off an arc of 100 mm: 704 at least
		{"square", square, 4, 200},
		{"coarse", circle(3000, 1e6), 3000, 3000},
	} {
		got := Thinned(c.points)
		if len(got) < c.least || len(got) > c.most {
			t.Errorf("%s: %d points of %d, want %d to %d", c.name, len(got), len(c.points), c.least, c.most)
		}
		n := 0
		for i, a := range got {
			b := got[(i+1)%len(got)]
			for ; n < len(c.points) && c.points[n] != b; n++ {
				if off := distanceOf(c.points[n], a, b); off > 1.001*thinness {
					t.Fatalf("%s: point %d is %g mm off", c.name, n, off)
				}
			}
		}
		if area := areaNormal(got).Norm() / areaNormal(c.points).Norm(); !(math.Abs(area-1) <= 1e-4) {
			t.Errorf("%s: %g of the area", c.name, area)
		}
	}
}

// distanceOf is how far a point is from the line from a to b, not beyond its ends.
func distanceOf(p, a, b r3.Vector) float64 {
	way := b.Sub(a)
	t := min(max(0, p.Sub(a).Dot(way)/way.Norm2()), 1)
	return p.Sub(a.Add(way.Mul(t))).Norm()
}
