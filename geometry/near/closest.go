package near

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Feature says on which part of a triangle a point lies. EdgeAB runs from corner 0 to corner 1, EdgeBC
// from 1 to 2, EdgeCA from 2 to 0.
type Feature int8

// The parts of a triangle.
const (
	Face Feature = iota
	EdgeAB
	EdgeBC
	EdgeCA
	CornerA
	CornerB
	CornerC
)

// Hit is a place on the mesh.
type Hit struct {
	Tri      int32
	Point    r3.Vector
	Distance float64 // mm from what was asked about
	Feature  Feature
}

// Closest returns the point of the mesh nearest to p, if it is at most within away.
func (t *Tree) Closest(p r3.Vector, within float64) (Hit, bool) {
	return t.ClosestAmong(p, within, nil)
}

// ClosestAmong is Closest over the triangles that accept says yes to; nil accepts all.
func (t *Tree) ClosestAmong(p r3.Vector, within float64, accept func(tri int32) bool) (Hit, bool) {
	return t.ClosestFrom(NoHint, p, within, accept)
}

// NoHint is for ClosestFrom when nothing is known beforehand.
const NoHint = int32(-1)

// ClosestFrom is ClosestAmong for who has a triangle at hand that is likely to be near, such as the one found for the
// place before: it is looked at first, which spares most of the tree. The answer is the same whatever the hint.
func (t *Tree) ClosestFrom(hint int32, p r3.Vector, within float64, accept func(tri int32) bool) (Hit, bool) {
	best := Hit{Tri: -1}
	limit := within * within
	if !(limit >= 0) {
		return best, false
	}
	if hint >= 0 && int(hint) < len(t.order) && (accept == nil || accept(hint)) {
		limit = t.nearer(p, hint, &best, limit)
	}
	w := walk{tree: t}
	at := t.frame.place(p)
	w.start(at, at, limit)
	for leaf := w.next(); leaf != nil; leaf = w.next() {
		before := limit
		for _, tri := range leaf {
			if accept == nil || accept(tri) {
				limit = t.nearer(p, tri, &best, limit)
			}
		}
		if limit < before {
			w.shrink(limit)
		}
	}
	if best.Tri < 0 {
		return best, false
	}
	best.Distance = best.Point.Sub(p).Norm()
	return best, true
}

// nearer makes best the triangle's place nearest to p if that is nearer than best, which is at the squared distance limit, and returns the
// limit then.
func (t *Tree) nearer(p r3.Vector, tri int32, best *Hit, limit float64) float64 {
	a, b, c := t.mesh.Corners(int(tri))
	q, f := ClosestOnTriangle(p, a, b, c)
	d := q.Sub(p).Norm2()
	if d < limit || d == limit && (best.Tri < 0 || tri < best.Tri) {
		best.Tri, best.Point, best.Distance, best.Feature = tri, q, 0, f
		return d
	}
	return limit
}

// Within calls visit with the place nearest to p on every triangle that is at most within away, in no particular order,
// until visit says false.
func (t *Tree) Within(p r3.Vector, within float64, visit func(Hit) bool) {
	w := walk{tree: t}
	at := t.frame.place(p)
	w.start(at, at, within*within)
	for leaf := w.next(); leaf != nil; leaf = w.next() {
		for _, tri := range leaf {
			a, b, c := t.mesh.Corners(int(tri))
			q, f := ClosestOnTriangle(p, a, b, c)
			if d := q.Sub(p).Norm(); d <= within && !visit(Hit{Tri: tri, Point: q, Distance: d, Feature: f}) {
				return
			}
		}
	}
}

// Overlapping calls visit for every triangle whose own box touches b, until visit says false.
func (t *Tree) Overlapping(b space.Box, visit func(tri int32) bool) {
	w := walk{tree: t}
	lo, hi := t.frame.grown(b.Min, b.Max)
	w.start(lo, hi, 0)
	for leaf := w.next(); leaf != nil; leaf = w.next() {
		for _, tri := range leaf {
			if t.touches(tri, &b) && !visit(tri) {
				return
			}
		}
	}
}

// touches reports whether a triangle's box touches b: along every axis some corner is not below it and some is not above.
func (t *Tree) touches(tri int32, b *space.Box) bool {
	v := &t.mesh.Triangles[tri]
	p, q, r := &t.mesh.Vertices[v[0]], &t.mesh.Vertices[v[1]], &t.mesh.Vertices[v[2]]
	return (p.X >= b.Min.X || q.X >= b.Min.X || r.X >= b.Min.X) && (p.X <= b.Max.X || q.X <= b.Max.X || r.X <= b.Max.X) &&
		(p.Y >= b.Min.Y || q.Y >= b.Min.Y || r.Y >= b.Min.Y) && (p.Y <= b.Max.Y || q.Y <= b.Max.Y || r.Y <= b.Max.Y) &&
		(p.Z >= b.Min.Z || q.Z >= b.Min.Z || r.Z >= b.Min.Z) && (p.Z <= b.Max.Z || q.Z <= b.Max.Z || r.Z <= b.Max.Z)
}
