package fill

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"pgregory.net/rapid"
)

func triangleArea(p []r2.Point, v [3]int32) float64 { return cross(p[v[0]], p[v[1]], p[v[2]]) / 2 }

// TestFillCoversTheRegion: triangles over a ring-shaped region add up to its area, and none is turned over.
func TestFillCoversTheRegion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outer, inner := rapid.Float64Range(120, 400).Draw(t, "outer"), rapid.Float64Range(30, 80).Draw(t, "inner")
		dx, dy := rapid.Float64Range(-30, 30).Draw(t, "dx"), rapid.Float64Range(-30, 30).Draw(t, "dy")
		circle := func(x, y, r float64) []r2.Point {
			n := int(2 * math.Pi * r / 9)
			var out []r2.Point
			for i := range n {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
				out = append(out, r2.Point{X: x + r*cos, Y: y + r*sin})
			}
			return out
		}
		loops := [][]r2.Point{circle(0, 0, outer), circle(dx, dy, inner)}
		inside, tri, err := Region(loops, nil, 15, 27)
		if err != nil {
			t.Fatal(err)
		}
		all := slices.Concat(loops[0], loops[1], inside)
		sum := 0.0
		for _, v := range tri {
			a := triangleArea(all, v)
			if a < -1e-3 {
				t.Fatalf("a triangle of %g mm²", a)
			}
			sum += a
		}
		polygon := func(loop []r2.Point) float64 {
			a := 0.0
			for i, p := range loop {
				q := loop[(i+1)%len(loop)]
				a += (p.X*q.Y - q.X*p.Y) / 2
			}
			return a
		}
		if want := polygon(loops[0]) - polygon(loops[1]); !(math.Abs(sum-want) <= 1e-3*want) {
			t.Fatalf("%.1f mm² covered of %.1f", sum, want)
		}
	})
}

// TestDelaunayCirclesAreEmpty: no point lies within the circle of a triangle, but for the hair's breadth that points
// are moved by.
func TestDelaunayCirclesAreEmpty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 60).Draw(t, "n")
		var points []r2.Point
		for range n {
			p := r2.Point{X: float64(rapid.IntRange(0, 40).Draw(t, "x")), Y: float64(rapid.IntRange(0, 40).Draw(t, "y"))}
			if !slices.Contains(points, p) {
				points = append(points, p)
			}
		}
		for _, v := range delaunay(points) {
			a, b, c := points[v[0]], points[v[1]], points[v[2]]
			d := 2 * cross(a, b, c)
			if math.Abs(d) < 1 {
				continue // three points on a line
			}
			bx, by, cx, cy := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
			ux, uy := (cy*(bx*bx+by*by)-by*(cx*cx+cy*cy))/d, (bx*(cx*cx+cy*cy)-cx*(bx*bx+by*by))/d
			r := math.Hypot(ux, uy)
			for _, p := range points {
				if e := math.Hypot(p.X-a.X-ux, p.Y-a.Y-uy); e < r-0.05*math.Max(1, r) {
					t.Fatalf("%v lies %.3f mm within the circle of %v %v %v", p, r-e, a, b, c)
				}
			}
		}
	})
}

// TestFillKeepsItsEdges: a neck so narrow that its edges cannot all be kept is an error, not a hole.
func TestFillKeepsItsEdges(t *testing.T) {
	loop := []r2.Point{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 100}, {X: 50, Y: 0.5}, {X: 0, Y: 100}}
	if _, _, err := Region([][]r2.Point{loop}, nil, 15, 27); err == nil {
		t.Error("an edge was lost without a word")
	}
}
