package flange

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// A region that is about as long as wide, as where two laps cross, has no ends for a line to run between: which of
// its corners a rough line starts from says nothing. Its line runs straight through the middle of the least rectangle
// about it, along the longer side.
const (
	spotRatio = 1.5 // longer to shorter side of the rectangle up to which a region is a spot
	spotFill  = 0.7 // of the rectangle that it fills at least: a disc fills 0.785, an angle less
	spotTurn  = 20. // degrees that normals turn from their mean: a spot is nearly flat
)

// rectangle is the frame of a spot: its middle, and its axis along the line.
type rectangle struct {
	middle, axis r3.Vector
	long, short  float64 // mm
}

// spot returns the line of a region that is about as long as wide.
func (c centring) spot(loops [][]int32) (*centring, bool) {
	box, ok := c.r.spotBox(loops, c.middle)
	if !ok {
		return nil, false
	}
	hit, _ := c.tree.Closest(box.middle, math.Inf(1))
	at := place{hit.Point, hit.Tri}
	normal := c.r.normalAt(at)
	dir := box.axis.Sub(normal.Mul(box.axis.Dot(normal))).Normalize()
	plane := normal.Cross(dir)
	ahead, back := c.r.trace(at, plane, dir, widestTrace), c.r.trace(at, plane, dir.Mul(-1), widestTrace)
	if !ahead.ok || !back.ok {
		return nil, false
	}
	var points []r3.Vector
	for _, p := range slices.Backward(back.path) {
		points = append(points, p.point)
	}
	for _, p := range ahead.path[1:] {
		points = append(points, p.point)
	}
	c.chain = chain{points: points, forks: [2]int32{noFork, noFork}}
	c.result = c.finish(points, nil)
	return &c, true
}

// spotBox is the least rectangle about a region that is about as long as wide and nearly flat. Of rectangles that are
// equal the longest counts, then the one whose line points most nearly to the middle of the sheets' metal.
func (r *region) spotBox(loops [][]int32, metal r3.Vector) (box rectangle, ok bool) {
	normal := r.mean()
	least := cosDegrees(spotTurn)
	turned := func(n r3.Vector) bool { return n.Dot(normal) < least }
	if normal == (r3.Vector{}) || slices.ContainsFunc(r.normals, turned) {
		return rectangle{}, false
	}
	u := normal.Ortho()
	v := normal.Cross(u)
	o := r.mesh.Vertices[loops[0][0]]
	var flat []r2.Point
	reach := 0.0 // no longer than the rectangle's diagonal
	for _, i := range loops[0] {
		d := r.mesh.Vertices[i].Sub(o)
		flat = append(flat, r2.Point{X: d.Dot(u), Y: d.Dot(v)})
		reach = max(reach, flat[len(flat)-1].Norm())
	}
	area := r.loopArea(loops[0])
	if leastShare := spotFill / (2 * spotRatio); area < leastShare*reach*reach*(1-spotAlike) {
		return rectangle{}, false // whatever the rectangle, as with nearly all strips
	}
	around := hull(flat)
	if len(around) < 3 {
		return rectangle{}, false
	}
	best := rectangle{}
	for i, p := range around {
		side := around[(i+1)%len(around)].Sub(p).Normalize()
		for _, axis := range [2]r2.Point{side, side.Ortho()} {
			one := boxAlong(around, axis)
			one.middle = o.Add(u.Mul(one.middle.X)).Add(v.Mul(one.middle.Y))
			one.axis = u.Mul(axis.X).Add(v.Mul(axis.Y))
			if best.long == 0 || one.comesBefore(best, metal) {
				best = one
			}
		}
	}
	return best, best.long <= spotRatio*best.short && area >= spotFill*best.long*best.short
}

// mean is the mean normal of a region's facets, by area.
func (r *region) mean() r3.Vector {
	sum := r3.Vector{}
	for t := range r.mesh.Triangles {
		a, b, c := r.mesh.Corners(t)
		sum = sum.Add(b.Sub(a).Cross(c.Sub(a)))
	}
	return sum.Normalize()
}

// comesBefore says whether a is to be taken rather than b.
func (a rectangle) comesBefore(b rectangle, metal r3.Vector) bool {
	if s, t := float64(a.long*a.short), float64(b.long*b.short); math.Abs(s-t) > spotAlike*t {
		return s < t
	}
	if math.Abs(a.long-b.long) > spotAlike*b.long {
		return a.long > b.long
	}
	towards := func(x rectangle) float64 { return math.Abs(metal.Sub(x.middle).Dot(x.axis)) }
	if s, t := towards(a), towards(b); math.Abs(s-t) > spotAlike*(b.long+metal.Sub(b.middle).Norm()) {
		return s > t
	}
	upward := func(x rectangle) r3.Vector {
		if before(x.axis, r3.Vector{}, 1) {
			return x.axis
		}
		return x.axis.Mul(-1)
	}
	return before(upward(a), upward(b), 1)
}

// spotAlike is the share of their size by which rectangles must differ to be told apart: above the rounding that the
// border's cut points carry.
const spotAlike = 1e-6

// boxAlong is the rectangle about points along an axis, in their plane.
func boxAlong(points []r2.Point, axis r2.Point) rectangle {
	lo, hi := r2.Point{X: math.Inf(1), Y: math.Inf(1)}, r2.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range points {
		x, y := p.Dot(axis), axis.Cross(p)
		lo, hi = r2.Point{X: min(lo.X, x), Y: min(lo.Y, y)}, r2.Point{X: max(hi.X, x), Y: max(hi.Y, y)}
	}
	size, mid := hi.Sub(lo), lo.Add(hi).Mul(0.5)
	at := axis.Mul(mid.X).Add(axis.Ortho().Mul(mid.Y))
	return rectangle{middle: r3.Vector{X: at.X, Y: at.Y}, long: size.X, short: size.Y}
}

// hull is the convex hull of points, counterclockwise (Andrew's monotone chain, 1979; from memory).
func hull(points []r2.Point) []r2.Point {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b r2.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	sorted = slices.Compact(sorted)
	var out []r2.Point
	for range 2 {
		first := len(out)
		for _, p := range sorted {
			for len(out) >= first+2 && out[len(out)-1].Sub(out[len(out)-2]).Cross(p.Sub(out[len(out)-2])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1]
		slices.Reverse(sorted)
	}
	return out
}
