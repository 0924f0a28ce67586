package outline

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
)

// Nested is a closed path with those that lie in it and in no other of those.
type Nested struct {
	drawing.Path
	Index  int // in the list that was sorted
	Within []*Nested
}

// Nest sorts closed paths by what lies within what; open ones are left out. A path that lies on another's edge in part
// is within it when the rest is. Paths in different planes do not hold each other.
func Nest(paths []drawing.Path) []*Nested {
	type ring struct {
		*Nested
		plane plane
		flat  []r2.Point
		box   r2.Rect
		area  float64
	}
	var rings []ring
	for i, p := range paths {
		if !p.Closed || len(p.Points) < 3 {
			continue
		}
		n := areaNormal(p.Points)
		r := ring{Nested: &Nested{Path: p, Index: i}, area: n.Norm()}
		if r.area > 0 {
			r.plane = planeAt(p.Points[0], upward(unit(n)))
			for _, v := range p.Points {
				r.flat = append(r.flat, r.plane.flat(v))
			}
			r.box = r2.RectFromPoints(r.flat...)
		}
		rings = append(rings, r)
	}
	order := make([]int, len(rings))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(rings[b].area, rings[a].area)
	})
	held := make([]bool, len(rings))
	for k, i := range order {
		for back := k - 1; back >= 0; back-- { // the smallest that holds it is the last of these
			outer := rings[order[back]]
			if outer.area > 0 && holdsPath(outer.plane, outer.flat, outer.box, rings[i].Points) {
				outer.Within = append(outer.Within, rings[i].Nested)
				held[i] = true
				break
			}
		}
	}
	var out []*Nested
	for i, r := range rings {
		if !held[i] {
			out = append(out, r.Nested)
		}
	}
	return out
}

// holdsPath reports whether a path lies within a polygon: some point of it that is not on the border does.
func holdsPath(p plane, polygon []r2.Point, box r2.Rect, path []r3.Vector) bool {
	at := make([]r2.Point, len(path))
	for i, v := range path {
		at[i] = p.flat(v)
		if !box.ExpandedByMargin(toldGap).ContainsPoint(at[i]) || math.Abs(p.above(v)) > toldGap+1e-3*box.Size().Norm() {
			return false
		}
	}
	for i, a := range at {
		for _, share := range []float64{0, 0.5} {
			w := a.Add(at[(i+1)%len(at)].Sub(a).Mul(share))
			if !onPolygon(polygon, w) {
				return inPolygon(polygon, w)
			}
		}
	}
	return false
}

func onPolygon(polygon []r2.Point, at r2.Point) bool {
	for i, a := range polygon {
		if distanceToLine(at, a, polygon[(i+1)%len(polygon)]) <= toldGap {
			return true
		}
	}
	return false
}

// inPolygon reports whether a ray to the right crosses the polygon an odd number of times.
func inPolygon(polygon []r2.Point, at r2.Point) bool {
	inside := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y > at.Y) == (b.Y > at.Y) {
			continue
		}
		if a.Y > b.Y {
			a, b = b, a
		}
		if orient(a, b, at) > 0 {
			inside = !inside
		}
	}
	return inside
}
