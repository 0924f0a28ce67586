package page_test

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/render/page"
)

// A box of 30 x 20 x 10 mm cut square to an axis: a closed line round its section, on the plane.
func TestCutOfABox(t *testing.T) {
	box := &mesh.Mesh{Triangles: [][3]int32{{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4}, {1, 2, 6}, {1, 6, 5}, {2, 3, 7},
		{2, 7, 6}, {3, 0, 4}, {3, 4, 7}}}
	for _, z := range []float64{0, 10} {
		for _, c := range [][2]float64{{0, 0}, {30, 0}, {30, 20}, {0, 20}} {
			box.Vertices = append(box.Vertices, r3.Vector{X: c[0], Y: c[1], Z: z})
		}
	}
	for axis, round := range []float64{2 * (20 + 10), 2 * (30 + 10), 2 * (30 + 20)} {
		lines := page.Cut(box, axis, 4)
		if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
			t.Fatalf("axis %d: %d lines", axis, len(lines))
		}
		length := 0.0
		for i, p := range lines[0] {
			if at := [3]float64{p.X, p.Y, p.Z}[axis]; math.Abs(at-4) > 1e-12 {
				t.Errorf("axis %d: %v is off the plane", axis, p)
			}
			if i > 0 {
				length += p.Sub(lines[0][i-1]).Norm()
			}
		}
		if math.Abs(length-round) > 1e-9 {
			t.Errorf("axis %d: %v mm round, want %v", axis, length, round)
		}
	}
	if lines := page.Cut(box, 2, 11); lines != nil {
		t.Errorf("beyond the box: %v", lines)
	}
	if lines := page.Cut(box, 2, 10); len(lines) != 1 { // its top counts as beyond
		t.Errorf("in its top: %d lines", len(lines))
	}
}

// However triangles lie and in whatever order, each that the plane passes through gives one segment, and no other does.
func TestCutTakesEveryTriangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &mesh.Mesh{}
		for range rapid.IntRange(3, 9).Draw(t, "vertices") {
			m.Vertices = append(m.Vertices, r3.Vector{X: float64(rapid.IntRange(-3, 3).Draw(t, "x")), Y: float64(rapid.IntRange(-3, 3).Draw(t,
				"y")), Z: float64(rapid.IntRange(-3, 3).Draw(t, "z"))})
		}
		corner := rapid.Int32Range(0, int32(len(m.Vertices)-1))
		want := 0
		for range rapid.IntRange(1, 12).Draw(t, "triangles") {
			a, b, c := corner.Draw(t, "a"), corner.Draw(t, "b"), corner.Draw(t, "c")
			if a == b || b == c || c == a {
				continue
			}
			m.Triangles = append(m.Triangles, [3]int32{a, b, c})
			beyond := 0
			for _, v := range []int32{a, b, c} {
				if m.Vertices[v].Z >= 1 {
					beyond++
				}
			}
			if beyond == 1 || beyond == 2 {
				want++
			}
		}
		got := 0
		for _, l := range page.Cut(m, 2, 1) {
			got += len(l) - 1
		}
		if got != want {
			t.Fatalf("%d segments of %d triangles that the plane passes through", got, want)
		}
	})
}
