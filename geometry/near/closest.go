package near

import (
	"math"

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
	best := Hit{Tri: -1}
	limit := within * within
	t.nearest(limit, func(b space.Box) float64 { return b.Distance2(p) }, func(tri int32, limit float64) float64 {
		if accept != nil && !accept(tri) {
			return limit
		}
		a, b, c := t.mesh.Corners(int(tri))
		q, f := ClosestOnTriangle(p, a, b, c)
		d := q.Sub(p).Norm2()
		if d < limit || d == limit && (best.Tri < 0 || tri < best.Tri) {
			best = Hit{Tri: tri, Point: q, Feature: f}
			return d
		}
		return limit
	})
	if best.Tri < 0 {
		return best, false
	}
	best.Distance = best.Point.Sub(p).Norm()
	return best, true
}

// nearest walks the tree, nearer child first, past every node no farther than the limit that visit returns.
func (t *Tree) nearest(limit float64, distance2 func(space.Box) float64, visit func(tri int32, limit float64) float64) {
	if len(t.nodes) == 0 {
		return
	}
	type pending struct {
		node int32
		d2   float64
	}
	var room [64]pending
	stack := append(room[:0], pending{0, distance2(t.nodes[0].box)})
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if !(top.d2 <= limit) {
			continue
		}
		n := &t.nodes[top.node]
		if n.count > 0 {
			for _, tri := range t.order[n.first : n.first+n.count] {
				limit = visit(tri, limit)
			}
			continue
		}
		l := pending{top.node + 1, distance2(t.nodes[top.node+1].box)}
		r := pending{n.first, distance2(t.nodes[n.first].box)}
		if l.d2 < r.d2 {
			l, r = r, l
		}
		stack = append(stack, l, r)
	}
}

// Overlapping calls visit for every triangle whose own box touches b, until visit says false.
func (t *Tree) Overlapping(b space.Box, visit func(tri int32) bool) {
	if len(t.nodes) == 0 {
		return
	}
	var room [64]int32
	stack := append(room[:0], 0)
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[at]
		if !n.box.Overlaps(b) {
			continue
		}
		if n.count == 0 {
			stack = append(stack, n.first, at+1)
			continue
		}
		for _, tri := range t.order[n.first : n.first+n.count] {
			p, q, r := t.mesh.Corners(int(tri))
			if space.EmptyBox().Add(p).Add(q).Add(r).Overlaps(b) && !visit(tri) {
				return
			}
		}
	}
}

// ClosestOnTriangle returns the point of triangle abc nearest to p and the part of the triangle it is on.
// Method: Ericson, Real-Time Collision Detection (2005), 5.1.5; a triangle without area falls back to its edges.
func ClosestOnTriangle(p, a, b, c r3.Vector) (r3.Vector, Feature) {
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	d1, d2 := ab.Dot(ap), ac.Dot(ap)
	if d1 <= 0 && d2 <= 0 {
		return a, CornerA
	}
	bp := p.Sub(b)
	d3, d4 := ab.Dot(bp), ac.Dot(bp)
	if d3 >= 0 && d4 <= d3 {
		return b, CornerB
	}
	cp := p.Sub(c)
	d5, d6 := ab.Dot(cp), ac.Dot(cp)
	if d6 >= 0 && d5 <= d6 {
		return c, CornerC
	}
	va := float64(d3*d6) - float64(d5*d4)
	vb := float64(d5*d2) - float64(d1*d6)
	vc := float64(d1*d4) - float64(d3*d2)
	sum := va + vb + vc
	if !(sum > 1e-14*ab.Norm2()*ac.Norm2()) {
		return closestOnEdges(p, a, b, c)
	}
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		return a.Add(ab.Mul(d1 / (d1 - d3))), EdgeAB
	}
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return a.Add(ac.Mul(d2 / (d2 - d6))), EdgeCA
	}
	if va <= 0 && d4 >= d3 && d5 >= d6 {
		return b.Add(c.Sub(b).Mul((d4 - d3) / ((d4 - d3) + (d5 - d6)))), EdgeBC
	}
	return a.Add(ab.Mul(vb / sum)).Add(ac.Mul(vc / sum)), Face
}

func closestOnEdges(p, a, b, c r3.Vector) (r3.Vector, Feature) {
	best, feature := a, CornerA
	least := math.Inf(1)
	corners := [3]r3.Vector{a, b, c}
	for k := range 3 {
		from, to := corners[k], corners[(k+1)%3]
		q, f := from, CornerA+Feature(k)
		if l2 := to.Sub(from).Norm2(); l2 > 0 {
			switch s := p.Sub(from).Dot(to.Sub(from)) / l2; {
			case s >= 1:
				q, f = to, CornerA+Feature((k+1)%3)
			case s > 0:
				q, f = from.Add(to.Sub(from).Mul(s)), EdgeAB+Feature(k)
			}
		}
		if d := q.Sub(p).Norm2(); d < least {
			best, feature, least = q, f, d
		}
	}
	return best, feature
}
