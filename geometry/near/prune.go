package near

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// ClosestPruned is ClosestAmong for who knows of some boxes that they hold no triangle that is accepted: prune says so of a box, and
// what is in it is not looked at.
func (t *Tree) ClosestPruned(p r3.Vector, within float64, prune func(b space.Box) bool, accept func(tri int32) bool) (Hit, bool) {
	best, limit := Hit{Tri: -1}, within*within
	if len(t.nodes) == 0 || !(limit >= 0) {
		return best, false
	}
	at := t.frame.place(p)
	grains := t.frame.limit(limit)
	var stack [deepest + 2]int32
	depth := 1
	for depth > 0 {
		depth--
		n := &t.nodes[stack[depth]]
		if n.gap2(&at, &at) > grains {
			continue
		}
		if prune(t.frame.box(n)) {
			continue
		}
		if n.count == 0 {
			near, far := n.first, n.first+1
			if t.nodes[far].gap2(&at, &at) < t.nodes[near].gap2(&at, &at) {
				near, far = far, near
			}
			stack[depth], stack[depth+1] = far, near
			depth += 2
			continue
		}
		for _, tri := range t.order[n.first : n.first+n.count] {
			if accept(tri) {
				best, limit = t.nearer(p, tri, best, limit)
			}
		}
		grains = t.frame.limit(limit)
	}
	if best.Tri < 0 {
		return best, false
	}
	best.Distance = best.Point.Sub(p).Norm()
	return best, true
}
