// Package fill covers a flat region with triangles that are fine along its edge and coarse within.
//
//	inside, triangles, err := fill.Region([][]r2.Point{{{X: 0, Y: 0}, {X: 90, Y: 0}, {X: 0, Y: 90}}}, nil, 15, 27)
//
// The same region gives the same triangles on every machine.
package fill

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// triangulation is a Delaunay triangulation that grows point by point (Bowyer and Watson, 1981). Points are
// moved by a fixed hair's breadth so that no four lie on one circle and no decision hangs on rounding.
type triangulation struct {
	points []r2.Point
	tri    [][3]int32 // anticlockwise
	next   [][3]int32 // next[t][k] lies across the edge from corner k to corner k+1; -1: nothing
	dead   []bool
	last   int32
}

// hair is the greatest shift of a point; rounding errors at 2 m are a million times smaller.
const hair = 1e-4

func shifted(p r2.Point, i int) r2.Point {
	h := uint64(i+1) * 0x9E3779B97F4A7C15
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	a := float64(h>>40&0xFFFF)/65535 - 0.5
	b := float64(h>>20&0xFFFF)/65535 - 0.5
	return r2.Point{X: p.X + hair*a, Y: p.Y + hair*b}
}

// delaunay returns the triangles between the points.
func delaunay(points []r2.Point) [][3]int32 {
	n := len(points)
	t := &triangulation{points: make([]r2.Point, n, n+3)}
	for i, p := range points {
		t.points[i] = shifted(p, i)
	}
	const far = 1e5 // a triangle far round everything
	t.points = append(t.points, r2.Point{X: -far, Y: -far}, r2.Point{X: far, Y: -far}, r2.Point{X: 0, Y: far})
	t.tri = [][3]int32{{int32(n), int32(n + 1), int32(n + 2)}}
	t.next = [][3]int32{{-1, -1, -1}}
	t.dead = []bool{false}
	for _, i := range snake(points) {
		t.add(i)
	}
	var out [][3]int32
	for k, tri := range t.tri {
		if !t.dead[k] && max(tri[0], tri[1], tri[2]) < int32(n) {
			out = append(out, tri)
		}
	}
	return out
}

// snake orders points by bands, to and fro, so that each is near the one before.
func snake(points []r2.Point) []int32 {
	const band = 40.0
	order := make([]int32, len(points))
	for i := range order {
		order[i] = int32(i)
	}
	row := func(i int32) int { return int(math.Floor(points[i].Y / band)) }
	slices.SortFunc(order, func(a, b int32) int {
		ra, rb := row(a), row(b)
		switch {
		case ra != rb:
			return ra - rb
		case points[a].X != points[b].X && (points[a].X < points[b].X) == (ra%2 == 0):
			return -1
		case points[a].X != points[b].X:
			return 1
		}
		return int(a - b)
	})
	return order
}

// cross is twice the area of abc, positive when it turns to the left.
func cross(a, b, c r2.Point) float64 {
	return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
}

// inCircle reports whether p lies in the circle through triangle t.
func (t *triangulation) inCircle(k, p int32) bool {
	v := t.tri[k]
	q := t.points[p]
	var m [3][3]float64
	for i := range 3 {
		a := t.points[v[i]]
		dx, dy := a.X-q.X, a.Y-q.Y
		m[i] = [3]float64{dx, dy, float64(dx*dx) + float64(dy*dy)}
	}
	det := 0.0
	for i := range 3 {
		a, b, c := m[i], m[(i+1)%3], m[(i+2)%3]
		det += float64(a[2] * (float64(b[0]*c[1]) - float64(b[1]*c[0])))
	}
	return det > 0
}

// locate walks from the last triangle to the one that holds point p.
func (t *triangulation) locate(p int32) int32 {
	at := t.last
walk:
	for {
		v := t.tri[at]
		for k := range 3 {
			if cross(t.points[v[k]], t.points[v[(k+1)%3]], t.points[p]) < 0 {
				at = t.next[at][k]
				continue walk
			}
		}
		return at
	}
}

// add takes out the triangles whose circles hold point p and joins p to the hole's edges.
func (t *triangulation) add(p int32) {
	hole := []int32{t.locate(p)}
	t.dead[hole[0]] = true
	type rim struct{ a, b, beyond int32 }
	var rims []rim
	for i := 0; i < len(hole); i++ {
		k := hole[i]
		for e := range 3 {
			beyond := t.next[k][e]
			switch {
			case beyond >= 0 && t.dead[beyond]:
			case beyond >= 0 && t.inCircle(beyond, p):
				t.dead[beyond] = true
				hole = append(hole, beyond)
			default:
				rims = append(rims, rim{t.tri[k][e], t.tri[k][(e+1)%3], beyond})
			}
		}
	}
	// A rim found before its neighbour was taken out is no rim.
	rims = slices.DeleteFunc(rims, func(r rim) bool { return r.beyond >= 0 && t.dead[r.beyond] })
	starts := make(map[int32]int32, len(rims))
	for _, r := range rims {
		k := int32(len(t.tri))
		t.tri = append(t.tri, [3]int32{r.a, r.b, p})
		t.next = append(t.next, [3]int32{r.beyond, -1, -1})
		t.dead = append(t.dead, false)
		starts[r.a] = k
		if r.beyond >= 0 {
			for e := range 3 {
				if t.tri[r.beyond][e] == r.b && t.tri[r.beyond][(e+1)%3] == r.a {
					t.next[r.beyond][e] = k
				}
			}
		}
	}
	for _, r := range rims {
		k, after := starts[r.a], starts[r.b]
		t.next[k][1], t.next[after][2] = after, k
	}
	t.last = int32(len(t.tri) - 1)
}

// within reports whether p lies inside an odd number of loops.
func within(p r2.Point, loops [][]r2.Point) bool {
	odd := false
	for _, loop := range loops {
		a := loop[len(loop)-1]
		for _, b := range loop {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				odd = !odd
			}
			a = b
		}
	}
	return odd
}

// Region returns points inside the loops, in a honeycomb that is finer near them and along the given features, and
// the triangles over the loops' points (first, in order) and those. Every side of the loops is a side of a
// triangle: else it is an error.
func Region(loops [][]r2.Point, features []r2.Point, fine, coarse float64) (inside []r2.Point, tri [][3]int32, err error) {
	var all []r2.Point
	for _, loop := range loops {
		all = append(all, loop...)
	}
	rimmed := len(all)
	inside = spaced(loops, all, features, 0.6*fine)
	inside = append(inside, honeycomb(loops, slices.Concat(all, inside), fine, coarse)...)
	all = append(all, inside...)
	sides := map[[2]int32]bool{}
	for _, v := range delaunay(all) {
		a, b, c := all[v[0]], all[v[1]], all[v[2]]
		if within(r2.Point{X: (a.X + b.X + c.X) / 3, Y: (a.Y + b.Y + c.Y) / 3}, loops) {
			tri = append(tri, v)
			for k := range 3 {
				sides[[2]int32{v[k], v[(k+1)%3]}] = true
			}
		}
	}
	start := 0
	for _, loop := range loops {
		for i := range loop {
			a, b := int32(start+i), int32(start+(i+1)%len(loop))
			if sides[[2]int32{a, b}] == sides[[2]int32{b, a}] {
				return nil, nil, fmt.Errorf(
					"fill: the edge from (%.1f, %.1f) to (%.1f, %.1f) is not kept once",
					all[a].X,
					all[a].Y,
					all[b].X,
					all[b].Y,
				)
			}
		}
		start += len(loop)
	}
	if start != rimmed {
		return nil, nil, fmt.Errorf("fill: %d edge points of %d", start, rimmed)
	}
	return inside, tri, nil
}

// spaced keeps those features inside the loops that are not too near to the rim or to one another.
func spaced(loops [][]r2.Point, rim, features []r2.Point, apart float64) []r2.Point {
	const least = 4 // mm between two features
	edge, kept := newNearGrid(rim, 2*apart), newNearGrid(nil, 2*least)
	for _, p := range features {
		if edge.distance(p) >= apart && kept.distance(p) >= least && within(p, loops) {
			kept.add(p)
		}
	}
	return kept.points
}

// honeycomb places points inside the loops: fine ones in a belt along them, coarse ones beyond it.
func honeycomb(loops [][]r2.Point, rim []r2.Point, fine, coarse float64) []r2.Point {
	low, high := rim[0], rim[0]
	for _, p := range rim {
		low.X, low.Y = math.Min(low.X, p.X), math.Min(low.Y, p.Y)
		high.X, high.Y = math.Max(high.X, p.X), math.Max(high.Y, p.Y)
	}
	grid := newNearGrid(rim, 1.35*fine+0.5*coarse)
	var out []r2.Point
	lay := func(step, from, to float64) {
		rise := step * math.Sqrt(3) / 2
		for j := 0; ; j++ {
			y := low.Y + (float64(j)+0.5)*rise
			if y > high.Y {
				return
			}
			for x := low.X + step*(0.25+0.5*float64(j%2)); x < high.X; x += step {
				p := r2.Point{X: x, Y: y}
				if d := grid.distance(p); d >= from && d < to && within(p, loops) {
					out = append(out, p)
				}
			}
		}
	}
	lay(fine, 0.75*fine, 1.35*fine)
	lay(coarse, 1.35*fine+0.5*coarse, math.MaxFloat64)
	return out
}

// nearGrid finds distances to a set of points.
type nearGrid struct {
	step   float64
	cells  map[[2]int][]int
	points []r2.Point
}

func newNearGrid(points []r2.Point, step float64) *nearGrid {
	g := &nearGrid{step: step, cells: map[[2]int][]int{}}
	for _, p := range points {
		g.add(p)
	}
	return g
}

func (g *nearGrid) add(p r2.Point) {
	c := g.cell(p)
	g.cells[c] = append(g.cells[c], len(g.points))
	g.points = append(g.points, p)
}

func (g *nearGrid) cell(p r2.Point) [2]int {
	return [2]int{int(math.Floor(p.X / g.step)), int(math.Floor(p.Y / g.step))}
}

// distance is the distance to the nearest point, or a great one when none is within a step.
func (g *nearGrid) distance(p r2.Point) float64 {
	c := g.cell(p)
	best := 1e6 // none is within a step
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, i := range g.cells[[2]int{c[0] + dx, c[1] + dy}] {
				best = math.Min(best, math.Hypot(g.points[i].X-p.X, g.points[i].Y-p.Y))
			}
		}
	}
	return best
}
