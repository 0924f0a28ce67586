package outline

import (
	"github.com/golang/geo/r2"

	"seamwright/geometry/delaunay"
)

// polygon is a closed outline in a plane, in mm.
type polygon struct {
	corners []r2.Point
	box     r2.Rect
}

func polygonOf(corners []r2.Point) polygon {
	box := r2.EmptyRect()
	for _, p := range corners {
		box = box.AddPoint(p)
	}
	return polygon{corners, box}
}

// witness is the first corner of a closed outline, or else middle of one of its sides, that is not on the polygon's border: whether the
// polygon holds the outline is told by it.
func (g *polygon) witness(outline []r2.Point, touch float64) (r2.Point, bool) {
	for _, share := range []float64{0, 0.5} {
		for i, a := range outline {
			at := a.Add(outline[(i+1)%len(outline)].Sub(a).Mul(share))
			if !g.touches(at, touch) {
				return at, true
			}
		}
	}
	return r2.Point{}, false
}

// touches reports whether a point lies within touch of the border.
func (g *polygon) touches(at r2.Point, touch float64) bool {
	for i, a := range g.corners {
		if delaunay.DistanceToLine(at, a, g.corners[(i+1)%len(g.corners)]) <= touch {
			return true
		}
	}
	return false
}

// holds reports whether a point that is not on the border is inside: a ray to the right crosses the border an odd number of times.
func (g *polygon) holds(at r2.Point) bool {
	inside := false
	for i, a := range g.corners {
		b := g.corners[(i+1)%len(g.corners)]
		if (a.Y > at.Y) == (b.Y > at.Y) {
			continue
		}
		if a.Y > b.Y {
			a, b = b, a
		}
		if delaunay.Orient(a, b, at) > 0 {
			inside = !inside
		}
	}
	return inside
}
