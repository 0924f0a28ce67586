package medial

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/region"
)

// A region that is about as long as wide, as where two laps cross, has no ends for a line to run between: which of
// its corners a rough line starts from says nothing. Its line runs straight through the middle of the least rectangle
// about it, along the longer side.
const (
	spotRatio = 1.5 // longer to shorter side of the rectangle up to which a region is a spot
	spotFill  = 0.7 // of the rectangle that it fills at least: a disc fills 0.785, an angle less
	spotTurn  = 20. // degrees that normals turn from their mean: a spot is nearly flat
)

// Box is the frame of a spot: its middle, and its axis along the line.
type Box struct {
	Middle, Axis r3.Vector
	long, short  float64 // mm
}

// SpotBox is the least rectangle about a region that is about as long as wide and nearly flat. Of rectangles that are
// equal the longest counts, then the one whose line points most nearly to the middle of the sheets' metal.
func SpotBox(r *region.Region, loops [][]int32, metal r3.Vector) (box Box, ok bool) {
	normal := mean(r)
	least := kit.CosDegrees(spotTurn)
	turned := func(n r3.Vector) bool { return n.Dot(normal) < least }
	if normal == (r3.Vector{}) || slices.ContainsFunc(r.Normals, turned) {
		return Box{}, false
	}
	best, filled := boxAbout(r, normal, loops, metal, spotFill/(2*spotRatio))
	return best, filled && best.long <= spotRatio*best.short
}

// LongBox is the least rectangle about a region that fills it, however long: for one whose rough lines came to nothing.
func LongBox(r *region.Region, loops [][]int32, metal r3.Vector) (box Box, ok bool) {
	if normal := mean(r); normal != (r3.Vector{}) {
		box, ok = boxAbout(r, normal, loops, metal, 0)
	}
	return box, ok
}

// boxAbout is the least rectangle about a region, and whether the region fills it. None is looked for about one whose area is below a share
// of its extent's square.
func boxAbout(r *region.Region, normal r3.Vector, loops [][]int32, metal r3.Vector, leastShare float64) (best Box, filled bool) {
	u := normal.Ortho()
	v := normal.Cross(u)
	o := r.Mesh.Vertices[loops[0][0]]
	var flat []r2.Point
	reach := 0.0 // no longer than the rectangle's diagonal
	for _, i := range loops[0] {
		d := r.Mesh.Vertices[i].Sub(o)
		flat = append(flat, r2.Point{X: d.Dot(u), Y: d.Dot(v)})
		reach = max(reach, flat[len(flat)-1].Norm())
	}
	area := r.LoopArea(loops[0])
	if area < leastShare*reach*reach*(1-spotAlike) {
		return Box{}, false // whatever the rectangle, as with nearly all strips
	}
	around := hull(flat)
	if len(around) < 3 {
		return Box{}, false
	}
	for i, p := range around {
		side := around[(i+1)%len(around)].Sub(p).Normalize()
		for _, axis := range [2]r2.Point{side, side.Ortho()} {
			one := boxAlong(around, axis)
			one.Middle = o.Add(u.Mul(one.Middle.X)).Add(v.Mul(one.Middle.Y))
			one.Axis = u.Mul(axis.X).Add(v.Mul(axis.Y))
			if best.long == 0 || one.comesBefore(best, metal) {
				best = one
			}
		}
	}
	return best, area >= spotFill*best.long*best.short
}

// mean is the mean normal of a region's facets, by area.
func mean(r *region.Region) r3.Vector {
	sum := r3.Vector{}
	for t := range r.Mesh.Triangles {
		a, b, c := r.Mesh.Corners(t)
		sum = sum.Add(b.Sub(a).Cross(c.Sub(a)))
	}
	return sum.Normalize()
}

// comesBefore says whether a is to be taken rather than b.
func (a Box) comesBefore(b Box, metal r3.Vector) bool {
	if s, t := float64(a.long*a.short), float64(b.long*b.short); math.Abs(s-t) > spotAlike*t {
		return s < t
	}
	if math.Abs(a.long-b.long) > spotAlike*b.long {
		return a.long > b.long
	}
	towards := func(x Box) float64 { return math.Abs(metal.Sub(x.Middle).Dot(x.Axis)) }
	if s, t := towards(a), towards(b); math.Abs(s-t) > spotAlike*(b.long+metal.Sub(b.Middle).Norm()) {
		return s > t
	}
	upward := func(x Box) r3.Vector {
		if kit.Before(x.Axis, r3.Vector{}, 1) {
			return x.Axis
		}
		return x.Axis.Mul(-1)
	}
	return kit.Before(upward(a), upward(b), 1)
}

// spotAlike is the share of their size by which rectangles must differ to be told apart: above the rounding that the
// border's cut points carry.
const spotAlike = 1e-6

// boxAlong is the rectangle about points along an axis, in their plane.
func boxAlong(points []r2.Point, axis r2.Point) Box {
	lo, hi := r2.Point{X: math.Inf(1), Y: math.Inf(1)}, r2.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range points {
		x, y := p.Dot(axis), axis.Cross(p)
		lo, hi = r2.Point{X: min(lo.X, x), Y: min(lo.Y, y)}, r2.Point{X: max(hi.X, x), Y: max(hi.Y, y)}
	}
	size, mid := hi.Sub(lo), lo.Add(hi).Mul(0.5)
	at := axis.Mul(mid.X).Add(axis.Ortho().Mul(mid.Y))
	return Box{Middle: r3.Vector{X: at.X, Y: at.Y}, long: size.X, short: size.Y}
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
