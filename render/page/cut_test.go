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
	axes := []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	for axis, round := range []float64{2 * (20 + 10), 2 * (30 + 10), 2 * (30 + 20)} {
		lines := page.Cut(box, axes[axis], 4)
		if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
			t.Fatalf("axis %d: %d lines", axis, len(lines))
		}
		length := 0.0
		for i, p := range lines[0] {
			if at := [3]float64{p.X, p.Y, p.Z}[axis]; !(math.Abs(at-4) <= 1e-12) {
				t.Errorf("axis %d: %v is off the plane", axis, p)
			}
			if i > 0 {
				length += p.Sub(lines[0][i-1]).Norm()
			}
		}
		if !(math.Abs(length-round) <= 1e-9) {
			t.Errorf("axis %d: %v mm round, want %v", axis, length, round)
		}
	}
	if lines := page.Cut(box, axes[2], 11); lines != nil {
		t.Errorf("beyond the box: %v", lines)
	}
	if lines := page.Cut(box, axes[2], 10); len(lines) != 1 { // its top counts as beyond
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
		for _, l := range page.Cut(m, r3.Vector{Z: 1}, 1) {
			got += len(l) - 1
		}
		if got != want {
			t.Fatalf("%d segments of %d triangles that the plane passes through", got, want)
		}
	})
}

// A sheet bent by a right angle, 40 mm flat and 30 mm up: along it from 10 mm before the bend to 20 mm above it are 30 mm, straight
// through the air 22.4; aslant by 15 mm across, unrolled, 33.5 at least, and by the plane's own way a little more.
func TestAlongASheet(t *testing.T) {
	m := &mesh.Mesh{Vertices: []r3.Vector{{}, {X: 40}, {X: 40, Y: 50}, {Y: 50}, {X: 40, Z: 30}, {X: 40, Y: 50, Z: 30}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}, {1, 4, 5}, {1, 5, 2}}}
	from, to := r3.Vector{X: 30, Y: 20}, r3.Vector{X: 40, Y: 20, Z: 20}
	if mm, ok := page.Along(m, from, to); !ok || !(math.Abs(mm-30) <= 1e-9) {
		t.Errorf("%v, %v", mm, ok)
	}
	if mm, ok := page.Along(m, from, r3.Vector{X: 40, Y: 35, Z: 20}); !ok || mm < math.Hypot(30, 15) || mm > math.Hypot(30, 15)*1.25 {
		t.Errorf("aslant %v, %v", mm, ok)
	}
	if mm, ok := page.Along(m, from, r3.Vector{X: 30, Y: 20, Z: 9}); ok {
		t.Errorf("a place off the sheet: %v", mm)
	}
	if mm, ok := page.Along(m, from, from); ok {
		t.Errorf("nowhere: %v", mm)
	}
	if mm, ok := page.Along(&mesh.Mesh{}, from, to); ok {
		t.Errorf("no sheet: %v", mm)
	}
}
